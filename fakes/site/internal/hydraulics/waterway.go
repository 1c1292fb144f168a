package hydraulics

import (
	"math"

	"ullage/fakes/internal/surge"
	"ullage/fakes/pipework"
	"ullage/fakes/water"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// passage is a part that water runs through on the way to a valve, or several one behind the other: a pipe or a link of
// a network of waves.
type passage struct {
	pipe, link int  // its number there; one of them is below 0
	beside     bool // it is no part but all that leaves a node besides the ways to valves
	reads      func() float64
}

// place is where a node of such a network is.
type place struct {
	node   water.Node // 0: none, the head of the node stays as it was drawn
	height float64
}

// source is where the waves are thrown back for good.
type source struct {
	name   string
	kind   sourceKind
	node   water.Node
	supply water.Supply
	sets   float64 // m, head that a regulator sets
}

type sourceKind int

const (
	street sourceKind = iota
	reservoir
	pumped
	regulated
)

// throwsBack reports whether a wave comes no further than a part.
func throwsBack(site *sitefile.Site, name string) bool {
	for _, x := range site.Regulators {
		if x.Name == name {
			return true
		}
	}
	for _, x := range site.Pumps {
		if x.Name == name {
			return true
		}
	}
	return false
}

// linkHammers draws the pipes of each group of valves that the water reaches from one source, where a wall is known.
func linkHammers(w *Water) {
	s := w.Step
	groups := map[string][]*hammer{}
	var order []string
	known := map[string]bool{}
	for i := range s.Spec.Valves {
		v := w.valves[s.Spec.Valves[i].Name]
		if v == nil {
			continue
		}
		root := rootOf(s, v.spec.From)
		if groups[root] == nil {
			order = append(order, root)
		}
		groups[root] = append(groups[root], v.hammer)
		known[root] = known[root] || v.hammer.recorded
	}
	for _, root := range order {
		if known[root] {
			s.surges = append(s.surges, drawSurges(w, root, groups[root]))
		}
	}
}

// rootOf is where the waves before a part are thrown back for good: the last part on the way up that lets none pass, or
// the supply or tank.
func rootOf(s *Step, name string) string {
	for !throwsBack(s.Spec, name) && s.plan.Feeds[name] != "" {
		name = s.plan.Feeds[name]
	}
	return name
}

// drawing is a network of waves as it is drawn.
type drawing struct {
	*surges
	node     map[string]int      // of the outlet of each part
	children map[string][]string // parts on the way to a valve, by what feeds them
	valves   map[string]*hammer
	beside   map[string]bool // water leaves the outlet of a part by another way as well
}

// drawSurges draws the pipes and losses between a source and its valves.
func drawSurges(w *Water, root string, hammers []*hammer) *surges {
	s := w.Step
	d := drawing{surges: &surges{water: w, hammers: hammers, lags: true}, node: map[string]int{}, children: map[string][]string{},
		valves: map[string]*hammer{}, beside: map[string]bool{}}
	way := map[string]bool{}
	for _, h := range hammers {
		h.pipes = d.surges
		d.valves[h.valve.spec.Name] = h
		for name := h.valve.spec.Name; name != root && !way[name]; name = s.plan.Feeds[name] {
			way[name] = true
			d.children[s.plan.Feeds[name]] = append(d.children[s.plan.Feeds[name]], name)
		}
	}
	for _, x := range s.Spec.Inlets() {
		d.beside[x.From] = d.beside[x.From] || !way[x.Name]
	}
	d.drawSource(root)
	d.drawBelow(root)
	return d.surges
}

// add adds a node at the outlet of a part.
func (d *drawing) add(name string) int {
	d.nodes = append(d.nodes, place{node: d.water.plan.Nodes[name], height: d.water.plan.Heights[name]})
	d.network.Nodes = append(d.network.Nodes, surge.Node{Height: d.water.plan.Heights[name]})
	d.node[name] = len(d.nodes) - 1
	return len(d.nodes) - 1
}

// hold adds a node whose head is given by where it is.
func (d *drawing) hold(height float64) int {
	d.nodes = append(d.nodes, place{height: height})
	d.network.Nodes = append(d.network.Nodes,
		surge.Node{Height: height, Head: height * pipework.PerMetre, Held: true})
	return len(d.nodes) - 1
}

// link adds a loss between two nodes.
func (d *drawing) link(l surge.Link, reads func() float64) int {
	d.network.Links = append(d.network.Links, l)
	d.parts = append(d.parts, passage{pipe: -1, link: len(d.network.Links) - 1, reads: reads})
	return len(d.network.Links) - 1
}

// drawSource draws where the waves are thrown back: a tank, the street and what it loses, a pump with its curve, or a
// regulator, which lets nothing back.
func (d *drawing) drawSource(root string) {
	s := d.water
	d.source = source{name: root, kind: reservoir, node: s.plan.Nodes[root]}
	reads := s.Through(s.plan.Links[root])
	for _, x := range s.Spec.Supplies {
		if x.Name == root {
			d.source.kind, d.source.supply = street, s.plan.Supplies[root]
			reads = func() float64 { return s.solver.Inflow(d.source.supply) }
		}
	}
	for _, x := range s.Spec.Pumps {
		if x.Name == root && x.PressureSwitch.CutOut.SI == 0 { // else its vessel is the source
			d.source.kind = pumped
		}
	}
	for _, x := range s.Spec.Regulators {
		if x.Name == root {
			d.source.kind, d.source.sets = regulated, s.plan.Heights[root]+pipework.Head(x.Sets.SI)
		}
	}
	if d.source.kind == reservoir {
		d.network.Nodes[d.add(root)].Held = true
		return
	}
	held := d.hold(s.plan.Heights[root])
	d.link(surge.Link{From: held, To: d.add(root), OneWay: d.source.kind == regulated}, reads)
	d.drawBeside(root, reads)
}

// drawBelow draws what is on the way from the outlet of a part to the valves.
func (d *drawing) drawBelow(name string) {
	s, from := d.water, d.node[name]
	for _, child := range d.children[name] {
		reads := s.Through(s.plan.Links[child])
		valve := d.valves[child]
		if valve != nil {
			valve.inlet = from
		}
		switch p := pipeOf(s.Spec, child); {
		case p != nil:
			pipe := surge.Run{Pipe: pipeWithWall(p), From: from, To: d.add(child)}
			d.network.Pipes = append(d.network.Pipes, pipe)
			d.parts = append(d.parts, passage{pipe: len(d.network.Pipes) - 1, link: -1, reads: reads})
			d.drawBeside(child, reads)
		case len(d.children[child]) == 0:
			air := d.hold(d.lowestOutlet(child))
			valve.link = d.link(surge.Link{From: from, To: air, OneWay: true, Kv: valve.kv}, reads)
		case d.joins(name, child):
		default:
			l := d.lossOf(child)
			l.From, l.To = from, d.add(child)
			at := d.link(l, reads)
			if valve != nil {
				valve.link = at
				d.network.Links[at].Kv = valve.kv
			}
			d.drawBeside(child, reads)
		}
		d.drawBelow(child)
	}
}

// joins makes one link of the one before a part without a length and that part, where nothing but these two meet.
func (d *drawing) joins(name, child string) bool {
	at, from, valve := len(d.network.Links)-1, d.node[name], d.valves[child]
	if at < 0 || len(d.children[name]) > 1 || d.beside[name] || valve != nil && valve.recorded {
		return false
	}
	l, more := &d.network.Links[at], d.lossOf(child)
	if l.To != from || l.Lag+more.Lag > 0 || l.Kv != nil && valve != nil {
		return false
	}
	l.OneWay, l.Spring = l.OneWay || more.OneWay, l.Spring+more.Spring
	if valve != nil {
		valve.link, l.Kv = at, valve.kv
	}
	height := d.water.plan.Heights[child]
	d.nodes[from], d.network.Nodes[from].Height = place{node: d.water.plan.Nodes[child], height: height}, height
	d.node[child] = from
	d.drawBeside(child, d.water.Through(d.water.plan.Links[child]))
	return true
}

// lossOf is a part without a length.
func (d *drawing) lossOf(name string) surge.Link {
	for _, x := range d.water.Spec.BackflowPreventers {
		if x.Name == name {
			return surge.Link{OneWay: true, Spring: x.OpensAt.SI}
		}
	}
	for _, x := range d.water.Spec.NonReturnValves {
		if x.Name == name {
			d.lags = d.lags && x.ShutsAfter.IsSet()
			return surge.Link{OneWay: true, Spring: x.OpensAt.SI, Lag: x.ShutsAfter.SI}
		}
	}
	return surge.Link{}
}

// rigid is the modulus of a wall that nobody has described, Pa: as stiff as none is, so that the surge comes out too
// high rather than too low.
const rigid = 1e15

func pipeWithWall(p *sitefile.Pipe) surge.Pipe {
	pipe := surge.Pipe{Length: p.Length.SI, Bore: p.Bore.SI, Wall: p.Wall.SI, Modulus: surge.Modulus(string(p.Material))}
	if p.Material == "" {
		pipe.Wall, pipe.Modulus = p.Bore.SI, rigid
	}
	return pipe
}

// drawBeside draws by what water leaves, or comes to, the outlet of a part besides the ways to valves: an opening that
// stays as it is, or what comes round a loop.
func (d *drawing) drawBeside(name string, reads func() float64) {
	if !d.beside[name] {
		return
	}
	var out []func() float64
	for _, child := range d.children[name] {
		out = append(out, d.water.Through(d.water.plan.Links[child]))
	}
	d.link(surge.Link{From: d.node[name], To: d.hold(d.lowestOutlet(name))}, func() float64 {
		rest := reads()
		for _, q := range out {
			rest -= q()
		}
		return rest
	})
	d.parts[len(d.parts)-1].beside = true
}

// lowestOutlet is the height of the lowest opening that a part feeds, m; that of the part when it feeds none.
func (d *drawing) lowestOutlet(name string) float64 {
	plan, least := d.water.plan, math.Inf(1)
	look := func(from string, height float64) {
		for ; from != ""; from = plan.Feeds[from] {
			if from == name {
				least = math.Min(least, height)
			}
		}
	}
	for _, x := range d.water.Spec.Outlets {
		look(x.From, x.Height.SI)
	}
	for _, x := range d.water.Spec.Laterals {
		look(x.From, x.Height.SI)
	}
	if math.IsInf(least, 1) {
		return plan.Heights[name]
	}
	return least
}

const (
	// trickle is a flow, m³/s, below which nothing flows in a network of waves.
	trickle = 1e-9
	// loopHead is by how much the head stands above a node, Pa, from which what comes round a loop comes: so much that
	// waves do not change it.
	loopHead = 1e7
)

// look takes the steady state of a moment as the network is set, and reports whether there is one.
func (g *surges) look(at signal.Time) bool {
	s := g.water
	s.hold(s.Share(at))
	if s.solve(at) != nil {
		return false // the step that begins will say so
	}
	n := &g.network
	for i, x := range g.nodes {
		if x.node != 0 {
			n.Nodes[i].Head = s.solver.Head(x.node) * pipework.PerMetre
		}
	}
	for _, x := range g.parts {
		q := x.reads()
		if math.Abs(q) < trickle {
			q = 0
		}
		if x.pipe >= 0 {
			p := &n.Pipes[x.pipe]
			if p.Flow = q; q == 0 {
				n.Nodes[p.To].Head = n.Nodes[p.From].Head
			}
			continue
		}
		l := &n.Links[x.link]
		if x.beside && n.Nodes[l.From].Held { // it was turned round
			l.From, l.To = l.To, l.From
		}
		if l.Flow = q; x.beside && q < 0 {
			l.From, l.To, l.Flow = l.To, l.From, -q
			n.Nodes[l.From].Head = n.Nodes[l.To].Head + loopHead
		} else if n.Nodes[l.To].Held {
			n.Nodes[l.To].Head = g.nodes[l.To].height * pipework.PerMetre
		}
	}
	g.rest()
	return true
}

// rest works out the head with which the source stands when nothing flows.
func (g *surges) rest() {
	s, n := g.water, &g.network
	if g.source.kind == reservoir {
		return
	}
	l := n.Links[0]
	now, head := n.Nodes[l.To].Head/pipework.PerMetre, 0.0
	switch g.source.kind {
	case street:
		head = s.supplies[g.source.name].head
	case pumped:
		head = s.pump(g.source.name).shutOff()
	case regulated:
		head = g.source.sets
		if m := s.supplies[s.plan.Source(g.source.name)]; m != nil {
			head = math.Min(head, m.head)
		}
	}
	n.Nodes[l.From].Head = math.Max(now, head) * pipework.PerMetre
}
