package pipework

import (
	"math"
	"slices"

	"ullage/fakes/water"
	"ullage/harness/sitefile"
)

// Line is the pipework behind one device that lets water in (its gate), up to the openings and to the next such device.
// Its pipes hold water that may run out of them and be replaced by air; that water is a vessel which is joined with the
// line while there is air in it.
//
// What runs out by its own weight lies above an opening, on a way that falls to it, where air can replace it: see
// drains.go. A level pipe keeps what is in it. What can go back to the source, when that sucks and air comes in by the
// openings, is all that the pipes from there to the openings hold; pipes before the gate count with every line behind.
type Line struct {
	Gate     string
	Gates    []string // the devices that let water in, of which Gate is the first
	Contents Contents
	Store    water.Node // the vessel of its contents
	End      water.Node // of the line, where it is joined
	Joint    water.Link // between Store and the line, shut while the line is full
	Outlets  []string   // outlets and laterals of the line
	ends     []end      // outlets of its parts, that of the gate first
	edges    []edge     // between them
	mouths   []mouth    // openings
	before   []stretch  // pipes between the source and the gate
}

// end is the outlet of a part, and its height above the datum in m.
type end struct {
	name   string
	height float64
}

// stretch is a length of pipe that rises or falls evenly.
type stretch struct {
	volume, length, low, high float64 // m³, m, and m above the datum
}

// edge is a part between two ends; one that is no pipe holds nothing.
type edge struct {
	from, to       int // of the line's ends
	volume, length float64
}

// mouth is an opening of a line, where water leaves or air comes in.
type mouth struct {
	at     int     // of the line's ends
	height float64 // m above the datum, that the water must reach to leave
	wide   bool    // air comes in beside the water that leaves
	air    bool    // air may come in
}

// Contents is a line's water as an upright vessel: by how high it stands when it runs out or back. What runs out by its
// own weight is spread evenly over the height from which it falls, and the rest goes on below as it begins; where
// nothing falls, what lies in pipes that rise to the lowest opening is, and what lies in level pipes goes on below.
type Contents struct {
	Area    water.Upright // m²
	Full    float64       // m³
	Falling float64       // m³ of it that run out by their own weight
	Kv      float64       // m³/h at 1 bar, of the way by which they do
	base    float64       // m above the datum
}

// Surface is how high the water stands, in m above the datum, when there is so much in the pipes.
func (c *Contents) Surface(volume float64) float64 { return c.base + c.Area.Level(volume) }

const (
	// leastSpread is the height over which contents are spread at the least, m.
	leastSpread = 0.01
	// sameHeight is the difference of heights that counts as none, m.
	sameHeight = 1e-6
	// leastContents is what a line holds at least to count, m³.
	leastContents = 1e-6
	// beside is the bore in m from which air comes into an open pipe beside the water that runs out: in a narrower one
	// a bubble does not rise (Bretherton 1961: density gravity radius² / surface tension above 0.842; from memory).
	beside = 0.005
)

// gates are the devices that a line may begin with besides supplies and tanks.
func gates(s *sitefile.Site) map[string]bool {
	is := map[string]bool{}
	for _, x := range s.Valves {
		is[x.Name] = true
	}
	for _, x := range s.Pumps {
		is[x.Name] = true
	}
	for _, x := range s.NonReturnValves {
		is[x.Name] = true
	}
	for _, x := range s.BackflowPreventers {
		is[x.Name] = true
	}
	return is
}

// lines finds the lines of the site that hold water and adds their contents to the network.
func (p *Plan) lines(s *sitefile.Site) {
	isGate, of := gates(s), map[string]*Line{}
	var all []*Line
	begin := func(gate string) {
		of[gate] = &Line{Gate: gate, Gates: []string{gate}, ends: []end{{gate, p.Heights[gate]}}}
		all = append(all, of[gate])
	}
	for _, x := range s.Supplies {
		begin(x.Name)
	}
	for _, x := range s.Tanks {
		begin(x.Name)
	}
	parts, pipes := links(s), map[string]sitefile.Pipe{}
	for _, x := range parts {
		if isGate[x.name] {
			begin(x.name)
		}
	}
	for _, x := range s.Pipes {
		pipes[x.Name] = x
	}
	for again := true; again; {
		again = false
		for _, x := range parts {
			if l := of[x.place.From]; l != nil && of[x.name] == nil {
				l.ends = append(l.ends, end{x.name, p.Heights[x.name]})
				l.edges = append(l.edges, edge{l.end(x.place.From), len(l.ends) - 1, volume(pipes[x.name]),
					pipes[x.name].Length.SI})
				of[x.name], again = l, true
			}
		}
	}
	for _, x := range s.Pipes {
		if x.Joins != "" {
			of[x.Name].join(of[x.Joins], of, x)
		}
	}
	for _, x := range s.Outlets {
		of[x.From].opening(p, x)
	}
	for _, x := range s.Laterals {
		of[x.From].lateral(p, x)
	}
	for _, l := range all {
		if of[l.Gate] != l { // it has been joined to another
			continue
		}
		for name, fed := p.Feeds[l.Gate]; fed; name, fed = p.Feeds[name] {
			if x, is := pipes[name]; is {
				l.before = append(l.before, between(volume(x), x.Length.SI, p.Heights[name], p.Heights[x.From]))
			}
		}
		if p.contents(l) {
			p.Lines = append(p.Lines, l)
		}
	}
}

