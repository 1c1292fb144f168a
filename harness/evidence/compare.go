package evidence

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"ullage/harness/console"
	"ullage/harness/outcome"
	"ullage/harness/quantity"
	"ullage/harness/spelling"
)

// unchanged is the share of a margin up to which a difference is that of rounding, and of a step begun elsewhere, and
// not of a controller.
const unchanged = 1e-6

// Compare prints two runs' margins side by side, what got worse first, and says whether anything did: a state nearer to
// could not be made, a smaller margin, an outcome that is no longer there. Outcomes are matched by feature, rule,
// scenario and text, not by line, so that a feature file may have grown. A margin counts as changed from a part in a
// million on. The width is that of Table.
func Compare(w io.Writer, old, new *Summary, width int, colour bool) (worse bool, err error) {
	t := &comparison{sheet: sheet{console.NewSheet(width, colour)}}
	pairs := match(old, new)
	sections := []struct {
		title string
		bad   bool
		has   func(pair) bool
	}{
		{"State got worse", true, func(p pair) bool { return p.both() && p.new.State.rank() < p.old.State.rank() }},
		{"No longer there", true, func(p pair) bool { return p.new == nil }},
		{"Smaller margin", true, func(p pair) bool { return p.sameState() && p.change() < 0 }},
		{"State got better", false, func(p pair) bool { return p.both() && p.new.State.rank() > p.old.State.rank() }},
		{"New", false, func(p pair) bool { return p.old == nil }},
		{"Larger margin", false, func(p pair) bool { return p.sameState() && p.change() > 0 }},
		{"Not comparable", false, func(p pair) bool { return p.sameState() && math.IsNaN(p.change()) }},
	}
	same := len(pairs)
	for _, section := range sections {
		var list []pair
		for _, p := range pairs {
			if section.has(p) {
				list = append(list, p)
			}
		}
		if list == nil {
			continue
		}
		worse = worse || section.bad
		same -= len(list)
		slices.SortStableFunc(
			list,
			func(a, b pair) int { return cmp.Compare(-math.Abs(a.change()), -math.Abs(b.change())) },
		)
		t.section(section.title, list)
	}
	t.Line(fmt.Sprintf("%s the same.", spelling.Count(same, "outcome")))
	t.incomplete("old", old)
	t.incomplete("new", new)
	return worse, t.Print(w)
}

// pair is one outcome in two runs; one of them may lack it.
type pair struct {
	record   *Record // of the newer run that has it
	old, new *Outcome
}

func (p pair) both() bool { return p.old != nil && p.new != nil }

func (p pair) sameState() bool { return p.both() && p.old.State == p.new.State }

func (p pair) text() string {
	if p.new != nil {
		return p.new.Text
	}
	return p.old.Text
}

// change says by how much the margin has grown, as a share of the allowance where both runs have one, else of the old
// margin. Not a number: the two cannot be compared.
func (p pair) change() float64 {
	if !p.sameState() || p.old.Margin == nil && p.new.Margin == nil {
		return 0
	}
	if p.old.Margin == nil || p.new.Margin == nil || p.old.Dimension != p.new.Dimension {
		return math.NaN()
	}
	a, b := *p.old.Margin, *p.new.Margin
	switch {
	case a == b:
		return 0
	case math.Abs(a-b) <= unchanged*math.Max(math.Abs(a), math.Abs(b)):
		return 0
	case p.old.Share != nil && p.new.Share != nil && *p.new.Share != *p.old.Share:
		if d := *p.new.Share - *p.old.Share; cmpSign(b, a) == cmpSign(d, 0) {
			return d
		}
	}
	if a == 0 {
		return cmpSign(b, a) * math.Inf(1)
	}
	return (b - a) / math.Abs(a)
}

func cmpSign(a, b float64) float64 { return float64(cmp.Compare(a, b)) }

