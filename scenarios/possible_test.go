package scenarios_test

import (
	"fmt"
	"slices"
	"testing"

	"ullage/harness"
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// TestEveryRunIsPossible looks at every change of every shipped scenario for what no site and no controller can do,
// whatever the fault: a record may be wrong in many ways and still give the margin that it gave before.
func TestEveryRunIsPossible(t *testing.T) {
	if testing.Short() {
		t.Skip("runs the whole suite; the run of the shipped features shows the races")
	}
	for _, r := range suite(t) {
		t.Run(fmt.Sprintf("%s:%d", r.Script.File, r.Script.Line), func(t *testing.T) {
			t.Parallel()
			record := recordOf(r)
			for name, law := range laws {
				if broken := law(record); broken != "" {
					t.Errorf("%s: %s: %s", r.Script.Name, name, broken)
				}
			}
		})
	}
}

// record is the trace of a run by the names of its signals.
type record struct {
	run   *harness.Run
	trace *signal.Trace
}

func recordOf(r *harness.Result) record { return record{r.Run, r.Run.Trace} }

// each calls a function for every signal with a quantity.
func (r record) each(quantity string, f func(device string, c signal.Column)) {
	for id, s := range r.trace.Signals() {
		if s.Quantity == quantity {
			f(s.Device, r.trace.Column(signal.ID(id)))
		}
	}
}

// at is the value of a signal at a moment; ok is false when the run has no such signal.
func (r record) at(name string, at signal.Time) (value float64, ok bool) {
	id, ok := r.trace.Find(name)
	if !ok {
		return 0, false
	}
	return r.trace.At(id, at), true
}

// laws hold in every run; each says what breaks it, "" when nothing does.
var laws = map[string]func(record) string{
	"time runs forward, to the end of the run, and states are 0 or 1": func(r record) (broken string) {
		for id, s := range r.trace.Signals() {
			c := r.trace.Column(signal.ID(id))
			for i, at := range c.At {
				switch {
				case at < 0 || at > r.run.End || i > 0 && at < c.At[i-1]:
					return fmt.Sprintf("%s at %v in a run that ends at %v", s.Name(), at, r.run.End)
				case s.Dim == quantity.State && s.Shape == signal.Held && c.Value[i] != 0 && c.Value[i] != 1:
					return fmt.Sprintf("%s is %g at %v", s.Name(), c.Value[i], at)
				case s.Shape == signal.Held && i > 0 && c.Value[i] == c.Value[i-1]:
					return fmt.Sprintf("%s is recorded at %v without a change", s.Name(), at)
				}
			}
		}
		return ""
	},
	"a disc is between its seat and fully open, and a valve open exactly while it is off its seat or leaving it": func(r record) (broken string) {
		r.each("disc", func(valve string, c signal.Column) {
			for i, at := range c.At {
				if c.Value[i] < 0 || c.Value[i] > 1 {
					broken = fmt.Sprintf("the disc of %s is at %g at %v", valve, c.Value[i], at)
				}
				if open, ok := r.at(valve+".open", at); !ok || c.Value[i] > 0 && open == 0 {
					broken = fmt.Sprintf("%s is said to be shut at %v with its disc at %g", valve, at, c.Value[i])
				}
			}
		})
		return broken
	},
	"what has run through, has been lost or has spilled never becomes less": func(r record) (broken string) {
		for id, s := range r.trace.Signals() {
			held := slices.Contains([]string{"water", "stored", "air"}, s.Quantity) // and not run through
			if s.Dim != quantity.Volume || held || flowsBack(r, s.Device) {
				continue
			}
			c := r.trace.Column(signal.ID(id))
			for i := 1; i < len(c.At); i++ {
				if c.Value[i] < c.Value[i-1]-1e-9 {
					return fmt.Sprintf("%s falls from %g to %g m³ at %v", s.Name(), c.Value[i-1], c.Value[i], c.At[i])
				}
			}
		}
		return ""
	},
	"a controller commands nothing without power": func(r record) (broken string) {
		r.each("command", func(output string, c signal.Column) {
			for i, at := range c.At {
				before, ok := r.at("controller.powered", at-1) // a command may be what takes its own supply down
				if powered, _ := r.at("controller.powered", at); ok && before+powered == 0 && c.Value[i] == 1 {
					broken = fmt.Sprintf("%s is commanded at %v, when the controller has no power", output, at)
				}
			}
		})
		return broken
	},
	"no alert arrives that was not sent before": func(r record) (broken string) {
		for _, alert := range harness.AlertNames() {
			sent, _ := r.trace.Find(signal.Controller.Alert(alert).Name())
			arrived, ok := r.trace.Find(signal.Cloud.Alert(alert).Name())
			if !ok {
				continue
			}
			first := func(id signal.ID) signal.Time { return append(r.trace.Column(id).At, signal.Never)[0] }
			if first(arrived) < first(sent) {
				broken = fmt.Sprintf("%q arrives at %v and is sent at %v", alert, first(arrived), first(sent))
			}
		}
		return broken
	},
	"the water balances": func(r record) string {
		if r.run.Balance > 1e-6 || r.run.Balance < -1e-6 {
			return fmt.Sprintf("out by %g of what moved", r.run.Balance)
		}
		return ""
	},
	"a run begins after its Givens and ends after it began, and whatever the script does is marked": func(r record) string {
		if r.run.Begins < 0 || r.run.End <= r.run.Begins {
			return fmt.Sprintf("observed from %v to %v", r.run.Begins, r.run.End)
		}
		marks := 0
		for id, s := range r.trace.Signals() {
			if _, mark := signal.Script.CutMark(s.Name()); mark && s != signal.Script.Begins() {
				marks += len(r.trace.Column(signal.ID(id)).At)
			}
		}
		if marks != len(r.run.Acts) {
			return fmt.Sprintf("%d acts and %d marks", len(r.run.Acts), marks)
		}
		return ""
	},
}

// flowsBack reports whether water has run backwards through a device, whose meter then counts down.
func flowsBack(r record, device string) bool {
	id, ok := r.trace.Find(device + ".flow")
	if !ok {
		return false
	}
	for _, v := range r.trace.Column(id).Value {
		if v < 0 {
			return true
		}
	}
	return false
}
