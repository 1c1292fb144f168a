package wiring

import (
	"math"

	"ullage/fakes/site/internal/device"
	"ullage/fakes/site/internal/hydraulics"
	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// meter closes its contact for the second half of every pulse volume that it counts, whichever way the water runs: an
// impeller turns either way and its magnet passes the reed (common practice, no source). Below the flow that it starts
// at the impeller stands, and what passes is not counted.
type meter struct {
	supply   *supply
	water    *hydraulics.Water
	spec     sitefile.Meter
	draw     harness.Draw
	terminal int
	flow     *device.Line
	counted  float64 // m³, until the start of the present step
	halves   int64   // half pulse volumes that have been counted
	edge     signal.Time
	closed   bool
	closedID signal.ID

	stuck  bool    // whether the impeller stands in the present step
	wanted float64 // knob: 1 when it is to stand from the next step on
	misses float64 // knob: share of the pulses for which the contact does not close
}

// openMeter declares a water meter and offers to jam its impeller and to let its contact miss pulses.
func openMeter(p *supply, water *hydraulics.Water, spec sitefile.Meter, draw harness.Draw) *meter {
	name := signal.Meter(spec.Name)
	m := &meter{supply: p, water: water, spec: spec, draw: draw, terminal: p.inputOf(spec.Name),
		closedID: p.Declare(name.Closed())}
	passes := water.Link(spec.Name)
	m.flow = water.Flow(name.Flow(), func() float64 { return math.Abs(passes()) })
	water.Volume(name.Volume(), m.flow)
	p.Put(0, m.closedID, 0)
	water.Add(m)
	p.Offer(fault.Knob{Device: spec.Name, Kind: "meter", Name: "stuck", Dim: quantity.State, Max: 1,
		Join: fault.Largest}, &m.wanted, func(signal.Time) { water.Turn() })
	p.Offer(fault.Knob{Device: spec.Name, Kind: "meter", Name: "misses", Dim: quantity.Fraction, Max: 1,
		Join: fault.Largest}, &m.misses, func(signal.Time) {})
	return m
}

// counts is what it has counted by a share of the present step of dt seconds, m³.
func (m *meter) counts(share, dt float64) float64 {
	if m.stuck {
		return m.counted
	}
	return m.counted + passedAbove(m.spec.StartsAt.SI, m.flow.Start, m.flow.End, share, dt)
}

// passedAbove is what passes in a share of dt seconds, in which a flow runs straight from start to end, while it is not
// below least.
func passedAbove(least, start, end, share, dt float64) float64 {
	last := start + float64((end-start)*share)
	switch {
	case start >= least && last >= least:
		return float64((start+last)/2*share) * dt
	case start < least && last < least:
		return 0
	}
	meets := (least - start) / (end - start)
	if start < least {
		return float64((least+last)/2*(share-meets)) * dt
	}
	return float64((start+least)/2*meets) * dt
}

// Count takes over what it has counted until a moment of the present step.
func (m *meter) Count(at signal.Time) {
	m.counted = m.counts(m.water.Share(at), m.water.Seconds())
	m.stuck = m.wanted > 0
}

// Follow finds the next edge within the present step.
func (m *meter) Follow(from signal.Time) {
	m.edge = signal.Never
	want := float64(m.halves+1) * m.spec.PerPulse.SI / 2
	begins, dt := m.water.Begins(), m.water.Seconds()
	if from == begins {
		m.stuck = m.wanted > 0
	}
	if m.counts(1, dt) < want {
		return
	}
	past := func(t signal.Time) bool { return m.counts(m.water.Share(t), dt) >= want }
	if past(from) {
		m.edge = from
		return
	}
	guess := begins + signal.FromSeconds(device.Reaches(want-m.counted, m.flow.Start, m.flow.End, dt))
	m.edge = device.FirstPast(from, m.water.Ends(), guess, past)
}

func (m *meter) next() signal.Time { return m.edge }

// pass makes the edges that are due.
func (m *meter) pass(at signal.Time) {
	for m.edge <= at {
		m.halves++
		closed := m.halves%2 == 1 && !m.missed()
		if closed != m.closed {
			m.closed = closed
			m.show(m.edge)
		}
		m.Follow(m.edge)
	}
}

// missed reports whether the contact misses the pulse that is due.
func (m *meter) missed() bool {
	return m.misses > 0 && m.draw.Uniform(m.spec.Name, "missed pulse", uint64(m.halves/2)) < m.misses
}

// show records the contact and lets the controller see it.
func (m *meter) show(at signal.Time) {
	m.supply.PutState(at, m.closedID, m.closed)
	if m.terminal >= 0 {
		pin := harness.Open(at, m.terminal)
		if m.closed {
			pin.Ohms = 1
		}
		m.supply.send(pin)
	}
}

// start sends the controller an open contact.
func (m *meter) start(at signal.Time) {
	if m.terminal >= 0 {
		m.supply.send(harness.Open(at, m.terminal))
	}
}
