package flows

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"ullage/fakes/pipework"
	"ullage/harness/console"
	"ullage/harness/quantity"
)

// page prints a report.
type page struct {
	console.Sheet
	columns
	r      *Report
	system quantity.System
}

// pageWidth is the width of a page that goes into a file.
const pageWidth = 120

// Print writes the report for the console, in the units of a system. A width of 0 is an output that is no terminal.
func Print(w io.Writer, r *Report, system quantity.System, width int, colour bool) error {
	p := &page{Sheet: console.NewSheet(width, colour), r: r, columns: trade(system), system: system}
	if !p.Cuts {
		p.Width = pageWidth
	}
	p.heading()
	p.alone()
	p.together()
	p.atRest()
	p.velocities()
	p.tanks()
	p.warnings()
	p.cautions()
	return p.Sheet.Print(w)
}

func (p *page) section(title string) {
	p.Line("")
	p.Line(p.Mark(console.Bold, strings.ToUpper(title)))
}

func (p *page) heading() {
	p.Line(p.Mark(console.Bold, console.Clean(p.r.Site)))
	var at []string
	for _, s := range p.r.Supplies {
		text := fmt.Sprintf("%s %s at rest", s.Name, p.pressure.text(float64(s.Static)))
		if s.Highest > s.Static {
			text += ", at most " + p.pressure.text(float64(s.Highest))
		}
		if s.WeakFrom != "" {
			text += fmt.Sprintf(", %s from %s on, its weakest hour, for which all is computed but the overflows",
				p.pressure.text(float64(s.Weakest)), s.WeakFrom)
		}
		at = append(at, text)
	}
	for _, l := range p.r.Levels {
		at = append(at, fmt.Sprintf("%s at %s as a run begins", l.Tank, p.length.text(float64(l.Level))))
	}
	if len(at) > 0 {
		p.Note("", strings.Join(at, "; ")+".")
	}
	switch n := len(p.r.Warnings); n {
	case 0:
		p.Line("No warnings.")
	case 1:
		p.Line("1 warning, at the end.")
	default:
		p.Line(fmt.Sprintf("%d warnings, at the end.", n))
	}
}

// alone prints what flows while one zone is open, part by part.
func (p *page) alone() {
	p.section("Each zone alone")
	g := grid{align: "llrrrrr", heads: [][]string{
		{"", "", "flow", "pressure", "lost", "rise", "velocity"},
		{"", "", p.flow.symbol, p.pressure.symbol, p.pressure.symbol, p.height.symbol, p.velocity.symbol}}}
	for i := range p.r.Sets {
		s := &p.r.Sets[i]
		if !s.alone() {
			continue
		}
		if i > 0 {
			g.title("")
		}
		g.title(fmt.Sprintf("%s: %s; opens %s", s.Name, list(s.Rules), list(s.Opens)))
		for k := range s.Parts {
			p.part(&g, &s.Parts[k])
		}
		for _, note := range p.notes(s) {
			g.line(note)
		}
	}
	g.print(&p.Sheet)
	if len(p.r.Sets) == 0 {
		p.Line("  The settings open nothing.")
	}
}

// part prints one part, and below a lateral its two ends.
func (p *page) part(g *grid, x *Part) {
	kind := x.Kind
	if x.Openings > 1 {
		kind = fmt.Sprintf("%s, %d openings", x.Kind, x.Openings)
	}
	lost, rise, velocity := "", "", ""
	if x.Lost != nil {
		lost = p.pressure.number(float64(*x.Lost))
	}
	if x.Rise != 0 {
		rise = p.height.number(float64(x.Rise))
	}
	if x.Velocity != nil {
		velocity = p.velocity.number(float64(*x.Velocity))
	}
	flow := p.flow.number(float64(x.Flow))
	if x.Kind == "tank" {
		flow = ""
	}
	g.add(strings.Join(x.Marks, ", "), x.Name, kind, flow, p.pressure.number(float64(x.Pressure)), lost, rise, velocity)
}

