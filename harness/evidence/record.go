package evidence

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"ullage/harness"
	"ullage/harness/console"
	"ullage/harness/outcome"
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// Format and Version mark a run.json; the version changes when a reader of the one before would misread it.
const (
	Format  = "ullage evidence"
	Version = 1
)

// Meta is what a whole run was made with.
type Meta struct {
	Controller string     // what was tested: "simulated", "exec:./program"
	Seed       uint64     // of all draws
	Options    []string   // arguments that a replay needs beside the scenario and the seed
	Worksheet  *Worksheet // of failure modes, to be filled in; nil: the suite has none
}

// Summary is what run.json holds.
type Summary struct {
	Format     string   `json:"format"`
	Version    int      `json:"version"`
	Complete   bool     `json:"complete"` // false: the run is under way or was killed; partial/ holds what it recorded
	Controller string   `json:"controller"`
	Seed       uint64   `json:"seed,string"`
	Totals     Totals   `json:"totals"`
	Scenarios  []Record `json:"scenarios"` // by file, line and name
}

// Totals counts the states of a run.
type Totals struct {
	Scenarios Counts `json:"scenarios"`
	Outcomes  Counts `json:"outcomes"`
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
	Begins   *Moment   `json:"begins"` // end of the Givens; null when it was not reached
	Ran      *Moment   `json:"ran"`    // where the run ended; null when nothing was run
	Outcomes []Outcome `json:"outcomes"`
	Acts     []Act     `json:"acts"`
	Error    string    `json:"error"`
	Replay   string    `json:"replay"` // the command that runs this scenario again
}

// Moment is a time since the beginning of the run.
type Moment struct {
	NS   signal.Time `json:"ns"`
	Text string      `json:"text"`
}

// Outcome is the verdict on one Then. Numbers are in the SI unit; JSON has no infinity: a margin that nothing could
// break is null and "∞" as text.
type Outcome struct {
	Text      string   `json:"text"`
	State     State    `json:"state"`
	Margin    *float64 `json:"margin"`
	Dimension string   `json:"dimension"` // what the margin measures: "length", "duration"
	Unit      string   `json:"unit"`
	ToSpare   string   `json:"to_spare"` // the margin as printed; "" without one
	Allowance *float64 `json:"allowance"`
	Allowed   string   `json:"allowed"` // the allowance as printed; "" without one
	Share     *float64 `json:"share"`   // margin by allowance
	At        *Moment  `json:"at"`
	Signal    string   `json:"signal"`
	Thin      string   `json:"thin"` // held, but lost at a corner of the site's tolerances: which; "" otherwise
	Why       string   `json:"why"`
}

// butThin follows the state of what holds on the site as drawn and is lost at a corner of its tolerances.
const butThin = " but thin"

// result is the state as it is shown.
func (o *Outcome) result() string {
	if o.Thin != "" {
		return o.State.String() + butThin
	}
	return o.State.String()
}

// Act is a fault or a stimulus of a scenario.
type Act struct {
	Text    string   `json:"text"`
	Fault   string   `json:"fault"`  // id in the catalogue; "" for a stimulus
	Target  string   `json:"target"` // the device
	Given   bool     `json:"given"`  // a standing condition
	Began   *Moment  `json:"began"`  // null when it did not
	Windows []Window `json:"windows"`
}

// Window is a stretch during which an act turned at least one knob.
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
	s := &Summary{Format: Format, Version: Version, Complete: true, Controller: meta.Controller, Seed: meta.Seed, Scenarios: []Record{}}
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
			if o.Thin != "" {
				s.Totals.Outcomes.Thin++
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
	s := result.Script
	r := Record{Name: s.Name, Feature: s.Feature, Rule: s.Rule, File: s.File, Line: s.Line, Tags: append([]string{}, s.Tags...), Site: s.Site,
		State: State{result.Worst()}, Outcomes: []Outcome{}, Acts: []Act{}, Replay: replay(s, meta)}
	if result.Err != nil {
		r.Error = result.Err.Error()
	}
	if result.Run != nil {
		r.Begins, r.Ran = moment(result.Run.Begins), moment(result.Run.End)
	}
	for i, v := range result.Verdicts {
		text := ""
		if i < len(s.Outcomes) {
			text = s.Outcomes[i].Text
		}
		r.Outcomes = append(r.Outcomes, newOutcome(text, v))
	}
	for i, a := range s.Acts {
		began := signal.Never
		if result.Run != nil && i < len(result.Run.Acts) {
			began = result.Run.Acts[i]
		}
		r.Acts = append(r.Acts, Act{Text: a.Text, Fault: a.Fault, Target: a.Target, Given: a.Given, Began: moment(began), Windows: windows(a, began)})
	}
	return r
}

func replay(s *harness.Script, meta Meta) string {
	words := []string{"ullage", "run", console.ShellWord(fmt.Sprintf("%s:%d", s.File, s.Line)), "--seed", fmt.Sprint(meta.Seed)}
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

func newOutcome(text string, v outcome.Verdict) Outcome {
	o := Outcome{Text: text, State: State{v.State}, Signal: v.Signal, Thin: v.Thin, Why: v.Why}
	if !o.State.measured() {
		return o
	}
	o.Dimension, o.Unit = quantity.Name(v.Dim), quantity.Unit(v.Dim)
	o.ToSpare = spare(v.Margin, v.Dim)
	if v.Allowance != 0 && !math.IsInf(v.Allowance, 0) && !math.IsNaN(v.Allowance) {
		o.Allowance, o.Allowed = &v.Allowance, quantity.FormatDifferenceIn(v.Allowance, v.Dim, quantity.Metric)
	}
	if math.IsInf(v.Margin, 0) || math.IsNaN(v.Margin) {
		return o
	}
	o.Margin, o.At = &v.Margin, moment(v.At)
	if share, ok := v.Share(); ok && o.Allowance != nil {
		o.Share = &share
	}
	return o
}

// windows joins the turns of an act to the stretches in which it turned something.
func windows(a harness.Act, began signal.Time) []Window {
	list := []Window{}
	for _, s := range spans(a, began) {
		list = append(list, Window{From: *moment(s.from), Until: moment(s.until)})
	}
	return list
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

// tight is one outcome with the scenario it belongs to.
type tight struct {
	Record  *Record
	Outcome *Outcome
}

// tightest ranks the held outcomes by the share of their allowance that was left, the tightest first and counts last.
func (s *Summary) tightest(most int) []tight {
	var list []tight
	for i := range s.Scenarios {
		r := &s.Scenarios[i]
		for j := range r.Outcomes {
			if o := &r.Outcomes[j]; o.State.State == outcome.Held && o.Share != nil {
				list = append(list, tight{r, o})
			}
		}
	}
	sort.SliceStable(list, func(i, j int) bool { return tighter(list[i].Outcome, list[j].Outcome) })
	return list[:min(most, len(list))]
}

// tightest is the outcome that decides about a scenario: of those in the worst state that have a margin, the one that tighter puts
// first; nil when none has a margin.
func (r *Record) tightest() *Outcome {
	var best *Outcome
	for i := range r.Outcomes {
		if o := &r.Outcomes[i]; o.Margin != nil && (best == nil || tighter(o, best)) {
			best = o
		}
	}
	return best
}

// tighter tells whether one outcome says more than another: the one in the worse state, then the one with less of its
// allowance left. "At least 2 times" is kept exactly by nearly every run, so that a count comes after what was measured.
func tighter(a, b *Outcome) bool {
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
