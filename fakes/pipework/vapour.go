package pipework

import (
	"math"

	"ullage/fakes/water"
	"ullage/harness/sitefile"
)

// Crest is a place where the water may break off: the end of a pipe that lies high, or the inlet of a pump.
type Crest struct {
	Link   water.Link
	Before water.Node
	Least  float64 // m above the datum, the head there with the pressure of vapour, and with what a pump needs above it
}

// Suction is how far below the air the pressure of water can fall on a site, m: to that of its vapour.
func Suction(s *sitefile.Site) float64 {
	return Head(water.AirPressure(s.Altitude.SI) - water.VapourPressure(s.WaterTemperature.SI))
}

// shallow is a lift in m that no suction line of a site makes water break off with (common practice, no source).
const shallow = 3

// crests finds the pipes and pumps at whose end or inlet the water could break off: it could fall far enough from a
// pipe, or a pump could draw it up or through something. Elsewhere nothing can, and a crest would be for nothing.
func (p *Plan) crests(s *sitefile.Site) {
	p.suction = Suction(s)
	lowest := math.Inf(1)
	for _, x := range s.Outlets {
		lowest = math.Min(lowest, x.Height.SI)
	}
	for _, x := range s.Laterals {
		lowest = math.Min(lowest, x.Height.SI)
	}
	sources := map[string]float64{}
	for _, x := range s.Tanks {
		sources[x.Name] = x.Floor.SI
		lowest = math.Min(lowest, x.Floor.SI)
	}
	feeds := map[string]string{}
	for _, x := range s.Inlets() {
		feeds[x.Name] = x.From
	}
	for _, x := range s.Pipes {
		if x.Height.SI-lowest > p.suction {
			p.breaks[x.Name] = true
		}
	}
	heights := map[string]float64{}
	for _, x := range s.Pipes {
		heights[x.Name] = x.Height.SI
	}
	for _, x := range s.Pumps {
		source := x.From
		for feeds[source] != "" {
			source = feeds[source]
		}
		floor, tank := sources[source]
		p.breaks[x.Name] = source != x.From || tank && x.Height.SI-floor > shallow
		for name := x.From; tank && name != ""; name = feeds[name] {
			if height, pipe := heights[name]; pipe && height-floor > shallow {
				p.breaks[name] = true
			}
		}
	}
}

// crest adds the place where the water breaks off before a node of a part, which needs some head above that of vapour
// there, and returns the node that leads to it; the node itself for most parts, where it cannot.
func (p *Plan) crest(name string, to water.Node, height, needs float64) water.Node {
	if !p.breaks[name] {
		return to
	}
	before := p.Network.Junction(name+" crest", height, 0)
	least := height - p.suction + needs
	p.Crests[name] = Crest{Link: p.Network.Crest(name+" crest", before, to, least), Before: before, Least: least}
	return before
}
