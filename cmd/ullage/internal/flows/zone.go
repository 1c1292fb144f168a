package flows

import (
	"slices"
	"strings"
	"time"

	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// call is what one rule of the settings opens.
type call struct {
	rule    string
	zone    string // the output that it is there for
	outputs []string
	lasts   float64 // s: run time, cycle, longest run; 0 for a fill, which ends when the tank is full
	times   []span  // of the week in which it runs; nil when it may run at any time
}

// span is a part of the week, which may go on over its end.
type span struct{ from, until signal.Time }

const week = 7 * 24 * signal.Hour

// runsAt reports whether a span of the week holds a moment.
func (s span) runsAt(t signal.Time) bool {
	return t >= s.from && t < s.until || t+week >= s.from && t+week < s.until
}

// zone is one or more calls that open the same outputs.
type zone struct {
	name    string
	outputs []string
	calls   []call
}

// zones lists what the settings open: a fill first, then what the other rules water, in the order of the settings.
func zones(s *sitefile.Site) []zone {
	var list []zone
	for _, c := range calls(s) {
		at := slices.IndexFunc(list, func(z zone) bool { return same(z.outputs, c.outputs) })
		if at < 0 {
			at = len(list)
			list = append(list, zone{name: c.zone, outputs: c.outputs})
		}
		list[at].calls = append(list[at].calls, c)
	}
	for i := range list { // one output with different companions: the name has to say so
		for k := range list {
			if i != k && list[i].outputs[0] == list[k].outputs[0] {
				list[i].name = strings.Join(list[i].outputs, " with ")
				if len(list[i].outputs) == 1 {
					list[i].name += " by itself"
				}
				break
			}
		}
	}
	return list
}

// The rules that are told from the others: the fill ends when the tank is full, and a remote run lasts at most so long.
const (
	ruleFill   = "fill"
	ruleRemote = "remote"
)

// calls lists what each rule opens.
func calls(s *sitefile.Site) []call {
	var list []call
	add := func(rule, zone string, with []string, lasts float64, times []span) {
		list = append(list, call{rule: rule, zone: zone, outputs: append([]string{zone}, with...), lasts: lasts,
			times: times})
	}
	set := s.Controller.Settings
	if f := set.Fill; f != nil {
		add(ruleFill, f.Valve, f.With, 0, nil)
	}
	if m := set.Moisture; m != nil {
		add("moisture cycle", m.Zone, m.With, m.Cycle.SI, nil)
	}
	for _, p := range set.Programmes {
		add("programme", p.Zone, p.With, p.Run.SI, runs(p))
	}
	if r := set.Remote; r != nil {
		for _, z := range r.Zones {
			add(ruleRemote, z.Zone, z.With, r.LongestRun.SI, nil)
		}
	}
	return list
}

// runs lists when a programme runs. Times that cannot be read have been refused with the site file.
func runs(p sitefile.Programme) []span {
	days := []time.Weekday{0, 1, 2, 3, 4, 5, 6}
	if len(p.Days) > 0 {
		days = nil
		for _, text := range p.Days {
			if day, err := sitefile.Weekday(text); err == nil {
				days = append(days, day)
			}
		}
	}
	list := []span{}
	for _, day := range days {
		for _, start := range p.Starts {
			if at, err := sitefile.TimeOfDay(start); err == nil {
				from := signal.Time(day)*24*signal.Hour + at
				list = append(list, span{from, from + signal.FromSeconds(p.Run.SI)})
			}
		}
	}
	return list
}

// together reports whether zones can run at one time: each by a rule that may run at any time, or at a moment of the
// week at which programmes of all the others run. If there is such a moment, there is one at which one of them starts.
func together(zones []zone) bool {
	var timed []zone
	for _, z := range zones {
		if !slices.ContainsFunc(z.calls, func(c call) bool { return c.times == nil }) {
			timed = append(timed, z)
		}
	}
	if len(timed) == 0 {
		return true
	}
	for _, z := range timed {
		for _, s := range z.spans() {
			if !slices.ContainsFunc(timed, func(other zone) bool {
				return !slices.ContainsFunc(other.spans(), func(o span) bool { return o.runsAt(s.from) })
			}) {
				return true
			}
		}
	}
	return false
}

func (z zone) spans() []span {
	var list []span
	for _, c := range z.calls {
		list = append(list, c.times...)
	}
	return list
}

// mostSets is how many sets are computed at the most.
const mostSets = 64

// mostExamined bounds the search for sets, for settings that open the same outputs in very many ways.
const mostExamined = 100_000

// combinations lists the sets of zones that can be open together: each alone, then in pairs, and so on. Sets that open
// the same outputs as one before are not listed again. left is the first that is one too many; nil when there is none.
func combinations(all []zone) (list [][]zone, left []zone) {
	var opened [][]string
	examined := 0
	var choose func(chosen []zone, next, size int)
	choose = func(chosen []zone, next, size int) {
		if left != nil || len(chosen) > 1 && !together(chosen) {
			return
		}
		if examined++; examined > mostExamined {
			left = chosen
			return
		}
		if len(chosen) < size {
			for i := next; i < len(all); i++ {
				choose(append(slices.Clip(chosen), all[i]), i+1, size)
			}
			return
		}
		outputs := outputsOf(chosen)
		if slices.ContainsFunc(opened, func(o []string) bool { return same(o, outputs) }) {
			return
		}
		if len(list) == mostSets {
			left = chosen
			return
		}
		opened = append(opened, outputs)
		list = append(list, chosen)
	}
	for size := 1; size <= len(all) && left == nil; size++ {
		before := len(list)
		choose(nil, 0, size)
		if len(list) == before { // no set of this size, and so none of a greater one
			break
		}
	}
	return list, left
}

// outputsOf lists the outputs of zones, each once.
func outputsOf(zones []zone) []string {
	var list []string
	for _, z := range zones {
		for _, o := range z.outputs {
			if !slices.Contains(list, o) {
				list = append(list, o)
			}
		}
	}
	return list
}

// same reports whether two lists hold the same outputs in any order.
func same(a, b []string) bool {
	return len(a) == len(b) && !slices.ContainsFunc(a, func(o string) bool { return !slices.Contains(b, o) })
}

func nameOf(zones []zone) string {
	var names []string
	for _, z := range zones {
		names = append(names, z.name)
	}
	return strings.Join(names, " + ")
}
