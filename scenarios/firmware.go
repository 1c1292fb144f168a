package scenarios

import "ullage/harness/signal"

// device on which faults of the firmware and its clock turn knobs.
const controllerDevice = "controller"

// firmwarePhrases are what befalls the firmware, its pins and its memory.
var firmwarePhrases = []Phrase{
	{
		Kind: When, Timed: true, Pattern: `the controller hangs`,
		Meaning: "Its loop stands still with the outputs as they are, until the watchdog of the board resets it.",
		Example: `the controller hangs`,
		compile: func(c *compiler, a args) { c.strike("controller.hangs", nil, a) },
	},
	{
		Kind: When, Timed: true, Pattern: `the controller hangs for good`,
		Meaning: "Its loop stands still with the outputs as they are; no watchdog ends it, the loss of power does.",
		Example: `the controller hangs for good`,
		compile: func(c *compiler, a args) { c.befall("controller.hangs-for-good", controllerDevice, nil, a) },
	},
	{
		Kind: When, Timed: true, Pattern: `the controller restarts every {duration} for {duration}`,
		Meaning: "Its firmware is reset and boots, over and over.",
		Example: `the controller restarts every 10 s for 10 min`,
		compile: func(c *compiler, a args) {
			a.window = a.span(1)
			c.befall("controller.reboot-loop", controllerDevice, map[string]float64{"every": a.si(0)}, a)
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the pins float for {duration} at each boot{for}`,
		Meaning: "Every output is on for so long from each reset on, before the firmware runs.",
		Example: `the pins float for 200 ms at each boot`,
		compile: func(c *compiler, a args) {
			c.befall("controller.pins-float", controllerDevice, map[string]float64{"time": a.si(0)}, a)
		},
	},
	{
		Kind: When, Timed: true, Pattern: `the controller loses its settings{for}`,
		Meaning: "It restarts as a new one: nothing is set up, until the time is over and somebody has set it up again.",
		Example: `the controller loses its settings`,
		compile: func(c *compiler, a args) { c.befall("controller.settings-lost", controllerDevice, nil, a) },
	},
	{
		Kind: When, Timed: true, Pattern: `somebody sets the longest run of a fill to {duration}{for}`,
		Meaning: "The limit is another one from now on, also for a fill that is under way.",
		Example: `somebody sets the longest run of a fill to 12 min`,
		compile: func(c *compiler, a args) {
			c.fillBegins() // for the rule that it asks for
			c.befall("controller.settings-changed", controllerDevice, map[string]float64{"longest run": a.si(0)}, a)
		},
	},
	{
		Kind: When, Timed: true, Pattern: `the controller restarts while it writes its settings`,
		Meaning: "What is in its memory after that is neither the old settings nor the new ones.",
		Example: `the controller restarts while it writes its settings`,
		compile: func(c *compiler, a args) { c.strike("controller.settings-half-written", nil, a) },
	},
	{
		Kind: When, Timed: true, Pattern: `an update is applied that takes {duration}`,
		Meaning: "The firmware is replaced at once, whatever runs, and boots when so much time is over.",
		Example: `an update is applied that takes 60 s`,
		compile: func(c *compiler, a args) {
			a.window = a.span(0)
			c.befall("controller.updated", controllerDevice, map[string]float64{"takes": a.si(0)}, a)
		},
	},
	{
		Kind: When, Timed: true, Pattern: `an update that takes {duration} is cut short at half`,
		Meaning: "The firmware is being replaced, and a reset ends that half way.",
		Example: `an update that takes 60 s is cut short at half`,
		compile: func(c *compiler, a args) {
			a.window = a.span(0)
			c.befall("controller.update-cut", controllerDevice, map[string]float64{"takes": a.si(0)}, a)
		},
	},
}

// strike is a fault of the controller that happens at one moment.
func (c *compiler) strike(id string, params map[string]float64, a args) {
	a.window = signal.Second
	c.befall(id, controllerDevice, params, a)
}

// clockPhrases are what befalls the controller's clock, its counter and its oscillator.
var clockPhrases = []Phrase{
	{
		Kind: When, Timed: true, Pattern: `the clock jumps forward by {duration}{for}`,
		Meaning: "The time of day that the controller knows is later at once; it jumps back when the time is over.",
		Example: `the clock jumps forward by 1 h`,
		compile: func(c *compiler, a args) {
			c.befall("clock.forward", controllerDevice, map[string]float64{"step": a.si(0)}, a)
		},
	},
	{
		Kind: When, Timed: true, Pattern: `the clock jumps back by {duration}{for}`,
		Meaning: "The time of day that the controller knows is earlier at once; it jumps forward when the time is over.",
		Example: `the clock jumps back by 1 h`,
		compile: func(c *compiler, a args) {
			c.befall("clock.back", controllerDevice, map[string]float64{"step": a.si(0)}, a)
		},
	},
	{
		Kind: When, Timed: true, Pattern: `summer time begins`,
		Meaning: "The clock goes forward by an hour.",
		Example: `summer time begins`,
		compile: func(c *compiler, a args) { c.befall("clock.summer-time", controllerDevice, nil, a) },
	},
	{
		Kind: When, Timed: true, Pattern: `summer time ends`,
		Meaning: "The clock goes back by an hour.",
		Example: `summer time ends`,
		compile: func(c *compiler, a args) {
			c.befall("clock.summer-time", controllerDevice, map[string]float64{"shift": -3600}, a)
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the clock was never set{for}`,
		Meaning: "The controller does not know the time, until somebody sets it when the time is over.",
		Example: `the clock was never set`,
		compile: func(c *compiler, a args) { c.befall("clock.never-set", controllerDevice, nil, a) },
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the millisecond counter reaches 2^{count} in {duration}`,
		Meaning: "The controller has been running for so long: 2^31 ms are 24.9 days, 2^32 ms 49.7.",
		Example: `the millisecond counter reaches 2^32 in 10 min`,
		compile: func(c *compiler, a args) {
			c.befall("counter.wraps", controllerDevice, map[string]float64{"bits": a.si(0), "before": a.si(1)}, a)
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the oscillator runs {share} slow{for}`,
		Meaning: "Whatever the controller times takes longer, by this share of what is counted.",
		Example: `the oscillator runs 3 % slow`,
		compile: func(c *compiler, a args) {
			c.befall("oscillator.off", controllerDevice, map[string]float64{"error": -a.si(0)}, a)
		},
	},
	{
		Kind: Given | When, Timed: true, Pattern: `the oscillator runs {share} fast{for}`,
		Meaning: "Whatever the controller times is over sooner.",
		Example: `the oscillator runs 3 % fast`,
		compile: func(c *compiler, a args) {
			c.befall("oscillator.off", controllerDevice, map[string]float64{"error": a.si(0)}, a)
		},
	},
}
