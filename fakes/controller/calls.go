package controller

import (
	"slices"
)

// call is the wish of one rule for its outputs: its zone, and those that are on with it.
type call struct {
	*loop
	outputs []int // the zone first
	on      bool
	failed  bool // the flow alarm has ended it; its rule has yet to see that
}

func (k *call) set(on bool) {
	k.failed = false
	if k.on != on {
		k.on = on
		k.changed = true
	}
}

// fail ends a call for its rule, which treats it as a failure.
func (k *call) fail() { k.failed, k.changed = true, true }

// ban forbids outputs, whoever calls for them.
type ban struct {
	*loop
	outputs []int
	on      bool
}

func (b *ban) set(on bool) {
	if b.on != on {
		b.on = on
		b.changed = true
	}
}

// demand is what the rules want of the outputs, and what they forbid.
type demand struct {
	calls []*call
	bans  []*ban
}

// wanted says whether any rule calls for an output: as its zone, or with a zone that is not forbidden. A pump would
// else run against the valve that is kept shut.
func (d *demand) wanted(i int) bool {
	return slices.ContainsFunc(d.calls, func(k *call) bool {
		return k.on && (k.outputs[0] == i || slices.Contains(k.outputs[1:], i) && !d.banned(k.outputs[0]))
	})
}

// banned says whether any rule forbids an output.
func (d *demand) banned(i int) bool {
	return slices.ContainsFunc(d.bans, func(b *ban) bool { return b.on && slices.Contains(b.outputs, i) })
}

// allowed says whether an output is to be on: any rule wants it and none forbids it.
func (d *demand) allowed(i int) bool { return d.wanted(i) && !d.banned(i) }

// endAll ends every call.
func (d *demand) endAll() {
	for _, k := range d.calls {
		k.set(false)
	}
}
