package water

// Node names a junction, reservoir or tank of one Network; the zero value is
// no node.
type Node int

// Link names a pipe, valve, pump or other part between two nodes of one
// Network; the zero value is no link.
type Link int

// Outlet names a place where water leaves a Network; the zero value is no
// outlet.
type Outlet int

// Supply names a place where water enters a Network; the zero value is no
// supply.
type Supply int

// Pipe is a round pipe running full.
type Pipe struct {
	Length float64 // m
	Bore   float64 // inner diameter, m
	Count  int     // identical pipes side by side; 0 counts as 1
	Minor  float64 // loss of its fittings in velocity heads (K)

	// HazenWilliams is the coefficient C. When it is 0 the friction is that
	// of Darcy and Weisbach with Roughness, the height of the wall's
	// roughness in m.
	HazenWilliams float64
	Roughness     float64
}

// Point is one point of a pump's curve.
type Point struct {
	Flow float64 // m3/s
	Head float64 // m gained
}

// Pump is a centrifugal pump. Its curve is head = Shutoff - A flow^B, given
// by these three values or fitted to Points: either one point, for a curve
// with 4/3 of its head at no flow and B = 2, or three with falling heads, the
// first at no flow. At a speed n (1 is full) the affinity laws give
// head = n^2 Shutoff - n^(2-B) A flow^B.
type Pump struct {
	Points  []Point
	Shutoff float64 // m
	A, B    float64

	// IdleKv is the flow coefficient (m3/h at 1 bar) of the standing pump's
	// body; 0 means that a standing pump blocks.
	IdleKv float64
	// Reverse lets water run backwards through it.
	Reverse bool
}

// Inflow is the entry of water from a mains supply as a fire-flow test
// describes it: the head at rest and the head left at a flow. The head falls
// by a loss that grows with flow^(1/0.54) (exponent of NFPA 291, from memory).
type Inflow struct {
	Static    float64 // head at rest, m above datum
	Residual  float64 // head at Flow, m above datum
	Flow      float64 // m3/s
	TakesBack bool    // whether water may run back into the supply
}

// Emitter is an opening with the law flow = Count Coefficient pressure^Exponent,
// pressure in m above the opening: a nozzle, a dripper, a leak, an open end.
type Emitter struct {
	Coefficient float64 // m3/s at 1 m
	Exponent    float64 // 0.04 to 5; 0.5 for an orifice, near 0 when compensated
	Compensates float64 // pressure below which a compensated opening is an orifice, m; 0 when the law holds from 0
	Count       int     // identical openings; 0 counts as 1
	Height      float64 // of the opening above the node, m
	Backflow    bool    // whether it sucks in when the pressure is negative
	Into        Node    // tank that catches the water, if any
}

// Standpipe is an overflow by an upright open pipe in a tank. Shallow water
// falls over its edge as over a weir, flow = 2/3 Weir pi Bore sqrt(2g) h^1.5;
// deep water chokes it to an orifice, flow = Orifice pi/4 Bore^2 sqrt(2gh);
// the lesser of the two counts (drop-pipe spillway practice, USBR Design of
// Small Dams, from memory).
type Standpipe struct {
	Crest   float64 // level of its edge above the tank's base, m
	Bore    float64 // m
	Weir    float64 // coefficient; 0 counts as 0.62
	Orifice float64 // coefficient; 0 counts as 0.60
	Into    Node    // tank that catches the water, if any
}

// Overflow is a way out of a tank above a crest, by its rating curve.
type Overflow struct {
	Crest  float64 // level above the tank's base, m
	Rating *Rating
	Into   Node // tank that catches the water, if any
}

// Weir is the edge of a tank as a sharp-crested weir without side contraction,
// flow = 2/3 Discharge Length sqrt(2g) h^1.5 (Poleni 1717).
type Weir struct {
	Crest     float64 // level of the edge above the tank's base, m
	Length    float64 // of edge that overflows, m
	Discharge float64 // coefficient; 0 counts as 0.62
	Into      Node    // tank that catches the water, if any
}

// Network is the description of a pipe network. The zero value is empty and
// uses Standard constants. Its methods add parts and never fail; Compile
// reports everything that is wrong. Names serve messages only and should be
// those that the reader knows the parts by.
type Network struct {
	// Constants may be replaced before Compile; the zero value counts as
	// Standard.
	Constants Constants

	nodes    []nodeSpec
	links    []linkSpec
	supplies []supplySpec
	outlets  []outletSpec
}

type nodeSpec struct {
	name      string
	kind      nodeKind
	elevation float64 // of a junction; base of a tank; head of a reservoir
	draw      float64
	vessel    Vessel
}

type nodeKind uint8

const (
	junction nodeKind = iota
	reservoir
	tank
)

type linkSpec struct {
	name     string
	from, to Node
	kind     kind
	pipe     Pipe
	pump     Pump
	kv       float64
	setting  float64 // of a regulator
	opening  float64 // loss with which a non-return valve opens, or that lifts a diaphragm
	lockUp   lockUp  // of a regulator
}

type supplySpec struct {
	name   string
	at     Node
	inflow Inflow
}

type outletSpec struct {
	name      string
	at        Node
	kind      kind
	emitter   Emitter
	standpipe Standpipe
	weir      Weir
	overflow  Overflow
}

// Junction adds a point where parts meet, with its elevation in m and a fixed
// draw in m3/s (negative feeds water in).
func (n *Network) Junction(name string, elevation, draw float64) Node {
	return n.node(nodeSpec{name: name, kind: junction, elevation: elevation, draw: draw})
}

