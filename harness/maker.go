package harness

import (
	"context"
	"errors"
	"fmt"

	"ullage/harness/clock"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// Clock paces a run; package clock has a virtual one and one of the wall. The loop waits on it before site and network
// go on to the moment that the controller has reached. A controller that is real waits on the clock of its Plan itself.
type Clock interface {
	// Start makes the present moment 0 of the run.
	Start()
	// Now is how far the time has come.
	Now() signal.Time
	// Wait returns when a moment has come, at once when it has passed, and with the context's cause when that ends.
	Wait(ctx context.Context, until signal.Time) error
}

// Plan is what the parts of one stand are made for.
type Plan struct {
	Site      *sitefile.Site // with the starting state and the settings of the script; no maker changes it
	Terminals []Terminal     // of the controller; see Terminals
	Clock     Clock          // of the stand
}

// Maker makes one part of a stand: a Site, a Network, a Controller or a Clock. A bench, an emulated controller, a
// network of packets are one maker each, and no other maker knows.
type Maker[P any] struct {
	// Make makes a fresh part, not yet opened, for one run. ctx bounds the making. It may be called from several
	// goroutines at once unless the maker is exclusive.
	Make func(ctx context.Context, plan *Plan) (P, error)
	// Exclusive says that only one such part can exist at a time: it stands for something real, of which there is one.
	Exclusive bool
}

// Makers is a stand still to be made.
type Makers struct {
	Site       Maker[Site]
	Network    Maker[Network]
	Controller Maker[Controller]
	Clock      Maker[Clock] // without Make: virtual time
}

// Exclusive reports whether one of the parts can exist only once at a time. Such stands are made one after the other,
// and whoever runs scenarios in parallel does so only where this is false.
func (m Makers) Exclusive() bool {
	return m.Site.Exclusive || m.Network.Exclusive || m.Controller.Exclusive || m.Clock.Exclusive
}

// Sites finds a site by the name that scripts use. The site returned is not changed.
type Sites func(name string) (*sitefile.Site, error)

// Stands makes the stands of scripts, from makers and sites. It may be used by several runs at once.
type Stands struct {
	makers Makers
	sites  Sites
	one    chan struct{} // taken while an exclusive stand exists; nil when the stands are not exclusive
}

// On returns what makes stands for the scripts of these sites.
func (m Makers) On(sites Sites) *Stands {
	s := &Stands{makers: m, sites: sites}
	if m.Exclusive() {
		s.one = make(chan struct{}, 1)
	}
	return s
}

// Exclusive is that of the makers.
func (s *Stands) Exclusive() bool { return s.makers.Exclusive() }

// Build makes the stand of a script; it is a Builder. Where stands are exclusive it waits until the one before has been
// run or closed.
func (s *Stands) Build(ctx context.Context, script *Script) (*Stand, error) {
	spec, err := script.SiteOf(s.sites)
	if err != nil {
		return nil, err
	}
	if s.one == nil {
		return s.makers.build(ctx, spec)
	}
	select {
	case s.one <- struct{}{}:
	case <-ctx.Done():
		return nil, fmt.Errorf("waiting for the stand, which exists only once: %w", context.Cause(ctx))
	}
	stand, err := s.makers.build(ctx, spec)
	if err != nil {
		<-s.one
		return nil, err
	}
	stand.release = func() { <-s.one }
	return stand, nil
}

// Proof is how a run of these stands is proven unless somebody asks otherwise: by running everything again where that
// can be done.
func (s *Stands) Proof() Proof {
	if s.Exclusive() {
		return OpenLoop{Stands: s}
	}
	return ClosedLoop{}
}

// replay makes the stand of a script with a recorded controller, in virtual time.
func (s *Stands) replay(ctx context.Context, script *Script, c Controller) (*Stand, error) {
	if s.makers.Site.Exclusive || s.makers.Network.Exclusive {
		return nil, &CannotError{"site or network exists only once, and nothing can be played into it again"}
	}
	spec, err := script.SiteOf(s.sites)
	if err != nil {
		return nil, err
	}
	return Makers{Site: s.makers.Site, Network: s.makers.Network, Controller: Maker[Controller]{
		Make: func(context.Context, *Plan) (Controller, error) { return c, nil }}}.build(ctx, spec)
}

// build makes the parts of one stand. When one cannot be made, those before it are closed.
func (m Makers) build(ctx context.Context, spec *sitefile.Site) (stand *Stand, err error) {
	plan := &Plan{Site: spec, Terminals: Terminals(spec), Clock: &clock.Virtual{}}
	if m.Clock.Make != nil {
		if plan.Clock, err = m.Clock.Make(ctx, plan); err != nil {
			return nil, err
		}
	}
	stand = &Stand{Clock: plan.Clock, Spec: spec, Terminals: plan.Terminals, Input: func(terminal int) Input {
		return InputOf(spec.Controller.Board, plan.Terminals[terminal].Kind)
	}}
	defer func() {
		if err != nil {
			err = errors.Join(err, stand.close())
			stand = nil
		}
	}()
	if stand.Site, err = m.Site.Make(ctx, plan); err != nil {
		return stand, err
	}
	if stand.Network, err = m.Network.Make(ctx, plan); err != nil {
		return stand, err
	}
	stand.Controller, err = m.Controller.Make(ctx, plan)
	return stand, err
}
