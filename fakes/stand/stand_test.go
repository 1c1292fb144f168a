package stand_test

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/stand"
	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/outcome"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// builder builds simulated stands of the shipped sites.
func builder(t testing.TB) harness.Builder {
	return stand.Builder(func(name string) (*sitefile.Site, error) { return read(t, name), nil }, stand.Simulated())
}

func run(t testing.TB, script *harness.Script) *harness.Run {
	s, err := builder(t)(t.Context(), script)
	require.NoError(t, err)
	r, err := s.Run(context.Background(), script)
	require.NoError(t, err)
	return r
}

func day(site string) *harness.Script {
	return &harness.Script{Name: "an ordinary day", Site: site, End: harness.Moment{Plus: signal.Day}}
}

// shippedSites are the names of the sites that are shipped.
func shippedSites() []string {
	files, _ := filepath.Glob("../../features/sites/*.yaml")
	for i, f := range files {
		files[i] = strings.TrimSuffix(filepath.Base(f), ".yaml")
	}
	return files
}

func TestAnOrdinaryDay(t *testing.T) {
	for _, site := range shippedSites() {
		t.Run(site, func(t *testing.T) {
			r := run(t, day(site))
			assert.InDelta(t, 0, r.Balance, 1e-6, "the water of the day does not balance")
			id, _ := r.Trace.Find("site.lost")
			assert.Less(t, r.Trace.At(id, r.End), 0.02, "more than twenty litres are lost on an ordinary day")
			for i, s := range r.Trace.Signals() {
				if s.Shape != signal.Event {
					assert.NotEmpty(t, r.Trace.Column(signal.ID(i)).At, "%s is declared and never recorded", s.Name())
				}
			}
		})
	}
}

// With its programme at 06:00 and 18:00 for 20 minutes the pump of Tern Lane gives 48 emitters of 2 L/h: about 32 L
// each time.
func TestTernLaneFollowsItsProgramme(t *testing.T) {
	r := run(t, day("tern-lane"))
	id, _ := r.Trace.Find("drip.command")
	c := r.Trace.Column(id)
	assert.Equal(t, []signal.Time{0, 6 * signal.Hour, 6*signal.Hour + 20*signal.Minute, 18 * signal.Hour,
		18*signal.Hour + 20*signal.Minute}, c.At)
	level, _ := r.Trace.Find("header-tank.level")
	used := (r.Trace.At(level, 7*signal.Hour) - r.Trace.At(level, 5*signal.Hour)) * 0.5
	assert.InDelta(t, -32e-3, used, 1e-3, "the tank has given %g m³ to the drip lines", -used)
}

// The record of what a probe puts on its terminal reaches to the end of the run, though nothing happens there.
func TestTerminalsAreRecordedToTheEnd(t *testing.T) {
	script := day("tern-lane")
	script.End.Plus = 2*signal.Hour + 25*signal.Minute
	r := run(t, script)
	terminal, _ := r.Trace.Find("bed-probe.terminal")
	moisture, _ := r.Trace.Find("bed-probe.moisture")
	for _, at := range []signal.Time{signal.Hour / 2, 2 * signal.Hour, r.End} {
		// V, by the probe's two points; 1 kohm into 1 Mohm takes a part in 1001
		open := 2.30 - (r.Trace.At(moisture, at)-0.05)/0.40*1.20
		assert.InDelta(t, open*1000/1001, r.Trace.At(terminal, at), 1e-6, "the voltage at the probe's terminal at %v",
			at)
	}
}

// A sump of 0.06 m² with a quick valve must not take more steps than a nursery does.
func TestStiffSitesTakeFewSteps(t *testing.T) {
	for _, site := range shippedSites() {
		script := day(site)
		tanks := read(t, site).Tanks
		if len(tanks) == 0 {
			continue
		}
		tank := tanks[0].Name
		script.Acts = []harness.Act{{Mark: "used",
			Turns: []fault.Turn{{Device: tank, Knob: "draw", Value: 0.5e-3 / 60, Until: signal.Never}}}}
		r := run(t, script)
		id, _ := r.Trace.Find(tank + ".level")
		assert.Less(t, len(r.Trace.Column(id).At), 8000, "the day of %s takes too many steps", site)
		t.Log(site, len(r.Trace.Column(id).At))
	}
}

