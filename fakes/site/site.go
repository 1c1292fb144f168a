// Package site is the simulated site: the water, the soil and the wires of a site file, as its controller meets them.
//
// It has three parts, each a package of its own below internal, and each knows only those before it: hydraulics is the
// water, which takes the steps; beds is the soil, which follows the flows that fall on it; wiring is the supply, the
// coils that move valves and pumps, and the contacts, meters and probes that the controller sees. Site puts them
// together and lets them pass from moment to moment.
package site

import (
	"context"
	"errors"
	"fmt"

	"ullage/fakes/site/internal/beds"
	"ullage/fakes/site/internal/device"
	"ullage/fakes/site/internal/hydraulics"
	"ullage/fakes/site/internal/wiring"
	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// Site is a simulated site. It implements harness.Site and is used for one run, from one goroutine.
type Site struct {
	spec  *sitefile.Site
	bench *device.Bench
	water *hydraulics.Water
	soil  *beds.Beds
	wires *wiring.Wires // nil before Open
	now   signal.Time
	next  signal.Time
	live  bool // the controller has been given the state of its inputs
}

var (
	_ harness.Site     = (*Site)(nil)
	_ harness.Balancer = (*Site)(nil)
)

// New builds the site of a site file. The file's defaults must have been filled in.
func New(spec *sitefile.Site) (*Site, error) {
	water, err := hydraulics.New(spec)
	if err != nil {
		return nil, err
	}
	if err := beds.Check(spec); err != nil {
		return nil, err
	}
	return &Site{spec: spec, water: water}, nil
}

// Open declares the signals and offers the knobs of every device, and puts the site into its starting state: valves
// shut, pumps off.
func (s *Site) Open(_ context.Context, record signal.Recorder, panel *fault.Panel, draw harness.Draw) error {
	s.bench = device.NewBench(record, panel)
	s.water.Bench = s.bench
	s.wires = wiring.New(s.bench, s.water, draw)
	for _, open := range []func(){ // in the order in which signals are declared and knobs take effect
		s.water.OpenSupplies,
		s.wires.OpenMeters,
		s.wires.OpenValves,
		s.water.OpenPipes,
		s.wires.OpenPumps,
		s.water.OpenOutlets,
		s.water.OpenTanks,
		s.water.OpenChecks,
		s.water.OpenCrests,
		func() { s.soil = beds.Open(s.bench, s.water) },
		s.water.OpenSloshes,
		func() { s.wires.OpenInputs(s.soil) },
		s.wires.OpenSupply,
	} {
		open()
	}
	if err := s.water.Begin(0); err != nil {
		return err
	}
	s.look()
	return nil
}

// Close records where everything stands; a simulated site has nothing to let go of.
func (s *Site) Close() error {
	if s.wires == nil {
		return nil
	}
	s.water.Close(s.now)
	s.soil.Close(s.now)
	s.wires.Close(s.now)
	return nil
}

// Balance weighs the water of this site's run; see Balance of this package. A run in which nothing moved is in balance.
func (s *Site) Balance(trace *signal.Trace) (float64, error) {
	out, err := Balance(s.spec, trace)
	if errors.Is(err, ErrNothingMoved) {
		return 0, nil
	}
	return out, err
}

// Next is the next moment at which the site has something new by itself.
func (s *Site) Next() signal.Time { return s.next }

// Advance brings the site to a moment; see harness.Site.
func (s *Site) Advance(ctx context.Context, to signal.Time, outputs []harness.Pin) ([]harness.Pin, error) {
	if to < s.now {
		return nil, fmt.Errorf("asked to go back from %v to %v", s.now, to)
	}
	for s.next <= to {
		if ctx.Err() != nil {
			return nil, context.Cause(ctx)
		}
		if err := s.pass(s.next); err != nil {
			return nil, err
		}
	}
	s.now = to
	s.bench.Turn(to)
	if !s.live {
		s.live = true
		s.wires.Start(to)
	}
	s.wires.Drive(to, outputs)
	if s.water.Changed() {
		if err := s.begin(to); err != nil {
			return nil, err
		}
		s.passInputs(to)
	}
	s.look()
	return s.wires.Sent(), nil
}

// pass lets everything happen that is due at a moment.
func (s *Site) pass(at signal.Time) error {
	s.now = at
	s.wires.PassSupply(at)
	s.passInputs(at)
	if s.water.Due(at) {
		if err := s.begin(at); err != nil {
			return err
		}
	} else {
		s.soil.Pass(at)
	}
	s.look()
	return nil
}

// passInputs makes what is due within the present step.
func (s *Site) passInputs(at signal.Time) {
	s.water.Pass(at)
	s.wires.PassInputs(at)
}

// begin ends the present step of the water at a moment and begins the next.
func (s *Site) begin(at signal.Time) error {
	s.water.Cut(at)
	s.wires.StopMotors(at)
	return s.water.Begin(at)
}

// look works out when the site will have something new.
func (s *Site) look() { s.next = min(s.water.Next(), s.soil.Next(), s.wires.Next()) }
