package hydraulics

import (
	"math"

	"ullage/fakes/pipework"
	"ullage/harness/signal"
)

// change is a change of the head of the source in the course of the waves.
type change struct {
	from, over float64 // s from the beginning of the waves, and s that it takes
	to         float64 // Pa, piezometric
}

// sourceHead is the head of the source a while after the waves began, Pa. A pump that runs down loses its head with the
// square of its speed, and its speed evenly (the affinity laws; that the speed falls evenly is common practice, no
// source). A surge from the street comes at once.
func (g *surges) sourceHead(seconds float64) float64 {
	head := g.standing
	for _, c := range g.changes {
		if seconds <= c.from {
			break
		}
		left := 0.0
		if since := seconds - c.from; since < c.over {
			left = 1 - since/c.over
		}
		head = c.to + (head-c.to)*left*left
	}
	return head
}

// changesTo notes that the head of the source changes from a moment on.
func (g *surges) changesTo(head float64, over float64, at signal.Time) {
	g.changes = append(g.changes, change{from: (at - g.began).Seconds(), over: over, to: head})
	g.network.Nodes[0].Course = g.sourceHead
	g.ends(at + signal.FromSeconds(over))
	g.known = true
}

// stops notes that the pump before the pipes stops. Its surge is computed when the site file says in what time it runs
// down, and how soon the non-return valves behind it shut once the flow has turned round.
func (g *surges) stops(p *Pump, at signal.Time) {
	if p.spec.StopsIn.SI == 0 || !g.lags {
		g.miss(at, signal.PumpStopUnknown)
		g.known = true
		return
	}
	if !g.ringing(at) {
		g.begin(at, true)
	}
	low := g.water.solver.Head(g.water.plan.Nodes[p.spec.From]) * pipework.PerMetre
	g.changesTo(low, p.spec.StopsIn.SI, at)
}

// pumpStops has the surges behind a pump that stops computed.
func (s *Step) pumpStops(p *Pump, at signal.Time) {
	for _, g := range s.surges {
		if g.source.kind == pumped && g.source.name == p.spec.Name {
			g.stops(p, at)
		}
	}
}

// streetSurges has the surges behind a supply computed whose pressure changes at once.
func (s *Step) streetSurges(m *supply, at signal.Time) {
	for _, g := range s.surges {
		if g.source.kind == street && g.source.name == m.spec.Name {
			if !g.ringing(at) {
				g.begin(at, false)
			}
			g.changesTo(m.atRest(at)*pipework.PerMetre, 0, at)
		}
	}
}

// missedFrom is the jump of the pressure before a valve, Pa, from which on the wave that makes it must not be passed
// over (common practice, no source).
const missedFrom = 0.2e5

// miss records that a wave runs to the valves that is not computed.
func (g *surges) miss(at signal.Time, why float64) {
	for _, h := range g.hammers {
		if h.recorded {
			g.water.Put(at, h.missedID, why)
		}
	}
}

// watch notes the pressures before the valves, and compare finds out whether they have jumped by something of which no
// wave is computed.
func (g *surges) watch() {
	for _, h := range g.hammers {
		h.before = h.valve.pressure.Start
	}
}

func (g *surges) compare(at signal.Time) {
	for _, h := range g.hammers {
		if !g.known && h.recorded && math.Abs(h.valve.pressure.Start-h.before) > missedFrom {
			g.miss(at, signal.FlowJumped)
			break
		}
	}
	g.known = false
}