// Everything that is recorded, as text to the last bit.
func bytesOf(r *harness.Run) string {
	text := fmt.Sprintln(r.Begins, r.End, r.Acts, r.Balance)
	for i, s := range r.Trace.Signals() {
		c := r.Trace.Column(signal.ID(i))
		text += fmt.Sprintf("%s %v %x\n", s.Name(), c.At, c.Value)
	}
	return text
}

func TestSameRunSameBytes(t *testing.T) {
	require.Equal(t, bytesOf(run(t, busyDay())), bytesOf(run(t, busyDay())), "the same script has left another trace")
	other := busyDay()
	other.Seed = 1
	require.NotEqual(t, bytesOf(run(t, busyDay())), bytesOf(run(t, other)),
		"another seed must place the bounces elsewhere")
}

// A supply that fails while the tank fills: the controller must give up at its longest run and say so.
func TestProveAFault(t *testing.T) {
	script := &harness.Script{Name: "the mains fails", Site: "tern-lane",
		End:   harness.Moment{Act: 1, Plus: 3 * signal.Hour},
		Start: []sitefile.Setting{{Path: "tanks/header-tank/starts", Text: "240 mm"}},
		Acts: []harness.Act{{Text: "the mains fails", Mark: "failed", When: harness.Moment{Plus: signal.Minute},
			Turns: []fault.Turn{{Device: "mains", Knob: "pressure factor", Value: 0, Until: signal.Never}}}},
		Outcomes: []outcome.Outcome{
			{Property: outcome.TurnsWithin(outcome.Mark("failed"), 26*signal.Minute,
				outcome.Condition{Signal: "top-up.open", Is: outcome.Off})},
			{Property: outcome.None(outcome.Event{Condition: outcome.Condition{Signal: "cloud.alert spill",
				Is: outcome.On}})},
		}}
	r := harness.ClosedLoop{}.Prove(context.Background(), builder(t), script)
	require.NoError(t, r.Err)
	assert.Equal(t, outcome.Held, r.Verdicts[0].State, r.Verdicts[0].Why)
	assert.Equal(t, outcome.NotExercised, r.Verdicts[1].State, "less water brings no float nearer to the alert")
}

// A run that breaks off between two steps of the site ends with its error, and keeps what it has recorded.
func TestARunThatBreaksOff(t *testing.T) {
	script := day("tern-lane")
	script.Acts = []harness.Act{{Mark: "too much", When: harness.Moment{Plus: signal.Minute},
		Turns: []fault.Turn{{Device: "mains", Knob: "pressure factor", Value: 7, Until: signal.Second}}}}
	s, err := builder(t)(t.Context(), script)
	require.NoError(t, err)
	r, err := s.Run(context.Background(), script)
	require.ErrorContains(t, err, "pressure factor")
	assert.Equal(t, signal.Minute, r.End)
	id, _ := r.Trace.Find("wifi.session")
	assert.NotEmpty(t, r.Trace.Column(id).At, "what was recorded until then must be kept")
}

func TestStandsThatCannotBeBuilt(t *testing.T) {
	for _, setting := range []sitefile.Setting{
		{Path: "tanks/no-such-tank/starts", Text: "1 m"},
		{Path: "tanks/header-tank/starts", Text: "5 L"},
		{Path: "tanks/header-tank/starts", Text: "3 m"},
	} {
		script := day("tern-lane")
		script.Start = []sitefile.Setting{setting}
		_, err := builder(t)(t.Context(), script)
		require.Error(t, err, "a starting state of %v must be refused", setting)
	}
}

// The site that several runs are built from stays as it is.
func TestBuildingChangesNoSite(t *testing.T) {
	s := read(t, "tern-lane")
	build := stand.Builder(func(string) (*sitefile.Site, error) { return s, nil }, stand.Simulated())
	script := day("tern-lane")
	script.Start = []sitefile.Setting{{Path: "tanks/header-tank/starts", Text: "240 mm"}}
	_, err := build(t.Context(), script)
	require.NoError(t, err)
	assert.Equal(t, 0.6, s.Tanks[0].Starts.SI, "the starting state of one run has leaked into the site")
}
