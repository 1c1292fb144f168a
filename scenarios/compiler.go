package scenarios

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
)

// patience is how long an act waits for the event that it is tied to before the run is given up.
const patience = signal.Day

// first is the first moment of a story. At the moment before it everything takes its starting state, which is no event: a
// valve that is shut at the beginning has not closed.
const first signal.Time = 1

// compiler is a scenario on its way to a script.
type compiler struct {
	language *vocabulary
	sites    func(name string) (*sitefile.Site, error)
	scenario Scenario
	step     Step
	site     *sitefile.Site // its own copy, with the settings of the scenario; nil until a step has named it
	said     []string       // the steps that the script's settings of the site come from, in their order
	script   *harness.Script
	problems Problems

	stage    Kind
	cursor   harness.Moment
	last     int         // the act that deadlines count from: the last fault or stimulus; 0: none yet
	deadline signal.Time // the latest of those that count from it
	tail     signal.Time // the longest of those that count from an event
	settled  signal.Time // from here on the controller has booted and is connected
	timeless []int       // lines of outcomes that need time to pass
	broken   bool        // the story has problems: what it lacks of faults and time may be among them
}

// Compile makes a script of a scenario, or says everything that is wrong with it. sites finds a site, which is
// not changed. The seed of the script comes from the given seed, the feature file and the scenario's name.
func Compile(sc Scenario, sites func(name string) (*sitefile.Site, error), seed uint64) (*harness.Script, Problems) {
	c := &compiler{language: language(), sites: sites, scenario: sc, script: sc.script(seed), stage: Given}
	c.cursor.Plus = first
	c.tags()
	for _, step := range sc.Steps {
		c.step = step
		c.take(step)
	}
	c.finish()
	slices.SortStableFunc(c.problems, func(a, b Problem) int { return a.Line - b.Line })
	return c.script, c.problems
}

// problem notes what was read and what was expected in the present step.
func (c *compiler) problem(read, expected string) {
	c.problems = append(c.problems, Problem{File: c.scenario.File, Line: c.step.Line, Read: read, Expected: expected, Scenario: c.scenario.Name})
}

// fail notes what is wrong with the present step.
func (c *compiler) fail(format string, a ...any) {
	c.problem("", fmt.Sprintf(format, a...))
}

// failScenario notes what is wrong with the scenario as a whole.
func (c *compiler) failScenario(format string, a ...any) {
	c.step = Step{Line: c.scenario.Line}
	c.fail(format, a...)
}

// take finds the phrase of a step and lets it add to the script.
func (c *compiler) take(step Step) {
	if step.Kind != Then {
		before := len(c.problems)
		defer func() { c.broken = c.broken || len(c.problems) > before }()
	}
	switch {
	case step.Kind == 0:
		c.problem(spelling.Quote(step.Text), "a step that begins with Given, When, Then, And or But")
		return
	case step.Kind < c.stage:
		c.fail("a %v after a %v; expected the Givens first, then what happens, then what must hold", step.Kind, c.stage)
		return
	}
	if step.Argument {
		c.fail("no phrase takes a table or a text below it")
	}
	if c.stage == Given && step.Kind > Given {
		c.script.Begins = c.cursor
	}
	c.stage = step.Kind
	found := c.match(step)
	if found == nil {
		return
	}
	if c.site == nil && !strings.HasPrefix(found.Pattern, "the site ") {
		if c.script.Site == "" {
			c.fail("the first step must name the site: Given the site \"<site>\"")
			c.script.Site = "?"
		}
	}
	before := len(c.problems)
	if a, _ := found.pattern.read(c, step.Text); len(c.problems) == before {
		found.compile(c, a)
	}
}

