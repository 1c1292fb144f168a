// Package pipework draws the water of a site file as a network that can be solved.
//
// It is no API: it serves fakes/site and the design tools.
package pipework

import (
	"fmt"

	"ullage/fakes/water"
	"ullage/harness/sitefile"
)

// PerMetre is the pressure of a metre of water in Pa, with the constants that the network is solved with.
var PerMetre = water.Standard().Density * water.Standard().Gravity

// Plan is a site's water as a network, with the numbers by which its parts are asked for.
type Plan struct {
	Network      water.Network
	Nodes        map[string]water.Node // outlet of each part
	Heights      map[string]float64    // of that outlet, m above the site's datum
	Links        map[string]water.Link
	Supplies     map[string]water.Supply
	Outlets      map[string][]water.Outlet // of outlets and laterals, opening by opening along a line
	Coefficients map[string]float64        // of one opening of outlets and laterals, m³/s at 1 m
	Overflows    map[string][]Overflow     // by tank
	Rims         map[string]water.Outlet
	Leaks        map[string]water.Outlet
	Vessels      map[string]water.Vessel
	Dips         map[string]Dip        // by outlet
	Mouths       map[string][]Mouth    // by tank
	Bypasses     map[string]water.Link // of regulators, non-return valves and backflow preventers
	Suctions     map[string]water.Link // between a pump and what it draws from
	Holes        map[string]Hole       // in pipes and drip lines, none open
	Feeds        map[string]string     // of each part, what feeds it
	Crests       map[string]Crest      // by pipe or pump, where the water may break off
	Lines        []*Line

	breaks  map[string]bool // pipes and pumps that have a crest
	suction float64         // m, how far below the air the pressure of water can fall
}

// New draws the network. Parts are added as soon as what feeds them is there, so that the order in the file does not
// matter.
func New(s *sitefile.Site) (*Plan, error) {
	p := &Plan{Nodes: map[string]water.Node{}, Heights: map[string]float64{}, Links: map[string]water.Link{},
		Supplies: map[string]water.Supply{}, Outlets: map[string][]water.Outlet{}, Coefficients: map[string]float64{},
		Overflows: map[string][]Overflow{}, Rims: map[string]water.Outlet{},
		Leaks: map[string]water.Outlet{}, Vessels: map[string]water.Vessel{}, Dips: map[string]Dip{},
		Mouths:   map[string][]Mouth{},
		Bypasses: map[string]water.Link{}, Suctions: map[string]water.Link{}, Holes: map[string]Hole{},
		Feeds: map[string]string{}, Crests: map[string]Crest{}, breaks: map[string]bool{}}
	p.crests(s)
	for _, x := range s.Supplies {
		node := p.node(x.Name, x.Height.SI)
		p.Supplies[x.Name] = p.Network.Supply(x.Name, node, water.Inflow{
			Static: Head(x.Static.SI) + x.Height.SI, Residual: Head(x.Residual.SI) + x.Height.SI, Flow: x.At.SI,
			TakesBack: true})
	}
	for _, x := range s.Tanks {
		p.tank(x)
	}
	parts := links(s)
	for len(parts) > 0 {
		var waiting []part
		for _, x := range parts {
			from, ok := p.Nodes[x.place.From]
			if !ok {
				waiting = append(waiting, x)
				continue
			}
			p.Feeds[x.name] = x.place.From
			p.Links[x.name] = x.add(p, from, p.outletOf(x))
			p.mouth(x.place.From, Mouth{Link: p.Links[x.name], Source: x.place.From})
		}
		if len(waiting) == len(parts) {
			return nil, fmt.Errorf("site %q: %q is fed by %q, which no water reaches", s.Name, waiting[0].name,
				waiting[0].place.From)
		}
		parts = waiting
	}
	for _, x := range s.Pipes {
		if x.Joins != "" {
			joint := p.Network.Valve(x.Name+" joint", p.Nodes[x.Name], p.Nodes[x.Joins], WideOpen)
			p.mouth(x.Joins, Mouth{Link: joint, Inward: true, Source: p.Source(x.Name)})
		}
	}
	for _, x := range s.NonReturnValves {
		p.bypass(x.Name, x.Place)
	}
	for _, x := range s.BackflowPreventers {
		p.bypass(x.Name, x.Place)
	}
	for _, x := range s.Outlets {
		p.outlet(x)
	}
	for _, x := range s.Laterals {
		p.lateral(x)
	}
	p.lines(s)
	return p, nil
}

// Source is the supply or tank that the water of a part comes from.
func (p *Plan) Source(name string) string {
	for from, ok := p.Feeds[name]; ok; from, ok = p.Feeds[name] {
		name = from
	}
	return name
}

func (p *Plan) node(name string, height float64) water.Node {
	n := p.Network.Junction(name, height, 0)
	p.Nodes[name], p.Heights[name] = n, height
	return n
}

// part is anything with one inlet and one outlet.
type part struct {
	name  string
	place sitefile.Place
	add   func(p *Plan, from, to water.Node) water.Link

	vessel water.Vessel // that its outlet is joined to; nil for most
}

