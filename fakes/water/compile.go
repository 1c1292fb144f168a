package water

import (
	"math"

	"ullage/harness/numeric"
)

// Compile checks the description and prepares a solver for it. The error joins
// everything that is wrong, each with the names of the parts concerned. The
// network may be changed and compiled again; solvers do not notice.
func (n *Network) Compile() (*Solver, error) {
	if err := n.check(); err != nil {
		return nil, err
	}
	s := &Solver{constants: n.constants(), links: len(n.links), supplies: len(n.supplies), unsettled: -1}
	n.placeRows(s)
	powers := sharedPowers{}
	for i := range n.links {
		s.addLink(&n.links[i], powers)
	}
	row := int32(len(s.head) - len(n.supplies) - len(n.outlets))
	for _, spec := range n.supplies {
		s.addSupply(spec, row, powers)
		row++
	}
	for _, spec := range n.outlets {
		s.addOutlet(spec, row, powers)
		row++
	}
	s.findTouching()
	s.findWatched()
	s.placeEntries()
	s.changed = true
	s.Reset()
	return s, nil
}

func (n *Network) constants() Constants {
	if n.Constants == (Constants{}) {
		return Standard()
	}
	return n.Constants
}

// placeRows numbers the free nodes in the order of elimination, then the
// reservoirs, then leaves a row for the fixed head of each supply and outlet.
func (n *Network) placeRows(s *Solver) {
	number := make([]int32, len(n.nodes))
	for i, spec := range n.nodes {
		if spec.kind != reservoir {
			number[i] = int32(s.free)
			s.free++
		}
	}
	var pairs [][2]int32
	for _, spec := range n.links {
		if n.nodes[spec.from-1].kind != reservoir && n.nodes[spec.to-1].kind != reservoir {
			pairs = append(pairs, [2]int32{number[spec.from-1], number[spec.to-1]})
		}
	}
	place := eliminationOrder(s.free, pairs)

	rows := len(n.nodes) + len(n.supplies) + len(n.outlets)
	s.rowOf = make([]int32, len(n.nodes))
	s.elevation, s.head = make([]float64, rows), make([]float64, rows)
	s.draw, s.excess = make([]float64, rows), make([]float64, rows)
	s.pinned, s.lost, s.shutIn = make([]bool, rows), make([]bool, rows), make([]bool, rows)
	s.tankOf, s.ways = make([]int32, rows), make([]int32, rows)
	fixed := int32(s.free)
	for row := range s.tankOf {
		s.tankOf[row] = -1
		s.pinned[row] = row >= s.free
	}
	for i, spec := range n.nodes {
		row := fixed
		if spec.kind == reservoir {
			fixed++
		} else {
			row = place[number[i]]
		}
		s.rowOf[i] = row
		s.nodeNames = append(s.nodeNames, spec.name)
		s.elevation[row], s.head[row], s.draw[row] = spec.elevation, spec.elevation, spec.draw
		if spec.kind == tank {
			s.tankOf[row] = int32(len(s.tanks))
			_, upright := spec.vessel.(Upright)
			s.tanks = append(s.tanks, tankState{vessel: spec.vessel, row: row, curved: !upright})
		}
	}
	s.queue = make([]int32, 0, rows)
	s.pins = make([]int32, 0, s.free)
	s.live = make([]int32, 0, len(n.links)+len(n.supplies)+len(n.outlets))
	s.deadEnds = make([]int32, 0, cap(s.live))
}

// sharedPowers keeps one table for all parts with the same exponent.
type sharedPowers map[float64]*numeric.Power

func (s sharedPowers) of(exponent float64) *numeric.Power {
	if s[exponent] == nil {
		s[exponent] = numeric.NewPower(exponent)
	}
	return s[exponent]
}

