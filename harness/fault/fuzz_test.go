package fault

import (
	"math"
	"strings"
	"testing"

	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// Whatever figures a fault is given, and whatever window, it turns knobs within their ranges or is refused by a
// sentence that names the range and its unit.
func FuzzTurns(f *testing.F) {
	for i, e := range Catalogue() {
		for p := range max(1, len(e.Parameters)) {
			for _, v := range []float64{0, -1, 1, 0.5, 1e300, math.NaN(), math.Inf(1), math.Inf(-1)} {
				f.Add(i, p, v, int64(signal.Minute))
			}
			if p < len(e.Parameters) {
				f.Add(i, p, e.Parameters[p].Min, int64(0))
				f.Add(i, p, e.Parameters[p].Max, int64(signal.Never))
			}
		}
	}
	f.Fuzz(func(t *testing.T, entry, parameter int, v float64, window int64) {
		list := Catalogue()
		e := list[int(uint(entry)%uint(len(list)))]
		in := Injection{Fault: e.ID, Target: "x", For: signal.Time(window)}
		if e.Awaits != "" {
			if _, err := Turns(in); err == nil {
				t.Fatalf("%s is declared, and acts", e.ID)
			}
			return
		}
		good := window >= 0
		if len(e.Parameters) > 0 {
			p := e.Parameters[int(uint(parameter)%uint(len(e.Parameters)))]
			in.Params = map[string]float64{p.Name: v}
			inside := v >= p.Min && v <= p.Max
			if _, err := Turns(in); good && !inside {
				refuses(t, err, e, p)
			}
			good = good && inside
		}
		turns, err := Turns(in)
		if (err == nil) != good {
			t.Fatalf("%+v: refused is %v, and should be %v: %v", in, err != nil, !good, err)
		}
		for _, turn := range turns {
			limits, ok := knobs[e.DeviceKind][turn.Knob]
			if !ok || !(turn.Value >= limits[0] && turn.Value <= limits[1]) {
				t.Fatalf("%+v turns %q of a %s to %g, which is outside of %v", in, turn.Knob, e.DeviceKind, turn.Value,
					limits)
			}
			if turn.Device != "x" || turn.From < 0 || turn.From >= turn.Until {
				t.Fatalf("%+v gives the turn %+v, which is on another device or has no length", in, turn)
			}
		}
	})
}

// refuses expects the sentence about a parameter out of range.
func refuses(t *testing.T, err error, e Entry, p Parameter) {
	t.Helper()
	if err == nil {
		t.Fatalf("%s accepts a %s outside of %g to %g", e.ID, p.Name, p.Min, p.Max)
	}
	for _, want := range []string{e.ID, p.Name, quantity.Format(p.Min, p.Dim) + " to " +
		quantity.Format(p.Max, p.Dim)} {
		if !strings.Contains(err.Error(), want) {
			t.Fatalf("the refusal of %s does not name %q: %v", e.ID, want, err)
		}
	}
}
