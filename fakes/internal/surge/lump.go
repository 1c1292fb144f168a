package surge

import "math"

// lump is a link in the course of a computation.
type lump struct {
	resistance float64 // Pa s²/m⁶, besides the Kv
	kv         float64 // m³/h at this step
	shut       bool
	turned     float64 // s for which the flow has been turned round
	flow, pay  float64 // m³/s, and how it grows with the difference of the heads
}

// openLinks takes the losses of the links from the steady state.
func (w *waves) openLinks() {
	n := w.net
	w.links = grown(w.links, len(n.Links))
	for i := range n.Links {
		l := &n.Links[i]
		x := lump{kv: 1}
		x.shut = l.Flow <= 0 && n.Nodes[l.To].Held
		if l.Flow > 0 {
			x.resistance = (n.Nodes[l.From].Head - n.Nodes[l.To].Head - l.Spring) / (l.Flow * l.Flow)
			if l.Kv != nil {
				x.resistance -= ofKv(l.Kv(0))
			}
			x.resistance = math.Max(0, x.resistance)
		}
		w.links[i] = x
		if !n.Nodes[l.From].Held && !n.Nodes[l.To].Held {
			w.nodes[l.To].link = i
		}
	}
}

// openings finds out which links let water pass at this step, and how many each node has.
func (w *waves) openings() {
	for i := range w.nodes {
		w.nodes[i].open, w.nodes[i].only = 0, -1
	}
	for i := range w.links {
		l, x := &w.net.Links[i], &w.links[i]
		x.flow = 0
		if l.Kv != nil && !x.shut {
			x.kv = l.Kv(w.now)
		}
		if x.shut || x.kv <= 0 {
			continue
		}
		between := !w.net.Nodes[l.From].Held && !w.net.Nodes[l.To].Held
		for _, end := range [2]int{l.From, l.To} {
			x := &w.nodes[end]
			if x.open++; x.open == 1 && !between {
				x.only = i
			} else {
				x.only = -1
			}
		}
	}
}

// meet works out the heads of the nodes, and reports false when the water is about to part at one and there is no
// gas.
func (w *waves) meet() bool {
	linked := false
	w.openings()
	for i := range w.nodes {
		x, n := &w.nodes[i], &w.net.Nodes[i]
		x.linked = false
		switch {
		case n.Held:
			if n.Course != nil {
				x.head = n.Course(w.now)
			}
		case x.open > 0 && (w.gas || x.g == 0 || x.only < 0):
			x.linked, linked = true, true
		case x.open > 0:
			w.single(x)
		case x.g == 0:
		case w.gas:
			b := x.cavity/w.dt + x.g*x.vapour - x.s
			x.head = x.vapour + rootOf(x.g, b, w.amount(x)/w.dt)
		default:
			x.head = x.s / x.g
		}
	}
	if linked {
		w.balance()
	}
	for i := range w.links {
		w.turn(i)
	}
	return w.note()
}

func (w *waves) amount(x *point) float64 { return gasShare * x.volume * atmosphere }

// note keeps the peaks, and the cavities of the nodes.
func (w *waves) note() bool {
	for i := range w.nodes {
		x, n, peak := &w.nodes[i], &w.net.Nodes[i], &w.peaks[i]
		if w.gas && !n.Held {
			gas := math.Max(x.head-x.vapour, 1e-3)
			x.cavity = w.amount(x) / gas
			peak.Separated = peak.Separated || gas < parted
		} else if x.head < x.vapour+guard && !n.Held {
			return false
		}
		if p := x.head - (x.vapour - Vapour); p > peak.Pressure {
			peak.Pressure, peak.At = p, w.now
		} else {
			peak.Least = math.Min(peak.Least, p)
		}
	}
	return true
}

// single works out the head of a node whose one link goes to a held node or comes from one.
func (w *waves) single(x *point) {
	l, lump := &w.net.Links[x.only], &w.links[x.only]
	from, to := &w.nodes[l.From], &w.nodes[l.To]
	x.head = x.s / x.g
	if drive := from.head - to.head - l.Spring; drive > 0 || !l.OneWay || l.Lag > 0 {
		q := through(drive, 1/x.g, lump.resistance+w.kv(x.only))
		lump.flow = q
		if x == from {
			q = -q
		}
		x.head += q / x.g
	}
}

// kv is the resistance of a link by its Kv.
func (w *waves) kv(link int) float64 {
	if w.net.Links[link].Kv == nil {
		return 0
	}
	return ofKv(w.links[link].kv)
}

// smooth is the share of a typical impedance that a link has besides its resistance, so that its flow has a slope where
// none flows.
const smooth = 1e-6

