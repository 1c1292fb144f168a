package sweep

import (
	"fmt"
	"slices"
	"strings"

	"ullage/harness/console"
	"ullage/harness/fault"
	"ullage/scenarios"
)

// name is a fault on a target in the names of trials.
func name(id, target string) string { return id + ":" + strings.ReplaceAll(target, " ", "-") }

// trials are those of a sequence: every fault on every target, at every moment of it, and all along where a phrase can
// say so.
func (st *sequence) trials(site string, placed []placement) []Trial {
	var list []Trial
	for _, b := range placed {
		if b.given != "" && len(st.moments) > 0 {
			list = append(list, st.trial(site, moment{name: Standing}, b))
		}
		for _, m := range st.moments {
			list = append(list, st.trial(site, m, b))
		}
	}
	return list
}

func (st *sequence) trial(site string, m moment, b placement) Trial {
	c := Trial{Fault: b.Fault, Target: b.Target, Sequence: st.name, Moment: m.name, asks: st.asks, passes: st.passes,
		tail: st.tail}
	c.ID = name(b.Fault, b.Target) + ":" + strings.ReplaceAll(st.name+":"+m.name, " ", "-")
	if !st.asked {
		c.output = st.output
	}
	if m.name == Standing {
		c.scenario = st.scenario(site, "", placement{given: b.given}, st.thens)
	} else {
		c.scenario = st.scenario(site, m.when, b, st.thens)
	}
	c.title()
	return c
}

// scenario is a sequence with a fault in it; the zero placement is none.
func (st *sequence) scenario(site, when string, b placement, thens []string) scenarios.Scenario {
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

// beside is the trial with a fault that has been there all along.
func (c Trial) beside(b placement) Trial {
	c.Beside = &Beside{b.Fault, b.Target}
	c.ID = name(b.Fault, b.Target) + "+" + c.ID
	steps := slices.Clone(c.scenario.Steps)
	first := slices.IndexFunc(steps, func(s scenarios.Step) bool { return s.Kind != scenarios.Given })
	c.scenario.Steps = slices.Insert(steps, first, scenarios.Step{Kind: scenarios.Given, Text: b.given})
	c.title()
	return c
}

// lasting are the steps of a trial with the time that passes made as long as the run is with outcomes that are left
// out: the wait for what an event asks for comes on top.
func (c Trial) lasting(asked func(text string) bool) []scenarios.Step {
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

// command is the command that runs a trial alone.
func (p *Plan) command(trial string) string {
	site := p.File
	if site == "" {
		site = p.Site
	}
	line := "ullage sweep"
	for _, word := range slices.Concat([]string{site}, p.Options, []string{"--trial", trial}) {
		line += " " + console.ShellWord(word)
	}
	return line
}

// asked reports whether an outcome counts from an event which may not come.
func (c Trial) asked(text string) bool { return slices.Contains(c.asks, text) }

// title gives the scenario of a trial its names. Its draws come from its name, from that of its file without the
// folder, and from the seed: they are those of its sequence and moment, so that trials which differ in the fault alone
// can be compared, and a saved trial draws the same.
func (c *Trial) title() {
	c.scenario.File = c.File()
	c.scenario.Name = capital(c.place())
	entry, _ := fault.Find(c.Fault)
	c.scenario.Feature = capital(entry.Name + ": " + c.Target)
	if c.Beside != nil {
		latent, _ := fault.Find(c.Beside.Fault)
		c.scenario.Feature = capital(fmt.Sprintf("%s: %s; then %s: %s", latent.Name, c.Beside.Target, entry.Name,
			c.Target))
	}
}

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// File is the name of the feature file that the trial is saved in: in a folder for what is broken, a file for when.
func (c Trial) File() string {
	broken := name(c.Fault, c.Target)
	if c.Beside != nil {
		broken = name(c.Beside.Fault, c.Beside.Target) + "+" + broken
	}
	return plain(broken) + "/" + plain(c.place()) + ".feature"
}

// plain is a text as part of a file name.
func plain(s string) string {
	return strings.NewReplacer(":", "_", "/", "_", "\\", "_", ", ", "_", " ", "-").Replace(s)
}

// Feature is the trial as a feature file, without the outcomes that count from an event which did not come: ullage run
// gives the same margins for those that remain. asked lists the texts of those that were asked for.
func (c Trial) Feature(asked func(text string) bool) string {
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
