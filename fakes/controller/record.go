package controller

import "ullage/harness/signal"

// record takes what the controller has to say of itself to the trace, at the present moment.
type record struct {
	*loop
	to signal.Recorder
}

// declare adds a state that begins at 0.
func (r *record) declare(state signal.Signal) signal.ID {
	id := r.to.Declare(state)
	r.put(id, 0)
	return id
}

func (r *record) put(id signal.ID, value float64) {
	r.to.Put(signal.Change{At: r.now, ID: id, Value: value})
}

func (r *record) putState(id signal.ID, on bool) {
	if on {
		r.put(id, 1)
	} else {
		r.put(id, 0)
	}
}
