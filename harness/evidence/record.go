package evidence

import (
	"cmp"
	"fmt"
	"slices"
	"sort"
	"strings"

	"ullage/harness"
	"ullage/harness/console"
	"ullage/harness/outcome"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/spelling"
)

// Format and Version mark a run.json; the version changes when a reader of the one before would misread it.
const (
	Format  = "ullage evidence"
	Version = 2
)

// Meta is what a whole run was made with.
type Meta struct {
	Controller string      // what was tested: "simulated", "exec:./program"
	Seed       uint64      // of all draws
	Options    []string    // arguments that a repetition needs beside the scenario and the seed
	Worksheet  *Worksheet  // of failure modes, to be filled in; nil: the suite has none
	Provenance *Provenance // nil: none is written
	// by site: what its file does not say and what stands for it (sitefile.Site.Assumed)
	Assumed map[string][]string
}

// Summary is what run.json holds.
type Summary struct {
	Format     string `json:"format"`
	Version    int    `json:"version"`
	Complete   bool   `json:"complete"` // false: the run is under way, or was broken off
	Controller string `json:"controller"`
	Seed       uint64 `json:"seed,string"`
	Totals     Totals `json:"totals"`
	// by site: what its file does not say and what stands for it; sites that say it all are missing
	Assumed   map[string][]string `json:"assumed,omitempty"`
	Scenarios []Record            `json:"scenarios"` // by file, line and name
	Holder    string              `json:"-"`         // the process that has the folder in use, of a run under way
}

// Totals counts the states of a run.
type Totals struct {
	Scenarios Counts `json:"scenarios"`
	Outcomes  Counts `json:"outcomes"`
}

// String is both counts as a sentence: "58 scenarios: 57 held, 1 failed. 110 outcomes: 109 held, 1 failed".
func (t Totals) String() string {
	return fmt.Sprintf(
		"%s: %s. %s: %s",
		spelling.Count(t.Scenarios.All, "scenario"),
		t.Scenarios,
		spelling.Count(t.Outcomes.All, "outcome"),
		t.Outcomes,
	)
}

// Record is one scenario in run.json. Durations and moments are simulated ones.
type Record struct {
	Name     string    `json:"name"`
	Feature  string    `json:"feature"`
	Rule     string    `json:"rule"`
	File     string    `json:"file"`
	Line     int       `json:"line"`
	Tags     []string  `json:"tags"`
	Site     string    `json:"site"`
	State    State     `json:"state"`
	Begins   *Moment   `json:"observed_from"` // end of the Givens; null when it was not reached
	Ended    *Moment   `json:"ended"`         // where the run ended; null when nothing was run
	Outcomes []Outcome `json:"outcomes"`
	Actions  []Action  `json:"actions"`
	Error    string    `json:"error"`
	Repeat   string    `json:"repeat"` // the command that runs this scenario again
}

// Moment is a time since the beginning of the run.
type Moment struct {
	NS   signal.Time `json:"ns"`
	Text string      `json:"text"`
}

// Outcome is the verdict on one Then. Numbers are in the SI unit; where nothing was there to be measured the margin is
// null and "no margin" as text.
type Outcome struct {
	Text          string   `json:"text"`
	State         State    `json:"state"`
	Margin        *float64 `json:"margin"`
	Dimension     string   `json:"dimension"` // what the margin measures: "length", "duration"
	Unit          string   `json:"unit"`
	MarginText    string   `json:"margin_text"` // the margin as printed; "" without one
	Allowance     *float64 `json:"allowance"`
	AllowanceText string   `json:"allowance_text"` // the allowance as printed; "" without one
	Share         *float64 `json:"share"`          // margin by allowance
	At            *Moment  `json:"at"`
	Signal        string   `json:"signal"`   // at which the margin was measured
	Signals       []string `json:"signals"`  // that the outcome looks at
	Short         string   `json:"short"`    // input of the controller whose distance from acting is the margin; "" otherwise
	Marginal      string   `json:"marginal"` // passed, but fails at a limit of the site's tolerances: which; "" otherwise
	Why           string   `json:"why"`
}

// marginal is the result of what passes on the site as drawn and fails at a limit of its tolerances.
const marginal = "held (marginal)"

// result is the state as it is shown.
func (o *Outcome) result() string { return resultOf(o.State, o.Marginal != "") }

// result is the state of a scenario as it is shown.
func (r *Record) result() string { return resultOf(r.State, r.marginal()) }

// marginal reports whether an outcome of a scenario is.
func (r *Record) marginal() bool {
	return slices.ContainsFunc(r.Outcomes, func(o Outcome) bool { return o.Marginal != "" })
}

