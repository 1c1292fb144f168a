package site

import (
	"math"

	"ullage/fakes/pipework"
	"ullage/fakes/surge"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// hammer is the pipe before a valve, in which the water knocks when the valve shuts. The waves are over before the network
// changes; they are computed when a closing stroke has ended, from the flow and pressure at its beginning and the pressure at
// its end, and recorded then. A stroke that is broken off is not.
type hammer struct {
	line           surge.Line
	flow, pressure *curve // of the valve

	closing bool          // a stroke is on its way
	due     bool          // it has ended
	begun   surge.Closing // what it began with
	disc    float64       // share of the stroke at which it began

	surgeID, partedID signal.ID
}

// openHammer declares the surge at a valve that pipes with a known wall lead to.
func (s *Site) openHammer(d *drive, flow, pressure *curve) {
	pipes := s.pipesBefore(d.spec.Name)
	if len(pipes) == 0 {
		return
	}
	declare := func(name string, dim quantity.Dimension) signal.ID {
		return s.record.Declare(signal.Signal{Device: d.spec.Name, Quantity: name, Dim: dim, Shape: signal.Event})
	}
	h := &hammer{line: surge.Reduce(pipes...), flow: flow, pressure: pressure,
		surgeID: declare("surge", quantity.Pressure), partedID: declare("parted", quantity.State)}
	h.begun.Behind = s.standsBehind(d.spec)
	h.begun.Capacity = func(seconds float64) float64 { return d.lets(math.Max(d.target, h.disc+float64(seconds/d.stroke))) }
	d.hammer = h
}

// pipesBefore are the pipes that lead to a part, from where a wave is thrown back: a supply, a tank, a pump, a regulator or
// the first pipe whose wall is not known.
func (s *Site) pipesBefore(name string) (pipes []surge.Pipe) {
	for name = s.plan.Feeds[name]; name != ""; name = s.plan.Feeds[name] {
		for _, x := range s.spec.Regulators {
			if x.Name == name {
				return pipes
			}
		}
		for _, x := range s.spec.Pumps {
			if x.Name == name {
				return pipes
			}
		}
		for _, x := range s.spec.Pipes {
			switch {
			case x.Name != name:
			case x.Material == "":
				return pipes
			default:
				pipes = append(pipes, surge.Pipe{Length: x.Length.SI, Bore: x.Bore.SI, Roughness: x.Roughness.SI, Wall: x.Wall.SI,
					Modulus: surge.Modulus(string(x.Material))})
			}
		}
	}
	return pipes
}

// standsBehind is the pressure of the water that stands between a valve and the lowest outlet that it feeds.
func (s *Site) standsBehind(v sitefile.Valve) float64 {
	least := math.Inf(1)
	look := func(from string, height float64) {
		for ; from != ""; from = s.plan.Feeds[from] {
			if from == v.Name {
				least = math.Min(least, height)
			}
		}
	}
	for _, x := range s.spec.Outlets {
		look(x.From, x.Height.SI)
	}
	for _, x := range s.spec.Laterals {
		look(x.From, x.Height.SI)
	}
	if math.IsInf(least, 1) {
		return 0
	}
	return (least - s.plan.Heights[v.Name]) * pipework.PerMetre
}

// strokes notes that the disc begins a movement at a share of the present step.
func (h *hammer) strokes(d *drive, share float64) {
	h.closing, h.due = d.closes(), false
	if h.closing {
		h.disc = d.disc
		h.begun.Seconds = (d.arrives - d.since).Seconds()
		h.begun.Flow, h.begun.Pressure = h.flow.at(share), h.pressure.at(share)
	}
}

// recordSurges works out what the strokes that have just ended have done.
func (s *Site) recordSurges(at signal.Time) {
	for _, d := range s.drives {
		h := d.hammer
		if h == nil || !h.due {
			continue
		}
		h.due, h.closing = false, false
		h.begun.Static = h.pressure.start
		peak := h.line.Peak(h.begun)
		s.put(at, h.surgeID, peak.Pressure)
		if peak.Separated {
			s.put(at, h.partedID, 1)
		}
	}
}
