package surge

import "math"

// waves is the state of a network in the course of a computation.
type waves struct {
	net     *Network
	gas     bool    // with a little gas at every point
	seconds float64 // of the computation
	dt      float64 // s of a step, in which a wave passes a reach
	now     float64 // s from the beginning
	points  int
	runs    []run
	nodes   []point
	links   []lump
	peaks   []Peak
	away    []float64 // s from a node to the nearest held one

	// at the points of all pipes, at the last step and at this one
	head, in, out          []float64 // Pa, and m³/s that come in from upstream and go out downstream
	lastHead, lastIn, last []float64
	cavity                 []float64 // m³
}

// point is a node in the course of a computation.
type point struct {
	head     float64
	s, g     float64 // what the pipes bring to it: s less g times its head, m³/s
	vapour   float64 // Pa, its head at which the water parts
	volume   float64 // m³ of half a reach of each of its pipes
	cavity   float64 // m³
	link     int     // the link from a free node before it; -1 for none
	open     int     // number of its links that let water pass
	only     int     // the one of them, if it goes to a held node or comes from one; -1 otherwise
	linked   bool    // its head is worked out with that of others
	off, pay float64 // m³/s that it gets more than it gives, and by how much less that is with its head
	move     float64 // Pa, of its head towards balance
}

const (
	// gasShare is the share of gas in the water at the atmosphere's pressure: so little that it does not slow a wave
	// down (Wylie and Streeter 1993, ch. 8).
	gasShare   = 1e-7
	atmosphere = 101325.0 // Pa
	// parted is the pressure of the gas, Pa above that of the vapour, below which there is a cavity: one of a hundred
	// thousandth of the water or more.
	parted = 1e3
	// guard is how near to the vapour, Pa, a coarse grid without gas is not trusted.
	guard   = 0.5e5
	gravity = 9.80665 // m/s²
)

// begin sets the waves to the steady state.
func (w *waves) begin(n *Network, seconds float64, gas bool) {
	w.net, w.gas, w.now = n, gas, 0
	w.cut(n, seconds, gas)
	for _, s := range []*[]float64{&w.head, &w.in, &w.out, &w.lastHead, &w.lastIn, &w.last, &w.cavity} {
		*s = grown(*s, w.points)
	}
	w.nodes, w.peaks = grown(w.nodes, len(n.Nodes)), grown(w.peaks, len(n.Nodes))
	for i, x := range n.Nodes {
		w.nodes[i] = point{head: x.Head, vapour: Vapour + Density*gravity*x.Height, link: -1}
		p := x.Head - Density*gravity*x.Height
		w.peaks[i] = Peak{Pressure: p, Least: p}
	}
	for i := range w.runs {
		r, p := &w.runs[i], &n.Pipes[i]
		from, to := w.nodes[p.From].head, w.nodes[p.To].head
		for k := range r.n + 1 {
			h := from + (to-from)*float64(k)/float64(r.n)
			w.head[r.first+k], w.in[r.first+k], w.out[r.first+k] = h, p.Flow, p.Flow
			w.cavity[r.first+k] = gasShare * r.volume * atmosphere / math.Max(parted, h-w.vapourAt(i, k))
		}
		w.nodes[p.From].volume += r.volume / 2
		w.nodes[p.To].volume += r.volume / 2
	}
	for i := range w.nodes {
		x := &w.nodes[i]
		x.cavity = gasShare * x.volume * atmosphere / math.Max(parted, x.head-x.vapour)
	}
	w.openLinks()
}

// vapourAt is the head at which the water parts at a point of a pipe.
func (w *waves) vapourAt(pipe, k int) float64 {
	p := &w.net.Pipes[pipe]
	from, to := w.nodes[p.From].vapour, w.nodes[p.To].vapour
	return from + (to-from)*float64(k)/float64(w.runs[pipe].n)
}

// run takes the steps. It stops, and reports false, when the water is about to part and there is no gas.
func (w *waves) run() bool {
	steps := int(math.Ceil(w.seconds / w.dt))
	for step := 1; step <= steps; step++ {
		w.now = float64(step) * w.dt
		if !w.step() {
			return false
		}
	}
	for i := range w.runs {
		if w.runs[i].separated {
			w.peaks[w.net.Pipes[i].To].Separated = true
		}
	}
	return true
}