// notes are the lines below the parts of a zone.
func (p *page) notes(s *Set) []string {
	var notes []string
	for _, x := range s.Parts {
		if w := x.Switches; w != nil {
			notes = append(
				notes,
				fmt.Sprintf("%s: switches on at %s and off at %s; figures in the middle, its flow a mean", x.Name,
					p.pressure.text(float64(w.CutIn)), p.pressure.text(float64(w.CutOut))),
			)
		}
		if x.Curve != nil && x.Lost != nil && flows(float64(x.Flow)) {
			notes = append(notes, p.duty(&x))
		}
		if x.Last != nil {
			notes = append(notes, fmt.Sprintf(
				"%s: first emitter %s at %s, last %s at %s",
				x.Name,
				p.opening(x.First.Flow),
				p.pressure.text(
					float64(x.First.Pressure),
				),
				p.opening(x.Last.Flow),
				p.pressure.text(float64(x.Last.Pressure)),
			))
		} else if x.Openings > 1 {
			notes = append(notes, fmt.Sprintf("%s: %s each", x.Name, p.opening(x.First.Flow)))
		}
	}
	if u := s.Uniformity; u != nil {
		notes = append(notes, fmt.Sprintf("uniformity: lower quarter %s, Christiansen %s",
			quantity.Percent(float64(u.LowerQuarter)), quantity.Percent(float64(u.Christiansen))))
	}
	for _, b := range s.Beds {
		notes = append(notes, fmt.Sprintf("application: %s on %s, %s in %s", p.depth.text(float64(b.Rate)), b.Name,
			p.rain.text(0.010), lasting(b.Ten)))
	}
	for _, r := range s.Runs {
		rule := r.Rule
		if rule == ruleRemote {
			rule += ", at most"
		}
		text := fmt.Sprintf("%s: %s in %s", rule, p.amount(r.Volume), lasting(r.Lasts))
		if r.Ended != "" {
			text += ", then " + r.Ended + " stops the pump"
		}
		if r.Weekly > 0 {
			text += fmt.Sprintf(", %s: %s", times(r.Weekly), p.amount(r.Volume*Volume(r.Weekly)))
		}
		notes = append(notes, text)
	}
	return notes
}

// duty prints what a pump gives beside its curve.
func (p *page) duty(x *Part) string {
	var points []string
	point := func(q Flow, head float64) string { return p.flow.text(float64(q)) + " at " + p.height.text(head) }
	for _, c := range x.Curve {
		points = append(points, point(c.Flow, float64(c.Head)))
	}
	return fmt.Sprintf("%s: %s; its curve: %s", x.Name, point(x.Flow, -float64(*x.Lost)/pipework.PerMetre),
		strings.Join(points, ", "))
}

// times prints how often a week something runs.
func times(n int) string {
	if n == 1 {
		return "once a week"
	}
	return fmt.Sprintf("%d times a week", n)
}

// opening prints the flow of one opening: by the hour where it drips.
func (p *page) opening(q Flow) string {
	if quantity.In(float64(q), quantity.Flow, "L/min") < 1 {
		return p.drip.text(float64(q))
	}
	return p.flow.text(float64(q))
}

// amount prints a volume, with more digits where it is small.
func (p *page) amount(v Volume) string {
	c := p.volume
	if quantity.In(float64(v), c.dim, c.symbol) < 100 {
		c.decimals = 1
	}
	return c.text(float64(v))
}

