package surge

import "math"

// Closing is the stroke of a valve at the end of a line.
type Closing struct {
	Seconds  float64                       // length of the stroke
	Capacity func(seconds float64) float64 // Kv in m³/h at a time from its beginning; after Seconds it stays as it is
	Flow     float64                       // m³/s through the valve before it begins
	Pressure float64                       // Pa at the inlet of the valve before it begins
	Static   float64                       // Pa at the inlet when all has come to rest
	Behind   float64                       // Pa that stand behind the valve against it when nothing flows
}

// Peak is what the pressure at the inlet of the valve came to, Pa above the atmosphere.
type Peak struct {
	Pressure  float64 // highest
	At        float64 // s from the beginning of the stroke
	Least     float64 // lowest
	Separated bool    // the pressure fell to that of the vapour, and the water parted
}

const (
	reaches = 8       // that the line is cut into, fewer for a stroke that takes very many return times
	most    = 1 << 14 // steps of a computation
	echoes  = 6       // return times that are followed when the stroke is over
	longest = 1000    // return times; a stroke that takes longer moves the water like a rigid column
)

// Peak follows the waves that a closing sends into the line, by the method of characteristics (Wylie and Streeter 1993,
// ch. 3): at the far end a source whose pressure falls with the square of the flow, from Static to what leaves Pressure
// at the valve; in the pipe the friction of the steady flow; at the valve its Kv and, behind it, a resistance that goes
// with the square of the flow. A cavity is kept at the valve alone. It allocates nothing.
//
// A stroke of more than a thousand return times gives Michaud's rise above the static pressure. Where friction takes
// more over a reach than Joukowsky's rise, a wave dies on its way, and the pressure creeps up to the static one.
func (l Line) Peak(c Closing) Peak {
	if c.Flow <= 0 {
		return Peak{Pressure: math.Max(c.Pressure, c.Static), Least: math.Min(c.Pressure, c.Static)}
	}
	if c.Seconds > longest*l.ReturnTime() {
		rise := Michaud(l.Length, c.Flow/l.Area, c.Seconds)
		return Peak{Pressure: math.Max(c.Pressure, c.Static) + rise, At: c.Seconds, Least: math.Min(c.Pressure,
			c.Static)}
	}
	w := l.waves(c)
	if w.friction*c.Flow > w.z {
		return Peak{Pressure: w.static, At: c.Seconds, Least: c.Pressure}
	}
	steps := int(math.Ceil((c.Seconds + echoes*l.ReturnTime()) / w.dt))
	for step := 1; step <= steps; step++ {
		w.step(c.Capacity(math.Min(c.Seconds, float64(step)*w.dt)))
		if p := w.pressure[w.n]; p > w.peak.Pressure {
			w.peak.Pressure, w.peak.At = p, float64(step)*w.dt
		} else {
			w.peak.Least = math.Min(w.peak.Least, p)
		}
	}
	if w.static > w.peak.Pressure { // it comes to that when the waves have died
		w.peak.Pressure, w.peak.At = w.static, float64(steps)*w.dt
	}
	return w.peak
}

// waves is the state of the line at its nodes, 0 at the source, n at the valve.
type waves struct {
	n              int
	dt             float64 // s, in which a wave passes a reach
	z              float64 // Pa s/m³, impedance
	friction       float64 // Pa s²/m⁶ of a reach
	static, source float64 // Pa, and Pa s²/m⁶ that the source loses
	behind, after  float64 // Pa, and Pa s²/m⁶ of all that is behind the valve
	cavity         float64 // m³ of vapour at the valve
	peak           Peak
	pressure, flow [reaches + 1]float64
}

// waves is the line in steady flow, before the closing.
func (l Line) waves(c Closing) waves {
	w := waves{n: reaches, z: l.Impedance(), behind: c.Behind, peak: Peak{Pressure: c.Pressure, Least: c.Pressure}}
	for w.n > 1 && (c.Seconds/l.ReturnTime()+echoes)*2*float64(w.n) > most {
		w.n /= 2
	}
	w.dt = l.Length / l.Speed / float64(w.n)
	w.static = math.Max(c.Static, c.Pressure)
	square := c.Flow * c.Flow
	friction := math.Min(l.friction(c.Flow), w.static-c.Pressure)
	w.source = (w.static - c.Pressure - friction) / square
	w.friction = friction / square / float64(w.n)
	w.after = math.Max(0, (c.Pressure-c.Behind)/square-ofKv(c.Capacity(0)))
	for i := range w.n + 1 {
		w.flow[i] = c.Flow
		w.pressure[i] = c.Pressure + float64(friction*float64(w.n-i))/float64(w.n)
	}
	return w
}

// step takes every node on by the time in which a wave passes a reach, with the valve at a Kv.
func (w *waves) step(kv float64) {
	before, flows := w.pressure, w.flow
	forward := func(i int) float64 { // what comes down the pipe from node i
		q := flows[i]
		return before[i] + q*(w.z-w.friction*math.Abs(q))
	}
	backward := func(i int) float64 {
		q := flows[i]
		return before[i] - q*(w.z-w.friction*math.Abs(q))
	}
	drive := w.static - backward(1)
	w.flow[0] = through(drive, w.z, w.source)
	w.pressure[0] = w.static - float64(w.source*math.Abs(w.flow[0]))*w.flow[0]
	for i := 1; i < w.n; i++ {
		down, up := forward(i-1), backward(i+1)
		w.pressure[i], w.flow[i] = (down+up)/2, (down-up)/(2*w.z)
	}
	w.valve(forward(w.n-1), kv)
}

// valve is the end of the line, at which a wave of a strength arrives. Nothing comes back through it.
func (w *waves) valve(arrives, kv float64) {
	out := 0.0
	if kv > 0 && arrives > w.behind && w.cavity == 0 {
		out = through(arrives-w.behind, w.z, ofKv(kv)+w.after)
	}
	p, q := arrives-w.z*out, out
	if p < Vapour || w.cavity > 0 {
		p, q = Vapour, (arrives-Vapour)/w.z
		w.cavity = math.Max(0, w.cavity-q*w.dt)
		w.peak.Separated = true
	}
	w.pressure[w.n], w.flow[w.n] = p, q
}

// through is the flow that a pressure drives against an impedance and a resistance that goes with the flow's square:
// the root of resistance q|q| + z q = drive, without cancellation.
func through(drive, z, resistance float64) float64 {
	return 2 * drive / (z + math.Sqrt(z*z+4*resistance*math.Abs(drive)))
}

// ofKv is the resistance of a valve of a Kv in m³/h, Pa s²/m⁶: q = Kv √(Δp / 1 bar) (IEC 60534-2-1). No valve is so
// large that it has none, none so small that it is shut.
func ofKv(kv float64) float64 { return 1e5 * (3600 / kv) * (3600 / kv) }
