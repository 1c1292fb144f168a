package fault

import (
	"fmt"
	"maps"
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

// Entry is one fault of the catalogue, declared here and nowhere else: the sentences of scenarios, the listings, the
// trials of a sweep and the rows of a worksheet derive from it. Local and end effect are those of IEC 60812: at the
// device, and for the site and whoever depends on it, while nothing protects against it.
type Entry struct {
	ID          string      `json:"id"` // thing.failure
	Name        string      `json:"name"`
	DeviceKind  string      `json:"device_kind"` // of its targets
	Phrases     []Phrase    `json:"phrases"`
	Mechanism   string      `json:"mechanism"`
	Parameters  []Parameter `json:"parameters,omitempty"`
	Symptoms    []string    `json:"symptoms"` // as a customer would say them
	Check       string      `json:"check"`    // the distinguishing check among faults with the same symptoms
	Ask         string      `json:"ask"`      // a question to which yes speaks for this fault, answered without opening anything
	BaseRate    BaseRate    `json:"base_rate,omitempty"`
	LocalEffect string      `json:"local_effect"`
	EndEffect   string      `json:"end_effect"`
	Hazards     []Hazard    `json:"hazards"`
	// Awaits is what must be simulated before the fault can be injected: "packets". Until then it is listed: it can be
	// looked up, and a scenario with it is refused. "" for a fault that is simulated.
	Awaits string `json:"awaits,omitempty"`
	// Event is a fault that happens at a moment of the sequence and cannot have been there all along.
	Event bool `json:"event,omitempty"`
	// WithoutWindow is a fault of which no phrase says how long it lasts: it happens at a moment, its parameters say
	// how long, or it never ends.
	WithoutWindow bool   `json:"-"`
	Lasts         Window `json:"-"`
	Needs         Need   `json:"-"`
	// Opposite is a fault on another knob that cannot be a standing condition of a target beside this one.
	Opposite string `json:"opposite,omitempty"`
	course   course
}

// BaseRate is how usual a fault is among complaints, whatever they say; common practice, no source. "" is neither.
type BaseRate string

// The base rates that differ from the usual one.
const (
	Often  BaseRate = "often"
	Seldom BaseRate = "seldom"
)

// Parameter is one figure of a fault.
type Parameter struct {
	Name              string
	Dim               quantity.Dimension
	Default, Min, Max float64 // in the SI unit of Dim
	Worst             float64 // the figure, of those that occur, that does the most harm: what a sweep injects
	Source            string  // where default and range come from
	WorstSource       string  // where Worst comes from; "" for common practice
}

// Window is how long a fault lasts in an example and in a sweep; 0: to the end of the run.
type Window struct{ Typical, Worst signal.Time }

// course gives the turns of a fault from its parameters and the length of its window, signal.Never without an end.
type course func(value func(parameter string) float64, length signal.Time) []Turn

// Injection is one use of a fault: which fault, its target, its magnitude and its duration.
type Injection struct {
	Fault  string             // ID of the entry
	Target string             // device in the site file
	Params map[string]float64 // in SI; a parameter that is left out has its default
	For    signal.Time        // length of the window; 0 or signal.Never: to the end of the run
}

// Severity chooses the figures of an injection.
type Severity string

// The choices.
const (
	Typical Severity = "typical" // the defaults of the catalogue
	Worst   Severity = "worst"   // of each figure the one that does the most harm
)

// Injection is the fault of an entry on a target, with every figure as severe as is said.
func (e Entry) Injection(target string, s Severity) Injection {
	in := Injection{Fault: e.ID, Target: target, Params: map[string]float64{}, For: e.Lasts.Typical}
	if s == Worst {
		in.For = e.Lasts.Worst
	}
	for _, p := range e.Parameters {
		in.Params[p.Name] = p.Default
		if s == Worst {
			in.Params[p.Name] = p.Worst
		}
	}
	return in
}

// Catalogue lists every fault, by ID.
func Catalogue() []Entry { return slices.Clone(catalogue) }

var catalogue = slices.Concat(
	contactFaults,
	floatFaults,
	waterFaults,
	overflowFaults,
	mainsFaults,
	pumpFaults,
	valveFaults,
	diaphragmFaults,
	outputFaults,
	probeFaults,
	calibrationFaults,
	powerFaults,
	networkFaults,
	pipeworkFaults,
	meterFaults,
	regulatorFaults,
	backflowFaults,
	soilFaults,
	wireFaults,
	coilFaults,
	setupFaults,
	listedFaults,
)

// HasDegree reports whether a fault has a figure that may grow from nothing: one that is about how much, and not about
// how often or for how long.
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

// Check says what is wrong with an injection: which fault is unknown or not yet simulated, which parameter it does not
// have, what range a parameter is outside of.
func (in Injection) Check() error {
	e, ok := Find(in.Fault)
	switch {
	case !ok:
		return unknown(in.Fault)
	case e.Awaits != "":
		return e.Simulated()
	case in.For < 0:
		return fmt.Errorf("%s for %v; expected a window that is not negative", e.ID, in.For)
	}
	for name := range in.Params {
		if _, ok := e.parameter(name); !ok {
			return fmt.Errorf("%s has no parameter %q", e.ID, name)
		}
	}
	values := e.values(in)
	for _, p := range e.Parameters {
		if v := values[p.Name]; !(v >= p.Min && v <= p.Max) {
			return outOfRange(e.ID, p.Name, p.Dim, v, p.Min, p.Max)
		}
	}
	return nil
}

// NotSimulatedError is the refusal of a fault that is listed and not yet simulated.
type NotSimulatedError struct{ Fault, Awaits string }

func (e *NotSimulatedError) Error() string {
	return fmt.Sprintf("%s is listed, not yet simulated: it waits for the simulation of %s", e.Fault, e.Awaits)
}

// Simulated is nil for a fault that can be injected, else a *NotSimulatedError.
func (e Entry) Simulated() error {
	if e.Awaits == "" {
		return nil
	}
	return &NotSimulatedError{e.ID, e.Awaits}
}

func outOfRange(id, name string, dim quantity.Dimension, v, least, most float64) error {
	return fmt.Errorf("%s: the %s is %s; expected %s to %s", id, name,
		quantity.Format(v, dim), quantity.Format(least, dim), quantity.Format(most, dim))
}

// parameter finds a parameter of the entry.
func (e Entry) parameter(name string) (Parameter, bool) {
	i := slices.IndexFunc(e.Parameters, func(p Parameter) bool { return p.Name == name })
	if i < 0 {
		return Parameter{}, false
	}
	return e.Parameters[i], true
}

// values are the parameters of an injection, those that it leaves out with their defaults.
func (e Entry) values(in Injection) map[string]float64 {
	values := e.defaults(Phrase{})
	maps.Copy(values, in.Params)
	return values
}

// length is how long the window of an injection is, signal.Never without an end.
func (in Injection) length() signal.Time {
	if in.For == 0 {
		return signal.Never
	}
	return in.For
}

// Turns maps an injection to turns of its target's knobs. The errors are those of Check.
func Turns(in Injection) ([]Turn, error) {
	if err := in.Check(); err != nil {
		return nil, err
	}
	e, _ := Find(in.Fault)
	values := e.values(in)
	turns := e.course(func(name string) float64 { return values[name] }, in.length())
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

// strike turns one knob for a moment.
func strike(knob string, value float64) course {
	return func(_ func(string) float64, length signal.Time) []Turn {
		return []Turn{{Knob: knob, Value: value, Until: min(length, signal.Second)}}
	}
}

// during ends a course after the time that a parameter says.
func during(lasts string, c course) course {
	return func(p func(string) float64, length signal.Time) []Turn {
		return c(p, min(length, signal.FromSeconds(p(lasts))))
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
