package hydraulics

import (
	"math"

	"ullage/fakes/internal/surge"
	"ullage/fakes/pipework"
	"ullage/fakes/site/internal/device"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// hammer is the pipe before a valve, in which the water knocks when the valve shuts. The waves are over before the
// network changes; they are computed when a closing stroke has ended, from the flow and pressure at its beginning and
// the pressure at its end, and recorded then. A stroke that is broken off is not.
type hammer struct {
	line           surge.Line
	flow, pressure *device.Line // of the valve

	closing bool          // a stroke is on its way
	due     bool          // it has ended
	begun   surge.Closing // what it began with
	disc    float64       // share of the stroke at which it began

	surgeID, partedID signal.ID
}

// openHammer declares the surge at a valve; nil when no pipes with a known wall lead to it.
func openHammer(s *Step, spec sitefile.Valve, flow, pressure *device.Line) *hammer {
	name, pipes := signal.Valve(spec.Name), pipesBefore(s.Spec, s.plan, spec.Name)
	if len(pipes) == 0 {
		return nil
	}
	h := &hammer{line: surge.Reduce(pipes...), flow: flow, pressure: pressure, surgeID: s.Declare(name.Surge()),
		partedID: s.Declare(name.Parted())}
	h.begun.Behind = standsBehind(s.Spec, s.plan, spec)
	return h
}

// pipesBefore are the pipes that lead to a part, from where a wave is thrown back: a supply, a tank, a pump, a
// regulator or the first pipe whose wall is not known.
func pipesBefore(site *sitefile.Site, plan *pipework.Plan, name string) (pipes []surge.Pipe) {
	for name = plan.Feeds[name]; name != ""; name = plan.Feeds[name] {
		for _, x := range site.Regulators {
			if x.Name == name {
				return pipes
			}
		}
		for _, x := range site.Pumps {
			if x.Name == name {
				return pipes
			}
		}
		for _, x := range site.Pipes {
			switch {
			case x.Name != name:
			case x.Material == "":
				return pipes
			default:
				pipes = append(pipes, surge.Pipe{Length: x.Length.SI, Bore: x.Bore.SI, Roughness: x.Roughness.SI,
					Wall:    x.Wall.SI,
					Modulus: surge.Modulus(string(x.Material))})
			}
		}
	}
	return pipes
}

// standsBehind is the pressure of the water that stands between a valve and the lowest outlet that it feeds.
func standsBehind(site *sitefile.Site, plan *pipework.Plan, v sitefile.Valve) float64 {
	least := math.Inf(1)
	look := func(from string, height float64) {
		for ; from != ""; from = plan.Feeds[from] {
			if from == v.Name {
				least = math.Min(least, height)
			}
		}
	}
	for _, x := range site.Outlets {
		look(x.From, x.Height.SI)
	}
	for _, x := range site.Laterals {
		look(x.From, x.Height.SI)
	}
	if math.IsInf(least, 1) {
		return 0
	}
	return (least - plan.Heights[v.Name]) * pipework.PerMetre
}

// strokes notes that a disc begins a movement of so many seconds from where it is, at a share of the present step.
func (h *hammer) strokes(closing bool, disc, seconds, share float64) {
	h.closing, h.due = closing, false
	if h.closing {
		h.disc = disc
		h.begun.Seconds = seconds
		h.begun.Flow, h.begun.Pressure = h.flow.At(share), h.pressure.At(share)
	}
}

// recordSurge works out what the stroke that has just ended has done.
func (h *hammer) recordSurge(s *Step, at signal.Time) {
	if !h.due {
		return
	}
	h.due, h.closing = false, false
	h.begun.Static = h.pressure.Start
	peak := h.line.Peak(h.begun)
	s.Put(at, h.surgeID, peak.Pressure)
	if peak.Separated {
		s.Put(at, h.partedID, 1)
	}
}
