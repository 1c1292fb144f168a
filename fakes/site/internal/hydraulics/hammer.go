package hydraulics

import (
	"math"

	"ullage/fakes/internal/surge"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// hammer is a valve's part in the surges of the pipes that it stands in: how its disc has moved since their waves
// began, and the signals of the surge at its inlet.
type hammer struct {
	valve    *Valve
	pipes    *surges
	inlet    int // node before it
	link     int
	strokes  []stroke // since the waves began
	closing  bool     // a closing stroke is on its way
	recorded bool     // a pipe of known wall leads to it

	before float64 // Pa before the valve, before the flows jumped

	surgeID, partedID, missedID signal.ID
}

// stroke is a movement of a disc.
type stroke struct {
	at       signal.Time
	from, to float64 // shares of the whole stroke
	seconds  float64
}

// openHammer declares the surge at a valve, where a pipe of known wall leads to it.
func openHammer(s *Step, v *Valve) *hammer {
	h := &hammer{valve: v, recorded: wallBefore(s, v.spec.From)}
	if h.recorded {
		name := signal.Valve(v.spec.Name)
		h.surgeID, h.partedID, h.missedID = s.Declare(name.Surge()), s.Declare(name.Parted()),
			s.Declare(name.SurgeMissed())
	}
	return h
}

// wallBefore reports whether the first pipe on the way up from a part, itself included, has a known wall. A supply, a
// tank, a pump or a regulator ends the way.
func wallBefore(s *Step, name string) bool {
	for ; name != "" && !throwsBack(s.Spec, name); name = s.plan.Feeds[name] {
		if p := pipeOf(s.Spec, name); p != nil {
			return p.Material != ""
		}
	}
	return false
}

func pipeOf(site *sitefile.Site, name string) *sitefile.Pipe {
	for i := range site.Pipes {
		if site.Pipes[i].Name == name {
			return &site.Pipes[i]
		}
	}
	return nil
}

// moves notes that the disc begins a movement from where it is at a moment.
func (h *hammer) moves(at signal.Time) {
	g, v := h.pipes, h.valve
	if g == nil {
		return
	}
	if h.closing {
		h.closing = false
		g.ends(at)
	}
	if !v.closes() {
		if g.active {
			h.strokes = append(h.strokes, stroke{at: at, from: v.disc, to: v.disc})
		}
		return
	}
	if !g.ringing(at) || g.network.Links[h.link].Flow <= 0 {
		g.begin(at, true)
	}
	h.closes(at)
}

// closes adds the movement that the disc is in, from a moment on.
func (h *hammer) closes(at signal.Time) {
	v := h.valve
	h.closing = true
	h.strokes = append(h.strokes, stroke{at: at, from: v.At(at), to: v.target, seconds: (v.arrives - at).Seconds()})
}

// arrives notes that the disc has come to the end of its movement.
func (h *hammer) arrives(at signal.Time) {
	if h.closing {
		h.closing = false
		h.pipes.ends(at)
	}
}

// kv is the flow coefficient a while after the waves began, m³/h. What opens in that time is taken to stay as it is:
// the surge comes out too high rather than too low.
func (h *hammer) kv(seconds float64) float64 {
	disc := h.strokes[0].from
	for _, x := range h.strokes {
		since := seconds - (x.at - h.pipes.began).Seconds()
		if since < 0 {
			break
		}
		disc = x.from
		if x.to < x.from {
			disc += (x.to - x.from) * math.Min(1, since/x.seconds)
		}
	}
	return h.valve.kvAt(math.Max(0, disc))
}

// surges are the pipes between where a wave is thrown back for good and the valves behind it, in which the water knocks
// when a valve shuts. The waves are over before the network changes for long. They are followed when the last of the
// closing strokes that coincide has ended, from the steady state in which the first of them began, and recorded then.
// Strokes coincide that begin before the waves of the others have died down.
type surges struct {
	water   *Water
	network surge.Network
	parts   []passage // that water runs through: one for each pipe and link
	nodes   []place   // where the nodes are
	source  source
	hammers []*hammer
	lags    bool // it is known of every non-return valve how soon it shuts

	active   bool
	began    signal.Time
	ended    signal.Time // the last stroke, or change of the source
	due      bool        // waves that are not recorded yet
	quiet    signal.Time // when they have died down
	standing float64     // Pa, head of the source as they began
	changes  []change    // of the source, since then
	known    bool        // the waves of the flows that jump now are computed, or missed already
}

// mostStrokes bounds what is computed together: valves that chatter do not stop.
const mostStrokes = 32

// ringing reports whether the waves of the last strokes are still on their way at a moment.
func (g *surges) ringing(at signal.Time) bool {
	strokes := 0
	for _, h := range g.hammers {
		strokes += len(h.strokes)
	}
	return g.active && strokes < mostStrokes && (g.closing() || at <= g.quiet)
}

func (g *surges) closing() bool {
	for _, h := range g.hammers {
		if h.closing {
			return true
		}
	}
	return false
}

// begin takes the steady state of a moment, from which waves start: with the discs and supplies as they are by then, or
// as they were. A stroke that is under way goes on from there.
func (g *surges) begin(at signal.Time, arranged bool) {
	g.record(at)
	g.changes, g.network.Nodes[0].Course = g.changes[:0], nil
	if arranged {
		g.water.arrange(at)
	}
	g.active, g.began, g.ended, g.quiet = g.look(at), at, at, at
	g.standing = g.network.Nodes[0].Head
	for _, h := range g.hammers {
		h.strokes = append(h.strokes[:0], stroke{at: at, from: h.valve.stands(at), to: h.valve.stands(at)})
		if h.closing {
			h.closes(at)
		}
	}
}

// ends notes that a closing stroke ends, or a change of the source.
func (g *surges) ends(at signal.Time) {
	g.due, g.ended = true, max(g.ended, at)
	g.quiet = g.ended + signal.FromSeconds(g.network.Follows())
}

// settle records the waves of closings that have ended, as soon as no valve is closing.
func (g *surges) settle(at signal.Time) {
	if g.due && !g.closing() {
		g.record(at)
	}
}

// record works out what the strokes so far have done, and records the surge at every valve: one that stands shut, or
// stays open, meets the waves of the others.
func (g *surges) record(at signal.Time) {
	if !g.due || !g.active {
		return
	}
	g.due = false
	g.network.Quickest = math.Inf(1)
	for _, h := range g.hammers {
		for _, x := range h.strokes {
			if x.to < x.from {
				g.network.Quickest = math.Min(g.network.Quickest, x.seconds/(x.from-x.to))
			}
		}
	}
	for _, c := range g.changes {
		g.network.Quickest = math.Min(g.network.Quickest, c.over)
	}
	peaks := g.network.Surge((g.ended - g.began).Seconds())
	for _, h := range g.hammers {
		if !h.recorded {
			continue
		}
		peak := peaks[h.inlet]
		g.water.Put(at, h.surgeID, math.Max(peak.Pressure, h.valve.pressure.At(g.water.Share(at))))
		if peak.Separated {
			g.water.Put(at, h.partedID, 1)
		}
	}
}
