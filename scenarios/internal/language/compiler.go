package language

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/outcome"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
	"ullage/harness/spelling"
	"ullage/scenarios/internal/feature"
)

// patience is how long an act waits for the event that it is tied to before the run is given up.
const patience = signal.Day

// first is the first moment of a story. At the moment before it everything takes its starting state, which is no event: a
// valve that is shut at the beginning has not closed.
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
	broken   bool        // the story has problems: what it lacks of faults and time may be among them
}

// Compile makes a script of a scenario in a language, or says everything that is wrong with it.
func Compile(language *Vocabulary, sc feature.Scenario, sites func(name string) (*sitefile.Site, error), seed uint64) (*harness.Script, feature.Problems) {
	c := &Compiler{language: language, Sites: sites, scenario: sc, Script: sc.Script(seed), stage: feature.Given}
	c.cursor.Plus = first
	c.tags()
	for _, step := range sc.Steps {
		c.step = step
		c.take(step)
	}
	c.finish()
	slices.SortStableFunc(c.problems, func(a, b feature.Problem) int { return a.Line - b.Line })
	return c.Script, c.problems
}

// Problem notes what was read and what was expected in the present step.
func (c *Compiler) Problem(read, expected string) {
	c.problems = append(c.problems, feature.Problem{File: c.scenario.File, Line: c.step.Line, Read: read, Expected: expected, Scenario: c.scenario.Name})
}

// Fail notes what is wrong with the present step.
func (c *Compiler) Fail(format string, a ...any) {
	c.Problem("", fmt.Sprintf(format, a...))
}

// failScenario notes what is wrong with the scenario as a whole.
func (c *Compiler) failScenario(format string, a ...any) {
	c.step = feature.Step{Line: c.scenario.Line}
	c.Fail(format, a...)
}

// take finds the phrase of a step and lets it add to the script.
func (c *Compiler) take(step feature.Step) {
	if step.Kind != feature.Then {
		before := len(c.problems)
		defer func() { c.broken = c.broken || len(c.problems) > before }()
	}
	switch {
	case step.Kind == 0:
		c.Problem(spelling.Quote(step.Text), "a step that begins with Given, When, Then, And or But")
		return
	case step.Kind < c.stage:
		c.Fail("a %v after a %v; expected the Givens first, then what happens, then what must hold", step.Kind, c.stage)
		return
	}
	if step.Argument {
		c.Fail("no phrase takes a table or a text below it")
	}
	if c.stage == feature.Given && step.Kind > feature.Given {
		c.Script.Begins = c.cursor
	}
	c.stage = step.Kind
	found := c.match(step)
	if found == nil {
		return
	}
	if c.Site == nil && !strings.HasPrefix(found.Pattern, "the site ") {
		if c.Script.Site == "" {
			c.Fail("the first step must name the site: Given the site \"<site>\"")
			c.Script.Site = "?"
		}
	}
	before := len(c.problems)
	if a, _ := found.Made.read(c, step.Text); len(c.problems) == before {
		found.Compile(c, a)
	}
}

// mostHints is how many problems of a scenario come with the nearest phrase, which takes long to find.
const mostHints = 100

// match is the one phrase of a step, or nil after saying why there is none.
func (c *Compiler) match(step feature.Step) *Phrase {
	var found []*Phrase
	var other *Phrase
	for i := range c.language.Phrases {
		p := &c.language.Phrases[i]
		if !p.Made.Expr.MatchString(step.Text) {
			continue
		}
		if p.Kind&step.Kind == 0 {
			other = p
			continue
		}
		found = append(found, p)
	}
	switch {
	case len(found) == 1:
		return found[0]
	case len(found) > 1:
		c.Fail("%s can be read as %q and as %q", spelling.Quote(step.Text), found[0].Text(), found[1].Text())
	case other != nil:
		c.Fail("%s is for %v, not for %v", spelling.Quote(step.Text), other.Kind, step.Kind)
	default:
		for _, f := range c.language.Former {
			if now, is := f.present(step.Text); is && f.Kind&step.Kind != 0 {
				c.Fail("%s: this is now written: %s", spelling.Quote(step.Text), now)
				return nil
			}
		}
		if len(c.problems) >= mostHints {
			c.Problem(spelling.Quote(step.Text), "one of the phrases for "+step.Kind.String())
			return nil
		}
		c.Problem(spelling.Quote(step.Text), "one of the phrases for "+step.Kind.String()+"; the nearest is: "+c.nearestPhrase(step)+slip(step.Text))
	}
	return nil
}

