package harness

import (
	"context"
	"errors"
	"fmt"
	"math"

	"ullage/harness/clock"
	"ullage/harness/fault"
	"ullage/harness/outcome"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// Stand is one controller, one site, one network and one clock put together for one run. It is used once, from one
// goroutine, and closed by its run; see Makers.
type Stand struct {
	Site       Site
	Network    Network
	Controller Controller
	Clock      Clock          // nil: virtual time
	Spec       *sitefile.Site // with the settings of the script; nil where there is none
	Terminals  []Terminal     // of the controller, in the order of Pin.Terminal
	Input      func(terminal int) Input
	sinks      []signal.Sink
	recording  *recording // of what the controller does; nil: none
	release    func()     // lets the next stand be made; nil where several may exist
}

// Close puts every part into its safe state and lets go. Run does it; only a stand that is not run must be closed.
// Closing twice is allowed.
func (s *Stand) Close() error {
	err := s.close()
	if s.release != nil {
		s.release()
		s.release = nil
	}
	return err
}

// close closes the parts that there are.
func (s *Stand) close() error {
	var errs []error
	if s.Controller != nil {
		errs = append(errs, s.Controller.Close())
	}
	if s.Network != nil {
		errs = append(errs, s.Network.Close())
	}
	if s.Site != nil {
		errs = append(errs, s.Site.Close())
	}
	return errors.Join(errs...)
}

// Watch has sinks given every change of the run as it happens: monitors, a log on disk, a live page. They begin with
// the starting values, once every part has declared its signals; see signal.Beginner. It is called before Run.
func (s *Stand) Watch(sinks ...signal.Sink) { s.sinks = append(s.sinks, sinks...) }

// Builder puts a stand together for a script: the site it names, with its starting state. ctx bounds the putting
// together, such as the start of a controller's program.
type Builder func(ctx context.Context, script *Script) (*Stand, error)

// Run is what one run has left.
type Run struct {
	Trace    *signal.Trace
	Verdicts []outcome.Verdict // one for each outcome of the script, in order
	Begins   signal.Time       // end of the Givens
	End      signal.Time
	Acts     []signal.Time   // when each act began; signal.Never for one that did not
	Site     *sitefile.Site  // with the settings of the script; nil where there is none
	Reacts   sitefile.Reacts // how the controller reacts
	Balance  float64         // what the water balance is out by, as a share of the water that moved
}

// Balancer is a site that can weigh the water of a run from its trace. A run whose water does not balance is broken.
type Balancer interface {
	// Balance returns what the balance is out by, as a share of everything that moved; 0 when nothing did.
	Balance(*signal.Trace) (float64, error)
}

// balanced is the share of the water by which a balance may be out.
const balanced = 1e-6

// maxRounds is how often the parts of a stand may answer each other at one moment before they are said to ring.
const maxRounds = 64

// Run runs a script from beginning to end, whatever fails on the way, and judges its outcomes. A *CannotError means
// that nothing was run. With any other error the Run holds what was recorded until then.
func (s *Stand) Run(ctx context.Context, script *Script) (run *Run, err error) {
	trace, panel := signal.NewTrace(), fault.NewPanel()
	draw := NewDraw(script.Seed, script.Name)
	defer func() {
		err = errors.Join(err, s.Close())
	}()
	if reason := s.lacks(script); reason != "" {
		return nil, &CannotError{reason}
	}
	if err := s.open(ctx, trace, panel, draw); err != nil {
		return nil, err
	}
	if s.Clock == nil {
		s.Clock = &clock.Virtual{}
	}
	l := &loop{Stand: s, trace: trace, terminals: newTerminalRecord(s, trace), mute: script.Mute}
	l.director, err = newDirector(script, trace, panel)
	if err != nil {
		return nil, err
	}
	monitors, err := attach(script, trace)
	if err != nil {
		return nil, err
	}
	for _, sink := range s.sinks {
		trace.Watch(sink)
	}
	if err = l.run(ctx); err == nil {
		err = s.Site.Close() // which records where everything stands at the end
		l.terminals.finish(l.now)
	}
	trace.Close(l.now)
	run = &Run{Trace: trace, Begins: l.director.begins, End: l.now, Acts: l.director.began, Site: s.Spec}
	if s.Spec != nil {
		run.Reacts = ReactsOf(s.Controller, s.Spec.Controller)
	}
	for _, m := range monitors {
		run.Verdicts = append(run.Verdicts, m.Verdict())
	}
	if b, ok := s.Site.(Balancer); ok && err == nil {
		if run.Balance, err = b.Balance(trace); err == nil && math.Abs(run.Balance) > balanced {
			err = &UnbalancedError{Share: run.Balance, Allowed: balanced}
		}
	}
	return run, err
}

// open opens the parts.
func (s *Stand) open(ctx context.Context, trace *signal.Trace, panel *fault.Panel, draw Draw) error {
	if err := s.Site.Open(ctx, trace, panel, draw); err != nil {
		return err
	}
	if err := s.Network.Open(ctx, trace, panel, draw); err != nil {
		return err
	}
	if s.recording != nil {
		return s.recording.open(ctx, s.Controller, trace, panel, draw)
	}
	return OpenController(ctx, s.Controller, trace, panel, draw)
}

// lacks says what the script needs that the controller cannot do, "" when nothing.
func (s *Stand) lacks(script *Script) string {
	can := s.Controller.Can()
	for _, need := range script.Needs {
		if !can[need] {
			return fmt.Sprintf("this controller does not offer: %s", need)
		}
	}
	return ""
}

// attach starts the monitors of the outcomes. One that looks at a signal nobody records cannot be judged on this stand.
func attach(script *Script, trace *signal.Trace) ([]outcome.Monitor, error) {
	var monitors []outcome.Monitor
	lookup := func(name string) (signal.ID, signal.Signal, bool) {
		id, ok := trace.Find(name)
		if !ok {
			return 0, signal.Signal{}, false
		}
		return id, trace.Signals()[id], true
	}
	for _, o := range script.Outcomes {
		m, err := o.Property.Monitor(o.From, lookup)
		var missing *outcome.NotRecordedError
		switch {
		case errors.As(err, &missing):
			return nil, unrecorded(missing.Signal, o.Text, "looks at")
		case err != nil:
			return nil, fmt.Errorf("%q: %w", o.Text, err)
		}
		monitors = append(monitors, m)
		trace.Watch(m)
	}
	return monitors, nil
}

// loop is the state of a run that is under way.
type loop struct {
	*Stand
	trace     *signal.Trace
	director  *director
	terminals *terminalRecord
	mute      bool
	now       signal.Time
}

// run lets time pass. At each moment: script and faults, site, network, controller; the controller then runs alone
// until it does something or until one of the others will.
func (l *loop) run(ctx context.Context) error {
	var in, out []Pin
	var got, sent []Frame
	rounds := 0
	l.Clock.Start()
	for turn := 0; ; turn++ {
		err := l.Clock.Wait(ctx, l.now)
		if err != nil {
			return brokenOff(ctx, "clock", l.now, err)
		}
		if err = l.director.act(l.now); err != nil {
			return err
		}
		l.terminals.record(out)
		if l.mute {
			out = out[:0]
		}
		if in, err = l.Site.Advance(ctx, l.now, out); err != nil {
			return brokenOff(ctx, "site", l.now, err)
		}
		if got, err = l.Network.Advance(ctx, l.now, sent); err != nil {
			return brokenOff(ctx, "network", l.now, err)
		}
		l.terminals.record(in)
		l.terminals.receive(l.now, got)
		end, known := l.director.end()
		if known && l.now >= end && len(out)+len(sent)+len(in)+len(got) == 0 && turn > 0 {
			return nil
		}
		to := max(l.now, min(l.Site.Next(), l.Network.Next(), l.director.next(), end))
		if to == signal.Never {
			return &NothingDueError{At: l.now}
		}
		reached, o, f, err := l.Controller.Advance(ctx, to, in, got)
		if err != nil {
			l.now = max(l.now, reached) // what it has recorded on the way stays
			return brokenOff(ctx, "controller", reached, err)
		}
		if reached < l.now || reached > to {
			return &ReachedError{From: l.now, Until: to, Reached: reached}
		}
		if l.recording != nil {
			l.recording.did(reached, o, f)
		}
		out, sent = o, f
		if rounds++; reached > l.now {
			rounds = 0
		}
		if rounds > maxRounds {
			return &NotQuietError{At: l.now, Rounds: maxRounds, Changing: l.terminals.names(in, out)}
		}
		l.now = reached
	}
}
