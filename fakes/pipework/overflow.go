package pipework

import (
	"math"

	"ullage/fakes/water"
	"ullage/harness/sitefile"
)

// Overflow is a way by which water leaves a tank above a crest.
type Overflow struct {
	Kind   string  // "standpipe", "side outlet" or "weir"
	Crest  float64 // level above the tank's floor, m
	Takes  float64 // flow that its drain takes with water up to the crest, m³/s; AnyFlow of one that takes all
	Drains bool    // whether it is a pipe that leads to a drain
	outlet water.Outlet
	rating func(takes float64) *water.Rating
}

// AnyFlow is what a drain takes that nothing limits, m³/s: more than any overflow carries.
const AnyFlow = 1.0

// Outlets are the outlets of overflows.
func Outlets(overflows []Overflow) (list []water.Outlet) {
	for _, o := range overflows {
		list = append(list, o.outlet)
	}
	return list
}

// Set leaves a share of an overflow open, 0 to 1, and lets its drain take a flow, m³/s, with water up to the crest.
func (o Overflow) Set(s *water.Solver, open, takes float64) {
	switch {
	case takes <= leastFlow:
		s.SetRating(o.outlet, nil, 0)
	case takes == o.Takes && (open == 1 || takes >= AnyFlow):
		s.SetRating(o.outlet, nil, open)
	default: // a smaller opening carries less of what the drain may take
		s.SetRating(o.outlet, o.rating(takes/max(open, least)), open)
	}
}

// least is the share of an opening, and leastFlow the flow of a drain in m³/s, below which it is as good as shut.
const (
	least     = 1e-12
	leastFlow = 1e-9
)

// overflows adds the overflows of a tank.
func (p *Plan) overflows(x sitefile.Tank, node water.Node) {
	add := func(o Overflow, outlet water.Outlet) {
		o.outlet = outlet
		p.Overflows[x.Name] = append(p.Overflows[x.Name], o)
	}
	rated := func(kind string, crest float64, d sitefile.Drainage, rating func(takes float64) *water.Rating) {
		o := Overflow{Kind: kind, Crest: crest, Takes: takes(d), Drains: d.Run.SI > 0, rating: rating}
		add(o, p.Network.Overflow(x.Name+" "+kind, node, water.Overflow{Crest: crest, Rating: rating(o.Takes)}))
	}
	if s := x.Standpipe; s.Bore.SI > 0 {
		pipe := water.DropPipe{Bore: s.Bore.SI, Run: s.Run.SI, Fall: s.Fall.SI}
		rating := func(takes float64) *water.Rating {
			pipe.Drain = drain(takes, s.Drainage, s.Bore.SI)
			return pipe.Rating()
		}
		if s.Run.SI > 0 {
			rated("standpipe", s.Crest.SI, s.Drainage, rating)
		} else {
			add(Overflow{Kind: "standpipe", Crest: s.Crest.SI, Takes: AnyFlow, Drains: true, rating: rating},
				p.Network.Standpipe(x.Name+" standpipe", node, water.Standpipe{Crest: s.Crest.SI, Bore: s.Bore.SI}))
		}
	}
	if s := x.SideOutlet; s.Bore.SI > 0 {
		rated("side outlet", s.Invert.SI, s.Drainage, func(takes float64) *water.Rating {
			return water.SideOutlet{Bore: s.Bore.SI, Run: s.Run.SI, Fall: s.Fall.SI,
				Drain: drain(takes, s.Drainage, s.Bore.SI)}.Rating()
		})
	}
	if w := x.Weir; w.Crest.SI > 0 {
		notch := water.Notch{Width: w.Width.SI, Angle: w.Angle * math.Pi / 180}
		rated("weir", w.Crest.SI, sitefile.Drainage{}, func(float64) *water.Rating { return notch.Rating() })
	}
}

// takes is what the drain of an overflow pipe takes.
func takes(d sitefile.Drainage) float64 {
	if d.Drain.SI > 0 {
		return d.Drain.SI
	}
	return AnyFlow
}

// drain is that of a pipe, which stands below the crest by the fall of the pipe, or by its bore if that is more.
func drain(takes float64, d sitefile.Drainage, bore float64) water.Drain {
	if takes >= AnyFlow {
		return water.Drain{}
	}
	return water.Drain{Takes: takes, Depth: max(d.Fall.SI, bore)}
}