// outletOf adds the outlet of a part.
func (p *Plan) outletOf(x part) water.Node {
	if x.vessel == nil {
		return p.node(x.name, x.place.Height.SI)
	}
	n := p.Network.Tank(x.name, x.place.Height.SI, x.vessel)
	p.Nodes[x.name], p.Heights[x.name] = n, x.place.Height.SI
	return n
}

// links lists the parts that have an inlet and an outlet, in the order of the site file's sections.
func links(s *sitefile.Site) []part {
	var list []part
	resistance := func(name string, place sitefile.Place, kv float64) {
		list = append(list, part{name: name, place: place, add: func(p *Plan, from, to water.Node) water.Link {
			return p.Network.Valve(name, from, to, kv)
		}})
	}
	oneWay := func(name string, place sitefile.Place, kv, opensAt float64) {
		list = append(list, part{name: name, place: place, add: func(p *Plan, from, to water.Node) water.Link {
			return p.Network.SpringLoaded(name, from, to, kv, Head(opensAt))
		}})
	}
	for _, x := range s.Meters {
		resistance(x.Name, x.Place, x.Capacity.SI)
	}
	for _, x := range s.BackflowPreventers {
		oneWay(x.Name, x.Place, x.Capacity.SI, x.OpensAt.SI)
	}
	for _, x := range s.Pipes {
		list = append(list, part{name: x.Name, place: x.Place, add: func(p *Plan, from, to water.Node) water.Link {
			p.Holes[x.Name] = Hole{Bore: x.Bore.SI, Outlet: p.Network.Emitter(x.Name+" hole", to,
				water.Emitter{Exponent: 0.5})}
			end := p.crest(x.Name, to, x.Height.SI, 0)
			return p.Network.Pipe(x.Name, from, end, water.Pipe{Length: x.Length.SI, Bore: x.Bore.SI, Minor: x.Fittings,
				HazenWilliams: x.HazenWilliams, Roughness: x.Roughness.SI})
		}})
	}
	for _, x := range s.Valves {
		list = append(list, part{name: x.Name, place: x.Place, add: func(p *Plan, from, to water.Node) water.Link {
			if x.Operates == sitefile.Pilot {
				return p.Network.Diaphragm(x.Name, from, to, Head(x.OpensAt.SI))
			}
			return p.Network.Valve(x.Name, from, to, 0)
		}})
	}
	for _, x := range s.NonReturnValves {
		oneWay(x.Name, x.Place, x.Capacity.SI, x.OpensAt.SI)
	}
	for _, x := range s.Filters {
		resistance(x.Name, x.Place, x.Capacity.SI)
	}
	for _, x := range s.Throttles {
		resistance(x.Name, x.Place, x.Capacity.SI*x.Set.SI)
	}
	for _, x := range s.Regulators {
		list = append(list, part{name: x.Name, place: x.Place, add: func(p *Plan, from, to water.Node) water.Link {
			p.Bypasses[x.Name] = p.Network.Valve(x.Name+" seat", from, to, 0)
			const hour = 3600
			link := p.Network.Regulator(x.Name, from, to, Head(x.Sets.SI), x.Capacity.SI)
			p.Network.LockUp(link, Head(x.LocksUpAt.SI-x.Sets.SI), locksUpBelow*x.Capacity.SI/hour)
			return link
		}})
	}
	for _, x := range s.Pumps {
		list = append(list, part{name: x.Name, place: x.Place, vessel: cushion(x), add: func(p *Plan, from,
			to water.Node) water.Link {
			suction := p.Network.Junction(x.Name+" suction", p.Heights[x.From], 0)
			inlet := p.crest(x.Name, suction, x.Height.SI, x.NPSH.SI)
			p.Suctions[x.Name] = p.Network.Valve(x.Name+" suction", from, inlet, SuctionKv)
			return p.Network.Pump(x.Name, suction, to, pumpOf(x))
		}})
	}
	return list
}

// locksUpBelow is the flow of a regulator, as a share of what it passes fully open at a loss of 1 bar, below which the
// pressure behind it begins to rise to that at rest (common practice, no source).
const locksUpBelow = 0.01

// SuctionKv is the flow coefficient between a pump and its tank: a short wide pipe, m³/h (common practice, no source).
const SuctionKv = 20

// pumpOf describes a pump. Standing, its body passes water both ways as a resistance that loses 1 bar at half of its
// last flow (common practice, no source).
func pumpOf(x sitefile.Pump) water.Pump {
	var points []water.Point
	for _, c := range x.Curve {
		points = append(points, water.Point{Flow: c.Flow.SI, Head: c.Head.SI})
	}
	last := x.Curve[len(x.Curve)-1]
	pump := water.Pump{Points: points, IdleKv: last.Flow.SI * 3600 / 2, Reverse: true}
	if x.PressureSwitch.CutOut.SI > 0 { // with a non-return valve of its own
		pump.IdleKv, pump.Reverse = 0, false
	}
	if len(points) == 2 { // shut-off head and one point: a square through both
		pump.Points, pump.Shutoff, pump.B = nil, points[0].Head, 2
		pump.A = (points[0].Head - points[1].Head) / (points[1].Flow * points[1].Flow)
	}
	return pump
}

// Head is a pressure in Pa as metres of water.
func Head(pascal float64) float64 { return pascal / PerMetre }
