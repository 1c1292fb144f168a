package flows_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/cmd/ullage/internal/flows"
	"ullage/harness/quantity"
)

// sound is a site without a warning: a pump in a cistern waters a bed through a regulator, the mains water it too, and
// fill the cistern.
const sound = `supplies: [{name: mains, static: 4 bar, residual: 3.8 bar, at: 20 L/min}]
valves:
  - {name: master, from: mains, capacity: 10 m3/h, opens: 1 s, closes: 1 s, ` + coil + `}
  - {name: spray, from: master, capacity: 3 m3/h, opens: 1 s, closes: 1 s, ` + coil + `}
  - {name: top-up, from: master, capacity: 3 m3/h, opens: 1 s, closes: 1 s, ` + coil + `}
pumps: [{name: pump, from: cistern, curve: [{flow: 0 L/min, head: 30 m}, {flow: 20 L/min, head: 20 m}], dry-below: 50 mm, ` + coil + `}]
pipes:
  - {name: main, from: spray, length: 10 m, bore: 26 mm}
  - {name: riser, from: regulator, length: 5 m, bore: 16 mm, height: 1.5 m}
regulators: [{name: regulator, from: pump, sets: 1 bar, capacity: 3 m3/h}]
outlets:
  - {name: nozzles, from: main, count: 4, flow: 2 L/min, at: 3 bar, height: 0 m, onto: bed}
  - {name: inlet, from: top-up, flow: 20 L/min, at: 3 bar, into: cistern, air-gap: 50 mm, height: 1.1 m}
laterals:
  - {name: drip, from: riser, lines: 5, emitters: 20, spacing: 300 mm, bore: 13.6 mm, flow: 2 L/h, at: 1 bar, onto: bed}
beds:
  - {name: bed, area: 10 m2, depth: 200 mm, texture: sandy loam, starts: 26 %, evapotranspiration: 5 mm/day}
tanks: [{name: cistern, length: 1 m, width: 1 m, rim: 1 m, standpipe: {crest: 900 mm, bore: 50 mm}, starts: 500 mm}]
contacts:
  - {name: low, in: cistern, operates: 200 mm, releases: 250 mm, normally: open}
  - {name: high, in: cistern, operates: 800 mm, releases: 750 mm, normally: open}
`

const soundSettings = `    fill: {valve: top-up, with: [master], low: low, high: high, debounce: 1 s, longest-run: 1 h, attempts: 3, pause: 1 min}
    interlock: {pump: pump, blocked-by: low}
    programmes: [{zone: spray, with: [master], starts: ["06:00"], run: 10 min}, {zone: pump, starts: ["06:05"], run: 20 min}]
`