// match is the one phrase of a step, or nil after saying why there is none.
func (c *compiler) match(step Step) *Phrase {
	var found []*Phrase
	var other *Phrase
	for i := range c.language.phrases {
		p := &c.language.phrases[i]
		if !p.pattern.expr.MatchString(step.Text) {
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
		c.fail("%s can be read as %q and as %q", spelling.Quote(step.Text), found[0].Text(), found[1].Text())
	case other != nil:
		c.fail("%s is for %v, not for %v", spelling.Quote(step.Text), other.Kind, step.Kind)
	default:
		for _, f := range c.language.former {
			if now, is := f.present(step.Text); is && f.kind&step.Kind != 0 {
				c.fail("%s: this is now written: %s", spelling.Quote(step.Text), now)
				return nil
			}
		}
		c.problem(spelling.Quote(step.Text), "one of the phrases for "+step.Kind.String()+"; the nearest is: "+c.nearestPhrase(step)+slip(step.Text))
	}
	return nil
}

func (c *compiler) nearestPhrase(step Step) string {
	var known []*pattern
	for _, p := range c.language.phrases {
		if p.Kind&step.Kind != 0 {
			known = append(known, p.pattern)
		}
	}
	return nearest(step.Text, known).shows
}

// set changes a value of the site for this scenario.
func (c *compiler) set(path, text string) {
	s := sitefile.Setting{Path: path, Text: text}
	if i := slices.IndexFunc(c.script.Start, func(other sitefile.Setting) bool { return other.Path == path }); i >= 0 {
		c.fail("%s has said already what that is when the run begins; expected one of the two", spelling.Quote(c.said[i]))
		return
	}
	c.script.Start, c.said = append(c.script.Start, s), append(c.said, c.step.Text)
	if c.site == nil {
		return
	}
	if err := s.Apply(c.site); err != nil {
		c.fail("%v", err)
	}
}

// need notes what the controller must be able to do.
func (c *compiler) need(abilities ...harness.Ability) {
	for _, a := range abilities {
		if !slices.Contains(c.script.Needs, a) {
			c.script.Needs = append(c.script.Needs, a)
		}
	}
}

// pass moves the cursor.
func (c *compiler) pass(t signal.Time) { c.cursor.Plus += t }

// happen makes a fault or stimulus happen at the cursor, or after its event, and moves the cursor there. What is not tied
// to an event comes at a moment at which the controller has booted and is connected.
func (c *compiler) happen(act harness.Act, a args) {
	if act.Fault == "" {
		act.Turns = c.mannered(act.Turns, nil, a)
	}
	act.When = c.cursor
	if a.event != nil {
		act.On, act.After, act.Within = a.event, a.after, patience
	} else if c.cursor.Act == 0 {
		act.When.Plus = max(act.When.Plus, c.settled)
	}
	c.append(act)
	c.last = len(c.script.Acts)
	c.cursor = harness.Moment{Act: c.last}
}

// append adds an act with a mark of its own.
func (c *compiler) append(act harness.Act) {
	act.Text = c.step.Text
	mark := act.Mark
	for n := 2; slices.ContainsFunc(c.script.Acts, func(a harness.Act) bool { return a.Mark == act.Mark }); n++ {
		act.Mark = fmt.Sprintf("%s %d", mark, n)
	}
	c.script.Acts = append(c.script.Acts, act)
}

// turn is one window on one knob of a stimulus.
func turn(device, knob string, value float64, length signal.Time) []fault.Turn {
	return []fault.Turn{{Device: device, Knob: knob, Value: value, Until: length}}
}

// hold adds an outcome over all of the time since the Givens.
func (c *compiler) hold(p outcome.Property) {
	c.timeless = append(c.timeless, c.step.Line)
	c.add(outcome.Outcome{Property: p})
}

// meet adds an outcome with a deadline, which counts from its event, or else from the last fault or stimulus.
func (c *compiler) meet(a args, property func(from outcome.Event, within signal.Time) outcome.Property) {
	if a.event != nil {
		c.tail = max(c.tail, a.within)
		c.hold(property(*a.event, a.within))
		return
	}
	if c.last == 0 && c.broken {
		return
	}
	if c.last == 0 {
		c.fail("a deadline counts from a fault, a stimulus or an event, and there is none; name one: %q", "within <duration> of <event>")
		return
	}
	c.deadline = max(c.deadline, a.within)
	mark := outcome.Mark(c.script.Acts[c.last-1].Mark)
	c.add(outcome.Outcome{From: mark, Property: property(mark, a.within)})
}

func (c *compiler) add(o outcome.Outcome) {
	o.Text = c.step.Text
	c.script.Outcomes = append(c.script.Outcomes, o)
}

// finish sets the end of the run and looks at the scenario as a whole.
func (c *compiler) finish() {
	c.faultTags()
	if c.stage == Given {
		c.script.Begins = c.cursor
	}
	c.checkSite()
	if c.stage != Then {
		c.failScenario("the scenario has no Then: nothing would be judged")
	}
	begins, end := c.script.Begins, c.cursor
	end.Plus = max(end.Plus, c.deadline)
	if !c.broken && (end.Plus == 0 || end.Act == begins.Act && end.Plus <= begins.Plus) {
		for _, line := range c.timeless {
			c.step.Line = line
			c.fail("an outcome over no time: nothing lets time pass after the last thing that happens; expected a step such as: When 1 hour passes")
		}
	}
	end.Plus = max(end.Plus, c.cursor.Plus+c.tail)
	c.script.End = end
	if c.site != nil {
		c.script.Corners = c.site.Corners()
	}
}

// checkSite looks for what the settings of the scenario have made of the site.
func (c *compiler) checkSite() {
	if c.site == nil || len(c.problems) > 0 || len(c.script.Start) == 0 {
		return
	}
	var mistakes *sitefile.Mistakes
	if err := c.site.Check(); errors.As(err, &mistakes) {
		for _, m := range *mistakes {
			c.failScenario("with the settings of this scenario: %v", m)
		}
	}
}