func resultOf(s State, isMarginal bool) string {
	if isMarginal && s.State == outcome.Held {
		return marginal
	}
	return s.String()
}

// Action is a fault or a stimulus of a scenario.
type Action struct {
	Text     string   `json:"text"`
	Fault    string   `json:"fault"`    // ID in the catalogue; "" for a stimulus
	Target   string   `json:"target"`   // the device
	Standing bool     `json:"standing"` // a condition from the start of the run on
	Started  *Moment  `json:"started"`  // null when it did not
	Windows  []Window `json:"windows"`
}

// Window is a stretch during which an action turned at least one knob.
type Window struct {
	From  Moment  `json:"from"`
	Until *Moment `json:"until"` // null: to the end of the run
}

// Summarise turns results into the summary of a complete run, in the order of the feature files.
func Summarise(results []*harness.Result, meta Meta) *Summary {
	var records []Record
	for _, r := range results {
		records = append(records, NewRecord(r, meta))
	}
	return summary(records, meta)
}

func summary(records []Record, meta Meta) *Summary {
	s := &Summary{
		Format:     Format,
		Version:    Version,
		Complete:   true,
		Controller: meta.Controller,
		Seed:       meta.Seed,
		Assumed:    meta.Assumed,
		Scenarios:  []Record{},
	}
	s.Scenarios = append(s.Scenarios, records...)
	slices.SortStableFunc(s.Scenarios, compareRecords)
	s.count()
	return s
}

func (s *Summary) count() {
	s.Totals = Totals{}
	for _, r := range s.Scenarios {
		s.Totals.Scenarios.add(r.State)
		for _, o := range r.Outcomes {
			s.Totals.Outcomes.add(o.State)
			if o.Marginal != "" {
				s.Totals.Outcomes.Marginal++
			}
		}
	}
}

// place is where a scenario stands: "features/flood.feature:42".
func (r *Record) place() string { return fmt.Sprintf("%s:%d", r.File, r.Line) }

// compareRecords is the order of evidence: by file, line and name.
func compareRecords(a, b Record) int {
	return cmp.Or(cmp.Compare(a.File, b.File), cmp.Compare(a.Line, b.Line), cmp.Compare(a.Name, b.Name))
}

// NewRecord is the record of one result.
func NewRecord(result *harness.Result, meta Meta) Record {
	r := newRecord(result.Script, meta)
	r.State = State{result.Worst()}
	if result.Err != nil {
		r.Error = result.Err.Error()
	}
	if result.Run != nil {
		r.Begins, r.Ended = moment(result.Run.Begins), moment(result.Run.End)
	}
	for i, v := range result.Verdicts {
		var of outcome.Outcome
		if i < len(result.Script.Outcomes) {
			of = result.Script.Outcomes[i]
		}
		r.Outcomes = append(r.Outcomes, newOutcome(of, v))
	}
	for i, a := range result.Script.Acts {
		began := signal.Never
		if result.Run != nil && i < len(result.Run.Acts) {
			began = result.Run.Acts[i]
		}
		r.Actions = append(r.Actions, newAction(a, began))
	}
	return r
}

// unfinished is the record of a scenario that has begun and of which nothing more is known. The windows of its actions
// count from their start.
func unfinished(s *harness.Script, meta Meta) Record {
	r := newRecord(s, meta)
	r.State, r.Error = State{outcome.Broken}, "unfinished: the run was broken off during this scenario"
	for _, o := range s.Outcomes {
		r.Outcomes = append(r.Outcomes, newOutcome(o, outcome.Verdict{State: outcome.Broken, Why: r.Error}))
	}
	for _, a := range s.Acts {
		action := newAction(a, 0)
		action.Started = nil
		r.Actions = append(r.Actions, action)
	}
	return r
}

func newRecord(s *harness.Script, meta Meta) Record {
	return Record{
		Name:     s.Name,
		Feature:  s.Feature,
		Rule:     s.Rule,
		File:     s.File,
		Line:     s.Line,
		Tags:     append([]string{}, s.Tags...),
		Site:     s.Site,
		Outcomes: []Outcome{},
		Actions:  []Action{},
		Repeat:   repeat(s, meta),
	}
}

func repeat(s *harness.Script, meta Meta) string {
	words := []string{
		"ullage",
		"run",
		console.ShellWord(fmt.Sprintf("%s:%d", s.File, s.Line)),
		"--seed",
		fmt.Sprint(meta.Seed),
	}
	for _, o := range meta.Options {
		words = append(words, console.ShellWord(o))
	}
	return strings.Join(words, " ")
}

