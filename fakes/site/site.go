// Package site is the simulated site: the water of a site file computed step by step, with the soil, the contacts, the
// probes and the wires that its controller sees.
//
// How it moves. The network is solved at the two ends of a step, the tanks within it implicitly by the trapezoidal rule;
// between the ends every flow runs straight, and every volume is the exact integral of that straight line, so that levels
// and recorded flows balance to rounding. A third solve in the middle of the step says how far the truth is from the
// straight line and so how long the step may be. Where the rule would overshoot a tank that is nearly in balance, the
// step is taken by the backward Euler rule, which cannot.
//
// A step stays as it is until an input changes: asking for a moment within it interpolates and alters nothing. Levels at
// which a contact changes are found on the parabola to the nanosecond.
package site

import (
	"context"
	"errors"
	"fmt"

	"ullage/fakes/pipework"
	"ullage/fakes/water"
	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// Site is a simulated site. It implements harness.Site and is used for one run, from one goroutine.
type Site struct {
	spec      *sitefile.Site
	terminals []harness.Terminal
	plan      *pipework.Plan
	solver    *water.Solver
	record    signal.Recorder

	drives     []*drive
	pilots     []*drive // those of them that the water moves
	pumps      []*pump
	tanks      []*tank
	meters     []*meter
	beds       []*bed
	floats     []*float
	sloshes    []*slosh
	probes     []*sensor
	supplied   supplied
	outputs    []func(signal.Time, harness.Pin) // by terminal: what hangs on it; nil for inputs
	mains      []*mains
	filters    []*filter
	sprinklers []*sprinkler

	flows  map[string]*curve // by device
	curves []*curve          // whose values come from a solve
	totals []*total
	lost   curve

	now    signal.Time
	t0, t1 signal.Time // the present step
	dt     float64     // its length in seconds
	hint   float64     // length to try next, s
	rough  float64     // error of the last step over its length squared; 0 not known
	jump   bool        // an input changed so that flows jump
	turn   bool        // an input changed so that a new step must begin
	stroke bool        // a disc moves in the present step
	first  bool        // nothing has been told to the controller yet

	offered int     // number of knobs
	turned  []*knob // at the present moment
	pins    []harness.Pin
	next    signal.Time
}

var (
	_ harness.Site     = (*Site)(nil)
	_ harness.Balancer = (*Site)(nil)
)

// New builds the site of a site file. The file's defaults must have been filled in.
func New(spec *sitefile.Site) (*Site, error) {
	p, err := pipework.New(spec)
	if err != nil {
		return nil, err
	}
	solver, err := p.Network.Compile()
	if err != nil {
		return nil, fmt.Errorf("site %q: %w", spec.Name, err)
	}
	if err := moistEnough(spec); err != nil {
		return nil, fmt.Errorf("site %q: %w", spec.Name, err)
	}
	terminals := harness.Terminals(spec)
	return &Site{spec: spec, terminals: terminals, plan: p, solver: solver, first: true, flows: map[string]*curve{},
		outputs: make([]func(signal.Time, harness.Pin), len(terminals))}, nil
}

// Open declares the signals and offers the knobs of every device, and puts the site into its starting state: valves shut,
// pumps off.
func (s *Site) Open(ctx context.Context, record signal.Recorder, panel *fault.Panel, draw harness.Draw) error {
	s.record = record
	s.openSupplies(panel)
	s.openMeters()
	s.openValves(panel)
	s.openFilters(panel)
	s.openPipes(panel)
	s.openPumps(panel)
	s.openOutlets(panel)
	s.openTanks(panel)
	s.openCushions()
	s.openBackflow(panel)
	s.openBeds(panel)
	s.openSloshes(panel)
	s.openContacts(panel, draw)
	s.openProbes(panel, draw)
	s.openPower(panel)
	s.jump = true
	return s.begin(0)
}

// Close records where everything stands; a simulated site has nothing to let go of.
func (s *Site) Close() error {
	if s.record != nil && s.now > s.t0 {
		s.cut(s.now)
	}
	for _, b := range s.beds {
		b.cut(s, s.now)
	}
	for _, f := range s.floats {
		f.recordLevel(s, s.now)
	}
	s.closePower()
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
	s.pins = s.pins[:0]
	for s.next <= to {
		if ctx.Err() != nil {
			return nil, context.Cause(ctx)
		}
		if err := s.pass(s.next); err != nil {
			return nil, err
		}
	}
	s.now = to
	s.turnKnobs()
	if s.first {
		s.energise(to)
		s.first = false
		s.tellAll(to)
	}
	for _, p := range outputs {
		if hangs := s.outputs[p.Terminal]; hangs != nil {
			hangs(to, p)
		}
	}
	if s.supplied.dirty {
		s.energise(to)
	}
	if s.jump || s.turn {
		s.cut(to)
		s.motors(to)
		if err := s.begin(to); err != nil {
			return nil, err
		}
		s.edges(to)
	}
	s.look()
	return s.pins, nil
}

// pass lets everything happen that is due at a moment.
func (s *Site) pass(at signal.Time) error {
	s.now = at
	s.passPower(at)
	s.edges(at)
	if at >= s.t1 || s.jump || s.turn {
		s.cut(at)
		s.motors(at)
		return s.begin(at)
	}
	for _, b := range s.beds {
		if b.until <= at {
			b.begin(s, at)
		}
	}
	s.look()
	return nil
}

// edges makes the edges of contacts and meters and the noise of probes that are due and tells the terminals.
func (s *Site) edges(at signal.Time) {
	for _, f := range s.floats {
		f.pass(s, at)
	}
	for _, m := range s.meters {
		m.pass(s, at)
	}
	for _, w := range s.sprinklers {
		w.pass(s, at)
	}
	for _, p := range s.probes {
		p.pass(s, at)
	}
}

// look works out when the site will have something new.
func (s *Site) look() {
	next := min(s.t1, s.nextPower())
	for _, f := range s.floats {
		next = min(next, f.crosses, f.looks, f.Next(), f.coupled.ends)
	}
	for _, m := range s.meters {
		next = min(next, m.edge)
	}
	for _, w := range s.sprinklers {
		next = min(next, w.turns)
	}
	for _, b := range s.beds {
		next = min(next, b.until)
	}
	for _, p := range s.probes {
		next = min(next, p.renews)
	}
	s.next = next
}

// tellAll tells the controller the state of every input, power last.
func (s *Site) tellAll(at signal.Time) {
	for _, f := range s.floats {
		f.told = f.pin(s, at)
		if f.terminal >= 0 {
			s.pins = append(s.pins, f.told)
		}
	}
	for _, m := range s.meters {
		if m.terminal >= 0 {
			s.pins = append(s.pins, harness.Open(at, m.terminal))
		}
	}
	for _, p := range s.probes {
		s.tellProbe(at, p)
	}
	s.supplied.pin = s.powerPin(at)
	s.pins = append(s.pins, s.supplied.pin)
}

// terminal is the number of the input that a device is wired to, -1 when it is not wired.
func (s *Site) terminal(device string) int {
	for i, t := range s.terminals {
		if t.Name == device && t.Kind != harness.OutputTerminal {
			return i
		}
	}
	return -1
}

// onOutput hangs a device on the outputs that bear its name.
func (s *Site) onOutput(device string, drive func(signal.Time, harness.Pin)) {
	for i, t := range s.terminals {
		if t.Name == device && t.Kind == harness.OutputTerminal {
			s.outputs[i] = drive
		}
	}
}