// passes works out the flow of a link, and its slope.
func (w *waves) passes(i int) {
	l, x := &w.net.Links[i], &w.links[i]
	x.flow, x.pay = 0, 0
	if x.shut || x.kv <= 0 {
		return
	}
	drive := w.nodes[l.From].head - w.nodes[l.To].head - l.Spring
	if drive <= 0 && l.OneWay && l.Lag == 0 {
		return
	}
	r, z := x.resistance+w.kv(i), smooth*w.runs[0].z
	x.flow = through(drive, z, r)
	x.pay = 1 / (z + 2*r*math.Abs(x.flow))
}

// unbalance works out what every linked node gets more than it gives, with the slopes, and returns the sum of their
// sizes.
func (w *waves) unbalance() (sum float64) {
	for i := range w.nodes {
		x := &w.nodes[i]
		x.off, x.pay = x.s-x.g*x.head, x.g+1e-24
		if w.gas && x.volume > 0 {
			gas := x.head - x.vapour
			x.off += (w.amount(x)/gas - x.cavity) / w.dt
			x.pay += w.amount(x) / (gas * gas) / w.dt
		}
	}
	for i := range w.links {
		w.passes(i)
		l, x := &w.net.Links[i], &w.links[i]
		w.nodes[l.From].off -= x.flow
		w.nodes[l.From].pay += x.pay
		w.nodes[l.To].off += x.flow
		w.nodes[l.To].pay += x.pay
	}
	for i := range w.nodes {
		if x := &w.nodes[i]; x.linked {
			sum += math.Abs(x.off)
		}
	}
	return sum
}

// balance works out the heads of nodes that links join, by Newton's method: what goes into a node comes out of it. A
// step that leaves more out of balance is halved.
func (w *waves) balance() {
	sum := w.unbalance()
	for range 60 {
		worst, share := w.aim(), 1.0
		for i := range w.nodes {
			if x := &w.nodes[i]; w.gas && x.move < 0 {
				share = math.Min(share, 0.9*(x.head-x.vapour)/-x.move)
			}
		}
		for taken := 0.0; ; share /= 2 {
			for i := range w.nodes {
				w.nodes[i].head += (share - taken) * w.nodes[i].move
			}
			taken = share
			if next := w.unbalance(); next <= sum || share < 1e-6 {
				sum = next
				break
			}
		}
		if worst < near {
			return
		}
	}
}

// near is the head, Pa, to which the heads of linked nodes are worked out.
const near = 1e-2

// aim works out by how much the head of every linked node must move to be in balance, as far as the slopes tell, and
// returns the largest move. The links make trees: what is out of balance is passed from the leaves to the roots, and the
// moves from there back.
func (w *waves) aim() (worst float64) {
	for i := len(w.nodes) - 1; i >= 0; i-- {
		if x := &w.nodes[i]; x.link >= 0 {
			from, slope := &w.nodes[w.net.Links[x.link].From], w.links[x.link].pay
			from.pay -= slope * slope / x.pay
			from.off += x.off * slope / x.pay
		}
	}
	for i := range w.nodes {
		x := &w.nodes[i]
		x.move = 0
		if w.net.Nodes[i].Held || !x.linked {
			continue
		}
		x.move = x.off / x.pay
		if x.link >= 0 {
			x.move += w.links[x.link].pay * w.nodes[w.net.Links[x.link].From].move / x.pay
		}
		worst = math.Max(worst, math.Abs(x.move))
	}
	return worst
}

// turn has a link that lets water back for a while shut when its time has come, and open when water comes again.
func (w *waves) turn(i int) {
	l, x := &w.net.Links[i], &w.links[i]
	if l.Lag == 0 {
		return
	}
	switch {
	case x.shut && w.nodes[l.From].head > w.nodes[l.To].head+l.Spring:
		x.shut, x.turned = false, 0
	case x.flow < 0:
		x.turned += w.dt
		x.shut = x.turned >= l.Lag
	default:
		x.turned = 0
	}
}

// through is the flow that a pressure drives against an impedance and a resistance that goes with the flow's square:
// the root of resistance q|q| + z q = drive, without cancellation.
func through(drive, z, resistance float64) float64 {
	return 2 * drive / (z + math.Sqrt(z*z+4*resistance*math.Abs(drive)))
}

// ofKv is the resistance of a valve of a Kv in m³/h, Pa s²/m⁶: q = Kv √(Δp / 1 bar) (IEC 60534-2-1). No valve is so
// large that it has none, none so small that it is shut.
func ofKv(kv float64) float64 { return 1e5 * (3600 / kv) * (3600 / kv) }
