package sweep

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/outcome"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
	"ullage/scenarios"
	"ullage/scenarios/runs"
)

// Setup is what is swept, and with what.
type Setup struct {
	Library *scenarios.Library
	Site    string   // name of the site
	File    string   // its file, as the command line names it; "" for a shipped site
	Options []string // words of the command line that results depend on, for the commands that the report prints
	Runner  runs.Runner
	Stand   runs.Stand
	Seed    uint64
	Limits  Limits
	Figures fault.Severity // of each fault; "" for the defaults of the catalogue
	Timeout time.Duration  // of one run, by the wall clock; 0: none
}

// job is a run of a scenario on the site, to be compared with another.
func (s *Setup) job(sc scenarios.Scenario, seed uint64) *runs.Job {
	return runs.Of(s.Site, sc, s.Library, runs.Settings{Stand: s.Stand, Seed: seed, Proof: runs.Unproven, Trace: true,
		Timeout: s.Timeout})
}

// Plan is every trial of a sweep, known before the first is run.
type Plan struct {
	Setup
	Trials    []Trial
	Sequences []Sequence
	Refused   []Refusal

	spec    *sitefile.Site
	standby []placement // faults that can be there all along
	twins   twins
}

// Sequence is what a sweep says of one of its sequences.
type Sequence struct {
	Name    string   `json:"name"`
	Moments []string `json:"moments"`
	// standing outcomes that the sequence does not meet without any fault, and by how much
	Dropped []string `json:"dropped,omitempty"`
	Missing string   `json:"missing,omitempty"` // why no fault could be tried in it; "" otherwise
}

// Refusal is a fault that a phrase does not take for a device of its kind on this site, and why.
type Refusal struct{ Fault, Target, Why string }

// Trial is one fault on one target at one moment, alone or beside one that has been there all along.
type Trial struct {
	ID       string
	Fault    string
	Target   string
	Sequence string
	Moment   string
	Beside   *Beside // nil: alone

	scenario scenarios.Scenario
	asks     []string // its outcomes that count from an event which may not come
	passes   float64  // s that pass after the fault
	tail     float64  // s that the outcomes in asks add to them
	// the valve or pump whose run the sequence is about; "" for none, and where somebody sees what becomes of it
	output string
}

// Beside is a fault that has been there all along.
type Beside struct {
	Fault  string `json:"fault"`
	Target string `json:"target"`
}

// planner makes a plan.
type planner struct {
	Setup
	spec *sitefile.Site
}

// NewPlan makes the plan of a site. It runs each sequence once without a fault, to learn when its run begins and ends
// and which standing outcomes hold. The error says what could not be made.
func NewPlan(ctx context.Context, setup Setup) (*Plan, error) {
	spec, err := setup.Library.Site(setup.Site)
	if err != nil {
		return nil, err
	}
	p := &planner{setup, spec.Copy()}
	p.spec.FillDefaults()
	placed, refused, err := placements(p.spec, setup.Figures)
	if err != nil {
		return nil, err
	}
	plan := &Plan{Setup: setup, spec: p.spec, Refused: refused}
	for _, st := range sequences(p.spec, horizon(p.spec.Controller.Settings)) {
		made, err := p.rehearse(ctx, &st)
		if err != nil {
			return nil, err
		}
		plan.Sequences = append(plan.Sequences, made)
		plan.Trials = append(plan.Trials, st.trials(setup.Site, placed)...)
	}
	for _, b := range placed {
		if b.given != "" {
			plan.standby = append(plan.standby, b)
		}
	}
	return plan, plan.distinct()
}

// figures are those of the faults.
func (p *Plan) figures() fault.Severity {
	if p.Figures == "" {
		return fault.Typical
	}
	return p.Figures
}

// distinct makes sure that each trial has a name of its own.
func (p *Plan) distinct() error {
	seen := map[string]bool{}
	for _, c := range p.Trials {
		if seen[c.ID] {
			return fmt.Errorf("two trials of the sweep are called %s; rename one of the devices", c.ID)
		}
		seen[c.ID] = true
	}
	return nil
}

// Only leaves those trials in the plan whose fault, or fault:target, is among the given ones; none leaves all. The
// error names one that chooses nothing.
func (p *Plan) Only(wanted []string) error {
	if len(wanted) == 0 {
		return nil
	}
	wanted = slices.Clone(wanted)
	for i, w := range wanted {
		var err error
		if wanted[i], err = p.named(w); err != nil {
			return err
		}
	}
	p.Trials = slices.DeleteFunc(p.Trials, func(c Trial) bool { return !Accepts(wanted, name(c.Fault, c.Target)) })
	p.Refused = slices.DeleteFunc(p.Refused, func(r Refusal) bool { return !Accepts(wanted, name(r.Fault, r.Target)) })
	p.standby = slices.DeleteFunc(p.standby,
		func(b placement) bool { return !Accepts(wanted, name(b.Fault, b.Target)) })
	return nil
}

