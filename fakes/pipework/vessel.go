package pipework

import (
	"math"

	"ullage/fakes/water"
	"ullage/harness/sitefile"
)

// Cd is the discharge coefficient of a hole with a sharp edge (textbook value, e.g. Streeter and Wylie, Fluid
// Mechanics; handbook rows OR1 to OR3 of testdata/reference/hydraulics).
const Cd = 0.62

// Vessel is the geometry of a tank.
func Vessel(x sitefile.Tank) water.Vessel {
	if len(x.Table) > 0 {
		t := water.Table{}
		for _, row := range x.Table {
			t.Levels, t.Volumes = append(t.Levels, row.Level.SI), append(t.Volumes, row.Volume.SI)
		}
		return t
	}
	switch d := x.Diameter.SI; {
	case d > 0 && x.Length.SI > 0:
		return water.Lying{Length: x.Length.SI, Diameter: d}
	case d > 0:
		return water.Upright(math.Pi / 4 * d * d)
	}
	return water.Upright(x.Length.SI * x.Width.SI)
}

// Edge is the length in m of the edge over which a tank spills: as the site file says, or else the way round the
// surface of the water at the rim, which for a tank by a table is taken to be a circle.
func Edge(x sitefile.Tank) float64 {
	switch d := x.Diameter.SI; {
	case x.Edge.SI > 0:
		return x.Edge.SI
	case len(x.Table) > 0:
		return 2 * math.Sqrt(math.Pi*Vessel(x).Area(x.Rim.SI))
	case d > 0 && x.Length.SI > 0:
		return 2 * (x.Length.SI + 2*math.Sqrt(x.Rim.SI*(d-x.Rim.SI)))
	case d > 0:
		return math.Pi * d
	}
	return 2 * (x.Length.SI + x.Width.SI)
}

// tank adds a tank with its overflows, and the hole through which it may come to leak.
func (p *Plan) tank(x sitefile.Tank) {
	vessel := Vessel(x)
	node := p.Network.Tank(x.Name, x.Floor.SI, vessel)
	p.Nodes[x.Name], p.Heights[x.Name], p.Vessels[x.Name] = node, x.Floor.SI, vessel
	p.overflows(x, node)
	p.Rims[x.Name] = p.Network.Weir(x.Name+" rim", node, water.Weir{Crest: x.Rim.SI, Length: Edge(x)})
	p.Leaks[x.Name] = p.Network.Emitter(x.Name+" leak", node, water.Emitter{Exponent: 0.5})
}

// HoleFlow is the coefficient, in m³/s at 1 m of water, of a hole by its area in m².
func HoleFlow(area float64) float64 { return Cd * area * math.Sqrt(2*water.Standard().Gravity) }

// dip adds the way between an outlet that dips into a tank and the water of the tank, which is shut until the water
// stands above the openings, and says what its flow coefficient is then.
func (p *Plan) dip(x sitefile.Outlet, e water.Emitter) {
	tank := p.Nodes[x.Into]
	atOneBar := float64(e.Coefficient*math.Sqrt(Head(1e5))) * float64(max(x.Count, 1))
	link := p.Network.Valve(x.Name+" under water", p.Nodes[x.From], tank, 0)
	p.Dips[x.Name] = Dip{Link: link, Kv: atOneBar * 3600, Free: e.Coefficient}
	p.mouth(x.Into, Mouth{Link: link, Inward: true, Source: p.Source(x.From)})
}

// Mouth is a place where the water of a tank meets that of pipes, as the link between them.
type Mouth struct {
	Link   water.Link
	Inward bool   // the link runs from the pipe into the tank
	Source string // the supply or tank that the pipe is fed from
}

// mouth notes a mouth in a tank.
func (p *Plan) mouth(tank string, m Mouth) {
	if _, is := p.Vessels[tank]; is {
		p.Mouths[tank] = append(p.Mouths[tank], m)
	}
}

// Dip is an outlet that dips into a tank: the way through it while it is under water, by its flow coefficient in m³/h
// at 1 bar, and its coefficient as an opening in the air, in m³/s at 1 m.
type Dip struct {
	Link water.Link
	Kv   float64
	Free float64
}

// bypass adds the way back through a non-return valve or backflow preventer that does not close, shut as long as it
// does.
func (p *Plan) bypass(name string, place sitefile.Place) {
	p.Bypasses[name] = p.Network.Valve(name+" held open", p.Nodes[place.From], p.Nodes[name], 0)
}

// What the site file does not say of a pressure vessel (common practice, no source).
const (
	atmosphere = 101325.0 // Pa
	give       = 2e-6     // m³ by which pipes and hoses widen for each metre of water
)

// Cushion is the pressure vessel of a pump with a pressure switch.
func Cushion(x sitefile.PressureSwitch) water.Cushion {
	return water.Cushion{Size: x.Vessel.SI, Charge: Head(x.Charge.SI), Air: x.Air.SI, Atmosphere: Head(atmosphere),
		Give: give}
}

// cushion is the pressure vessel behind a pump; nil when it has none.
func cushion(x sitefile.Pump) water.Vessel {
	if x.PressureSwitch.CutOut.SI > 0 {
		return Cushion(x.PressureSwitch)
	}
	return nil
}
