package sweep

import (
	"fmt"
	"slices"
	"strings"

	"ullage/harness/fault"
	"ullage/scenarios"
)

// name is a fault on a target in the names of cells.
func name(id, target string) string { return id + ":" + strings.ReplaceAll(target, " ", "-") }

// cells are those of a story: every fault on every target, at every moment of it. What can only have been there all along is
// tried once a story.
func (st *story) cells(site string, befallings []befalling) []Cell {
	var list []Cell
	for _, b := range befallings {
		if b.step == "" && len(st.moments) > 0 {
			list = append(list, st.cell(site, moment{name: Standing}, b))
			continue
		}
		for _, m := range st.moments {
			list = append(list, st.cell(site, m, b))
		}
	}
	return list
}

func (st *story) cell(site string, m moment, b befalling) Cell {
	c := Cell{Fault: b.Fault, Target: b.Target, Story: st.name, Moment: m.name, asks: st.asks, output: st.output, passes: st.passes, tail: st.tail}
	c.ID = name(b.Fault, b.Target) + ":" + strings.ReplaceAll(st.name+":"+m.name, " ", "-")
	if m.name == Standing {
		c.scenario = st.scenario(site, "", befalling{given: b.given}, st.thens)
	} else {
		c.scenario = st.scenario(site, m.when, b, st.thens)
	}
	c.title(site)
	return c
}

// scenario is a story with a fault in it; the zero befalling is none.
func (st *story) scenario(site, when string, b befalling, thens []string) scenarios.Scenario {
	sc := withSteps(scenarios.Scenario{}, scenarios.Given, fmt.Sprintf("the site %q", site))
	for _, g := range st.givens {
		sc = withSteps(sc, scenarios.Given, g)
	}
	if b.step == "" && b.given != "" {
		sc = withSteps(sc, scenarios.Given, b.given)
	}
	for _, w := range st.whens {
		sc = withSteps(sc, scenarios.When, w)
	}
	if b.step != "" {
		sc = withSteps(sc, scenarios.When, when+b.step)
	}
	sc = withSteps(sc, scenarios.When, passing(st.passes))
	for _, t := range thens {
		sc = withSteps(sc, scenarios.Then, t)
	}
	return sc
}

func passing(s float64) string { return seconds(s) + " pass" }

// beside is the cell with a fault that has been there all along.
func (c Cell) beside(b befalling) Cell {
	site := siteOf(c.scenario)
	c.Beside = &Beside{b.Fault, b.Target}
	c.ID = name(b.Fault, b.Target) + "+" + c.ID
	steps := slices.Clone(c.scenario.Steps)
	first := slices.IndexFunc(steps, func(s scenarios.Step) bool { return s.Kind != scenarios.Given })
	c.scenario.Steps = slices.Insert(steps, first, scenarios.Step{Kind: scenarios.Given, Text: b.given})
	c.title(site)
	return c
}

// lasting are the steps of a cell with the time that passes made as long as the run is with outcomes that are left out: the
// wait for what an event asks for comes on top.
func (c Cell) lasting(asked func(text string) bool) []scenarios.Step {
	steps := slices.Clone(c.scenario.Steps)
	if c.tail == 0 || slices.ContainsFunc(c.asks, asked) {
		return steps
	}
	for i := range steps {
		if steps[i].Kind == scenarios.When && steps[i].Text == passing(c.passes) {
			steps[i].Text = passing(c.passes + c.tail)
		}
	}
	return steps
}

// asked tells whether an outcome counts from an event which may not come.
func (c Cell) asked(text string) bool { return slices.Contains(c.asks, text) }

func siteOf(sc scenarios.Scenario) string { return quotedNames(sc.Steps[0].Text)[0] }

// title gives the scenario of a cell its names. Its draws come from them and from the seed, so that a saved cell, whose file
// is called after the cell, draws the same.
func (c *Cell) title(site string) {
	c.scenario.File = c.File()
	c.scenario.Feature = "Sweep of " + site
	entry, _ := fault.Find(c.Fault)
	c.scenario.Name = fmt.Sprintf("%s: %s, %s, %s", entry.Name, c.Target, c.Story, c.Moment)
	if c.Beside != nil {
		latent, _ := fault.Find(c.Beside.Fault)
		c.scenario.Name = fmt.Sprintf("%s: %s; then %s", latent.Name, c.Beside.Target, c.scenario.Name)
	}
	c.scenario.Name = strings.ToUpper(c.scenario.Name[:1]) + c.scenario.Name[1:]
}

// File is the name of the feature file that the cell is saved in.
func (c Cell) File() string {
	return strings.NewReplacer(":", "_", "/", "_").Replace(c.ID) + ".feature"
}

// Feature is the cell as a feature file, without the outcomes that count from an event which did not come: ullage run gives
// the same margins for those that remain. asked lists the texts of those that were asked for.
func (c Cell) Feature(asked func(text string) bool) string {
	var b strings.Builder
	fmt.Fprintf(&b, "Feature: %s\n\n  Scenario: %s\n", c.scenario.Feature, c.scenario.Name)
	kind := scenarios.Kind(0)
	for _, s := range c.lasting(asked) {
		if s.Kind == scenarios.Then && !asked(s.Text) {
			continue
		}
		word := s.Kind.String()
		if s.Kind == kind {
			word = "And"
		}
		kind = s.Kind
		fmt.Fprintf(&b, "    %s %s\n", word, s.Text)
	}
	return b.String()
}
