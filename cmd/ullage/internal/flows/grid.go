package flows

import (
	"slices"
	"strings"

	"ullage/harness/console"
)

// grid is a table of words and figures. Lines of text may stand between its rows.
type grid struct {
	align string     // a letter a column: l for words, r for figures
	heads [][]string // lines over the columns
	rows  []row
}

// row is a line of a table: cells, or a line of text from the left margin on.
type row struct {
	text  string
	bold  bool
	cells []string
	mark  string // warning at the end
}

func (g *grid) add(mark string, cells ...string) {
	for i, cell := range cells {
		cells[i] = console.Clean(cell)
	}
	g.rows = append(g.rows, row{cells: cells, mark: mark})
}

func (g *grid) title(text string) {
	g.rows = append(g.rows, row{text: console.Clean(text), bold: true})
}

func (g *grid) line(text string) { g.rows = append(g.rows, row{text: text}) }

// print lays the table out. Columns in which nothing stands are left out.
func (g *grid) print(s *console.Sheet) {
	widths := make([]int, len(g.heads[0]))
	used := make([]bool, len(widths))
	for _, r := range g.rows {
		for i, cell := range r.cells {
			widths[i] = max(widths[i], console.Width(cell))
			used[i] = used[i] || cell != ""
		}
	}
	for i := range widths {
		for _, head := range g.heads {
			widths[i] = max(widths[i], console.Width(head[i]))
		}
	}
	lay := func(cells []string) string {
		var b strings.Builder
		for i, cell := range cells {
			switch {
			case !used[i]:
			case g.align[i] == 'l':
				b.WriteString("  " + console.PadRight(cell, widths[i]))
			default:
				b.WriteString("  " + console.PadLeft(cell, widths[i]))
			}
		}
		return b.String()
	}
	for _, head := range g.heads {
		if slices.ContainsFunc(head, func(h string) bool { return h != "" }) {
			s.Line(s.Mark(console.Dim, lay(head)))
		}
	}
	for _, r := range g.rows {
		switch {
		case r.cells == nil && r.bold:
			s.Line(s.Mark(console.Bold, r.text))
		case r.cells == nil:
			s.Note("  ", r.text)
		case r.mark != "":
			s.Line(lay(r.cells) + "  " + s.Mark(console.Orange, "! "+r.mark))
		default:
			s.Line(lay(r.cells))
		}
	}
}
