package language

import (
	"errors"
	"slices"
	"strings"

	"ullage/harness"
	"ullage/harness/sitefile"
	"ullage/harness/spelling"
	"ullage/scenarios/internal/feature"
)

// Compile makes a script of a scenario in a language, or says everything that is wrong with it.
func Compile(language *Vocabulary, sc feature.Scenario, sites func(name string) (*sitefile.Site, error),
	seed uint64) (*harness.Script, feature.Problems) {
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
		c.unknown(step)
	}
	return nil
}

// unknown says that a step is no phrase, and which phrases may say the same.
func (c *Compiler) unknown(step feature.Step) {
	near := c.language.Suggest(step, c.Site)
	expected, shown := "one of the phrases for "+step.Kind.String()+slip(step.Text), ""
	switch {
	case len(near) == 0:
		expected += ", as \"ullage phrases\" lists them; none of them is near"
	case len(near) == 1:
		expected += "; the nearest is:"
	default:
		expected += "; the nearest are:"
	}
	for i, n := range near {
		shown += "    " + n.Step
		if n.Phrase.Kind&step.Kind == 0 {
			shown += "  (for " + n.Phrase.Kind.String() + ")"
		}
		if i < len(near)-1 {
			shown += "\n"
		}
	}
	c.Problem(spelling.Quote(step.Text), expected)
	c.problems[len(c.problems)-1].Excerpt = shown
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
			c.Fail(
				"an outcome over no time: nothing lets time pass after the last thing that happens; expected a step such as: When 1 hour passes",
			)
		}
	}
	end.Plus = max(end.Plus, c.cursor.Plus+c.tail)
	c.unreachable(begins, end)
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
