package harness

import (
	"fmt"
	"slices"

	"ullage/harness/fault"
	"ullage/harness/outcome"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// Script is a scenario compiled: everything that will happen and everything that will be judged, known before anything
// moves. Gherkin is one way to write one.
type Script struct {
	Name     string // of the scenario
	Feature  string // title of the feature
	Rule     string // title of the rule, "" without one
	File     string // feature file
	Line     int    // of the scenario, or of its row of examples
	Tags     []string
	Site     string             // name of the site file
	Seed     uint64             // of all draws
	Start    []sitefile.Setting // starting state and settings that differ from the site file
	Acts     []Act              // in the order in which they were written
	Begins   Moment             // end of the Givens: outcomes are observed from here on
	End      Moment             // the run goes on at least until here
	Until    signal.Time        // other than 0: the run ends here, whatever has begun until then
	Outcomes []outcome.Outcome
	Needs    []Ability         // what the controller must be able to do
	Corners  []sitefile.Corner // of the site's tolerances, at which held outcomes are tried again
	Corner   *sitefile.Corner  // the one at which this run stands; nil: the site as it is drawn
	// the controller's outputs reach nothing: the twin of a scenario without faults and stimuli
	Mute bool
}

// Moment is a time after the beginning of an act; act 0 is the beginning of the run, act n the n-th of the script.
type Moment struct {
	Act  int
	Plus signal.Time
}

// Act is a fault or a stimulus: knobs that are turned from a moment on.
type Act struct {
	Text   string         // as it was written
	Mark   string         // the event "script.<mark>" is put when it begins
	When   Moment         // not before this
	On     *outcome.Event // and, if given, not before this has happened since When
	During bool           // the condition of On may hold already then, and need not turn true
	After  signal.Time    // and then this much later
	Within signal.Time    // how long to wait for On before giving up
	Fault  string         // id of the fault in the catalogue; "" for a stimulus
	Target string         // device that the fault or stimulus acts on
	Turns  []fault.Turn   // relative to the beginning of the act
	Given  bool           // a standing condition: it has been there all along
}

// At is the script at a corner of the tolerances of its site.
func (s *Script) At(corner sitefile.Corner) *Script {
	at := *s
	at.Corner, at.Corners = &corner, nil
	return &at
}

// Without is the script in which one act does nothing; it still puts its mark, and what waits for events that do not
// come without it does not begin. The run goes on to the given end.
func (s *Script) Without(act int, end signal.Time) *Script {
	twin := s.twin(end)
	twin.Acts = slices.Clone(s.Acts)
	twin.Acts[act].Turns = nil
	return twin
}

// Muted is the script in which the controller's outputs reach nothing, run to the given end.
func (s *Script) Muted(end signal.Time) *Script {
	twin := s.twin(end)
	twin.Mute = true
	return twin
}

func (s *Script) twin(end signal.Time) *Script {
	twin := *s
	twin.Outcomes, twin.Corners, twin.Until = nil, nil, end
	return &twin
}

// SiteOf is the site of the script with its starting state and settings, at its corner of the tolerances.
func (s *Script) SiteOf(sites Sites) (*sitefile.Site, error) {
	original, err := sites(s.Site)
	if err != nil {
		return nil, err
	}
	spec := original.Copy()
	for _, setting := range s.Start {
		if err := setting.Apply(spec); err != nil {
			return nil, fmt.Errorf("starting state: %w", err)
		}
	}
	if s.Corner != nil { // what is right as drawn is right at its corners: rules look at the whole of a tolerance
		spec = sitefile.AtCorner(spec, s.Corner.Signs...)
		spec.FillDefaults()
		return spec, nil
	}
	spec.FillDefaults()
	if err := spec.Check(); err != nil {
		return nil, fmt.Errorf("with the starting state of the scenario: %w", err)
	}
	return spec, nil
}
