package wiring

import (
	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// openExchange offers to exchange the leads of contacts on the board: each with that of the contact so many contact
// terminals further on, in the order of the terminals and round from the last to the first. A board with one contact
// has nothing to exchange.
func openExchange(p *supply, contacts []*floatSwitch) {
	var wired []*floatSwitch
	for i := range p.terminals {
		for _, f := range contacts {
			if f.ownsTerminal == i {
				wired = append(wired, f)
			}
		}
	}
	if len(wired) < 2 {
		return
	}
	for _, f := range wired {
		p.Offer(fault.Knob{Device: f.spec.Name, Kind: "contact", Name: "exchanged", Dim: quantity.Count, Max: 31,
			Join: fault.Largest},
			&f.exchanged, func(at signal.Time) { exchange(at, wired) })
	}
}

// exchange puts every lead where it belongs and then makes the exchanges, in the order of the terminals.
func exchange(at signal.Time, wired []*floatSwitch) {
	for _, f := range wired {
		f.terminal = f.ownsTerminal
	}
	for i, f := range wired {
		if n := int(f.exchanged); n > 0 {
			other := wired[(i+n)%len(wired)]
			f.terminal, other.terminal = other.terminal, f.terminal
		}
	}
	for _, f := range wired {
		f.last = harness.Pin{Terminal: -1}
		f.advance(at)
	}
}
