package fault

import (
	"math"

	"ullage/harness/quantity"
)

const wrongFrequency = "IEC 60730-1 table H.1, clock of the wrong frequency, as listed by secondary sources"

// clockFaults are of what the controller knows of time: the clock on its wall, the counter and the oscillator behind
// it.
var clockFaults = []Entry{
	{
		ID: "clock.forward", Name: "clock jumps forward", DeviceKind: "controller", Event: true,
		Phrases: []Phrase{
			{Pattern: `the clock jumps forward by {step}`,
				Meaning: "The time of day that the controller knows is later at once; it jumps back when the time " +
					"is over."},
		},
		Mechanism: "A time server corrects a clock that was slow, or somebody sets it by hand.",
		Parameters: []Parameter{
			{Name: "step", Dim: quantity.Duration, Default: 3600, Worst: 12 * 3600, Min: 0.128, Max: 7 * 86400,
				Source: "NTP steps what is off by more than 0.128 s; range: " + practice},
		},
		Symptoms: []string{
			"This morning it did not water.",
			"The display shows another time than yesterday.",
			"The clock is wrong.",
			"The time on it is ahead.",
			"It skipped the run, the time jumped.",
			"It thinks it is tomorrow already.",
		},
		Check: "Compare the clock with a watch, and the log's times before and after the jump.",
		Ask:   "Is the controller's clock ahead of your watch?",
		LocalEffect: "The time of day is another one from one moment to the next; spans of time that are counted go " +
			"on.",
		EndEffect: "A start between the two times is missed; a firmware that measures runs by the clock ends them all.",
		Hazards:   []Hazard{DryOut, SilentFailure},
		course:    hold("clock step", parameter("step")),
	},
	{
		ID: "clock.back", Name: "clock jumps back", DeviceKind: "controller", Event: true,
		Phrases: []Phrase{
			{Pattern: `the clock jumps back by {step}`,
				Meaning: "The time of day that the controller knows is earlier at once; it jumps forward when the " +
					"time is over."},
		},
		Mechanism: "A time server corrects a clock that was fast, or somebody sets it by hand.",
		Parameters: []Parameter{
			{Name: "step", Dim: quantity.Duration, Default: 3600, Worst: 12 * 3600, Min: 0.128, Max: 7 * 86400,
				Source: "NTP steps what is off by more than 0.128 s; range: " + practice},
		},
		Symptoms: []string{
			"It watered twice this morning.",
			"It watered for an hour too long.",
			"The clock is slow, it was set back.",
			"The same run came again an hour later on one day.",
		},
		Check:       "Compare the clock with a watch, and look for times that come twice in the log.",
		Ask:         "Is the controller's clock behind your watch, or do times come twice in its log?",
		LocalEffect: "The same times of day come a second time.",
		EndEffect:   "A start comes twice; a firmware that measures runs by the clock lets them go on for as long again.",
		Hazards:     []Hazard{WaterWasted, Flood},
		course:      hold("clock step", func(p func(string) float64) float64 { return -p("step") }),
	},
	{
		ID: "clock.summer-time", Name: "change to summer time, or from it", DeviceKind: "controller",
		Event: true, WithoutWindow: true,
		Phrases: []Phrase{
			{Pattern: `summer time begins[ and moves the clock forward by {shift}]`,
				Implies: map[string]float64{"shift": 3600},
				Meaning: "The clock goes forward by an hour."},
			{Pattern: `summer time ends[ and moves the clock back by {-shift}]`,
				Implies: map[string]float64{"shift": -3600},
				Meaning: "The clock goes back by an hour."},
		},
		Mechanism: "In spring the clocks go forward and an hour is missing; in autumn they go back and an hour " +
			"comes twice.",
		Parameters: []Parameter{
			{Name: "shift", Dim: quantity.Duration, Default: 3600, Worst: -3600, Min: -7200, Max: 7200,
				Source:      "one hour in most places, half an hour in some; negative in autumn; " + practice,
				WorstSource: "the hour that comes twice"},
		},
		Symptoms: []string{
			"On one Sunday in spring it did not water.",
			"On one Sunday in autumn it watered twice.",
			"Since the clocks changed everything is one hour off.",
			"It waters an hour too early since the end of October.",
			"It runs an hour late since March, daylight saving.",
			"Winter time is not taken over, the schedule is out by an hour.",
			"The time zone is wrong by an hour.",
			"Everything comes one hour early or late since the time changed in March or October.",
			"It did not change to winter time by itself.",
			"We turned the clocks back or forward on Sunday and it stayed on the old time.",
			"Since the hour was changed it waters while the postman comes.",
		},
		Check: "Ask for the date: the night of a change, and a start between two and three o'clock; compare " +
			"its clock with a watch.",
		Ask:         "Is it off by exactly one hour since the clocks changed?",
		BaseRate:    Often,
		LocalEffect: "As a step of the clock, at a time that is known beforehand.",
		EndEffect:   "A start in the hour is missed in spring, or made twice in autumn.",
		Hazards:     []Hazard{DryOut, WaterWasted},
		course:      hold("clock step", parameter("shift")),
	},
	{
		ID: "clock.never-set", Name: "clock never set", DeviceKind: "controller",
		Phrases: []Phrase{
			{Pattern: `the clock was never set`,
				Meaning: "The controller does not know the time, until somebody sets it when the time is over."},
		},
		Mechanism: "The cell behind the clock is empty, and the time server has never been reached: the controller " +
			"does not know the time.",
		Symptoms: []string{
			"It waters in the middle of the night.",
			"Since the power cut the programme does not run.",
			"It waters at the wrong time of day, the clock shows 1970 or zeros.",
			"The date on it is the first of January.",
			"The clock was never set, the schedule starts at odd hours.",
			"Its time is hours off and the programme runs in the afternoon instead of the morning.",
			"12:00 blinks on the display.",
			"It thinks it is 1970 and waters in the afternoon.",
			"The time in it is nonsense, it has never found out what time it is.",
		},
		Check:       "Read the clock: midnight of some 1 January, or dashes, is a clock that was never set.",
		Ask:         "Does its clock show dashes, or a date years ago?",
		LocalEffect: "There is no time of day, or one that counts from the boot.",
		EndEffect:   "Programmes do not run, or run at a wrong time of day, and no alert arrives.",
		Hazards:     []Hazard{DryOut, WaterWasted, SilentFailure},
		course:      hold("clock unset", always(1)),
	},
	{
		ID: "counter.wraps", Name: "counter of milliseconds wraps", DeviceKind: "controller", WithoutWindow: true,
		Phrases: []Phrase{
			{Pattern: `the millisecond counter reaches 2^{bits} in {before}`,
				Meaning: "The controller has been running for so long: 2^31 ms are 24.9 days, 2^32 ms 49.7."},
		},
		Mechanism: "A counter of 32 bits wraps to zero after 49.7 days; taken for a signed number it " +
			"turns negative after 24.9.",
		Parameters: []Parameter{
			{Name: "bits", Dim: quantity.Count, Default: 32, Worst: 32, Min: 31, Max: 32,
				Source: "2^31 ms are 24.8551 days, 2^32 ms 49.7103; arithmetic"},
			{Name: "before", Dim: quantity.Duration, Default: 600, Worst: 60, Min: 0, Max: 86400,
				Source:      practice,
				WorstSource: "while what is under way still runs; " + practice},
		},
		Symptoms: []string{
			"After seven weeks it ran all night.",
			"Every fifty days I have to restart it.",
			"After 49 days of running the timers go wrong.",
			"Every seven weeks it goes haywire until it is restarted.",
			"About every seven weeks of running without a restart the times go haywire.",
		},
		Check: "Read the time since its last start when it happened: 24.9 or 49.7 days. Restarting it makes it " +
			"well for as long again.",
		Ask:         "Does it come back about every 50 (or 25) days since the last restart?",
		BaseRate:    Seldom,
		LocalEffect: "A time that is later is the smaller number.",
		EndEffect: "A limit that is compared as it stands is never reached, or reached at once: a run goes on for " +
			"weeks.",
		Hazards: []Hazard{Flood, WaterWasted, SilentFailure},
		course: hold("counter", func(p func(string) float64) float64 {
			return math.Ldexp(1, int(p("bits"))) - float64(p("before")*1000)
		}),
	},
	{
		ID: "oscillator.off", Name: "oscillator slow or fast", DeviceKind: "controller",
		Phrases: []Phrase{
			{Pattern: `the oscillator runs {-error} slow`,
				Meaning: "Whatever the controller times takes longer, by this share of what is counted."},
			{Pattern: `the oscillator runs {error} fast`,
				Meaning: "Whatever the controller times is over sooner."},
		},
		Mechanism: "A crystal in the heat or the cold, one that swings at a harmonic, or a resistor and a capacitor " +
			"in its place: everything that is timed is off alike.",
		Parameters: []Parameter{
			{Name: "error", Dim: quantity.Fraction, Default: 1e-4, Worst: -0.5, Min: -0.5, Max: 1,
				Source: "crystals 20 to 100 parts in a million, RC oscillators some per cent, " + practice +
					"; a half and twice: " + wrongFrequency,
				WorstSource: wrongFrequency + ": at half of its frequency every limit comes late"},
		},
		Symptoms: []string{
			"It waters a little later every week.",
			"Every run is longer than what I set.",
			"The clock loses minutes every week.",
			"Ten minutes in the app are eleven on my watch.",
			"I set twenty minutes and my stopwatch says twenty-two, every time on every zone.",
		},
		Check:       "Hold a watch against a run of an hour, and against the clock after a week.",
		Ask:         "Do its clock and its run times drift steadily against a watch?",
		BaseRate:    Seldom,
		LocalEffect: "All times stretch or shrink by the same share: runs, limits, debounce, the clock.",
		EndEffect:   "Limits are later than they say; the clock drifts until something sets it.",
		Hazards:     []Hazard{WaterWasted, Flood, DryOut},
		course:      hold("oscillator", func(p func(string) float64) float64 { return 1 + p("error") }),
	},
}