func volume(x sitefile.Pipe) float64 { return math.Pi / 4 * x.Bore.SI * x.Bore.SI * x.Length.SI }

// between is a stretch between two heights.
func between(volume, length, a, b float64) stretch {
	return stretch{volume, length, min(a, b), max(a, b)}
}

// end is the number of a part's outlet among the ends of the line.
func (l *Line) end(name string) int {
	return slices.IndexFunc(l.ends, func(e end) bool { return e.name == name })
}

// join makes one line of two, or of one a loop, by a pipe that joins an outlet.
func (l *Line) join(other *Line, of map[string]*Line, pipe sitefile.Pipe) {
	if l != other {
		shift := len(l.ends)
		l.ends, l.Gates = append(l.ends, other.ends...), append(l.Gates, other.Gates...)
		for _, e := range other.edges {
			e.from, e.to = e.from+shift, e.to+shift
			l.edges = append(l.edges, e)
		}
		for _, e := range other.ends {
			of[e.name] = l
		}
	}
	l.edges = append(l.edges, edge{from: l.end(pipe.Name), to: l.end(pipe.Joins)})
}

// opening adds an outlet. What dips into a tank is a way out, and none in for air; neither is what has a check valve.
func (l *Line) opening(p *Plan, x sitefile.Outlet) {
	air := !(x.ShutsBelow.SI > 0) && !(x.Dips.SI > 0)
	height := x.Height.SI + Head(x.ShutsBelow.SI)
	if x.Dips.SI > 0 {
		height = p.Heights[x.Into] + x.Dips.SI
	}
	l.mouths = append(l.mouths, mouth{at: l.end(x.From), height: height, air: air,
		wide: air && passage(p.Coefficients[x.Name]) >= beside})
	l.Outlets = append(l.Outlets, x.Name)
}

// lateral adds drip lines, which lie level.
func (l *Line) lateral(p *Plan, x sitefile.Lateral) {
	lies := math.Pi / 4 * x.Bore.SI * x.Bore.SI * x.Spacing.SI * float64(x.Emitters) * float64(x.Lines)
	at := len(l.ends)
	l.ends = append(l.ends, end{x.Name, x.Height.SI}, end{"", x.Height.SI})
	l.edges = append(l.edges, edge{from: l.end(x.From), to: at}, edge{from: at, to: at + 1, volume: lies})
	air := !(x.ShutsBelow.SI > 0)
	l.mouths = append(l.mouths, mouth{at: at, height: x.Height.SI + Head(x.ShutsBelow.SI), air: air,
		wide: air && passage(p.Coefficients[x.Name]) >= beside})
	l.Outlets = append(l.Outlets, x.Name)
}

// passage is the bore in m of the open end that gives what an opening of a coefficient gives.
func passage(coefficient float64) float64 { return math.Sqrt(coefficient / openEnd(1)) }

// contents adds the contents of a line to the network and reports whether it has any to speak of.
func (p *Plan) contents(l *Line) bool {
	l.measure()
	if l.Contents.Full < leastContents {
		return false
	}
	l.Store = p.Network.Tank(l.Gate+" contents", l.Contents.base, l.Contents.Area)
	end, _ := l.lowest()
	l.End = p.Nodes[l.ends[end].name]
	l.Joint = p.Network.Valve(l.Gate+" contents joint", l.Store, l.End, 0)
	return true
}

// lowest is the end at which the line's water leaves it, that of its lowest opening, and the height of that; without an
// opening it is the lowest end. Of two that are as low, the order of the names decides, not that of the file.
func (l *Line) lowest() (at int, height float64) {
	at, height = -1, math.Inf(1)
	see := func(end int, high float64) {
		if high < height || high == height && l.ends[end].name < l.ends[at].name {
			at, height = end, high
		}
	}
	for _, m := range l.mouths {
		see(m.at, m.height)
	}
	if at < 0 {
		for i, e := range l.ends {
			see(i, e.height)
		}
	}
	return at, height
}
