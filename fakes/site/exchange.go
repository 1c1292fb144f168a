package site

import (
	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/quantity"
)

// offerExchange offers to exchange the leads of contacts on the board: each with that of the contact so many contact
// terminals further on, in the order of the terminals and round from the last to the first. A board with one contact has
// nothing to exchange.
func (s *Site) offerExchange(panel *fault.Panel) {
	var wired []*float
	for i := range s.terminals {
		for _, f := range s.floats {
			if f.ownsTerminal == i {
				wired = append(wired, f)
			}
		}
	}
	if len(wired) < 2 {
		return
	}
	for _, f := range wired {
		s.offer(panel, fault.Knob{Device: f.spec.Name, Kind: "contact", Name: "exchanged", Dim: quantity.Count, Max: 31, Join: fault.Largest},
			&f.exchanged, func() { s.exchange(wired) })
	}
}

// exchange puts every lead where it belongs and then makes the exchanges, in the order of the terminals.
func (s *Site) exchange(wired []*float) {
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
		f.told = harness.Pin{Terminal: -1}
		f.tell(s, s.now)
	}
}
