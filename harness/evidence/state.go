package evidence

import (
	"fmt"
	"strings"

	"ullage/harness/outcome"
)

// State is the state of an outcome or a scenario; it reads and writes itself as its word.
type State struct{ outcome.State }

// states lists every state, the worst first. It is the order of harness.Result.Worst.
var states = []outcome.State{
	outcome.Broken,
	outcome.NotRun,
	outcome.NotValid,
	outcome.Failed,
	outcome.NotRecorded,
	outcome.NotExercised,
	outcome.Held,
}

// MarshalText writes the word of the state.
func (s State) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads the word of a state.
func (s *State) UnmarshalText(text []byte) error {
	var words []string
	for _, state := range states {
		if state.String() == string(text) {
			s.State = state
			return nil
		}
		words = append(words, state.String())
	}
	return fmt.Errorf("%q is no state; it is one of %s", text, strings.Join(words, ", "))
}

// rank orders states: 0 is the worst.
func (s State) rank() int {
	for i, state := range states {
		if state == s.State {
			return i
		}
	}
	return 0
}

// measured reports whether an outcome in this state has a margin. What was not exercised has none: nothing came near
// it.
func (s State) measured() bool {
	return s.State == outcome.Held || s.State == outcome.Failed || s.State == outcome.NotValid
}

// sign is a character that stands beside the word of a state.
func (s State) sign() string {
	switch s.State {
	case outcome.Held:
		return "✓"
	case outcome.Failed:
		return "✗"
	case outcome.NotRun:
		return "–"
	case outcome.NotExercised, outcome.NotRecorded:
		return "○"
	}
	return "!"
}

// Counts says how many are in each state.
type Counts struct {
	All            int `json:"all"`
	Held           int `json:"held"`
	Marginal       int `json:"marginal"` // of those that held: they fail at a limit of the tolerances
	Failed         int `json:"failed"`
	NotExercised   int `json:"not_exercised"`
	NotRecorded    int `json:"not_recorded"`
	NotRun         int `json:"not_run"`
	NotValid       int `json:"not_valid"`
	CouldNotBeMade int `json:"could_not_be_made"`
}

func (c *Counts) of(s State) *int {
	switch s.State {
	case outcome.Held:
		return &c.Held
	case outcome.Failed:
		return &c.Failed
	case outcome.NotExercised:
		return &c.NotExercised
	case outcome.NotRecorded:
		return &c.NotRecorded
	case outcome.NotRun:
		return &c.NotRun
	case outcome.NotValid:
		return &c.NotValid
	}
	return &c.CouldNotBeMade
}

func (c *Counts) add(s State) {
	c.All++
	*c.of(s)++
}

// String lists the counts that are not zero: "58 held, 2 failed".
func (c Counts) String() string {
	var parts []string
	for i := len(states) - 1; i >= 0; i-- {
		s := State{states[i]}
		if n := *c.of(s); n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, s))
			if s.State == outcome.Held && c.Marginal > 0 {
				parts[len(parts)-1] += fmt.Sprintf(" (%d marginal)", c.Marginal)
			}
		}
	}
	if parts == nil {
		return "none"
	}
	return strings.Join(parts, ", ")
}