// Reservoir adds a body of water whose head in m does not depend on flows.
func (n *Network) Reservoir(name string, head float64) Node {
	return n.node(nodeSpec{name: name, kind: reservoir, elevation: head})
}

// Tank adds a tank with its base at an elevation in m. It starts held at
// level 0. Links end at its base: an empty tank takes water but gives none.
func (n *Network) Tank(name string, base float64, vessel Vessel) Node {
	return n.node(nodeSpec{name: name, kind: tank, elevation: base, vessel: vessel})
}

// Supply adds a mains supply that feeds a node.
func (n *Network) Supply(name string, at Node, inflow Inflow) Supply {
	n.supplies = append(n.supplies, supplySpec{name, at, inflow})
	return Supply(len(n.supplies))
}

// Pipe adds a pipe.
func (n *Network) Pipe(name string, from, to Node, pipe Pipe) Link {
	return n.link(linkSpec{name: name, from: from, to: to, kind: hazenWilliams, pipe: pipe})
}

// Valve adds a valve, or any fixed resistance such as a filter, by its flow
// coefficient Kv: m3/h at a pressure difference of 1 bar (IEC 60534-2-1).
// A Kv of 0 is shut.
func (n *Network) Valve(name string, from, to Node, kv float64) Link {
	return n.link(linkSpec{name: name, from: from, to: to, kind: valve, kv: kv})
}

// NonReturn adds a non-return valve that passes water from its first node to
// its second only; kv as for Valve.
func (n *Network) NonReturn(name string, from, to Node, kv float64) Link {
	return n.link(linkSpec{name: name, from: from, to: to, kind: nonReturn, kv: kv})
}

// SpringLoaded adds a non-return valve that a spring holds shut: water passes
// once it arrives with more head, by opening in m, than there is behind the
// valve, and loses that much besides the square part of kv. Check valves and
// backflow preventers are such.
func (n *Network) SpringLoaded(name string, from, to Node, kv, opening float64) Link {
	return n.link(linkSpec{name: name, from: from, to: to, kind: nonReturn, kv: kv, opening: opening})
}

// Diaphragm adds a pilot-operated diaphragm valve: what lifts its disc is the loss of head over it. Let rise, the disc
// rides where the flow gives that loss, lift in m: the loss is lift, or the square part of kv where that is more, and
// with less than lift nothing passes. It begins shut; SetOpening opens it.
func (n *Network) Diaphragm(name string, from, to Node, lift float64) Link {
	return n.link(linkSpec{name: name, from: from, to: to, kind: diaphragm, opening: lift})
}

// Crest adds a place where the water breaks off: the highest of a siphon, or the inlet of a pump. The head at its first
// node never falls below least, in m: that with the pressure of the water's vapour. It passes what comes up to it with
// that head, and loses the rest of the head that draws it; where nothing comes up so high, it passes nothing. Backwards
// it passes everything.
func (n *Network) Crest(name string, from, to Node, least float64) Link {
	return n.link(linkSpec{name: name, from: from, to: to, kind: crest, kv: crestKv, setting: least})
}

// crestKv is the flow coefficient of a crest where the water does not break off: it loses next to nothing.
const crestKv = 1e4

// Regulator adds a pressure regulator that keeps the pressure at its second
// node at setting, in m above that node, while the water arrives with enough;
// fully open it has the flow coefficient kv, and it never passes water back.
func (n *Network) Regulator(name string, from, to Node, setting, kv float64) Link {
	return n.link(linkSpec{name: name, from: from, to: to, kind: regulator, kv: kv, setting: setting})
}

// LockUp lets the pressure behind a regulator rise, by rise in m, as its flow falls from below, in m3/s, to nothing.
// Without it a regulator holds its setting at any flow.
func (n *Network) LockUp(regulator Link, rise, below float64) {
	n.links[regulator-1].lockUp = lockUp{rise: rise, below: below}
}

// Pump adds a pump, at full speed.
func (n *Network) Pump(name string, from, to Node, pump Pump) Link {
	return n.link(linkSpec{name: name, from: from, to: to, kind: pumping, pump: pump})
}

// Emitter adds an opening at a node.
func (n *Network) Emitter(name string, at Node, emitter Emitter) Outlet {
	return n.outlet(outletSpec{name: name, at: at, kind: emitting, emitter: emitter})
}

// Standpipe adds a standpipe overflow to a tank.
func (n *Network) Standpipe(name string, at Node, standpipe Standpipe) Outlet {
	return n.outlet(outletSpec{name: name, at: at, kind: spilling, standpipe: standpipe})
}

// Overflow adds an overflow to a tank.
func (n *Network) Overflow(name string, at Node, x Overflow) Outlet {
	return n.outlet(outletSpec{name: name, at: at, kind: rated, overflow: x})
}

// Weir adds the overflow over the edge of a tank.
func (n *Network) Weir(name string, at Node, x Weir) Outlet {
	return n.outlet(outletSpec{name: name, at: at, kind: weir, weir: x})
}

func (n *Network) node(spec nodeSpec) Node {
	n.nodes = append(n.nodes, spec)
	return Node(len(n.nodes))
}

func (n *Network) link(spec linkSpec) Link {
	n.links = append(n.links, spec)
	return Link(len(n.links))
}

func (n *Network) outlet(spec outletSpec) Outlet {
	n.outlets = append(n.outlets, spec)
	return Outlet(len(n.outlets))
}
