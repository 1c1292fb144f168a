package sweep

import (
	"fmt"
	"strings"

	"ullage/harness/fault"
	"ullage/harness/spelling"
)

// Find finds a cell by its name, as Cell does. The error says which name is the nearest, or why there is no such cell.
func (p *Plan) Find(id string) (Cell, error) {
	if cell, ok := p.Cell(id); ok {
		return cell, nil
	}
	var known []string
	for _, c := range p.Cells {
		known = append(known, c.ID)
	}
	hint := "; a cell is called fault:target:story:moment, as in " + known[0] + ", a pair fault:target+fault:target:story:moment"
	if near := spelling.Nearest(id, known); near != "" {
		hint = fmt.Sprintf("; the nearest is %q", near)
	}
	for _, one := range strings.Split(id, "+") {
		whole, _, _ := strings.Cut(one, ":")
		entry, _ := fault.Find(whole)
		if err := entry.Simulated(); err != nil {
			hint = "; " + err.Error()
		}
	}
	return Cell{}, fmt.Errorf("%q: there is no such cell on this site%s", id, hint)
}
