package controller

import (
	"ullage/harness"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
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
// one at the upper. Whatever ends a cycle, a soak follows, and only what the probe reads after it clears the count: a single
// spike would else begin the next cycle at once and lift the limit of cycles. A reading that cannot be true ends a cycle,
// which counts, and nothing begins until readings have been plausible again for a while: an open lead that picks up hum is
// plausible now and then.
type moisture struct {
	c           *Controller
	call        *call
	terminal    int // of the probe
	dry, wet    float64
	startsBelow float64
	stopsAt     float64
	plausible   float64
	cycle       signal.Time
	soak        signal.Time
	attempts    int
	restAfter   signal.Time
	reads       signal.Time

	counts   int         // last reading of the converter; -1: none
	reading  float64     // share between dry and wet count, 0 to 1
	faulty   bool        // the last reading could not be true
	trusted  signal.Time // when readings will have been plausible for long enough
	nextRead signal.Time
	stage    stage
	until    signal.Time // end of watering, soaking or resting
	reached  bool        // a reading was wet enough since this cycle began
}

// distrust is how long readings must be plausible after one that was not (common practice, no source; NAMUR NE 43 asks for
// 4 s at least before a failure counts, and says nothing of its end).
const distrust = signal.Minute

func (w *wiring) moisture(s sitefile.Moisture) {
	c, name := w.c, "moisture rule"
	m := &moisture{c: c, call: w.call(name, s.Zone, s.With), terminal: w.probe(name, s.Probe),
		dry: float64(s.DryCount), wet: float64(s.WetCount),
		startsBelow: s.StartsBelow.SI, stopsAt: s.StopsAt.SI, plausible: s.Plausible.SI,
		cycle: w.positive(name, "cycle", s.Cycle), soak: span(s.Soak), attempts: s.Attempts,
		restAfter: span(s.RestAfter), reads: w.positive(name, "reads", s.Reads)}
	if s.DryCount == s.WetCount {
		w.refusef("moisture rule: dry-count and wet-count are both %d; the probe is not calibrated", s.DryCount)
	}
	c.moisture = m
	c.rules = append(c.rules, m)
}

func (m *moisture) reset(now signal.Time) {
	m.counts, m.nextRead, m.trusted = -1, now, now
	m.stage, m.until = waiting, 0
	m.reached = false
	if m.c.has(cyclesForgotten) {
		m.c.flash.cycles = 0
	}
	if m.c.has(restForgotten) && now < m.c.flash.restUntil {
		m.c.flash.restUntil, m.c.flash.cycles = 0, 0
	}
	switch {
	case now < m.c.flash.restUntil:
		m.stage, m.until = resting, m.c.flash.restUntil
	case m.c.flash.cycles > 0: // a row goes on where it was broken off, or restarts would give cycles without soak and limit
		m.stage, m.until = soaking, now+m.soak
	}
}

func (m *moisture) wake() signal.Time {
	switch {
	case m.stage == waiting, m.stage == soaking && m.faulty:
		return m.nextRead
	case m.stage == soaking:
		return min(m.nextRead, max(m.until, m.trusted))
	}
	return min(m.nextRead, m.until)
}

func (m *moisture) step(now signal.Time) {
	if now >= m.nextRead {
		m.read(now)
	}
	switch m.stage {
	case waiting:
		if m.trusts(now) && m.reading < m.startsBelow {
			m.water(now)
		}
	case watering:
		m.reached = m.reading >= m.stopsAt
		if m.faulty || m.call.failed || now >= m.until || m.reached {
			m.call.set(false)
			m.stage, m.until = soaking, now+m.soak
		}
	case soaking:
		m.reached = m.reached || m.reading >= m.stopsAt
		switch {
		case m.reached && m.c.has(spikeClears):
			m.done()
		case !m.trusts(now) || now < m.until:
		case m.reached && m.reading >= m.startsBelow:
			m.done()
		case m.exhausted():
			m.c.alert(harness.AlertStillDry)
			if m.stage, m.until = resting, now+m.restAfter; m.c.has(restForEver) {
				m.until = signal.Never
			}
			m.c.flash.restUntil = m.until
		default:
			m.water(now)
		}
	case resting:
		if now >= m.until {
			m.done()
		}
	}
}

// trusts says whether the readings have been plausible for long enough to begin something.
func (m *moisture) trusts(now signal.Time) bool { return !m.faulty && now >= m.trusted }

// read samples the probe. A fault is said again at every reading; the spacing of alerts makes one of many.
func (m *moisture) read(now signal.Time) {
	m.nextRead = now + m.reads
	m.c.samples++
	counts := m.c.analogue.Counts(m.c.pins[m.terminal], now)
	if counts != m.counts {
		m.counts = counts
		reading := (float64(counts) - m.dry) / (m.wet - m.dry)
		m.c.put(m.c.signals.moisture, reading)
		m.faulty = (reading < -m.plausible && !m.c.has(probeLowEndTrusted) || reading > 1+m.plausible && !m.c.has(probeHighEndTrusted)) &&
			!m.c.has(probeTrusted)
		if m.faulty && m.c.has(probeKeepsLast) {
			m.faulty = false
			return
		}
		m.reading = max(0, min(1, reading))
	}
	if m.faulty {
		if m.trusted = now + distrust; m.c.has(probeForgiven) {
			m.trusted = now
		}
		m.c.alert(harness.AlertProbeFault)
	}
}

// water begins a cycle.
func (m *moisture) water(now signal.Time) {
	m.stage, m.until = watering, now+m.cycle
	m.call.set(true)
	m.c.flash.cycles++
	m.c.today(now).waterings++
}

// exhausted says whether the permitted cycles are used up.
func (m *moisture) exhausted() bool {
	return m.attempts > 0 && m.c.flash.cycles >= m.attempts && !m.c.has(noCycleLimit)
}

// done ends a row of cycles, reached or given up.
func (m *moisture) done() {
	if m.stage != resting && m.c.has(cyclesNotCleared) {
		m.stage = waiting
		return
	}
	m.stage = waiting
	m.c.flash.cycles = 0
}