// match pairs the outcomes of two runs, in the order of the new one; those only in the old one come last.
func match(old, new *Summary) []pair {
	var pairs []pair
	index := map[string]int{}
	each(new, func(key string, r *Record, o *Outcome) {
		index[key] = len(pairs)
		pairs = append(pairs, pair{record: r, new: o})
	})
	each(old, func(key string, r *Record, o *Outcome) {
		if i, ok := index[key]; ok {
			pairs[i].old = o
			return
		}
		pairs = append(pairs, pair{record: r, old: o})
	})
	return pairs
}

// each calls with every outcome and a key for it that other runs of the same suite share.
func each(s *Summary, call func(key string, r *Record, o *Outcome)) {
	seen := map[string]int{}
	numbered := func(parts ...string) string {
		key := strings.Join(parts, "\x00")
		seen[key]++
		return fmt.Sprintf("%s\x00%d", key, seen[key])
	}
	for i := range s.Scenarios {
		r := &s.Scenarios[i]
		scenario := numbered(r.Feature, r.Rule, r.Name)
		for j := range r.Outcomes {
			call(numbered(scenario, r.Outcomes[j].Text), r, &r.Outcomes[j])
		}
	}
}

// comparison is the printed comparison.
type comparison struct{ sheet }

// incomplete says that a run is incomplete, and why.
func (t *comparison) incomplete(which string, s *Summary) {
	switch {
	case s.Complete:
	case s.Holder != "":
		t.Note("", fmt.Sprintf("The %s run is incomplete: its folder is in use by %s", which, s.Holder))
	default:
		t.Line(fmt.Sprintf("The %s run is incomplete: it was broken off.", which))
	}
}

func (t *comparison) section(title string, list []pair) {
	text, before, after, share := console.Width(
		"outcome",
	), console.Width(
		"old",
	), console.Width(
		"new",
	), console.Width(
		"share",
	)
	for _, p := range list {
		text = max(text, console.Width(console.Clean(p.text())))
		before, after = max(before, console.Width(beside(p.old))), max(after, console.Width(beside(p.new)))
		share = max(share, console.Width(p.changed()))
	}
	text = min(text, max(20, t.Width-(before+after+share+8)))
	t.Line(t.Mark(console.Bold, title))
	t.Line(
		t.Mark(
			console.Dim,
			"  "+console.PadRight(
				"outcome",
				text,
			)+"  "+console.PadLeft(
				"old",
				before,
			)+"  "+console.PadLeft(
				"new",
				after,
			)+"  "+console.PadLeft(
				"share",
				share,
			),
		),
	)
	var last *Record
	for _, p := range list {
		if p.record != last {
			t.Note("  ", p.record.place()+"  "+p.record.Name)
			last = p.record
		}
		lines := console.Fold(console.Clean(p.text()), text-2)
		t.Line(
			"    " + console.PadRight(
				lines[0],
				text-2,
			) + "  " + console.PadLeft(
				beside(p.old),
				before,
			) + "  " + console.PadLeft(
				beside(p.new),
				after,
			) + "  " + console.PadLeft(
				p.changed(),
				share,
			),
		)
		for _, l := range lines[1:] {
			t.Line("    " + l)
		}
		if p.new != nil && p.new.Why != "" {
			t.Note("      ", p.new.Why)
		}
	}
	t.Line("")
}

// beside is one run's column: the margin, and the state where it is not held.
func beside(o *Outcome) string {
	switch {
	case o == nil:
		return "–"
	case o.State.State == outcome.Held:
		return o.MarginText
	case o.MarginText == "":
		return o.State.String()
	}
	return o.State.String() + ", " + o.MarginText
}

// changed is the change of the share in points.
func (p pair) changed() string {
	if !p.both() || p.old.Share == nil || p.new.Share == nil {
		return ""
	}
	d := *p.new.Share - *p.old.Share
	if d > 0 {
		return "+" + quantity.Percent(d)
	}
	return quantity.Percent(d)
}
