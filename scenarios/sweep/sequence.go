package sweep

import (
	"fmt"
	"math"
	"slices"
	"time"

	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// The moments at which a fault is let happen.
const (
	Idle      = "idle"
	Opening   = "opening"
	MidRun    = "mid-run"
	Closing   = "closing"
	JustAfter = "just after"
	Booting   = "booting"
	Standing  = "all along" // before the sequence began, and to its end
)

// Moments lists the moments in the order of a sequence.
func Moments() []string {
	return []string{Standing, Idle, Opening, MidRun, Closing, JustAfter, Booting}
}

// sequence brings the site near the moments that it is for.
type sequence struct {
	name    string
	output  string   // the valve or pump whose run it is; "" for none
	givens  []string // after the one that names the site
	whens   []string // before the fault
	moments []moment
	passes  float64  // s that pass after the fault
	thens   []string // standing outcomes
	asks    []string // those of them that count from an event which a good day does not have
	tail    float64  // s that these add to the run
	// s that a run may take longer for having been cut: a latching valve stays open while the power is away
	cut   float64
	asked bool // somebody starts the run, and sees what becomes of it
}

// moment is one moment of a sequence.
type moment struct {
	name string
	when string // words before the fault, with their comma; "" for at once
}

// sequences are an idle site, a start of the controller with work waiting, and each run that the site knows.
func sequences(spec *sitefile.Site, passes float64) []sequence {
	list := []sequence{{name: "idle", moments: []moment{{name: Idle}}},
		{name: "power back", whens: []string{"the power goes off for 10 s"},
			moments: []moment{{Booting, "as the power returns, "}}, cut: 60}}
	s := spec.Controller.Settings
	if s.Fill != nil {
		list = append(list, fillSequence(spec, s.Fill))
		list[1].givens = list[len(list)-1].givens
	}
	if s.Moisture != nil {
		list = append(list, moistureSequence(spec, s.Moisture))
	}
	for _, p := range s.Programmes {
		if !slices.ContainsFunc(list, func(o sequence) bool { return o.name == p.Zone+" by programme" }) {
			list = append(list, programmeSequence(p))
		}
	}
	if s.Remote != nil {
		for _, z := range s.Remote.Zones {
			list = append(list, remoteSequence(z.Zone, s.Remote))
		}
	}
	for i := range list {
		list[i].passes = passes
	}
	return list
}

// below is how far under the level at which a contact operates a sequence begins, m, besides the tolerance of that
// level.
const below = 10e-3

// fillSequence begins just under the low contact.
func fillSequence(spec *sitefile.Site, fill *sitefile.Fill) sequence {
	st := sequence{name: "fill", output: fill.Valve}
	for _, c := range spec.Contacts {
		if c.Name == fill.Low {
			level := math.Max(c.Operates.Low()-below, c.Operates.SI/2)
			st.givens = []string{fmt.Sprintf("the level in %q is %s", c.In, millimetres(level))}
		}
	}
	return st
}

func millimetres(m float64) string { return fmt.Sprintf("%g mm", math.Floor(m*1e3)) }

// moistureSequence begins with a bed half as wet as the rule wants it, on the scale of its probe.
func moistureSequence(spec *sitefile.Site, rule *sitefile.Moisture) sequence {
	st := sequence{name: rule.Zone + " by its probe", output: rule.Zone}
	for _, p := range spec.Probes {
		if p.Name != rule.Probe {
			continue
		}
		for _, b := range spec.Beds {
			if b.Name == p.In {
				water := p.Dry.Moisture.SI + float64(rule.StartsBelow.SI/2*(p.Wet.Moisture.SI-p.Dry.Moisture.SI))
				water = math.Max(water, b.Ground().Residual.SI+0.02)
				st.givens = []string{fmt.Sprintf("the soil of %q holds %g %% water", b.Name, math.Round(water*1000)/10)}
			}
		}
	}
	return st
}

// programmeSequence begins a minute before the first start.
func programmeSequence(p sitefile.Programme) sequence {
	st := sequence{name: p.Zone + " by programme", output: p.Zone}
	day := time.Monday
	if len(p.Days) > 0 {
		day, _ = sitefile.Weekday(p.Days[0])
	}
	at, _ := sitefile.TimeOfDay(p.Starts[0])
	if at -= signal.Minute; at < 0 {
		at += signal.Day
		day = (day + 6) % 7
	}
	st.givens = []string{fmt.Sprintf("it is %v %02d:%02d", day, at/signal.Hour, at%signal.Hour/signal.Minute)}
	return st
}

// remoteRun is how long somebody asks for, s.
const remoteRun = 300.0

func remoteSequence(zone string, remote *sitefile.Remote) sequence {
	run := math.Min(remoteRun, remote.LongestRun.SI)
	return sequence{name: zone + " by remote start", output: zone, asked: true,
		whens: []string{fmt.Sprintf("%q is started remotely for %s", zone, seconds(run))}}
}

// seconds is a duration in words, to the second.
func seconds(s float64) string { return quantity.Format(math.Round(s), quantity.Duration) }

// run is when the output of a sequence was on in a run without faults, s after its beginning.
type run struct{ begins, ends float64 }

// tie makes the moments of the run of a sequence. after is for what the words "into the run" count from.
func (st *sequence) tie(spec *sitefile.Site, r run) {
	valve := slices.IndexFunc(spec.Valves, func(v sitefile.Valve) bool { return v.Name == st.output })
	opening, closing, closed := fmt.Sprintf("as the pump %q starts, ", st.output), fmt.Sprintf("as the pump %q stops, ",
		st.output), "the pump %q stops"
	into := fmt.Sprintf("after the pump %q starts, ", st.output)
	length := r.ends - r.begins
	if valve >= 0 {
		opening, closing, closed = fmt.Sprintf("as the valve %q begins to open, ",
			st.output), fmt.Sprintf("as the valve %q begins to close, ", st.output), "the valve %q closes"
		into = fmt.Sprintf("after the valve %q opens, ", st.output)
		if v := spec.Valves[valve]; v.Drive != sitefile.SpringReturn { // its coil or motor is off between the strokes
			opening = fmt.Sprintf("as the valve %q opens, ", st.output)
			closing = seconds(math.Max(1, math.Floor(length-v.Closes.SI))) + " " + into
		}
	}
	st.moments = []moment{{Opening, opening}, {MidRun, seconds(math.Max(1, length/2)) + " " + into}}
	if math.IsInf(r.ends, 1) {
		st.moments = st.moments[:1]
		return
	}
	st.moments = append(st.moments, moment{Closing, closing},
		moment{JustAfter, "5 s after " + fmt.Sprintf(closed, st.output) + ", "})
}

// horizon is how long a site is watched after a fault, s: until every rule has given up that would, at least two hours
// and at most six.
func horizon(s sitefile.Settings) float64 {
	longest := 7200.0
	if f := s.Fill; f != nil {
		longest = math.Max(longest, float64(float64(f.Attempts)*(f.LongestRun.SI+f.Pause.SI)))
	}
	if m := s.Moisture; m != nil {
		longest = math.Max(longest, float64(float64(m.Attempts)*(m.Cycle.SI+m.Soak.SI)))
	}
	return math.Min(math.Ceil(longest/1800)*1800, 6*3600)
}