// moment is nil for the moment that does not come.
func moment(t signal.Time) *Moment {
	if t == signal.Never {
		return nil
	}
	return &Moment{NS: t, Text: t.String()}
}

func newOutcome(of outcome.Outcome, v outcome.Verdict) Outcome {
	o := Outcome{
		Text:     of.Text,
		State:    State{v.State},
		Signal:   v.Signal,
		Signals:  []string{},
		Short:    v.Short,
		Marginal: v.Marginal,
		Why:      v.Why,
	}
	if of.Property != nil {
		o.Signals = append(o.Signals, of.Property.Signals()...)
	}
	if !o.State.measured() {
		return o
	}
	o.Dimension, o.Unit = quantity.Name(v.Dim), quantity.Unit(v.Dim)
	if v.NoMargin {
		o.MarginText = "no margin"
		return o
	}
	o.MarginText = marginText(v.Margin, v.Dim)
	if v.Allowance != 0 {
		o.Allowance, o.AllowanceText = &v.Allowance, quantity.FormatDifferenceIn(v.Allowance, v.Dim, quantity.Metric)
	}
	o.Margin, o.At = &v.Margin, moment(v.At)
	if share, ok := v.Share(); ok && o.Allowance != nil {
		o.Share = &share
	}
	return o
}

func newAction(a harness.Act, began signal.Time) Action {
	action := Action{
		Text:     a.Text,
		Fault:    a.Fault,
		Target:   a.Target,
		Standing: a.Given,
		Started:  moment(began),
		Windows:  []Window{},
	}
	for _, s := range spans(a, began) {
		action.Windows = append(action.Windows, Window{From: *moment(s.from), Until: moment(s.until)})
	}
	return action
}

type span struct{ from, until signal.Time }

func spans(a harness.Act, began signal.Time) []span {
	var all []span
	if began == signal.Never {
		return nil
	}
	for _, t := range a.Turns {
		s := span{began + t.From, signal.Never}
		if t.Until != signal.Never {
			s.until = began + t.Until
		}
		all = append(all, s)
	}
	sort.Slice(all, func(i, j int) bool { return all[i].from < all[j].from })
	var joined []span
	for _, s := range all {
		if n := len(joined); n > 0 && s.from <= joined[n-1].until {
			joined[n-1].until = max(joined[n-1].until, s.until)
			continue
		}
		joined = append(joined, s)
	}
	return joined
}

// ranked is one outcome with the scenario it belongs to.
type ranked struct {
	Record  *Record
	Outcome *Outcome
}

// smallest lists the smallest margin that held of each dimension, by the share of the allowance that was left and
// counts last.
func (s *Summary) smallest() []ranked {
	var list []ranked
	for i := range s.Scenarios {
		r := &s.Scenarios[i]
		for j := range r.Outcomes {
			if o := &r.Outcomes[j]; o.State.State == outcome.Held && o.Share != nil {
				list = append(list, ranked{r, o})
			}
		}
	}
	sort.SliceStable(list, func(i, j int) bool { return closer(list[i].Outcome, list[j].Outcome) })
	seen := map[string]bool{}
	return slices.DeleteFunc(list, func(x ranked) bool {
		before := seen[x.Outcome.Dimension]
		seen[x.Outcome.Dimension] = true
		return before
	})
}

// decisive is the outcome that decides about a scenario: of those in the worst state that have a margin, the one that
// closer puts first; nil when none has a margin.
func (r *Record) decisive() *Outcome {
	var best *Outcome
	for i := range r.Outcomes {
		if o := &r.Outcomes[i]; o.Margin != nil && (best == nil || closer(o, best)) {
			best = o
		}
	}
	return best
}

// closer reports whether one outcome says more than another: the one in the worse state, then the one with less of its
// allowance left. "At least 2 times" is kept exactly by nearly every run, so that a count comes after what was
// measured.
func closer(a, b *Outcome) bool {
	if a.State != b.State {
		return a.State.rank() < b.State.rank()
	}
	if count := quantity.Name(quantity.Count); (a.Dimension == count) != (b.Dimension == count) {
		return b.Dimension == count
	}
	if a.Share == nil || b.Share == nil {
		return a.Share != nil && b.Share == nil
	}
	return *a.Share < *b.Share
}

// remark is the error of a scenario where no outcome says the same.
func (r *Record) remark() string {
	for _, o := range r.Outcomes {
		if o.Why == r.Error {
			return ""
		}
	}
	return r.Error
}
