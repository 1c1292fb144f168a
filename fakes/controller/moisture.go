package controller

import (
	"ullage/harness"
	"ullage/harness/signal"
)

// stage is where the moisture rule stands.
type stage uint8

const (
	waiting  stage = iota // wet enough, or not yet dry enough
	watering              // a cycle
	soaking               // between cycles
	resting               // given up for a while
)

// moisture waters a zone in cycles with soaks between them, from one reading of the probe below the lower threshold to
// one at the upper. Whatever ends a cycle, a soak follows, and only what the probe reads after it clears the count: a
// single spike would else begin the next cycle at once and lift the limit of cycles. A reading that cannot be true ends
// a cycle, which counts, and nothing begins until readings are trusted again.
type moisture struct {
	call        *call
	probe       *probe
	alerts      alerter
	tally       *tally
	startsBelow float64
	stopsAt     float64
	cycle       signal.Time
	soak        signal.Time
	attempts    int // cycles in a row; 0: no limit
	restAfter   signal.Time

	stage   stage
	until   signal.Time // end of watering, soaking or resting
	reached bool        // a reading was wet enough since this cycle began
	kept    struct {    // in flash
		cycles    int // in a row without getting wet
		restUntil signal.Time
	}
}

func (m *moisture) reset(now signal.Time) {
	m.stage, m.until, m.reached = waiting, 0, false
	switch {
	case now < m.kept.restUntil:
		m.stage, m.until = resting, m.kept.restUntil
	// a row goes on where it was broken off, or restarts would give cycles without soak and limit
	case m.kept.cycles > 0:
		m.stage, m.until = soaking, now+m.soak
	}
}

func (m *moisture) wake() signal.Time {
	switch {
	case m.stage == waiting, m.stage == soaking && m.probe.faulty:
		return m.probe.next
	case m.stage == soaking:
		return min(m.probe.next, max(m.until, m.probe.trusted))
	}
	return min(m.probe.next, m.until)
}

func (m *moisture) step(now signal.Time) {
	switch m.stage {
	case waiting:
		if m.probe.trusts(now) && m.probe.reading < m.startsBelow {
			m.water(now)
		}
	case watering:
		m.reached = m.probe.reading >= m.stopsAt
		if m.probe.faulty || m.call.failed || now >= m.until || m.reached {
			m.call.set(false)
			m.stage, m.until = soaking, now+m.soak
		}
	case soaking:
		m.reached = m.reached || m.probe.reading >= m.stopsAt
		switch {
		case !m.probe.trusts(now) || now < m.until:
		case m.reached && m.probe.reading >= m.startsBelow:
			m.done()
		case m.attempts > 0 && m.kept.cycles >= m.attempts:
			m.alerts.raise(harness.AlertStillDry)
			m.stage, m.until = resting, now+m.restAfter
			m.kept.restUntil = m.until
		default:
			m.water(now)
		}
	case resting:
		if now >= m.until {
			m.done()
		}
	}
}

// water begins a cycle.
func (m *moisture) water(now signal.Time) {
	m.stage, m.until = watering, now+m.cycle
	m.call.set(true)
	m.kept.cycles++
	m.tally.today(now).waterings++
}

// done ends a row of cycles, reached or given up.
func (m *moisture) done() { m.stage, m.kept.cycles = waiting, 0 }
