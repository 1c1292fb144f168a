package stand_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ullage/fakes/stand"
	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// Whatever happens to a supply, and to the coils on it, site and controller come to rest at every moment: a supply that
// sags, a controller that resets, and coils that let go must not answer each other for ever.
func TestSupplyAndControllerComeToRest(t *testing.T) {
	knobs := []struct {
		name     string
		min, max float64
	}{{"voltage factor", 0, 1.5}, {"internal resistance", 0, 60}, {"charge", 0, 1}}
	coils := []struct {
		name     string
		min, max float64
	}{{"coil short", 1, 1}, {"coil lead", 0, 200}, {"leads swapped", 1, 1}, {"plunger jammed", 1, 1}}
	rapid.Check(t, func(rt *rapid.T) {
		name := rapid.SampledFrom([]string{"allotment", "court-garden", "fish-house-sump"}).Draw(rt, "site")
		site := read(t, name)
		script := &harness.Script{Name: "power comes and goes", Site: name,
			End:   harness.Moment{Plus: 20 * signal.Minute},
			Start: []sitefile.Setting{{Path: "controller/settings/clock", Text: "Monday 05:50"}}}
		if name == "court-garden" {
			script.Start[0].Text = "Monday 04:55"
		}
		for range rapid.IntRange(1, 6).Draw(rt, "acts") {
			turn := fault.Turn{Device: harness.PowerName}
			if len(site.Contacts) > 0 && rapid.Bool().Draw(rt, "return") {
				script.Acts = append(script.Acts,
					harness.Act{Turns: []fault.Turn{{Device: rapid.SampledFrom(site.Contacts).Draw(rt, "contact").Name,
						Knob: "return", Value: rapid.Float64Range(0.1, 1000).Draw(rt, "ohms"), Until: signal.Never}}})
			}
			k := rapid.SampledFrom(knobs).Draw(rt, "knob")
			if rapid.Bool().Draw(rt, "coil") {
				k = rapid.SampledFrom(coils).Draw(rt, "coil knob")
				turn.Device = rapid.SampledFrom(site.Valves).Draw(rt, "valve").Name
			} else if k.name == "charge" && site.Power.Battery == nil {
				continue
			}
			turn.Knob, turn.Value = k.name, rapid.Float64Range(k.min, k.max).Draw(rt, "value")
			turn.From = signal.Time(rapid.Int64Range(0, int64(15*signal.Minute)).Draw(rt, "from"))
			turn.Until = turn.From + signal.Time(rapid.Int64Range(1, int64(5*signal.Minute)).Draw(rt, "for"))
			script.Acts = append(script.Acts, harness.Act{Mark: "act", Turns: []fault.Turn{turn}})
		}
		for i := range script.Acts {
			script.Acts[i].Mark = string(rune('a' + i))
		}
		st, err := stand.Builder(func(string) (*sitefile.Site, error) { return site, nil },
			stand.Simulated())(context.Background(), script)
		require.NoError(rt, err)
		_, err = st.Run(context.Background(), script)
		require.NoError(rt, err)
	})
}
