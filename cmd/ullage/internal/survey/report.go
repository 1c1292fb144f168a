package survey

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"unicode/utf8"
)

// Report prints how well the site fits its readings, what is doubtful, what nobody has looked at, and what to do next.
func (m *Made) Report(w io.Writer, file string) error {
	var b strings.Builder
	if file != "-" {
		fmt.Fprintf(&b, "\nwrote %s\n", file)
	}
	b.WriteByte('\n')
	rows := [][]string{{"reading", "measured", "computed", "off"}}
	for _, r := range m.Readings {
		rows = append(rows, []string{r.What, r.Measured, r.Computed, r.Off})
	}
	columns(&b, rows)
	for _, list := range [][]string{m.Says, m.Doubts} {
		for _, line := range list {
			b.WriteByte('\n')
			wrapped(&b, "", line)
		}
	}
	b.WriteString("\nTypical figures that nobody has looked at; each is marked in the file:\n")
	for _, line := range m.Typical {
		wrapped(&b, "  - ", line)
	}
	b.WriteString(m.next(file))
	_, err := io.WriteString(w, b.String())
	return err
}

// columns prints rows below each other, with a rule under the first.
func columns(b *strings.Builder, rows [][]string) {
	width := make([]int, len(rows[0]))
	for _, row := range rows {
		for i, cell := range row {
			width[i] = max(width[i], utf8.RuneCountInString(cell))
		}
	}
	for n, row := range rows {
		line := ""
		for i, cell := range row {
			line += cell + strings.Repeat(" ", width[i]-utf8.RuneCountInString(cell)+2)
		}
		b.WriteString(strings.TrimRight(line, " ") + "\n")
		if n == 0 {
			total := 2 * (len(width) - 1)
			for _, w := range width {
				total += w
			}
			b.WriteString(strings.Repeat("─", total) + "\n")
		}
	}
}

// wrapped prints a text in lines of a width that a terminal has, behind a mark.
func wrapped(b *strings.Builder, mark, text string) {
	const width = 100
	line := mark
	empty := true
	for _, word := range strings.Fields(text) {
		if !empty && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > width {
			b.WriteString(line + "\n")
			line, empty = strings.Repeat(" ", utf8.RuneCountInString(mark)), true
		}
		if !empty {
			line += " "
		}
		line += word
		empty = false
	}
	b.WriteString(line + "\n")
}

// next says what to do with the file.
func (m *Made) next(file string) string {
	if file == "-" {
		file = "FILE.yaml"
	}
	site := strings.TrimSuffix(filepath.Base(file), ".yaml")
	return fmt.Sprintf("\nNext\n  ullage check %s\n  ullage flows %s    pressures, flows and the time of a fill\n\n"+
		"%s\nA first scenario, to be saved as first.feature beside the site file, and run with: ullage run first.feature\n\n%s",
		file, file, cautions, m.Feature(site))
}

// cautions are for whoever goes to the site with what was written.
const cautions = `Cautions
  Shock: isolate before wiring; mains, pumps and sockets are for an electrician, behind a residual-current device.
  Heat: coils, pump casings and hoses in the sun may scald; let them cool.
  Pressure: shut off and relieve before anything is opened; vessels are under air as well.
  Legionella: breathe no spray or fog of water that has stood warm; flush lines first.
  Backflow: keep air gap and preventer; odd water is not drunk, the supplier is called. Local codes come first.
`