func TestWarnings(t *testing.T) {
	tests := []struct {
		name     string
		old, new string // what is changed in the sound site or its settings
		says     []string
	}{
		{"nothing", "", "", nil},
		{"a pilot-operated valve far too large for its flow", "name: spray, from: master, capacity: 3 m3/h,",
			"name: spray, from: master, capacity: 3 m3/h, operates: pilot,",
			[]string{
				"spray: fully open it would take 0.03 bar with spray open, less than the 0.30 bar that hold its disc up",
			}},
		{"the master valve is forgotten", "zone: spray, with: [master]", "zone: spray", []string{
			"no water comes to nozzles with spray open: master is not opened with it"}},
		{"a zone that no rule waters", `{zone: spray, with: [master], starts: ["06:00"], run: 10 min}, `, "", []string{
			"no water comes to nozzles: no rule opens spray"}},
		{"drippers that compensate to less than they get",
			"emitters: 20, spacing: 300 mm, bore: 13.6 mm, flow: 2 L/h, at: 1 bar,",
			"emitters: 20, spacing: 300 mm, bore: 13.6 mm, flow: 2 L/h, at: 0.7 bar, compensates: {from: 0.3 bar, to: 0.7 bar},", []string{
				"drip: 0.85 bar with pump open, above 0.70 bar, the most that it is made for"}},
		{"nozzles too high up", "at: 3 bar, height: 0 m", "at: 3 bar, height: 20 m", []string{
			"nozzles: 2.00 bar with spray open, below 2.40 bar",
			"nozzles: 1.65 bar with top-up + spray open, below 2.40 bar, 80 % of the pressure that its flow is given at"}},
		{"nozzles that work from more", "at: 3 bar, height: 0 m", "at: 3 bar, works-above: 3.7 bar, height: 0 m",
			[]string{
				"nozzles: 3.52 bar with top-up + spray open, below 3.70 bar, from which it works"}},
		{"drip that compensates from little", "at: 1 bar, onto",
			"at: 1 bar, compensates: {from: 0.3 bar, to: 3 bar}, onto", nil},
		{"a narrow pipe", "length: 10 m, bore: 26 mm", "length: 10 m, bore: 10 mm", []string{
			"main: 1.82 m/s with spray open, above 1.50 m/s"}},
		{"a pump too small", "{flow: 0 L/min, head: 30 m}, {flow: 20 L/min, head: 20 m}",
			"{flow: 0 L/min, head: 9 m}, {flow: 3 L/min, head: 8 m}", []string{
				"regulator does not regulate with pump open: 0.84 bar behind it, too little before it", "drip: 0.69 bar"}},
		{"a pump past its curve", "{flow: 20 L/min, head: 20 m}", "{flow: 2 L/min, head: 28 m}", []string{
			"pump gives 3.1 L/min with pump open, past the end of its curve"}},
		{"a pump against a closed line", "height: 1.5 m", "height: 50 m", []string{
			"pump runs against a closed line with pump open", "no water comes to drip with pump open: the pressure before it does not suffice"}},
		{"a pump without its valve", "{name: drip, from: riser", "{name: drip, from: spray", []string{
			"pump runs against a closed line with pump open"}},
		{"a pump that draws air", "starts: 500 mm}", "starts: 40 mm}", []string{
			"pump draws air with pump open", "no water comes to drip with pump open", "pump: low stops the pump after 0 s of a run (programme)"}},
		{"a run that empties the tank", "run: 20 min", "run: 5 h", []string{
			"pump: low stops the pump after 1 h 37 min 41 s of a run (programme)"}},
		{"water drawn up over a hump", "{name: main, from: spray, length: 10 m, bore: 26 mm}",
			"{name: main, from: spray, length: 10 m, bore: 26 mm, height: 42 m}", []string{
				"main: 0.20 bar below the pressure of the air with spray open", "main: 0.59 bar below the pressure of the air with top-up + spray open"}},
		{"an outlet that nothing shuts", "from: main, count: 4", "from: mains, count: 4", []string{
			"nozzles runs with every valve shut and every pump off"}},
		{"a fill that takes too long", "longest-run: 1 h", "longest-run: 20 min", []string{
			"a fill of cistern takes 27 min 55 s, more than the longest run of 20 min"}},
		{"a narrow overflow", "bore: 50 mm}", "bore: 15 mm}", []string{
			"the overflow of cistern does not carry the full inflow: 12.6 L/min goes over the rim",
			"the overflow of cistern, half blocked, does not carry the full inflow: 17.0 L/min goes over the rim"}},
		{"an overflow that leaves little room", "standpipe: {crest: 900 mm", "standpipe: {crest: 975 mm", []string{
			"the overflow of cistern, half blocked, leaves 6 mm to the rim at the full inflow"}},
		{"no overflow", ", standpipe: {crest: 900 mm, bore: 50 mm}", "",
			[]string{"cistern has no overflow: 21.5 L/min goes over the rim 9 min 18 s after full"}},
		{"an inlet that hangs in the water", "air-gap: 50 mm", "dips: 100 mm", []string{
			"inlet dips into cistern: no backflow preventer of fluid category 5 keeps its water out of mains"}},
		{"long lines of drip", "lines: 5, emitters: 20, spacing: 300 mm, bore: 13.6 mm",
			"lines: 1, emitters: 150, spacing: 1 m, bore: 8 mm", []string{
				"drip: 0.15 bar with pump open, below 0.80 bar, 80 % of the pressure that its flow is given at", "pump waters unevenly: lower quarter 7"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			require.Equal(t, tt.old != "", strings.Contains(sound+soundSettings, tt.old) && tt.old != "",
				"the test changes nothing")
			change := func(text string) string {
				if tt.old == "" {
					return text
				}
				return strings.Replace(text, tt.old, tt.new, 1)
			}
			r := of(t, read(t, change(sound), []string{"master", "spray", "top-up", "pump"}, []string{"low", "high"},
				change(soundSettings)))
			var texts []string
			for _, w := range r.Warnings {
				texts = append(texts, w.Text(quantity.Metric))
			}
			assert.Len(t, texts, len(tt.says), "%q", texts)
			for i, says := range tt.says {
				if i < len(texts) {
					assert.Contains(t, texts[i], says)
				}
			}
		})
	}
}

