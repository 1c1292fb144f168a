package sweep

import (
	"fmt"
	"strings"

	"ullage/harness/fault"
	"ullage/harness/spelling"
)

// Find finds a trial by its name, as Trial does. The error says which name is the nearest, or why there is no such
// trial.
func (p *Plan) Find(id string) (Trial, error) {
	if trial, ok := p.Trial(id); ok {
		return trial, nil
	}
	var known []string
	for _, c := range p.Trials {
		known = append(known, c.ID)
	}
	hint := "; a trial is called fault:target:sequence:moment, as in " + known[0] +
		", a pair fault:target+fault:target:sequence:moment"
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
	return Trial{}, fmt.Errorf("%q: there is no such trial on this site%s", id, hint)
}
