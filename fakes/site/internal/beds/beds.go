// Package beds is the soil of a simulated site: planted beds, what falls on them, and the places in them at which
// probes stand. It is no API: fakes/site puts it together with water and wires.
package beds

import (
	"fmt"

	"ullage/fakes/site/internal/device"
	"ullage/fakes/site/internal/hydraulics"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// What a bed does with the water, held by the compiler: hydraulics finds it by its methods.
var (
	_ hydraulics.Follower = (*bed)(nil)
	_ hydraulics.Counter  = (*bed)(nil)
)

// Beds are the beds of a site. They are used for one run, from one goroutine.
type Beds struct {
	list   []*bed
	places map[string]*Place // by probe
}

// Check refuses beds that would have to begin drier than dry air leaves their soil.
func Check(spec *sitefile.Site) error {
	for _, b := range spec.Beds {
		if least := soilOf(b).Driest(); b.Starts.SI < least {
			return fmt.Errorf("site %q: bed %q starts with %s of water; "+
				"expected at least %s, which dry air leaves in this soil", spec.Name, b.Name,
				quantity.Format(b.Starts.SI, quantity.Fraction), quantity.Format(least, quantity.Fraction))
		}
	}
	return nil
}

// Open declares the beds of a site and offers their knobs, once all outlets are open.
func Open(bench *device.Bench, water *hydraulics.Water) *Beds {
	x := &Beds{places: map[string]*Place{}}
	var drains []hydraulics.Drain
	for _, spec := range water.Spec.Beds {
		b := openBed(bench, water, spec)
		x.list, drains = append(x.list, b), append(drains, b)
		for _, p := range b.places {
			x.places[p.spec.Name] = p
		}
		water.Add(b)
	}
	water.OpenLosses(drains)
	return x
}

// Place is where a probe stands; nil when it stands in no bed.
func (x *Beds) Place(probe string) *Place { return x.places[probe] }

// Next is the next moment at which a soil has something new by itself.
func (x *Beds) Next() signal.Time {
	next := signal.Never
	for _, b := range x.list {
		next = min(next, b.until)
	}
	return next
}

// Pass begins the steps of soils that are due at a moment.
func (x *Beds) Pass(at signal.Time) {
	for _, b := range x.list {
		if b.until <= at {
			b.begin(at)
		}
	}
}

// Close brings the beds to the end of the run.
func (x *Beds) Close(at signal.Time) {
	for _, b := range x.list {
		b.cut(at)
	}
}