// step takes every point on by the time in which a wave passes a reach.
func (w *waves) step() bool {
	w.head, w.lastHead = w.lastHead, w.head
	w.in, w.lastIn = w.lastIn, w.in
	w.out, w.last = w.last, w.out
	for i := range w.nodes {
		w.nodes[i].s, w.nodes[i].g = 0, 0
	}
	for i := range w.runs {
		p, r := &w.net.Pipes[i], &w.runs[i]
		if w.gas {
			w.passGas(i)
		} else if !w.pass(i) {
			return false
		}
		c, z := w.backward(r, 1)
		w.nodes[p.From].s += c / z
		w.nodes[p.From].g += 1 / z
		c, z = w.forward(r, r.n-1)
		w.nodes[p.To].s += c / z
		w.nodes[p.To].g += 1 / z
	}
	if !w.meet() {
		return false
	}
	for i := range w.runs {
		p, r := &w.net.Pipes[i], &w.runs[i]
		h, c, z := w.nodes[p.From].head, 0.0, 0.0
		c, z = w.backward(r, 1)
		w.head[r.first], w.out[r.first] = h, (h-c)/z
		end := r.first + r.n
		h = w.nodes[p.To].head
		c, z = w.forward(r, r.n-1)
		w.head[end], w.in[end] = h, (c-h)/z
	}
	return true
}

// forward is what comes down a pipe from one of its points: head and impedance.
func (w *waves) forward(r *run, k int) (c, z float64) {
	return r.arrives(w.lastHead[r.first+k], w.last[r.first+k])
}

// backward is what comes up a pipe from one of its points.
func (w *waves) backward(r *run, k int) (c, z float64) {
	return r.arrives(w.lastHead[r.first+k], -w.lastIn[r.first+k])
}

// arrives is what comes over a reach from a head and a flow: head and impedance. One half of the friction goes with the
// flow that left, one half with the one that arrives, at the size of the flow that left. Where friction is strong, most
// of it goes with the latter: no length of a reach makes that unstable.
func (r *run) arrives(head, q float64) (c, z float64) {
	friction := r.friction * math.Abs(q)
	half := min(friction/2, r.z/8)
	return head + (r.z-half)*q, r.z + friction - half
}

// pass works out the points within a pipe, and reports false when the water is about to part at one.
func (w *waves) pass(pipe int) bool {
	r := &w.runs[pipe]
	vapour := w.vapourAt(pipe, 0) + guard
	slope := w.vapourAt(pipe, 1) + guard - vapour
	head, in, out := w.of(r)
	lastHead, lastIn, last := w.lastHead[r.first:][:len(head)], w.lastIn[r.first:][:len(head)], w.last[r.first:][:len(head)]
	for k := 1; k < len(head)-1; k++ {
		down, zDown := r.arrives(lastHead[k-1], last[k-1])
		up, zUp := r.arrives(lastHead[k+1], -lastIn[k+1])
		q := (down - up) / (zDown + zUp)
		h := down - zDown*q
		if h < vapour+slope*float64(k) {
			return false
		}
		head[k], in[k], out[k] = h, q, q
	}
	return true
}

// of are the points of a pipe at this step.
func (w *waves) of(r *run) (head, in, out []float64) {
	n := r.n + 1
	return w.head[r.first:][:n], w.in[r.first:][:n], w.out[r.first:][:n]
}

// passGas is pass with a little gas at each point, which obeys Boyle's law: the volume grows by what goes out less what
// comes in, at the end of the step. Far from the vapour so little gas makes no difference.
func (w *waves) passGas(pipe int) {
	r := &w.runs[pipe]
	vapour := w.vapourAt(pipe, 0)
	slope := w.vapourAt(pipe, 1) - vapour
	amount := gasShare * r.volume * atmosphere
	head, in, out := w.of(r)
	lastHead, lastIn, last := w.lastHead[r.first:][:len(head)], w.lastIn[r.first:][:len(head)], w.last[r.first:][:len(head)]
	cavity := w.cavity[r.first:][:len(head)]
	for k := 1; k < len(head)-1; k++ {
		down, zDown := r.arrives(lastHead[k-1], last[k-1])
		up, zUp := r.arrives(lastHead[k+1], -lastIn[k+1])
		pv := vapour + slope*float64(k)
		q := (down - up) / (zDown + zUp)
		if h := down - zDown*q; h > pv+2*guard && cavity[k] < amount/guard {
			head[k], in[k], out[k], cavity[k] = h, q, q, amount/(h-pv)
			continue
		}
		g := 1/zDown + 1/zUp
		// g x² + (cavity/dt + g pv - s) x - amount/dt = 0, with x the pressure of the gas
		b := cavity[k]/w.dt + g*pv - down/zDown - up/zUp
		x := rootOf(g, b, amount/w.dt)
		if cavity[k] = amount / x; x < parted {
			r.separated = true
		}
		h := pv + x
		head[k], in[k], out[k] = h, (down-h)/zDown, (h-up)/zUp
	}
}

// rootOf is the positive root of a x² + b x - c = 0, without cancellation.
func rootOf(a, b, c float64) float64 {
	root := math.Sqrt(b*b + 4*a*c)
	if b > 0 {
		return 2 * c / (b + root)
	}
	return (root - b) / (2 * a)
}