func (s *Solver) addLink(spec *linkSpec, powers sharedPowers) {
	p := part{
		kind: spec.kind, from: s.rowOf[spec.from-1], to: s.rowOf[spec.to-1],
		forward: true, backward: true, size: &size{},
	}
	switch spec.kind {
	case hazenWilliams:
		s.addPipe(&p, spec.pipe, powers)
	case pumping:
		p.backward = spec.pump.Reverse
		p.size.curve = fitCurve(spec.pump)
		p.power = powers.of(p.size.curve.B - 1)
		s.setSpeed(&p, 1)
	case diaphragm:
		p.law, p.setting, p.backward = ridingLaw, spec.opening, false
		p.state, p.closed = Shut, true
	case crest:
		p.setting, p.square = spec.setting, squareOf(spec.kv, s.constants)
		p.start = math.Sqrt(knee / p.square)
		p.fitKnee()
	default:
		p.backward = spec.kind == valve
		p.setting = s.elevation[p.to] + spec.setting
		if l := spec.lockUp; l.rise > 0 && l.below > 0 {
			l.setting = p.setting
			p.size.lockUp = &l
			s.lockUps = append(s.lockUps, int32(len(s.parts)))
		}
		p.lift = -spec.opening
		if spec.kv > 0 {
			p.setKv(spec.kv, s.constants)
		} else {
			p.state, p.closed = Shut, true
		}
	}
	s.parts = append(s.parts, p)
	s.names = append(s.names, spec.name)
}

// The velocity, in m/s, that a cold solve begins with in pipes.
const startVelocity = 0.2

func (s *Solver) addPipe(p *part, pipe Pipe, powers sharedPowers) {
	count := float64(max(pipe.Count, 1))
	area := math.Pi / 4 * pipe.Bore * pipe.Bore * count
	p.size.velocityHead = 1 / (2 * s.constants.Gravity * area * area)
	p.square = float64(pipe.Minor * p.size.velocityHead)
	p.start = float64(startVelocity * area)
	if pipe.HazenWilliams > 0 {
		p.law, p.power, p.scale = powerLaw, powers.of(0.852), 1
		p.factor = s.constants.HazenWilliams * pipe.Length /
			(numeric.Pow(pipe.HazenWilliams*count, 1.852) * numeric.Pow(pipe.Bore, s.constants.HazenWilliamsBore))
	} else {
		p.kind, p.law = darcyWeisbach, frictionLaw
		p.friction = newFriction(pipe, s.constants)
		p.friction.at(p.start)
		p.friction.first = p.friction.last
	}
	p.fitKnee()
}

// fitCurve fits a pump's curve to its points. The exponent from three points
// is that of the usual power curve.
func fitCurve(pump Pump) Pump {
	switch points := pump.Points; len(points) {
	case 1:
		pump.Shutoff, pump.B = 4*points[0].Head/3, 2
		pump.A = points[0].Head / 3 / float64(points[0].Flow*points[0].Flow)
	case 3:
		first := points[0].Head - points[1].Head
		pump.Shutoff = points[0].Head
		pump.B = numeric.Log((points[0].Head-points[2].Head)/first) / numeric.Log(points[2].Flow/points[1].Flow)
		pump.A = first / numeric.Pow(points[1].Flow, pump.B)
	}
	return pump
}

func (s *Solver) addSupply(spec supplySpec, row int32, powers sharedPowers) {
	p := part{
		kind: supplying, law: powerLaw, power: powers.of(1/0.54 - 1), scale: 1,
		from: row, to: s.rowOf[spec.at-1], forward: true, size: &size{},
	}
	s.head[row] = spec.inflow.Static
	p.setInflow(spec.inflow)
	s.parts = append(s.parts, p)
	s.names = append(s.names, spec.name)
}

