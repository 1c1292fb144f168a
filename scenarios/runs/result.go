package runs

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"slices"
	"strconv"

	"ullage/harness"
	"ullage/harness/outcome"
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// record is a result as JSON. What the job says already is not repeated. Figures are in SI units, times in nanoseconds.
type record struct {
	Verdicts []verdict       `json:"verdicts"`
	Ran      bool            `json:"ran"` // false: nothing was run, and Begins to Changes say nothing
	Begins   signal.Time     `json:"begins"`
	End      signal.Time     `json:"end"`
	Acts     []signal.Time   `json:"acts,omitempty"`
	Balance  number          `json:"balance"`
	Signals  []signal.Signal `json:"signals,omitempty"` // of the trace
	Changes  []change        `json:"changes,omitempty"` // of the trace, in their order
	Error    *failure        `json:"error,omitempty"`
}

type verdict struct {
	State     outcome.State      `json:"state"`
	Margin    float64            `json:"margin"`
	NoMargin  bool               `json:"no_margin,omitempty"`
	Dim       quantity.Dimension `json:"dim"`
	Allowance float64            `json:"allowance"`
	At        signal.Time        `json:"at"`
	Signal    string             `json:"signal,omitempty"`
	Marginal  string             `json:"marginal,omitempty"`
	Short     string             `json:"short,omitempty"`
	Why       string             `json:"why,omitempty"`
}

// change is one of a trace: [time, number of the signal, value].
type change signal.Change

// MarshalJSON writes it.
func (c change) MarshalJSON() ([]byte, error) {
	return json.Marshal([]any{c.At, c.ID, number(c.Value)})
}

// UnmarshalJSON reads it.
func (c *change) UnmarshalJSON(text []byte) error {
	return json.Unmarshal(text, &[]any{&c.At, &c.ID, (*number)(&c.Value)})
}

// tape is a sink that keeps what it receives.
type tape struct {
	signals []signal.Signal
	changes []change
}

// Begin takes the signals.
func (t *tape) Begin(signals []signal.Signal) { t.signals = signals }

// Put takes a change.
func (t *tape) Put(c signal.Change) { t.changes = append(t.changes, change(c)) }

// Close takes the end.
func (t *tape) Close(signal.Time) {}

// failure is an error. What callers distinguish by its type keeps it.
type failure struct {
	Kind string `json:"kind,omitempty"`
	Text string `json:"text"`
}

// The kinds of failure.
const (
	cannot       = "cannot"
	didNotHappen = "did not happen"
)

func newFailure(err error) *failure {
	if err == nil {
		return nil
	}
	f := &failure{Text: err.Error()}
	if _, is := errors.AsType[*harness.CannotError](err); is {
		f.Kind = cannot
	}
	if _, is := errors.AsType[*harness.DidNotHappenError](err); is {
		f.Kind = didNotHappen
	}
	return f
}

// error is the error again, as far as callers can tell.
func (f *failure) error() error {
	switch {
	case f == nil:
		return nil
	case f.Kind == cannot:
		return &harness.CannotError{Reason: f.Text}
	case f.Kind == didNotHappen:
		return &toldError{f.Text, &harness.DidNotHappenError{}}
	}
	return errors.New(f.Text)
}

// toldError is an error of another process: its text, and its type.
type toldError struct {
	text string
	kind error
}

func (e *toldError) Error() string { return e.text }

func (e *toldError) Unwrap() error { return e.kind }

// number is a figure that may be infinite or none, for which JSON has no word: it is a text there.
type number float64

// MarshalJSON writes the shortest text that is read back as the same bits.
func (n number) MarshalJSON() ([]byte, error) {
	text := strconv.AppendFloat(nil, float64(n), 'g', -1, 64)
	if v := float64(n); math.IsInf(v, 0) || math.IsNaN(v) {
		text = append(append([]byte{'"'}, text...), '"')
	}
	return text, nil
}

// UnmarshalJSON reads it.
func (n *number) UnmarshalJSON(text []byte) error {
	if len(text) > 1 && text[0] == '"' {
		text = text[1 : len(text)-1]
	}
	v, err := strconv.ParseFloat(string(text), 64)
	*n = number(v)
	return err
}

// recorded does a job by a runner and writes the result, with its trace where the job asks for it.
func recorded(ctx context.Context, runner Runner, j *Job, watch ...signal.Sink) (*harness.Result, []byte, error) {
	trace := &tape{}
	if j.Trace {
		watch = append(watch, trace)
	}
	r := runner.Run(ctx, j, watch...)
	out := record{Verdicts: make([]verdict, len(r.Verdicts)), Error: newFailure(r.Err), Signals: trace.signals,
		Changes: trace.changes}
	for i, v := range r.Verdicts {
		out.Verdicts[i] = verdict{v.State, v.Margin, v.NoMargin, v.Dim, v.Allowance, v.At, v.Signal, v.Marginal,
			v.Short, v.Why}
	}
	if run := r.Run; run != nil {
		out.Ran, out.Begins, out.End, out.Acts, out.Balance = true, run.Begins, run.End, run.Acts, number(run.Balance)
	}
	text, err := json.Marshal(out)
	return r, text, err
}

// decode reads the result of a job, and lets the sinks watch its trace. Of a run without a trace the trace is empty.
func decode(j *Job, text []byte, watch ...signal.Sink) (*harness.Result, error) {
	var in record
	if err := json.Unmarshal(text, &in); err != nil {
		return nil, err
	}
	script, _ := j.Script()
	r := &harness.Result{Script: script, Err: in.Error.error()}
	for _, v := range in.Verdicts {
		r.Verdicts = append(r.Verdicts, outcome.Verdict{State: v.State, Margin: v.Margin, NoMargin: v.NoMargin,
			Dim: v.Dim, Allowance: v.Allowance, At: v.At, Signal: v.Signal, Marginal: v.Marginal, Short: v.Short,
			Why: v.Why})
	}
	if in.Ran {
		r.Run = &harness.Run{Trace: in.trace(watch), Verdicts: slices.Clone(r.Verdicts), Begins: in.Begins, End: in.End,
			Acts: in.Acts, Balance: float64(in.Balance)}
		r.Run.Site, _ = script.SiteOf(j.sites) // it was one when the run was made
	}
	return r, nil
}

// trace is what the record says of the signals, with the sinks watching.
func (r *record) trace(watch []signal.Sink) *signal.Trace {
	t := signal.NewTrace()
	for _, s := range r.Signals {
		t.Declare(s)
	}
	for _, sink := range watch {
		t.Watch(sink)
	}
	for _, c := range r.Changes {
		t.Put(signal.Change(c))
	}
	t.Close(r.End)
	return t
}