// Trial finds a trial by its name: one of a single fault, or a pair made of "ID of the latent fault + ID of a trial".
func (p *Plan) Trial(id string) (Trial, bool) {
	latent, second, pair := strings.Cut(id, "+")
	if !pair {
		second = id
	}
	i := slices.IndexFunc(p.Trials, func(c Trial) bool { return c.ID == second })
	if i < 0 || !pair {
		return p.trialAt(i)
	}
	for _, b := range p.standby {
		if name(b.Fault, b.Target) == latent {
			return p.Trials[i].beside(b), true
		}
	}
	return Trial{}, false
}

func (p *Plan) trialAt(i int) (Trial, bool) {
	if i < 0 {
		return Trial{}, false
	}
	return p.Trials[i], true
}

// rehearse runs a sequence without a fault.
func (p *planner) rehearse(ctx context.Context, st *sequence) (Sequence, error) {
	made := Sequence{Name: st.name}
	limits := p.Limits
	limits.Overrun += st.cut
	always, asked := standing(p.spec, limits)
	always, asked = p.sayable(st, always), p.sayable(st, asked)
	job := p.job(st.scenario(p.Site, "", placement{}, always), p.Seed)
	if _, problems := job.Script(); len(problems) > 0 {
		made.Missing = "it cannot be said on this site: " + problems[0].Error()
		return made, nil
	}
	result := p.Runner.Run(ctx, job)
	r, err := result.Run, result.Err
	var cannot *harness.CannotError
	switch {
	case errors.As(err, &cannot):
		made.Missing = cannot.Reason
		return made, nil
	case err != nil:
		return made, fmt.Errorf("the sequence %q without a fault: %w", st.name, err)
	}
	for i, v := range r.Verdicts {
		switch v.State {
		case outcome.Held:
			st.thens = append(st.thens, always[i])
		case outcome.Failed:
			if i == slices.Index(always, lostOutcome(p.Limits.Lost)) { // what the day itself loses is allowed on top
				st.thens = append(st.thens, lostOutcome(p.Limits.Lost+lost(r)))
				continue
			}
			made.Dropped = append(made.Dropped, always[i]+": "+v.Why)
		}
	}
	if st.asks = asked; len(asked) > 0 {
		st.tail = p.Limits.Alert
	}
	st.thens = append(st.thens, asked...)
	if st.output != "" {
		begins, ends := st.runs(r)
		if math.IsInf(begins, 1) {
			made.Missing = fmt.Sprintf("%q does not run", st.output)
			return made, nil
		}
		st.tie(p.spec, run{begins, ends})
	}
	for _, m := range st.moments {
		made.Moments = append(made.Moments, m.name)
	}
	return made, nil
}

// sayable are the outcomes that the compiler takes on the site.
func (p *planner) sayable(st *sequence, thens []string) []string {
	return slices.DeleteFunc(slices.Clone(thens), func(then string) bool {
		_, problems := scenarios.Compile(st.scenario(p.Site, "", placement{}, []string{then}), p.Library.Site, p.Seed)
		return len(problems) > 0
	})
}

// lost is the water that a run has lost, m³.
func lost(r *harness.Run) float64 {
	id, ok := r.Trace.Find(signal.Site.Lost().Name())
	if !ok {
		return 0
	}
	return r.Trace.At(id, r.End) - r.Trace.At(id, r.Begins)
}

// runs is when the output of the sequence first came on and went off again, s; +Inf for never.
func (st *sequence) runs(r *harness.Run) (begins, ends float64) {
	begins, ends = math.Inf(1), math.Inf(1)
	id, ok := r.Trace.Find(signal.Valve(st.output).Open().Name())
	if !ok {
		id, ok = r.Trace.Find(signal.Pump(st.output).Running().Name())
	}
	if !ok {
		return begins, ends
	}
	for at, value := range r.Trace.View(id).All() {
		switch {
		case value > 0 && math.IsInf(begins, 1):
			begins = at.Seconds()
		case value == 0 && begins < at.Seconds():
			return begins, at.Seconds()
		}
	}
	return begins, ends
}
