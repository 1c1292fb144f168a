package harness

import (
	"fmt"
	"slices"

	"ullage/harness/outcome"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// judge finds out which outcomes of a run were exercised, by comparing it with its twins.
//
// An outcome is exercised by what a twin leaves out when a signal that it looks at differs from the twin's, or when
// what met the controller in the run and not in the twin is an input of a rule, by the settings, that decides what the
// outcome looks at. A difference anywhere else proves nothing of it.
type judge struct {
	run     *Run
	script  *Script
	rules   []Rule
	reach   *reach
	differs func(from signal.Time) differ
	looks   [][]string // signals that each outcome looks at
	causes  []cause
}

// cause is what a twin left out, and what it turned out to exercise.
type cause struct {
	twin
	run      *Run     // of the twin
	inputs   []string // of the controller that differ
	outcomes []exercise
}

// exercise is what one cause does to one outcome.
type exercise struct {
	own   bool // a signal that the outcome looks at differs
	rules []metRule
}

// metRule is an input that differs, and the rule of it that decides what an outcome looks at.
type metRule struct {
	rule   *Rule
	input  string
	signal signal.Signal
}

func (e exercise) is() bool { return e.own || len(e.rules) > 0 }

func newJudge(run *Run, script *Script, differs func(from signal.Time) differ) *judge {
	j := &judge{run: run, script: script, differs: differs, reach: newReach(run.Site)}
	if run.Site != nil {
		j.rules = Rules(run.Site)
	}
	for _, o := range script.Outcomes {
		j.looks = append(j.looks, j.reach.looks(run, o))
	}
	return j
}

// signalsDiffer reports whether one of the signals differs from a twin, from a moment on.
func (j *judge) signalsDiffer(twin *Run, from signal.Time, names ...string) bool {
	return signalsDiffer(j.run, twin, names, j.differs(from))
}

// Exercise judges the verdicts of a run by one twin, in which one act of its script does nothing: what held without
// being exercised by the act is not exercised, and what nothing moved has the distance from acting of an input, or none,
// for its margin. It reports whether the act exercises any outcome. Both runs must have the whole of their traces.
func Exercise(run, without *Run, script *Script, act int, verdicts []outcome.Verdict) bool {
	j := newJudge(run, script, closely)
	j.against(twin{act: &script.Acts[act], without: fmt.Sprintf("%q", script.Acts[act].Text)}, without)
	j.conclude(verdicts)
	return slices.ContainsFunc(j.causes[0].outcomes, exercise.is)
}

// against compares the run with one twin.
func (j *judge) against(t twin, twin *Run) {
	c := cause{twin: t, run: twin}
	switch {
	case t.act != nil:
		c.inputs = j.inputs(twin, t.act)
	case t.setting == nil:
		c.inputs = j.allInputs(twin)
	}
	for i, o := range j.script.Outcomes {
		c.outcomes = append(c.outcomes, exercise{own: j.signalsDiffer(twin, j.run.Begins, j.looks[i]...),
			rules: j.byRules(o, c.inputs)})
	}
	j.causes = append(j.causes, c)
}

// byRules lists the inputs that differ of rules that decide what an outcome looks at.
func (j *judge) byRules(o outcome.Outcome, inputs []string) []metRule {
	var list []metRule
	for _, asked := range o.Property.Conditions() {
		id, ok := j.run.Trace.Find(asked.Signal)
		if !ok {
			continue
		}
		s := j.run.Trace.Signals()[id]
		for i := range j.rules {
			r := &j.rules[i]
			if r.While == nil || j.ran(r.While) {
				for _, input := range inputs {
					if slices.Contains(r.Inputs, input) && j.reach.decides(r, s, asked.Is) {
						list = append(list, metRule{r, input, s})
					}
				}
			}
		}
	}
	return list
}

// ran reports whether one of some outputs was on in the run.
func (j *judge) ran(outputs []string) bool {
	return slices.ContainsFunc(outputs, func(output string) bool {
		for _, on := range j.run.on(output).All() {
			if on != 0 {
				return true
			}
		}
		return false
	})
}

// leading are the causes that have to exercise an outcome: the faults of a script, or, when it has none, everything
// that a twin left out. A fault that an outcome would hold without is not tested by a stimulus that it holds with.
func (j *judge) leading() []*cause {
	var faults, all []*cause
	for i := range j.causes {
		c := &j.causes[i]
		all = append(all, c)
		if c.act != nil && c.act.Fault != "" {
			faults = append(faults, c)
		}
	}
	if faults != nil {
		return faults
	}
	return all
}

// idle is a cause that shows nowhere, neither at an input of the controller nor at what an outcome looks at; nil when
// there is none. A setting shows too when it moves a margin that is a distance from acting.
func (j *judge) idle() *cause {
	for i := range j.causes {
		c := &j.causes[i]
		if len(c.inputs) == 0 && !slices.ContainsFunc(c.outcomes, exercise.is) && !j.movesDistance(c) {
			return c
		}
	}
	return nil
}

// movesDistance reports whether an outcome that nothing moved has another margin by the settings of a twin.
func (j *judge) movesDistance(c *cause) bool {
	for i := range j.script.Outcomes {
		if c.setting != nil && j.still(i) && j.short(i, j.run.Site).margin != j.short(i, c.run.Site).margin {
			return true
		}
	}
	return false
}

// conclude takes back what held without being exercised, and finds the margin of what nothing moved.
func (j *judge) conclude(verdicts []outcome.Verdict) {
	leading, idle := j.leading(), j.idle()
	for i := range verdicts {
		v := &verdicts[i]
		switch {
		case v.State != outcome.Held:
		case !slices.ContainsFunc(leading, func(c *cause) bool { return c.outcomes[i].is() }):
			v.State, v.Why = outcome.NotExercised, j.elsewhere(i, leading)
		case idle != nil:
			v.State = outcome.NotExercised
			v.Why = "without " + idle.without +
				" nothing differs at an input of the controller or at what an outcome of the scenario looks at"
		case j.still(i):
			j.short(i, j.run.Site).measure(v)
		}
	}
}

// still reports whether nothing moved what an outcome looks at, neither in the run nor in a twin.
func (j *judge) still(i int) bool {
	own := func(c *cause) bool { return c.outcomes[i].own }
	return !slices.ContainsFunc(j.leading(), own) && !j.moved(j.looks[i])
}

// short is the distance from acting of the input by which an outcome was exercised, by the settings of a site: the
// smallest where there are several.
func (j *judge) short(i int, site *sitefile.Site) distance {
	best := distance{}
	for _, c := range j.causes {
		for _, m := range c.outcomes[i].rules {
			a := approach{j.run, c.run, site}
			best = best.or(a.distance(m))
		}
	}
	return best
}

// moved reports whether one of the signals changed while outcomes were observed.
func (j *judge) moved(names []string) bool {
	return slices.ContainsFunc(names, func(name string) bool {
		id, _ := j.run.Trace.Find(name)
		view := j.run.Trace.View(id)
		later := view.After(j.run.Begins)
		if j.run.Trace.Signals()[id].Shape != signal.Linear {
			return later.Len() > 0
		}
		start, near := view.ValueAt(j.run.Begins), nearness(j.run, id)
		for _, value := range later.All() {
			if d := value - start; d > near || d < -near {
				return true
			}
		}
		return false
	})
}