// together prints what each outlet loses when several zones are open.
func (p *page) together() {
	g := grid{align: "lrrrr", heads: [][]string{
		{"", "flow", "pressure", "less flow", "less pressure"},
		{"", p.flow.symbol, p.pressure.symbol, "than alone", "than alone"}}}
	for i := range p.r.Sets {
		s := &p.r.Sets[i]
		if s.alone() {
			continue
		}
		if s.undisturbed() {
			g.title(s.Name + ": nothing changes")
			continue
		}
		g.title(s.Name)
		for _, x := range s.Parts {
			mark := strings.Join(x.Marks, ", ")
			if !x.Outlet && (mark == "" || x.Velocity != nil) {
				continue
			}
			flow, pressure := "", ""
			if x.Sag != nil {
				flow, pressure = quantity.Percent(float64(x.Sag.Flow)), quantity.Percent(float64(x.Sag.Pressure))
			}
			g.add(mark, x.Name, p.flow.number(float64(x.Flow)), p.pressure.number(float64(x.Pressure)), flow, pressure)
		}
	}
	switch n := p.r.Others; {
	case n == 1:
		g.line("One more set of three zones or more is no worse than the last.")
	case n > 1:
		g.line(fmt.Sprintf("%d more sets of three zones or more are no worse than the last.", n))
	}
	if l := p.r.Left; l != nil {
		g.line(fmt.Sprintf("There are more than %d sets: those from %s on are left out.", l.Computed, l.From))
	}
	if len(g.rows) == 0 {
		return
	}
	p.section("Zones together")
	p.Note(
		"",
		"What the settings can open at one time. Zones that share a pipe both lose flow and pressure (common practice); "+
			"what is left has to suffice.",
	)
	g.print(&p.Sheet)
}

func (p *page) velocities() {
	if len(p.r.Pipes) == 0 {
		return
	}
	p.section("Velocity in the pipes")
	p.Note("", "Design rule against knocking, noise and wear: at most "+p.velocity.text(Fast)+".")
	long := "100 m"
	if p.system == quantity.US {
		long = "100 ft"
	}
	g := grid{align: "lrrrlrl", heads: [][]string{
		{"", "bore", "lost per " + long, "alone", "zone", "together", "zones"},
		{"", p.bore.symbol, p.pressure.symbol, p.velocity.symbol, "", p.velocity.symbol, ""}}}
	for _, x := range p.r.Pipes {
		together, in, mark := "", "", ""
		fastest := x.Alone
		if x.Both != nil && p.velocity.number(float64(max(*x.Both, x.Alone))) != p.velocity.number(float64(x.Alone)) {
			together, in = p.velocity.number(float64(*x.Both)), x.BothIn
			fastest = max(fastest, *x.Both)
		}
		if fastest > Fast {
			mark = "fast"
		}
		lost := ""
		if x.Per100 != nil {
			of := float64(*x.Per100)
			if p.system == quantity.US {
				of *= 0.3048
			}
			lost = p.pressure.number(of)
		}
		g.add(mark, x.Name, p.bore.number(float64(x.Bore)), lost, p.velocity.number(float64(x.Alone)), x.AloneIn,
			together, in)
	}
	g.print(&p.Sheet)
}

func (p *page) warnings() {
	p.section("Warnings")
	if len(p.r.Warnings) == 0 {
		p.Line("  none")
	}
	for _, w := range p.r.Warnings {
		for i, l := range console.Wrap(console.Clean(w.Text(p.system)), p.Width-4) {
			mark := "  "
			if i == 0 {
				mark = p.Mark(console.Orange, "! ")
			}
			p.Line("  " + mark + l)
		}
	}
}

func (p *page) cautions() {
	p.section("Cautions")
	p.Note(
		"  ",
		"These figures are computed from the site file: measure pressure and flow at the site before relying on them. "+
			"Keep the air gap over every tank and the backflow preventer that the use asks for. Local codes and licensed practice come first.",
	)
}

// list joins names: "a, b and c"; each name once.
func list(names []string) string {
	var once []string
	for _, n := range names {
		if !slices.Contains(once, n) {
			once = append(once, n)
		}
	}
	if len(once) < 2 {
		return strings.Join(once, "")
	}
	return strings.Join(once[:len(once)-1], ", ") + " and " + once[len(once)-1]
}
