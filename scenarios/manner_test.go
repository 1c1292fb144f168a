package scenarios

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness/fault"
	"ullage/harness/signal"
)

const s = signal.Second

func TestManners(t *testing.T) {
	for _, c := range []struct {
		step  string
		turns []fault.Turn
		after signal.Time // the event that it is tied to
	}{
		{`every 10 min, 3 times, the power goes off for 2 s`, []fault.Turn{
			{Device: "power", Knob: "voltage factor", Until: 2 * s},
			{Device: "power", Knob: "voltage factor", From: 600 * s, Until: 602 * s},
			{Device: "power", Knob: "voltage factor", From: 1200 * s, Until: 1202 * s}}, 0},
		{`30 s into the fill, every 1 min, 2 times, the controller restarts`, []fault.Turn{
			{Device: "controller", Knob: "reset", Value: 1, Until: s},
			{Device: "controller", Knob: "reset", Value: 1, From: 60 * s, Until: 61 * s}}, 30 * s},
		{`every 2 min, 2 times, "sprays" is started remotely for 10 min`, []fault.Turn{
			{Device: "cloud", Knob: "start sprays", Value: 600, Until: s},
			{Device: "cloud", Knob: "start sprays", Value: 600, From: 120 * s, Until: 121 * s}}, 0},
		{`gradually over 5 min, the supply voltage falls to 60 % for 10 min`, []fault.Turn{
			{Device: "power", Knob: "voltage factor", Value: 0.6, Until: 600 * s, Over: 300 * s}}, 0},
		{`10 s after a fill begins, gradually over 1 h, the supply "mains" falls to 40 % of its pressure`, []fault.Turn{
			{Device: "mains", Knob: "pressure factor", Value: 0.4, Until: signal.Never, Over: 3600 * s}}, 10 * s},
		{`as the valve "top-up" begins to close, the valve "top-up" sticks 5 % open for 20 min`, []fault.Turn{
			{Device: "top-up", Knob: "held open", Value: 0.05, Until: 1200 * s}}, 0},
	} {
		script, problems := compile(t, `Given the site "tern-lane"`, "When "+c.step, "And 1 hour passes",
			"Then no alert arrives")
		require.Empty(t, problems, c.step)
		assert.Equal(t, c.turns, script.Acts[0].Turns, c.step)
		assert.Equal(t, c.after, script.Acts[0].After, c.step)
	}
}

func TestMannersThatCannotBe(t *testing.T) {
	for step, want := range map[string]string{
		`When every 10 s, 3 times, the power goes off for 20 s`:                                              "it happens again every 10 s and lasts 20 s",
		`When every 10 min, 3 times, the power goes off`:                                                     "it happens again every 10 min and lasts to the end of the run",
		`When every 10 min, 1 times, the power goes off for 2 s`:                                             "2 to 1000 times",
		`When every 10 min, 2000 times, the power goes off for 2 s`:                                          "2 to 1000 times",
		`When every now and then, the power goes off for 2 s`:                                                "every <duration>, <count> times",
		`When gradually over 5 bar, the supply voltage falls to 60 %`:                                        "5 bar",
		`When gradually over 5 min, the power goes off for 10 min`:                                           "this cannot come gradually",
		`When gradually over 5 min, "sprays" is started remotely for 10 min`:                                 "this cannot come gradually",
		`When the supply "mains" falls to 30 % of its pressure within 30 min for 10 min`:                     "expected a longer window",
		`When the supply voltage sags to 50 % over 5 min for 1 min`:                                          "expected a longer window",
		`When gradually over 5 min, the supply voltage falls to 60 % for 3 min`:                              "expected a longer window",
		`When gradually over 5 min, the contact "tank-high" bounces for 157 ms with 20 edges at each change`: "this cannot come gradually",
		`Given gradually over 5 min, the supply voltage falls to 60 %`:                                       "has been there all along",
		`When the controller restarts every 1 s for 10 min`:                                                  "controller.reboot-loop: the every is 1 s; expected 2 s to 10 min",
		`When the millisecond counter reaches 2^30 in 10 min`:                                                "expected 31 to 32",
		`When the supply dips to 40 % for 6 s`:                                                               "power.dip: the length is 6 s; expected 1 ms to 5 s",
		`Given the Wi-Fi is weak`:                                                                            "wifi.weak is listed, not yet simulated: it waits for the simulation of packets",
	} {
		_, problems := compile(t, `Given the site "tern-lane"`, step, "When 1 hour passes", "Then no alert arrives")
		require.NotEmpty(t, problems, step)
		assert.Contains(t, problems.Error(), want, step)
	}
}

// What has been there all along is so and not otherwise; what comes in the story may come on top of it.
func TestStandingConditionsDoNotContradict(t *testing.T) {
	jammed := []string{`Given the site "tern-lane"`, `And the float of "tank-low" jams operated`}
	rest := []string{"When 1 hour passes", "Then no alert arrives"}
	_, problems := compile(t, append(append(jammed, `And the float of "tank-low" jams released`), rest...)...)
	require.NotEmpty(t, problems)
	assert.Contains(t, problems.Error(),
		`"the float of \"tank-low\" jams operated" has been there all along already, and is about the same thing`)
	for _, more := range []string{`And the float of "tank-high" jams released`, `And the lead of "tank-low" breaks`,
		`When the float of "tank-low" jams released`} {
		_, problems = compile(t, append(append(jammed, more), rest...)...)
		assert.Empty(t, problems, more)
	}
}
