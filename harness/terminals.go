package harness

import (
	"math"

	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// PowerName is the name of the last terminal of every controller: its own supply.
const PowerName = "power"

// Terminals lists the terminals of a site's controller in the order of the site file, and its power terminal last.
func Terminals(site *sitefile.Site) []Terminal {
	var list []Terminal
	for _, t := range site.Controller.Terminals {
		kind := OutputTerminal
		normal := false
		var drive sitefile.Drive
		switch {
		case t.Contact != "":
			kind = ContactTerminal
			for _, c := range site.Contacts {
				normal = normal || c.Name == t.Contact && c.Normally == "closed"
			}
		case t.Pulse != "":
			kind = PulseTerminal
		case t.Analogue != "":
			kind = AnalogueTerminal
		}
		for _, v := range site.Valves {
			if v.Name == t.Output {
				drive = v.Drive
			}
		}
		list = append(list, Terminal{Name: t.Device(), Kind: kind, Normal: normal, Drive: drive})
	}
	return append(list, Terminal{Name: PowerName, Kind: PowerTerminal})
}

// terminalRecord writes down what passes at the terminals: the open-circuit volts of outputs, and the volts that the
// input stage sees of everything else, without the hum that is coupled in and without noise: a point now and then says
// nothing of an alternating voltage, and a point for each reading of a noisy probe fills a trace with what its root
// mean square says. What the controller has made of each reading is in its own signals.
type terminalRecord struct {
	stand *Stand
	trace *signal.Trace
	ids   []signal.ID
	hums  []signal.ID // of analogue terminals
	noise []signal.ID // likewise

	received signal.ID
	last     []Pin
}

// steady is how far an analogue voltage may be from the line in the record that its noise hides, V: a twentieth of the
// step of a converter of 10 bits and 3.3 V.
const steady = 0.15e-3

func newTerminalRecord(s *Stand, trace *signal.Trace) *terminalRecord {
	r := &terminalRecord{stand: s, trace: trace, last: make([]Pin, len(s.Terminals)),
		received: trace.Declare(signal.Controller.Received())}
	for i, t := range s.Terminals {
		voltage, analogue := signal.Terminal(t.Name).Voltage(), signal.AnalogueTerminal(t.Name)
		if t.Kind == AnalogueTerminal {
			voltage = analogue.Voltage()
		}
		r.ids = append(r.ids, trace.Declare(voltage))
		r.last[i] = Open(0, i)
		r.hums, r.noise = append(r.hums, 0), append(r.noise, 0)
		if t.Kind == AnalogueTerminal {
			r.hums[i] = trace.Declare(analogue.Hum())
			r.noise[i] = trace.Declare(analogue.Noise())
			trace.Put(signal.Change{ID: r.hums[i], Value: 0})
			trace.Put(signal.Change{ID: r.noise[i], Value: 0})
		}
		if t.Kind == OutputTerminal { // in its safe state until the controller says otherwise
			trace.Put(signal.Change{ID: r.ids[i], Value: 0})
		}
	}
	return r
}

// receive writes down the frames that reach the controller.
func (r *terminalRecord) receive(at signal.Time, frames []Frame) {
	for _, f := range frames {
		r.trace.Put(signal.Change{At: at, ID: r.received, Value: float64(f.Kind)})
	}
}

// finish writes the last point of every voltage that is rising or falling.
func (r *terminalRecord) finish(at signal.Time) {
	for i, p := range r.last {
		if p.Slope != 0 {
			r.trace.Put(signal.Change{At: at, ID: r.ids[i], Value: r.volts(p, at)})
		}
	}
}

// record writes the pins that have changed. A voltage that was rising or falling, and one that is recorded as a line,
// gets its last point first.
func (r *terminalRecord) record(pins []Pin) {
	for _, p := range pins {
		before := r.last[p.Terminal]
		if r.onlyNoise(before, p) {
			continue
		}
		if before.Slope != 0 || r.stand.Terminals[p.Terminal].Kind == AnalogueTerminal && before.At < p.At {
			r.trace.Put(signal.Change{At: p.At, ID: r.ids[p.Terminal], Value: r.volts(before, p.At)})
		}
		r.trace.Put(signal.Change{At: p.At, ID: r.ids[p.Terminal], Value: r.volts(p, p.At)})
		if hum, was := r.hum(p), r.hum(before); hum != was {
			r.trace.Put(signal.Change{At: p.At, ID: r.hums[p.Terminal], Value: hum})
		}
		if noise, was := r.rms(p), r.rms(before); noise != was {
			r.trace.Put(signal.Change{At: p.At, ID: r.noise[p.Terminal], Value: noise})
		}
		r.last[p.Terminal] = p
	}
}

// onlyNoise reports whether a pin differs from the one recorded last by another value of the same noise only.
func (r *terminalRecord) onlyNoise(before, p Pin) bool {
	return p.NoiseRMS > 0 && p.NoiseRMS == before.NoiseRMS && p.Ohms == before.Ohms && p.Hum == before.Hum &&
		math.Abs(r.volts(p, p.At)-r.volts(before, p.At)) < steady
}

// rms is the root mean square of the noise at an analogue input, V.
func (r *terminalRecord) rms(p Pin) float64 {
	if p.NoiseRMS == 0 || p.Ohms == 0 || r.stand.Terminals[p.Terminal].Kind != AnalogueTerminal {
		return p.NoiseRMS
	}
	return p.NoiseRMS * r.stand.Input(p.Terminal).Parallel(p) / p.Ohms
}

// hum is the amplitude of the hum at an analogue input, V.
func (r *terminalRecord) hum(p Pin) float64 {
	if p.Hum == 0 || r.stand.Terminals[p.Terminal].Kind != AnalogueTerminal {
		return 0
	}
	return p.Hum * r.stand.Input(p.Terminal).Parallel(p)
}

func (r *terminalRecord) volts(p Pin, at signal.Time) float64 {
	switch r.stand.Terminals[p.Terminal].Kind {
	case OutputTerminal, PowerTerminal:
		if p.Ohms > 1e9 {
			return 0
		}
		return p.VoltsAt(at)
	}
	return r.stand.Input(p.Terminal).Volts(p.Quiet(), at)
}

// names lists the terminals of pins, for a message.
func (r *terminalRecord) names(sets ...[]Pin) []string {
	var names []string
	for _, pins := range sets {
		for _, p := range pins {
			names = append(names, r.stand.Terminals[p.Terminal].Name)
		}
	}
	return names
}

// InputOf is the input stage of a terminal as the board of a site file describes it.
func InputOf(board sitefile.Board, kind TerminalKind) Input {
	in := Input{Rail: board.Rail.SI, PullUp: board.PullUp.SI, Leak: inf, Low: board.Low.SI, High: board.High.SI,
		Bits: board.Bits}
	if kind == AnalogueTerminal {
		in.PullUp, in.Leak = inf, board.Impedance.SI
	}
	return in
}
