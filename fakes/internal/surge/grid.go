package surge

import "math"

const (
	reaches     = 8       // that one pipe is cut into at the least; the longest of several into twice as many
	fineReaches = 96      // likewise once the water parts
	leastShort  = 4       // that a shorter pipe is cut into at the least, if a stroke is quick enough for waves in it
	strokeParts = 4       // steps of the quickest stroke in several pipes, as far as the cost allows
	most        = 1 << 20 // reaches times steps of a computation
	fineMost    = 1 << 21 // likewise once the water parts
	mostSteps   = 1 << 16
)

// run of a pipe's reaches within the arrays of the waves.
type run struct {
	first, n  int     // its first point, and its number of reaches
	z         float64 // Pa s/m³, impedance of the pipe as it is cut
	friction  float64 // Pa s²/m⁶ of a reach
	volume    float64 // m³ of a reach
	separated bool
}

// reach is how long a wave takes from the farthest point of a pipe to the nearest held node, s.
func (w *waves) reach(n *Network) (far float64) {
	w.away = grown(w.away, len(n.Nodes))
	for i, x := range n.Nodes {
		w.away[i] = math.Inf(1)
		if x.Held {
			w.away[i] = 0
		}
	}
	for changed := true; changed; {
		changed = false
		near := func(a, b int, time float64) {
			if w.away[a]+time < w.away[b] {
				w.away[b], changed = w.away[a]+time, true
			}
		}
		for i := range n.Links {
			if l := &n.Links[i]; !n.Nodes[l.To].Held {
				near(l.From, l.To, 0)
			}
		}
		for i := range n.Pipes {
			p := &n.Pipes[i]
			near(p.From, p.To, p.travel())
			near(p.To, p.From, p.travel())
		}
	}
	for i := range n.Pipes {
		p := &n.Pipes[i]
		if between := (w.away[p.From] + w.away[p.To] + p.travel()) / 2; !math.IsInf(between, 1) {
			far = math.Max(far, between)
		}
	}
	return far
}

// cut divides the pipes into reaches that a wave passes in one step each.
func (w *waves) cut(n *Network, seconds float64, fine bool) {
	parts, budget, follows := float64(reaches), float64(most), float64(echoes)
	if fine {
		parts, budget, follows = fineReaches, fineMost, collisions
	}
	w.seconds = seconds + follows*2*w.reach(n)
	longest := 0.0
	for i := range n.Pipes {
		longest = math.Max(longest, n.Pipes[i].travel())
	}
	if len(n.Pipes) > 1 && !fine {
		parts *= 2
	}
	dt := longest / parts
	for i := range n.Pipes {
		if t := n.Pipes[i].travel(); 2*t > n.Quickest/16 {
			dt = math.Min(dt, t/leastShort)
		}
	}
	if len(n.Pipes) > 1 {
		dt = math.Min(dt, math.Max(n.Quickest/strokeParts, longest/(4*parts)))
	}
	dt = math.Max(dt, w.seconds/mostSteps)
	for cost := w.cost(n, dt); cost > budget && dt < w.seconds/64; cost = w.cost(n, dt) {
		dt *= math.Max(1.1, math.Sqrt(cost/budget))
	}
	w.dt = w.fit(n, dt)
	first := 0
	w.runs = grown(w.runs, len(n.Pipes))
	for i := range n.Pipes {
		p := &n.Pipes[i]
		r := run{first: first, n: p.cut(w.dt)}
		length := p.Length / float64(r.n)
		r.z = Density * length / w.dt / p.area() // of the speed that passes a reach in a step
		r.volume = p.area() * length
		if p.Flow != 0 {
			r.friction = (n.Nodes[p.From].Head - n.Nodes[p.To].Head) / (p.Flow * math.Abs(p.Flow)) / float64(r.n)
			r.friction = math.Max(0, r.friction)
		}
		w.runs[i] = r
		first += r.n + 1
	}
	w.points = first
}

func (p *Run) travel() float64 { return p.Length / p.Speed() }

// cut is the number of reaches of a pipe for a step. A pipe that a wave passes in less than a step is one reach.
func (p *Run) cut(dt float64) int { return int(math.Max(1, math.Round(p.travel()/dt))) }

// cost is the number of reaches times that of steps.
func (w *waves) cost(n *Network, dt float64) float64 {
	sum := 0
	for i := range n.Pipes {
		sum += n.Pipes[i].cut(dt)
	}
	return float64(sum) * w.seconds / dt
}

// fit finds the step, a little shorter than one, with which whole reaches come nearest to the travelling times of the
// pipes.
func (w *waves) fit(n *Network, dt float64) float64 {
	best, least := dt, math.Inf(1)
	for k := range 24 {
		try, miss := dt*(1-float64(k)/96), 0.0
		for i := range n.Pipes {
			p := &n.Pipes[i]
			t := p.travel()
			off := math.Abs(float64(p.cut(try))*try/t - 1)
			if t < try {
				off = 0 // it is one reach, whatever the step
			}
			miss = math.Max(miss, off)
		}
		if miss < least-1e-12 {
			best, least = try, miss
		}
	}
	return best
}

// grown is a slice of a length, in the same memory when that is enough. Its values are those of before.
func grown[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, n)
	}
	return s[:n]
}
