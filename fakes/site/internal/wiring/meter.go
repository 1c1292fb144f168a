package wiring

import (
	"math"

	"ullage/fakes/site/internal/device"
	"ullage/fakes/site/internal/hydraulics"
	"ullage/harness"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// meter closes its contact for the second half of every pulse volume, whichever way the water runs: an impeller turns
// either way and its magnet passes the reed (common practice, no source).
type meter struct {
	supply   *supply
	water    *hydraulics.Water
	spec     sitefile.Meter
	terminal int
	total    *device.Total
	halves   int64 // half pulse volumes that have passed
	edge     signal.Time
	closedID signal.ID
}

// openMeter declares a water meter.
func openMeter(p *supply, water *hydraulics.Water, spec sitefile.Meter) *meter {
	name := signal.Meter(spec.Name)
	m := &meter{supply: p, water: water, spec: spec, terminal: p.inputOf(spec.Name), closedID: p.Declare(name.Closed())}
	passes := water.Link(spec.Name)
	m.total = water.Volume(name.Volume(), water.Flow(name.Flow(), func() float64 { return math.Abs(passes()) }))
	p.Put(0, m.closedID, 0)
	water.Add(m)
	return m
}

// Follow finds the next edge within the present step.
func (m *meter) Follow(from signal.Time) {
	m.edge = signal.Never
	want := float64(m.halves+1) * m.spec.PerPulse.SI / 2
	begins, dt := m.water.Begins(), m.water.Seconds()
	if m.total.At(1, dt) < want {
		return
	}
	past := func(t signal.Time) bool { return m.total.At(m.water.Share(t), dt) >= want }
	if past(from) {
		m.edge = from
		return
	}
	guess := begins + signal.FromSeconds(device.Reaches(want-m.total.Sum, m.total.Flow.Start, m.total.Flow.End, dt))
	m.edge = device.FirstPast(from, m.water.Ends(), guess, past)
}

func (m *meter) next() signal.Time { return m.edge }

// pass makes the edges that are due.
func (m *meter) pass(at signal.Time) {
	for m.edge <= at {
		m.halves++
		closed := m.halves%2 == 1
		m.supply.PutState(m.edge, m.closedID, closed)
		if m.terminal >= 0 {
			pin := harness.Open(m.edge, m.terminal)
			if closed {
				pin.Ohms = 1
			}
			m.supply.send(pin)
		}
		m.Follow(m.edge)
	}
}

// start sends the controller an open contact.
func (m *meter) start(at signal.Time) {
	if m.terminal >= 0 {
		m.supply.send(harness.Open(at, m.terminal))
	}
}
