package harness

import (
	"fmt"
	"math"

	"ullage/harness/outcome"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// distance is how far an input of the controller was from making a rule act; the zero value is none.
type distance struct {
	found     bool
	margin    float64 // in the SI unit of dim
	allowance float64 // at which it acts, in the same unit
	dim       quantity.Dimension
	at        signal.Time
	signal    signal.Signal
	of        string // what is short of what, in words
}

// share is the distance as a share of what it takes to act.
func (d distance) share() float64 {
	if d.allowance == 0 {
		return math.Inf(1)
	}
	return d.margin / d.allowance
}

// or is the smaller of two distances, by their shares.
func (d distance) or(other distance) distance {
	if other.found && (!d.found || other.share() < d.share()) {
		return other
	}
	return d
}

// measure makes it the margin of a verdict: none where it was not found.
func (d distance) measure(v *outcome.Verdict) {
	v.Margin, v.Allowance, v.NoMargin = 0, 0, !d.found
	if d.found {
		v.Margin, v.Dim, v.Allowance = d.margin, d.dim, math.Abs(d.allowance)
		v.At, v.Signal, v.Short = d.at, d.signal.Name(), d.of
	}
}

// approach is how near the inputs of a run came to acting, by the settings of a site, and those of its twin.
type approach struct {
	run, twin *Run
	site      *sitefile.Site
}

// distance is that of an input from making a rule act on a signal. There is none where it acted, and none for what
// either comes or does not, such as a message.
func (a approach) distance(m metRule) distance {
	s := a.site.Controller.Settings
	raises := func(alert string) bool {
		return m.signal == signal.Cloud.Alert(alert) || m.signal == signal.Controller.Alert(alert) ||
			m.signal == signal.Cloud.Alerts()
	}
	_, isAlert := m.signal.CutAlert()
	switch {
	case m.input == PowerName:
		return a.supply()
	case s.Moisture != nil && m.input == s.Moisture.Probe && raises(AlertProbeFault):
		return a.plausible(s.Moisture)
	case s.Moisture != nil && m.input == s.Moisture.Probe && !isAlert:
		return a.dry(s.Moisture)
	case s.FlowAlarms != nil && m.input == s.FlowAlarms.Meter:
		best := distance{}
		if raises(AlertFlowWithoutCall) {
			best = best.or(a.pulses(s.FlowAlarms))
		}
		if raises(AlertNoFlow) {
			best = best.or(a.gap(s.FlowAlarms))
		}
		return best
	}
	for _, c := range a.site.Contacts {
		if c.Name == m.input {
			return a.contact(c, m.rule)
		}
	}
	return distance{}
}

// view is the record of a signal in a run, without changes where there is none.
func (r *Run) view(s signal.Signal) *signal.View {
	if id, ok := r.Trace.Find(s.Name()); ok {
		return r.Trace.View(id)
	}
	return &signal.View{}
}

// on is whether an output is on: its coil, or, where nobody records that, the voltage at its terminal.
func (r *Run) on(output string) *signal.View {
	if coil := r.view(signal.Output(output).Coil()); coil.Len() > 0 {
		return coil
	}
	return r.view(signal.Terminal(output).Voltage())
}

// least is the smallest value that a function of a signal takes while outcomes are observed, and when; +Inf of a signal
// that is not recorded.
func (r *Run) least(s signal.Signal, of func(value float64) float64) (least float64, at signal.Time) {
	view := r.view(s)
	if view.Len() == 0 {
		return math.Inf(1), 0
	}
	least, at = of(view.ValueAt(r.Begins)), r.Begins
	for t, value := range view.After(r.Begins).All() {
		if d := of(value); d < least {
			least, at = d, t
		}
	}
	return least, at
}

// above is the least of a function as a distance, if it never was below zero.
func (a approach) above(s signal.Signal, of func(value float64) float64, allowance float64, dim quantity.Dimension,
	words string) distance {
	least, at := a.run.least(s, of)
	return distance{least > 0 && !math.IsInf(least, 0), least, allowance, dim, at, s, words}
}

// supply is by how much the voltage at the power terminal stayed above that at which the controller resets.
func (a approach) supply() distance {
	limit := a.site.Controller.ResetsBelow.SI
	return a.above(signal.Power.Voltage(), func(volts float64) float64 { return volts - limit }, limit,
		quantity.Voltage, "the supply above the voltage at which the controller resets, "+
			quantity.Format(limit, quantity.Voltage))
}

// dry is by how much the reading of the probe stayed above the one that starts a cycle.
func (a approach) dry(m *sitefile.Moisture) distance {
	limit, beyond := m.StartsBelow.SI, m.Plausible.SI
	return a.above(signal.AnalogueTerminal(m.Probe).Voltage(), func(volts float64) float64 {
		if share := a.share(m, volts); share >= -beyond && share <= 1+beyond {
			return share - limit
		}
		return -1 // it is refused
	}, limit, quantity.Fraction,
		fmt.Sprintf("the reading of %q above the one that starts a cycle, %s", m.Probe,
			quantity.Format(limit, quantity.Fraction)))
}

// plausible is how far the reading of the probe stayed from one that cannot be true.
func (a approach) plausible(m *sitefile.Moisture) distance {
	limit := m.Plausible.SI
	return a.above(signal.AnalogueTerminal(m.Probe).Voltage(), func(volts float64) float64 {
		return math.Min(a.share(m, volts)+limit, 1+limit-a.share(m, volts))
	}, 0.5+limit, quantity.Fraction, fmt.Sprintf("the reading of %q short of one that cannot be true, %s beyond its range",
		m.Probe, quantity.Format(limit, quantity.Fraction)))
}

// share is what the converter and the calibration make of a voltage at the probe's terminal.
func (a approach) share(m *sitefile.Moisture, volts float64) float64 {
	count := InputOf(a.site.Controller.Board, AnalogueTerminal).Counts(Pin{Volts: volts}, 0)
	return float64(count-m.DryCount) / float64(m.WetCount-m.DryCount)
}
