package evidence

import (
	"cmp"
	"slices"

	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// How much a timing picture shows at the most.
const (
	mostPanels = 3
	mostCurves = 4 // in a panel
	mostLanes  = 10
)

// interest is how much a signal has to do with a scenario: what its outcomes look at comes before what its actions work
// on, and that before what gives context. 0 is not shown.
const (
	markedInterest   = 1000
	observedInterest = 500
	targetInterest   = 200
	relatedInterest  = 100
)

// explains is the interest in quantities that explain what happens at a site.
var explains = map[string]int{
	signal.Tank("").Level().Quantity:       60,
	signal.Valve("").Disc().Quantity:       50,
	signal.Contact("").Closed().Quantity:   45,
	signal.WiFi.Up().Quantity:              45,
	signal.Power.Charge().Quantity:         40,
	signal.Bed("").Moisture().Quantity:     30,
	signal.Output("").Command().Quantity:   30,
	signal.Pump("").Running().Quantity:     30,
	signal.Pump("").Dry().Quantity:         30,
	signal.Controller.LockedOut().Quantity: 25,
	signal.WiFi.Session().Quantity:         20,
	signal.Controller.Filling().Quantity:   20,
	signal.Part("").Flow().Quantity:        20,
	signal.Part("").Pressure().Quantity:    15,
}

// candidate is a signal that may be shown.
type candidate struct {
	id       signal.ID
	interest int
}

// choose picks the signals of a scene. Signals that stand still in the window are left out unless an outcome looks at
// them.
func (s *scene) choose(r *Record) {
	var curves, lanes []candidate
	rate := s.rater(r)
	for i, sig := range s.trace.Signals() {
		c := candidate{signal.ID(i), rate(signal.ID(i), sig)}
		switch {
		case c.interest == 0 || s.trace.View(c.id).Len() == 0:
		case c.interest < observedInterest && !s.moves(c.id):
		case isLane(sig):
			lanes = append(lanes, c)
		default:
			curves = append(curves, c)
		}
	}
	byInterest := func(a, b candidate) int { return cmp.Or(cmp.Compare(b.interest, a.interest), cmp.Compare(a.id, b.id)) }
	slices.SortFunc(curves, byInterest)
	slices.SortFunc(lanes, byInterest)
	for _, c := range curves {
		s.place(c.id)
	}
	for _, c := range lanes[:min(mostLanes, len(lanes))] {
		s.lanes = append(s.lanes, c.id)
	}
	slices.Sort(s.lanes)
	for i := range s.panels {
		slices.Sort(s.panels[i].curves)
	}
}

// place puts a curve into the panel of its dimension while there is room.
func (s *scene) place(id signal.ID) {
	dim := s.trace.Signals()[id].Dim
	for i := range s.panels {
		if p := &s.panels[i]; p.dim == dim {
			if len(p.curves) < mostCurves {
				p.curves = append(p.curves, id)
			}
			return
		}
	}
	if len(s.panels) < mostPanels {
		s.panels = append(s.panels, panel{dim, []signal.ID{id}})
	}
}

// rater says how interesting a signal is for a scenario.
func (s *scene) rater(r *Record) func(signal.ID, signal.Signal) int {
	observed, targets := map[string]bool{}, map[string]bool{}
	for _, o := range r.Outcomes {
		for _, name := range o.Signals {
			observed[name] = true
		}
	}
	for _, a := range r.Actions {
		targets[a.Target] = true
	}
	related := map[string]bool{}
	for _, sig := range s.trace.Signals() {
		related[sig.Device] = related[sig.Device] || observed[sig.Name()]
	}
	return func(id signal.ID, sig signal.Signal) int {
		rating := explains[sig.Quantity]
		switch {
		case sig.Device == string(signal.Script):
			return 0
		case s.mark != nil && s.mark.id == id:
			return markedInterest
		case observed[sig.Name()]:
			return observedInterest + rating
		case sig.Alike(signal.Bed("").Water()): // of a bed: its moisture says the same, and what it lost is small beside it
			return 0
		case sig.AtTerminal() || sig.Alike(signal.Output("").Coil()) || sig.Alike(signal.Controller.Received()):
			return 0
		case targets[sig.Device]:
			return targetInterest + rating
		case related[sig.Device]:
			return relatedInterest + rating
		case sig.Shape == signal.Event:
			return 25
		}
		return rating
	}
}

// isLane tells signals that are drawn as a lane from those drawn as a curve: states, events, and the disc of a valve,
// which is shut or open save for its stroke.
func isLane(sig signal.Signal) bool {
	return sig.Dim == quantity.State || sig.Shape == signal.Event || sig.Alike(signal.Valve("").Disc())
}

// moves reports whether a signal changes within the window.
func (s *scene) moves(id signal.ID) bool {
	v := s.trace.View(id)
	event := s.trace.Signals()[id].Shape == signal.Event
	for i := max(v.Search(s.from), 1); i < v.Len() && v.Time(i) <= s.to; i++ {
		if event || v.Value(i) != v.Value(i-1) {
			return true
		}
	}
	return event && v.Len() > 0 && v.Time(0) >= s.from && v.Time(0) <= s.to
}
