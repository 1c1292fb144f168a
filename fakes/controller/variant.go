package controller

import (
	"slices"

	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// Variant is a controller that is as sound as the usual one and does things otherwise. A suite that complains about one
// asks for a habit, not for safety.
type Variant struct {
	ID      string
	What    string
	Options []Option
	// of a site's settings, before a scenario makes its own of them; nil changes nothing
	Adjust func(*sitefile.Settings)
}

// Variants lists the sound variants.
func Variants() []Variant {
	debounce := func(d float64) func(*sitefile.Settings) {
		return func(s *sitefile.Settings) {
			if s.Fill != nil {
				s.Fill.Debounce.SI = d
			}
		}
	}
	fill := func(change func(*sitefile.Fill)) func(*sitefile.Settings) {
		return func(s *sitefile.Settings) {
			if s.Fill != nil {
				change(s.Fill)
			}
		}
	}
	return []Variant{
		{"usual", "the controller as it is", nil, nil},
		{"debounce-50-ms", "a contact counts after 50 ms", nil, debounce(0.05)},
		{"debounce-200-ms", "a contact counts after 200 ms", nil, debounce(0.2)},
		{"debounce-2-s", "a contact counts after 2 s", nil, debounce(2)},
		{"debounce-5-s", "a contact counts after 5 s", nil, debounce(5)},
		{"polls-10-ms", "looks at its terminals every 10 ms", []Option{Polling(10 * signal.Millisecond)}, nil},
		{"polls-100-ms", "looks at its terminals every 100 ms", []Option{Polling(100 * signal.Millisecond)}, nil},
		{"polls-500-ms", "looks at its terminals every half second", []Option{Polling(500 * signal.Millisecond)}, nil},
		{"polls-1-s", "looks at its terminals every second", []Option{Polling(signal.Second)}, nil},
		{
			"one-attempt-more",
			"locks filling out one failed attempt later",
			nil,
			fill(func(f *sitefile.Fill) { f.Attempts++ }),
		},
		{
			"longer-pause",
			"waits twice as long between failed fills",
			nil,
			fill(func(f *sitefile.Fill) { f.Pause.SI *= 2 }),
		},
		{
			"shorter-fill",
			"ends a fill after nine tenths of its longest run",
			nil,
			fill(func(f *sitefile.Fill) { f.LongestRun.SI *= 0.9 }),
		},
		{
			"kept-8",
			"keeps no more than 8 alerts without a connection",
			nil,
			func(s *sitefile.Settings) { s.Alerts.Kept = min(s.Alerts.Kept, 8) },
		},
		{
			"rarer-alerts",
			"waits twice as long before it repeats an alert",
			nil,
			func(s *sitefile.Settings) { s.Alerts.RepeatAfter.SI *= 2 },
		},
		{"reads-5-s", "reads its probe every five seconds", nil, func(s *sitefile.Settings) {
			if s.Moisture != nil {
				s.Moisture.Reads.SI = max(5, s.Moisture.Reads.SI)
			}
		}},
		{"boots-5-s", "needs five seconds more to boot", []Option{alter(func(c *Controller) {
			c.power.boots += 5 * signal.Second
		})}, nil},
		{"staggers-coils", "puts coils under current half a second apart", []Option{alter(func(c *Controller) {
			c.outputs.apart = signal.Second / 2
		})}, nil},
		{"keep-alive-60-s", "gives a silent connection up after one and a half keep-alives of 60 s",
			[]Option{alter(func(c *Controller) { c.network.silentFor = 90 * signal.Second })}, nil},
		{"median-of-5", "goes by the median of the last five readings of its probe", []Option{alter(median)}, nil},
		{"messages-10-s", "sends a message ten seconds after what it is about", []Option{alter(unhurried)}, nil},
		{"reports-5-min", "reports every five minutes", nil, func(s *sitefile.Settings) {
			if s.ReportEvery.SI > 0 {
				s.ReportEvery.SI = 300
			}
		}},
	}
}

// Of is a site whose controller is set up as the variant's; the site given is not changed.
func (v Variant) Of(site *sitefile.Site) *sitefile.Site {
	varied := site.Copy()
	if v.Adjust != nil {
		v.Adjust(&varied.Controller.Settings)
	}
	return varied
}

// alter is the option that changes a controller.
func alter(change func(*Controller)) Option {
	return func(c *Controller) error {
		change(c)
		return nil
	}
}

// median has the rules go by the median of the last five readings. What the probe raises goes by the readings
// themselves.
func median(c *Controller) {
	p := c.probe
	if p == nil {
		return
	}
	var last []float64
	c.spoil(p, spoilt{
		resets: func(now signal.Time) {
			last = last[:0]
			p.reset(now)
		},
		steps: func(now signal.Time) {
			samples := p.samples
			if p.step(now); p.samples == samples || p.faulty {
				return
			}
			if len(last) == 5 {
				last = slices.Delete(last, 0, 1)
			}
			last = append(last, p.raw())
			sorted := slices.Sorted(slices.Values(last))
			p.reading = sorted[len(sorted)/2]
		},
	})
}

// unhurried sends messages ten seconds late, which is as late as sound controllers are held to be without a word of
// their own (sitefile.DefaultAlertsWithin).
func unhurried(c *Controller) {
	n := &c.network
	count := n.count
	c.spoil(n, spoilt{steps: func(now signal.Time) {
		for i := range n.queue {
			if p := &n.queue[i]; p.frame.Number > count && !p.sent {
				count, p.due = p.frame.Number, p.due+10*signal.Second
			}
		}
		n.step(now)
	}})
}
