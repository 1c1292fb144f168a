package language

import (
	"fmt"
	"slices"

	"ullage/harness"
	"ullage/harness/outcome"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
	"ullage/harness/spelling"
	"ullage/scenarios/internal/feature"
)

// patience is how long an act waits for the event that it is tied to before the run is given up.
const patience = signal.Day

// first is the first moment of a story. At the moment before it everything takes its starting state, which is no event:
// a valve that is shut at the beginning has not closed.
const first signal.Time = 1

// Compiler is a scenario on its way to a script.
type Compiler struct {
	language *Vocabulary
	Sites    func(name string) (*sitefile.Site, error)
	scenario feature.Scenario
	step     feature.Step
	Site     *sitefile.Site // its own copy, with the settings of the scenario; nil until a step has named it
	said     []string       // the steps that the script's settings of the site come from, in their order
	Script   *harness.Script
	problems feature.Problems

	stage    feature.Kind
	cursor   harness.Moment
	last     int         // the act that deadlines count from: the last fault or stimulus; 0: none yet
	deadline signal.Time // the latest of those that count from it
	tail     signal.Time // the longest of those that count from an event
	Settled  signal.Time // from here on the controller has booted and is connected
	timeless []int       // lines of outcomes that need time to pass
	spans    []span      // outcomes that let something last for a time
	broken   bool        // the story has problems: what it lacks of faults and time may be among them
}

// Problem notes what was read and what was expected in the present step.
func (c *Compiler) Problem(read, expected string) {
	c.problems = append(c.problems, feature.Problem{File: c.scenario.File, Line: c.step.Line, Read: read,
		Expected: expected, Scenario: c.scenario.Name})
}

// Fail notes what is wrong with the present step.
func (c *Compiler) Fail(format string, a ...any) {
	c.Problem("", fmt.Sprintf(format, a...))
}

// FailOfSite notes that the site of the scenario has mistakes.
func (c *Compiler) FailOfSite(format string, a ...any) {
	c.Fail(format, a...)
	c.problems[len(c.problems)-1].OfSite = true
}

// failScenario notes what is wrong with the scenario as a whole.
func (c *Compiler) failScenario(format string, a ...any) {
	c.step = feature.Step{Line: c.scenario.Line}
	c.Fail(format, a...)
}

// Set changes a value of the site for this scenario.
func (c *Compiler) Set(path, text string) {
	s := sitefile.Setting{Path: path, Text: text}
	if i := slices.IndexFunc(c.Script.Start, func(other sitefile.Setting) bool { return other.Path == path }); i >= 0 {
		c.Fail("%s has said already what that is when the run begins; expected one of the two",
			spelling.Quote(c.said[i]))
		return
	}
	c.Script.Start, c.said = append(c.Script.Start, s), append(c.said, c.step.Text)
	if c.Site == nil {
		return
	}
	if err := s.Apply(c.Site); err != nil {
		c.Fail("%v", err)
	}
}

// Need notes what the controller must be able to do.
func (c *Compiler) Need(abilities ...harness.Ability) {
	for _, a := range abilities {
		if !slices.Contains(c.Script.Needs, a) {
			c.Script.Needs = append(c.Script.Needs, a)
		}
	}
}

// Pass moves the cursor.
func (c *Compiler) Pass(t signal.Time) { c.cursor.Plus += t }

// Hold adds an outcome over all of the time since the Givens.
func (c *Compiler) Hold(p outcome.Property) {
	c.timeless = append(c.timeless, c.step.Line)
	c.add(outcome.Outcome{Property: p})
}

// HoldAtMost adds an outcome over all of the time since the Givens, which lets something last for a time at the most.
func (c *Compiler) HoldAtMost(most signal.Time, p outcome.Property) {
	c.spans = append(c.spans, span{line: c.step.Line, text: c.step.Text, most: most})
	c.Hold(p)
}

// HoldAtLeast adds an outcome over all of the time since the Givens, which asks that something lasts for a time at the
// least. One of no time would hold whatever happened.
func (c *Compiler) HoldAtLeast(least signal.Time, p outcome.Property) {
	c.CouldFail(least > 0, "nothing lasts less than no time")
	c.Hold(p)
}

// Meet adds an outcome with a deadline, which counts from each occurrence of its event, or from the first alone, or else
// from the last fault or stimulus.
func (c *Compiler) Meet(a Args, property func(from outcome.Event, within signal.Time) outcome.Property) {
	if a.by {
		c.meetBy(a, property)
		return
	}
	if a.Event != nil {
		c.tail = max(c.tail, a.within)
		p := property(*a.Event, a.within)
		if a.first {
			p = outcome.First(p)
		}
		c.Hold(p)
		return
	}
	if c.last == 0 && c.broken {
		return
	}
	if c.last == 0 {
		c.Fail("a deadline counts from a fault, a stimulus or an event, and there is none; name one: %q",
			"within <duration> of <event>")
		return
	}
	c.deadline = max(c.deadline, a.within)
	mark := outcome.Mark(c.Script.Acts[c.last-1].Mark)
	c.add(outcome.Outcome{From: mark, Property: property(mark, a.within)})
}

func (c *Compiler) add(o outcome.Outcome) {
	o.Text = c.step.Text
	c.Script.Outcomes = append(c.Script.Outcomes, o)
}