func (c *Compiler) nearestPhrase(step feature.Step) string {
	var known []*pattern
	for _, p := range c.language.Phrases {
		if p.Kind&step.Kind != 0 {
			known = append(known, p.Made)
		}
	}
	return nearest(step.Text, known).Shows
}

// Set changes a value of the site for this scenario.
func (c *Compiler) Set(path, text string) {
	s := sitefile.Setting{Path: path, Text: text}
	if i := slices.IndexFunc(c.Script.Start, func(other sitefile.Setting) bool { return other.Path == path }); i >= 0 {
		c.Fail("%s has said already what that is when the run begins; expected one of the two", spelling.Quote(c.said[i]))
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

// Happen makes a fault or stimulus happen at the cursor, or after its event, and moves the cursor there. What is not tied
// to an event comes at a moment at which the controller has booted and is connected.
func (c *Compiler) Happen(act harness.Act, a Args) {
	if act.Fault == "" {
		act.Turns = c.mannered(act.Turns, nil, a)
	}
	act.When = c.cursor
	if a.Event != nil {
		act.On, act.After, act.Within = a.Event, a.After, patience
	} else if c.cursor.Act == 0 {
		act.When.Plus = max(act.When.Plus, c.Settled)
	}
	c.append(act)
	c.last = len(c.Script.Acts)
	c.cursor = harness.Moment{Act: c.last}
}

// append adds an act with a mark of its own.
func (c *Compiler) append(act harness.Act) {
	act.Text = c.step.Text
	mark := act.Mark
	for n := 2; slices.ContainsFunc(c.Script.Acts, func(a harness.Act) bool { return a.Mark == act.Mark }); n++ {
		act.Mark = fmt.Sprintf("%s %d", mark, n)
	}
	c.Script.Acts = append(c.Script.Acts, act)
}

// Turn is one window on one knob of a stimulus.
func Turn(device, knob string, value float64, length signal.Time) []fault.Turn {
	return []fault.Turn{{Device: device, Knob: knob, Value: value, Until: length}}
}

// Hold adds an outcome over all of the time since the Givens.
func (c *Compiler) Hold(p outcome.Property) {
	c.timeless = append(c.timeless, c.step.Line)
	c.add(outcome.Outcome{Property: p})
}

// Meet adds an outcome with a deadline, which counts from its event, or else from the last fault or stimulus.
func (c *Compiler) Meet(a Args, property func(from outcome.Event, within signal.Time) outcome.Property) {
	if a.Event != nil {
		c.tail = max(c.tail, a.within)
		c.Hold(property(*a.Event, a.within))
		return
	}
	if c.last == 0 && c.broken {
		return
	}
	if c.last == 0 {
		c.Fail("a deadline counts from a fault, a stimulus or an event, and there is none; name one: %q", "within <duration> of <event>")
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

// finish sets the end of the run and looks at the scenario as a whole.
func (c *Compiler) finish() {
	c.faultTags()
	if c.stage == feature.Given {
		c.Script.Begins = c.cursor
	}
	c.checkSite()
	if c.stage != feature.Then {
		c.failScenario("the scenario has no Then: nothing would be judged")
	}
	begins, end := c.Script.Begins, c.cursor
	end.Plus = max(end.Plus, c.deadline)
	if !c.broken && (end.Plus == 0 || end.Act == begins.Act && end.Plus <= begins.Plus) {
		for _, line := range c.timeless {
			c.step.Line = line
			c.Fail("an outcome over no time: nothing lets time pass after the last thing that happens; expected a step such as: When 1 hour passes")
		}
	}
	end.Plus = max(end.Plus, c.cursor.Plus+c.tail)
	c.Script.End = end
	if c.Site != nil {
		c.Script.Corners = c.Site.Corners()
	}
}

// checkSite looks for what the settings of the scenario have made of the site.
func (c *Compiler) checkSite() {
	if c.Site == nil || len(c.problems) > 0 || len(c.Script.Start) == 0 {
		return
	}
	var mistakes *sitefile.Mistakes
	if err := c.Site.Check(); errors.As(err, &mistakes) {
		for _, m := range *mistakes {
			c.failScenario("with the settings of this scenario: %v", m)
		}
	}
}