// TestHighestPressure: an overflow has to carry what the mains give at their highest, the rest is computed as drawn.
func TestHighestPressure(t *testing.T) {
	at := func(static string) (tank flows.Tank, inlet *flows.Part) {
		site := strings.Replace(sound, "static: 4 bar, residual: 3.8 bar", "static: "+static+", residual: 3.8 bar", 1)
		r := of(t, read(t, site, []string{"master", "spray", "top-up", "pump"}, []string{"low", "high"}, soundSettings))
		return r.Tanks[0], part(t, set(t, r, "top-up"), "inlet")
	}
	tank, inlet := at("4.5 bar ± 0.5 bar")
	_, drawn := at("4.5 bar")
	assert.Equal(t, drawn.Flow, inlet.Flow, "the tolerance of the mains changes what flows as drawn")
	assert.InEpsilon(t, 1.06*float64(inlet.Flow), float64(tank.Inflow), 0.01,
		"a ninth more pressure gives an eighteenth more flow")
	assert.Less(t, float64(*tank.Fill.Lasts)*float64(tank.Fill.Begin), 0.6+1e-9,
		"the fill is computed at the highest pressure")

	night, _ := at("4.5 bar, daily: [{from: '06:00', share: 90 %}, {from: '22:00', share: 120 %}]")
	assert.InEpsilon(t, 1.10*float64(inlet.Flow), float64(night.Inflow), 0.01, "the mains are highest at night")
}

// TestPreventerOfTheCategory: an outlet that hangs in a tank is told unless a preventer of the category of its water
// holds it.
func TestPreventerOfTheCategory(t *testing.T) {
	for kind, warned := range map[string]bool{"type: BA, category: 4": true, "type: DC, category: 5": false} {
		site := strings.Replace(sound, "air-gap: 50 mm", "dips: 100 mm", 1)
		site = strings.Replace(site, "{name: master, from: mains", "{name: master, from: preventer", 1) +
			"backflow-preventers: [{name: preventer, from: mains, " + kind + ", capacity: 20 m3/h}]\n"
		r := of(t, read(t, site, []string{"master", "spray", "top-up", "pump"}, []string{"low", "high"}, soundSettings))
		told := slices.ContainsFunc(r.Warnings, func(w flows.Warning) bool { return w.Kind == "backflow" })
		assert.Equal(t, warned, told, "water of fluid category 5 behind a preventer of %s", kind)
	}
}

// TestTankJoinedWithTheMains: a pump whose pipes are joined with those of the mains presses the tank's water back.
func TestTankJoinedWithTheMains(t *testing.T) {
	for preventer, warned := range map[string]bool{"": true, "type: BA, category: 4": true,
		"type: DC, category: 5": false} {
		site := sound + "throttles: [{name: tap, from: mains, capacity: 3 m3/h, set: 100 %}]\n"
		site = strings.Replace(site, "pipes:\n",
			"pipes:\n  - {name: link, from: pump, joins: tap, length: 2 m, bore: 20 mm}\n", 1)
		if preventer != "" {
			site = strings.Replace(site, "{name: tap, from: mains", "{name: tap, from: preventer", 1) +
				"backflow-preventers: [{name: preventer, from: mains, " + preventer + ", capacity: 20 m3/h}]\n"
		}
		r := of(t, read(t, site, []string{"master", "spray", "top-up", "pump"}, []string{"low", "high"}, soundSettings))
		told := slices.ContainsFunc(r.Warnings, func(w flows.Warning) bool {
			return w.Kind == "backflow" &&
				w.Part == "cistern"
		})
		assert.Equal(t, warned, told, "a cistern that is joined with the mains behind %q", preventer)
	}
}

// TestPilotThatNothingLifts: fully open a narrow valve would take enough to stay up, and yet what stands before it
// while it is shut does not lift it.
func TestPilotThatNothingLifts(t *testing.T) {
	for level, lifted := range map[string]bool{"900 mm": false, "2800 mm": false, "3200 mm": true} {
		r := of(
			t,
			read(
				t,
				`tanks: [{name: tank, length: 1 m, width: 1 m, rim: 4 m, standpipe: {crest: 3900 mm, bore: 50 mm}, starts: `+level+`}]
valves: [{name: drip, from: tank, capacity: 0.3 m3/h, opens: 1 s, closes: 1 s, operates: pilot, opens-at: 0.3 bar, `+coil+`}]
outlets: [{name: drippers, from: drip, count: 10, flow: 2 L/min, at: 0.1 bar, works-above: 0 bar}]
`,
				[]string{"drip"},
				nil,
				"    programmes: [{zone: drip, starts: [\"06:00\"], run: 10 min}]\n",
			),
		)
		told := slices.ContainsFunc(r.Warnings, func(w flows.Warning) bool {
			return w.Kind == "pilot" && strings.Contains(w.Text(quantity.Metric), "lift its disc")
		})
		assert.Equal(t, !lifted, told, "a valve that 0.3 bar lifts, %s of water above it", level)
	}
}