func (s *Solver) addOutlet(spec outletSpec, row int32, powers sharedPowers) {
	p := part{kind: spec.kind, from: s.rowOf[spec.at-1], to: row, forward: true, size: &size{}}
	base, openings := s.elevation[p.from], 1.0
	torricelli := math.Sqrt(2 * s.constants.Gravity)
	p.size.unit, p.size.startHead = 1, 0.005
	var into Node
	switch spec.kind {
	case emitting:
		emitter := spec.emitter
		s.head[row] = base + emitter.Height
		p.backward, into = emitter.Backflow, emitter.Into
		p.size.count, p.size.startHead = float64(max(emitter.Count, 1)), 5
		openings = float64(emitter.Coefficient * p.size.count)
		if emitter.Exponent != 0.5 {
			p.law, p.power = powerLaw, powers.of(1/emitter.Exponent-1)
			p.steep = emitter.Exponent < 0.5
		}
		if emitter.Compensates > 0 && p.steep { // both laws give the same there
			p.law, p.size.unitOrifice = lesserLaw, numeric.Pow(emitter.Compensates, emitter.Exponent-0.5)
		}
	case spilling:
		pipe := spec.standpipe
		s.head[row], into = base+pipe.Crest, pipe.Into
		p.law, p.power = lesserLaw, powers.of(2.0/3-1)
		p.size.unit = 2.0 / 3 * orDefault(pipe.Weir, weirCoefficient) * math.Pi * pipe.Bore * torricelli
		p.size.unitOrifice = orDefault(pipe.Orifice, orificeCoefficient) * math.Pi / 4 * pipe.Bore * pipe.Bore * torricelli
	case weir:
		s.head[row], into = base+spec.weir.Crest, spec.weir.Into
		p.law, p.power = powerLaw, powers.of(2.0/3-1)
		p.size.unit = 2.0 / 3 * orDefault(spec.weir.Discharge, weirCoefficient) * spec.weir.Length * torricelli
	case rated:
		s.head[row], into = base+spec.overflow.Crest, spec.overflow.Into
		p.law, p.rating = ratedLaw, spec.overflow.Rating
	}
	s.elevation[row] = s.head[row]
	p.size.law, p.size.rating = p.law, p.rating
	if openings > 0 {
		p.setOutlet(openings)
	} else {
		p.state, p.closed = Shut, true
	}
	if into != 0 {
		s.catches = append(s.catches, catch{int32(len(s.parts)), s.rowOf[into-1]})
	}
	s.parts = append(s.parts, p)
	s.names = append(s.names, spec.name)
}

func orDefault(value, otherwise float64) float64 {
	if value == 0 {
		return otherwise
	}
	return value
}

// findTouching lists the parts at each row.
func (s *Solver) findTouching() {
	s.touches = make([]int32, len(s.head)+1)
	for i := range s.parts {
		s.touches[s.parts[i].from+1]++
		s.touches[s.parts[i].to+1]++
	}
	for row := range s.head {
		s.touches[row+1] += s.touches[row]
	}
	s.touching = make([]int32, 2*len(s.parts))
	next := append([]int32(nil), s.touches...)
	for i := range s.parts {
		for _, row := range [2]int32{s.parts[i].from, s.parts[i].to} {
			s.touching[next[row]] = int32(i)
			next[row]++
		}
	}
}

func (s *Solver) findWatched() {
	for i := range s.parts {
		p := &s.parts[i]
		p.mayForward, p.mayBackward = p.forward, p.backward
		// Outlets that suck in never close; a tank that runs dry closes, and
		// so does a supply that is drained.
		if !p.backward || p.kind == supplying || p.kind == crest || p.kind < emitting && (s.tankOf[p.from] >= 0 || s.tankOf[p.to] >= 0) {
			s.watch = append(s.watch, int32(i))
			if i < s.links+s.supplies {
				s.firstOutlet++
			}
		}
	}
}

// placeEntries prepares the factor and finds each link's entry in it.
func (s *Solver) placeEntries() {
	var pairs [][2]int32
	var owners []int
	for i := range s.parts {
		p := &s.parts[i]
		if int(p.from) < s.free && int(p.to) < s.free {
			pairs = append(pairs, [2]int32{p.from, p.to})
			owners = append(owners, i)
		}
	}
	factor, entries := newFactor(s.free, pairs)
	// Rows with fixed heads take part in sums that nobody reads.
	factor.diag = append(factor.diag, make([]float64, len(s.head)-s.free)...)
	s.factor = factor
	s.real = make([]int32, len(s.parts))
	for i := range s.real {
		s.real[i] = factor.nowhere()
	}
	for at, i := range owners {
		s.real[i] = entries[at]
	}
}
