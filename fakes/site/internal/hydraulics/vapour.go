package hydraulics

import (
	"ullage/fakes/water"
	"ullage/harness/signal"
)

// crest is a place where the water may break off, at the end of a pipe or before a pump: it has the pressure of vapour
// there, and no more water passes than comes up to it at that pressure.
//
// Not modelled: air that comes out of the water before it boils; the time in which the water parts and meets again;
// water that runs back over the crest; and at other places than those of package pipework the water never breaks off.
type crest struct {
	step *Step
	link water.Link
	id   signal.ID
}

// OpenCrests declares where the water may break off.
func (w *Water) OpenCrests() {
	for _, device := range w.Spec.Devices() {
		if c, is := w.plan.Crests[device.Name]; is {
			w.Add(&crest{w.Step, c.Link, w.Declare(signal.Part(device.Name).Vapour())})
		}
	}
}

// settled records whether there is vapour.
func (c *crest) settled(at signal.Time) (moving bool) {
	c.step.PutState(at, c.id, c.step.solver.State(c.link) != water.Open)
	return false
}
