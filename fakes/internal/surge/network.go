package surge

// Network is the pipes between where a wave is thrown back for good and the valves that send it: nodes, pipes from node
// to node, and links without a length between them: valves, meters, preventers, and what lies behind a valve. It starts
// from the steady state that its heads and flows describe. It is used from one goroutine; its scratch space is used
// again from computation to computation.
//
// Heads are piezometric pressures, Pa above the atmosphere at the datum: the gauge pressure at a node and ρ g times its
// height. A node may have one link at most from a node before it in the list, and that node must come before it.
type Network struct {
	Nodes []Node
	Pipes []Run
	Links []Link

	// Quickest is the shortest stroke in the course of a computation, s; 0 when something happens at once. Waves in
	// pipes that are far shorter than it are not followed.
	Quickest float64

	waves waves
}

// Node is a place where pipes and links meet.
type Node struct {
	Height float64 // m above the datum
	Head   float64 // Pa, piezometric, before anything moves
	Held   bool    // its head is given, whatever flows: a tank, the street, the air at an outlet
	// head of a held node, Pa, by the time in s from the beginning; nil: it stays
	Course func(seconds float64) float64
}

// Run is a pipe from one node to another.
type Run struct {
	Pipe
	From, To int
	Flow     float64 // m³/s, before anything moves
}

// Link is a loss without a length between two nodes: what is left of the difference of their heads before anything
// moves, goes with the square of the flow. One without a flow into a held node stays shut.
type Link struct {
	From, To int
	Flow     float64 // m³/s, before anything moves
	Spring   float64 // Pa that a spring takes at any flow
	OneWay   bool    // water does not come back through it
	Lag      float64 // s that it takes to shut once the flow has turned round; only of one way
	// Kv of a valve in m³/h, by the time in s from the beginning; nil: no valve
	Kv func(seconds float64) float64
}

// Peak is what the pressure at a node came to, Pa above the atmosphere.
type Peak struct {
	Pressure  float64 // highest
	At        float64 // s from the beginning
	Least     float64 // lowest
	Separated bool    // there, or in the pipe that leads there, it fell to that of the vapour, and the water parted
}

const (
	echoes     = 6 // return times that are followed after the last stroke
	collisions = 8 // return times when the water has parted: until its columns have met and parted again
)

// ReturnTime is how long a wave takes from the farthest point of a pipe to the nearest held node and back, s.
func (n *Network) ReturnTime() float64 {
	far := n.waves.reach(n)
	return 2 * far
}

// Follows is how long after its last stroke the waves of a computation are followed, s, if the water does not part.
func (n *Network) Follows() float64 { return echoes * n.ReturnTime() }

// Surge follows the waves through the network, by the method of characteristics (Wylie and Streeter 1993, ch. 3, 4 and
// 6), until some return times after the last stroke has ended. It returns one peak a node, which the next computation
// overwrites.
//
// Each pipe keeps its own wave speed, area and friction, so that waves are thrown back and passed on at every change of
// bore or wall and at every tee. Where the pressure would fall below that of the vapour, everything is computed again
// on a finer grid with a little gas at every node, the discrete gas cavity model (Wylie and Streeter 1993, ch. 8, after
// Provoost and Wylie 1981), whose cavities open, grow and collapse.
//
// What damps a wave beyond the friction of the steady flow is left out: the friction of the changing flow, the creep of
// plastic, the give of hoses and of air in the water. Without these a first peak comes out a little too high and later
// ones clearly so.
func (n *Network) Surge(seconds float64) []Peak {
	w := &n.waves
	w.begin(n, seconds, false)
	if !w.run() {
		w.begin(n, seconds, true)
		w.run()
	}
	return w.peaks
}
