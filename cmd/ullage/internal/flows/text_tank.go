package flows

import (
	"fmt"

	"ullage/harness/console"
)

// tanks prints how each tank fills, and what becomes of it when its fill does not end.
func (p *page) tanks() {
	if len(p.r.Tanks) == 0 {
		return
	}
	p.section("Tanks")
	for _, t := range p.r.Tanks {
		p.Line(p.Mark(console.Bold, console.Clean(t.Name)))
		p.fill(t)
		p.overflow(t)
	}
}

func (p *page) fill(t Tank) {
	f := t.Fill
	if f == nil {
		p.Line("  no rule fills it")
		return
	}
	span := fmt.Sprintf("a fill from %s to %s", p.length.text(float64(f.From)), p.length.text(float64(f.To)))
	if f.Lasts == nil {
		p.Note("  ", fmt.Sprintf("%s: never full, the level comes to rest at %s", span,
			p.length.text(float64(*f.Stops))))
		return
	}
	inflow := p.flow.text(float64(f.Begin))
	if end := p.flow.text(float64(f.End)); end != inflow {
		inflow += " falling to " + end
	}
	p.Note("  ", fmt.Sprintf("%s: %s in %s at %s; longest run %s", span, p.amount(f.Volume), lasting(*f.Lasts), inflow,
		lasting(f.Longest)))
}

func (p *page) overflow(t Tank) {
	if len(t.Overflow) == 0 {
		p.Line("  nothing runs into it through an outlet of this site")
		return
	}
	mains := ""
	if len(p.r.Supplies) > 0 {
		mains = " at the highest supply pressure"
	}
	p.Note("  ", fmt.Sprintf("%s stuck open%s: %s runs in; full at %s, rim at %s", list(t.Through), mains,
		p.flow.text(float64(t.Inflow)), p.length.text(float64(t.From)), p.length.text(float64(t.Rim))))
	g := grid{align: "lrrrr", heads: [][]string{
		{"", "comes to rest", "room to the rim", "from full to the rim", "over the rim"},
		{"overflow", p.length.symbol, p.length.symbol, "", p.flow.symbol}}}
	for _, o := range t.Overflow {
		level, room, time, over := "", "", "never", ""
		if o.Level != nil {
			level, room = p.length.number(float64(*o.Level)), p.length.number(float64(*o.Room))
		}
		if o.Overruns != nil {
			time, over = lasting(*o.Overruns), p.flow.number(float64(o.OverRim))
		}
		none := len(t.Overflow) == 1
		mark, _ := o.complaint(t.Name, none)
		g.add(mark, openness(o.Open, none), level, room, time, over)
	}
	g.print(&p.Sheet)
}

func openness(share Share, none bool) string {
	switch {
	case none:
		return "there is none"
	case share == 1:
		return "clear"
	case share == 0:
		return "blocked"
	}
	return "half blocked"
}
