package wiring

import (
	"slices"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// mostFurther is how many terminals further on a lead can be put.
const mostFurther = 31

// places says on whose terminal each of a board's leads lies: they are exchanged in the order of the terminals, each
// with the one so many further on, round from the last to the first.
func places(further []float64) []int {
	on := make([]int, len(further))
	for i := range on {
		on[i] = i
	}
	for i, n := range further {
		if n > 0 {
			other := (i + int(n)) % len(further)
			on[i], on[other] = on[other], on[i]
		}
	}
	return on
}

// exchangeKnob puts the lead of a device on the terminal of one further on.
func exchangeKnob(device, kind string) fault.Knob {
	return fault.Knob{Device: device, Kind: kind, Name: "exchanged", Dim: quantity.Count, Max: mostFurther,
		Join: fault.Largest}
}

// openExchange offers to exchange the leads of contacts on the board. A board with one contact has nothing to exchange.
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
		p.Offer(exchangeKnob(f.spec.Name, "contact"), &f.exchanged, func(at signal.Time) { exchange(at, wired) })
	}
}

// exchange puts every lead of a contact where it lies now.
func exchange(at signal.Time, wired []*floatSwitch) {
	further := make([]float64, len(wired))
	for i, f := range wired {
		further[i] = f.exchanged
	}
	for i, on := range places(further) {
		wired[i].terminal = wired[on].ownsTerminal
		wired[i].last = harness.Pin{Terminal: -1}
	}
	for _, f := range wired {
		f.advance(at)
	}
}

// valveOutputs are the outputs of the board that valves hang on, in the order of the terminals.
type valveOutputs struct {
	board     *board
	terminals []int
	drives    []func(signal.Time, harness.Pin) // by place: what takes over the output when nothing is exchanged
	further   []float64                        // knobs, by place
}

// openOutputExchange offers to exchange the coils of valves between outputs. A board with one valve has nothing to
// exchange.
func openOutputExchange(p *supply, valves []string) {
	o := &valveOutputs{board: p.board}
	for i, t := range p.terminals {
		if t.Kind == harness.OutputTerminal && slices.Contains(valves, t.Name) {
			o.terminals, o.drives = append(o.terminals, i), append(o.drives, p.outputs[i])
		}
	}
	o.further = make([]float64, len(o.terminals))
	if len(o.terminals) < 2 {
		return
	}
	for i, terminal := range o.terminals {
		p.Offer(exchangeKnob(p.terminals[terminal].Name, "valve"), &o.further[i], func(at signal.Time) {
			o.exchange(at)
			p.dirty = true
		})
	}
}

// exchange puts every coil on the output where it lies now, and gives it what that output puts out.
func (o *valveOutputs) exchange(at signal.Time) {
	for i, on := range places(o.further) {
		terminal := o.terminals[on]
		o.board.outputs[terminal] = o.drives[i]
		o.drives[i](at, o.board.given[terminal])
	}
}
