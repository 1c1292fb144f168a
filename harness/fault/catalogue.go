package fault

import (
	"fmt"
	"slices"

	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// Hazard is what a fault can lead to.
type Hazard string

// The hazards.
const (
	Flood         Hazard = "flood"
	DryOut        Hazard = "dry-out"
	DryRunning    Hazard = "dry running"
	Surge         Hazard = "surge"
	Overheating   Hazard = "overheating"
	Backflow      Hazard = "backflow"
	SilentFailure Hazard = "silent failure"
	AlarmFlood    Hazard = "alarm flood"
	WaterWasted   Hazard = "water wasted"
)

// Hazards lists every hazard.
func Hazards() []Hazard {
	return []Hazard{Flood, DryOut, DryRunning, Surge, Overheating, Backflow, SilentFailure, AlarmFlood, WaterWasted}
}

// Entry is one fault of the catalogue. Local and end effect are those of IEC 60812: at the device, and for the site and
// whoever depends on it, while nothing protects against it.
type Entry struct {
	ID          string      `json:"id"` // thing.failure
	Name        string      `json:"name"`
	Mechanism   string      `json:"mechanism"`
	Kind        string      `json:"befalls"` // of the device that it befalls
	Parameters  []Parameter `json:"parameters,omitempty"`
	Symptoms    []string    `json:"symptoms"` // as a customer would say them
	Check       string      `json:"check"`    // what tells it from other faults with the same symptoms
	LocalEffect string      `json:"local-effect"`
	EndEffect   string      `json:"end-effect"`
	Hazards     []Hazard    `json:"hazards"`
	Example     string      `json:"example"` // a step that makes it happen on a shipped site
	// Awaits is what must be simulated before the fault can act: "packets". Until then it is declared: it can be looked up,
	// and a scenario with it is refused. "" for a fault that acts.
	Awaits string `json:"awaits,omitempty"`
	course course
}

// Parameter is one figure of a fault.
type Parameter struct {
	Name              string
	Dim               quantity.Dimension
	Default, Min, Max float64 // in the SI unit of Dim
	Source            string  // where default and range come from
}

// course gives the turns of a fault from its parameters and the length of its window, signal.Never without an end.
type course func(value func(parameter string) float64, length signal.Time) []Turn

// Injection is one use of a fault: what befalls which device, how badly, and for how long.
type Injection struct {
	Fault  string             // ID of the entry
	Target string             // device in the site file
	Params map[string]float64 // in SI; a parameter that is left out has its default
	For    signal.Time        // length of the window; 0 or signal.Never: to the end of the run
}

// Catalogue lists every fault, by ID.
func Catalogue() []Entry { return slices.Clone(catalogue) }

var catalogue = slices.Concat(contactFaults, floatFaults, waterFaults, mainsFaults, pumpFaults, valveFaults, diaphragmFaults, outputFaults, probeFaults,
	calibrationFaults, powerFaults, networkFaults, pipeworkFaults, backflowFaults, soilFaults, wireFaults, coilFaults)

// HasDegree tells whether a fault has a figure that may grow from nothing: one that is about how much, and not about how
// often or for how long.
func (e Entry) HasDegree() bool {
	return len(e.Parameters) > 0 && !slices.ContainsFunc(e.Parameters, func(p Parameter) bool {
		return p.Dim == quantity.Count || p.Dim == quantity.Duration
	})
}

// Find returns the entry with an ID.
func Find(id string) (Entry, bool) {
	i := slices.IndexFunc(catalogue, func(e Entry) bool { return e.ID == id })
	if i < 0 {
		return Entry{}, false
	}
	return catalogue[i], true
}

// Turns maps an injection to turns of its target's knobs. Errors say which fault is unknown, which parameter it does not
// have, or what range a parameter is outside of.
func Turns(in Injection) ([]Turn, error) {
	entry, ok := Find(in.Fault)
	if !ok {
		return nil, fmt.Errorf("there is no fault %q in the catalogue", in.Fault)
	}
	if entry.Awaits != "" {
		return nil, fmt.Errorf("%s is declared and cannot act yet: it acts once %s are simulated", entry.ID, entry.Awaits)
	}
	if in.For < 0 {
		return nil, fmt.Errorf("%s for %v; expected a window that is not negative", entry.ID, in.For)
	}
	for name := range in.Params {
		if !slices.ContainsFunc(entry.Parameters, func(p Parameter) bool { return p.Name == name }) {
			return nil, fmt.Errorf("%s has no parameter %q", entry.ID, name)
		}
	}
	values := map[string]float64{}
	for _, p := range entry.Parameters {
		v, given := in.Params[p.Name]
		if !given {
			v = p.Default
		}
		if !(v >= p.Min && v <= p.Max) {
			return nil, fmt.Errorf("%s: the %s is %s; expected %s to %s", entry.ID, p.Name,
				quantity.Format(v, p.Dim), quantity.Format(p.Min, p.Dim), quantity.Format(p.Max, p.Dim))
		}
		values[p.Name] = v
	}
	length := in.For
	if length == 0 {
		length = signal.Never
	}
	turns := entry.course(func(name string) float64 { return values[name] }, length)
	for i := range turns {
		turns[i].Device = in.Target
	}
	return turns, nil
}

// hold turns one knob for the whole window.
func hold(knob string, value func(func(string) float64) float64) course {
	return func(p func(string) float64, length signal.Time) []Turn {
		return []Turn{{Knob: knob, Value: value(p), Until: length}}
	}
}

// always is a value that does not depend on parameters.
func always(v float64) func(func(string) float64) float64 {
	return func(func(string) float64) float64 { return v }
}

// parameter is the value of a parameter as it is.
func parameter(name string) func(func(string) float64) float64 {
	return func(p func(string) float64) float64 { return p(name) }
}

// together joins courses.
func together(courses ...course) course {
	return func(p func(string) float64, length signal.Time) []Turn {
		var turns []Turn
		for _, c := range courses {
			turns = append(turns, c(p, length)...)
		}
		return turns
	}
}

const practice = "common practice, no source"
