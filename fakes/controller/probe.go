package controller

import (
	"ullage/harness"
	"ullage/harness/signal"
)

// distrust is how long readings must be plausible after one that was not (common practice, no source; NAMUR NE 43 asks
// for 4 s at least before a failure counts, and says nothing of its end).
const distrust = signal.Minute

// probe samples the moisture probe of an analogue terminal. A reading that cannot be true raises an alert, and readings
// are trusted again only when they have been plausible for a while: an open lead that picks up hum is plausible now and
// then.
type probe struct {
	*record
	board       *board
	alerts      alerter
	terminal    int
	dry, wet    float64     // counts of the converter that mean 0 and 1
	least, most float64     // share between dry and wet count: a reading beyond is a fault
	every       signal.Time // sampling interval
	distrust    signal.Time
	signal      signal.ID

	counts  int         // last reading of the converter; -1: none
	reading float64     // share between dry and wet count, 0 to 1
	faulty  bool        // the last reading could not be true
	trusted signal.Time // when readings will have been plausible for long enough
	next    signal.Time // reading
	samples int         // how often it has been read
}

func (p *probe) reset(now signal.Time) { p.counts, p.next, p.trusted = -1, now, now }

func (p *probe) wake() signal.Time { return p.next }

// step samples the probe. A fault is raised again at every reading; the spacing of alerts makes one of many.
func (p *probe) step(now signal.Time) {
	if now < p.next {
		return
	}
	p.next = now + p.every
	p.samples++
	if counts := p.board.analogue.Counts(p.board.pins[p.terminal], now); counts != p.counts {
		p.counts = counts
		reading := p.raw()
		p.put(p.signal, reading)
		p.faulty = reading < p.least || reading > p.most
		p.reading = max(0, min(1, reading))
	}
	if p.faulty {
		p.trusted = now + p.distrust
		p.alerts.raise(harness.AlertProbeFault)
	}
}

// raw is the last reading as it came, which may be below 0 or above 1.
func (p *probe) raw() float64 { return (float64(p.counts) - p.dry) / (p.wet - p.dry) }

// trusts says whether the readings have been plausible for long enough to begin something.
func (p *probe) trusts(now signal.Time) bool { return !p.faulty && now >= p.trusted }
