package soil

import "math"

// How a step is found.
const (
	shortest       = 1e-3 // s; a step below that is taken whatever its error
	instant        = 1e-9 // s; a step that short is taken although the heads have not settled
	longest        = 3600 // s
	settled        = 5e-5 // by which the water content of a cell may miss what has crossed its faces
	mostIterations = 12   // before a shorter step is tried
	leastCapacity  = 1e-9 // 1/m, that a saturated cell is given while heads are sought
	// by which the diagonal is more than it should be, so that full cells of which nothing leaves have a solution
	notSingular = 1 + 1e-12
	driest      = -2048 // m, pressure head beyond which the curves do not go
)

// Demand is what the sky and the plants ask of a column, m/s.
type Demand struct {
	Application   float64 // rain and what the watering brings
	Evaporation   float64 // from the surface, if it is wet
	Transpiration float64 // by the plants, if they get it
}

// Advance lets seconds pass in as many steps as it takes.
func (c *Column) Advance(seconds float64, d Demand) {
	for seconds > 0 {
		seconds -= c.Step(seconds, d)
	}
}

// Step takes one step of at most so many seconds and says how long it was: as long as its error allows.
func (c *Column) Step(most float64, d Demand) (took float64) {
	c.expect(d)
	dt := min(most, min(longest, c.next))
	if dt < most && most < 2*dt {
		dt = most / 2 // two equal ones instead of a long and a short one
	}
	for {
		iterations := c.solve(dt, d)
		c.Iterations += iterations
		miss := c.error(dt) / c.Tolerance
		settles := iterations <= mostIterations
		if !settles {
			miss = 16
		}
		growth := max(0.2, 0.9/math.Sqrt(max(miss, 0.05)))
		if settles && (miss <= 1 || dt <= shortest) || dt <= instant {
			if dt < most || growth < 1 {
				c.next = float64(dt * growth)
			} else { // cut short from outside
				c.next = max(c.next, float64(dt*growth))
			}
			c.accept(dt, d)
			return dt
		}
		dt = max(instant, dt*min(0.7, growth))
	}
}

// expect sets the rate at which the uppermost cell is about to fill when what is asked of the surface has changed, so
// that a jump of the application does not count as an error. What stands on the surface goes on entering as it did.
func (c *Column) expect(d Demand) {
	given, _ := c.dryness(c.water[0], 0)
	if asked := d.Application - float64(d.Evaporation*given); asked != c.asked {
		c.asked = asked
		through := (c.Soil.conductivity + c.at.conductivity[0]) / 2
		enters := float64(through * (1 + float64((c.Pond-c.at.head[0])*c.grid.above[0])))
		if c.Pond == 0 {
			enters = min(asked, enters)
		}
		jump := math.Abs(enters-c.enter) / c.grid.thick[0]
		c.rate[0] += (enters - c.enter) / c.grid.thick[0]
		c.enter = enters
		c.next = min(c.next, max(1, 2*c.Tolerance/jump)) // what is new does not last
	}
}

// solve seeks the heads at the end of a step by Newton's method on the equations of Celia, Bouloutas and Zarba (1990,
// eq. 16) and leaves them, and the fluxes that belong to them, in work. That the slope of the conductivity is among the
// slopes is what lets a wet layer above dry clay settle; without it the flux out of the layer lags an iteration behind.
// It returns the number of iterations; one more than mostIterations when the heads have not settled.
func (c *Column) solve(dt float64, d Demand) int {
	w := c.work
	w.iterate.copy(c.at)
	for n := 1; ; n++ {
		enters, gives := c.surface(dt, d)
		leaves, takes := c.drainage()
		w.flux[0], w.flux[len(c.water)] = enters, leaves
		if off := c.eliminate(dt, d.Transpiration, gives, takes); off*dt <= settled || n > mostIterations {
			return n
		}
		c.substitute()
	}
}

// surface is the flux into the uppermost cell with the heads as they are, and by how much it falls for each metre that
// the head there rises.
func (c *Column) surface(dt float64, d Demand) (flux, falls float64) {
	head, inside, slope := c.work.head[0], c.work.conductivity[0], c.work.falls[0]
	under := func(at, outside float64) (flux, through float64) { // with the surface at a head
		through = (outside + inside) / 2 * c.grid.above[0] // the mean conductivity over half a cell
		return float64(through*(at-head)) + (outside+inside)/2, through
	}
	opens := func(at float64) float64 { // by how much the flux grows as the head makes the soil conduct
		return float64(slope*(float64((at-head)*c.grid.above[0])+1)) / 2
	}
	if c.HoldsHead {
		_, _, outside, _ := c.Soil.at(c.SurfaceHead)
		flux, falls = under(c.SurfaceHead, outside)
		return flux, falls - opens(c.SurfaceHead)
	}
	asked := d.Application - d.Evaporation
	supply := c.Pond/dt + asked // if the surface gives what the air asks for
	flux, falls = under(0, c.Soil.conductivity)
	if supply > flux { // water stands on the surface
		stands := 1 + float64(falls*dt)
		flux = (flux + float64(falls*(c.Pond+float64(asked*dt)))) / stands
		if flux < supply-c.Ponds/dt { // and runs off
			flux, falls = under(c.Ponds, c.Soil.conductivity)
			return flux, falls - opens(c.Ponds)
		}
		return flux, (falls - opens(float64((supply-flux)*dt))) / stands
	}
	given, grows := c.dryness(c.work.water[0], c.work.capacity[0])
	return supply + float64(d.Evaporation*(1-given)), float64(d.Evaporation * grows)
}

// drainage is the flux out of the lowest cell with the heads as they are, and by how much it grows for each metre that
// the head there rises.
func (c *Column) drainage() (flux, grows float64) {
	last := len(c.water) - 1
	head, inside, slope := c.work.head[last], c.work.conductivity[last], c.work.falls[last]
	outside, below := c.Soil.conductivity, 0.0
	switch c.Base {
	case FreeDrainage:
		return inside, slope
	case FixedHead:
		_, _, outside, _ = c.Soil.at(c.BaseHead)
		below = c.BaseHead
	}
	grows = (outside + inside) / 2 * c.grid.below[last]
	flux = float64(grows*(head-below)) + (outside+inside)/2
	if c.Base == SeepageFace && flux <= 0 { // the base is not saturated and lets no air in either way
		return 0, 0
	}
	return flux, grows + float64(slope*(float64((head-below)*c.grid.below[last])+1))/2
}

// eliminate sets up the equations of an iteration for the changes of the heads, and eliminates downwards. It returns by
// how much, in 1/s, what crosses the faces of a cell and what its roots take up miss the change of its water content at
// most.
func (c *Column) eliminate(dt, transpiration, gives, takes float64) (off float64) {
	w := c.work
	n := len(c.water)
	rate := 1 / dt
	carried, lets := 0.0, 0.0 // by how much more comes from above for each metre that the head there rises
	diagonal := gives
	for i := range n {
		size := c.grid.thick[i] * rate
		right := w.flux[i] - float64((w.water[i]-c.water[i])*size)
		diagonal += float64(max(w.capacity[i], leastCapacity) * size)
		w.uptake[i] = 0
		if asks := float64(transpiration * c.roots[i]); asks > 0 {
			given, eases := c.stress(w.head[i], w.water[i], w.capacity[i])
			w.uptake[i] = float64(asks * given)
			right -= w.uptake[i]
			diagonal += float64(asks * eases)
		}
		// by how much more leaves below for each metre that the head here rises, or that below falls
		above, below := takes, 0.0
		if i+1 < n {
			mean := (w.conductivity[i] + w.conductivity[i+1]) / 2
			near := c.grid.below[i]
			steep := float64((w.head[i]-w.head[i+1])*near) + 1
			w.flux[i+1] = float64(mean * steep)
			above = float64(mean*near) + float64(w.falls[i]*steep)/2
			below = float64(mean*near) - float64(w.falls[i+1]*steep)/2
		}
		right -= w.flux[i+1]
		diagonal = (diagonal + above) * notSingular
		off = max(off, math.Abs(right)*c.grid.thin[i])
		if i > 0 {
			right += float64(lets * carried)
			diagonal -= float64(lets * w.upper[i-1])
		}
		pivot := 1 / diagonal
		carried = float64(right * pivot)
		w.upper[i], w.right[i] = below*pivot, carried
		lets, diagonal = above, below
	}
	return off
}

// substitute finds the changes of the heads upwards and looks up the curves there.
func (c *Column) substitute() {
	w := c.work
	change := 0.0
	for i := len(c.water) - 1; i >= 0; i-- {
		change = w.right[i] + float64(w.upper[i]*change)
		w.head[i], change = c.Soil.follow(w.head[i], w.water[i], w.capacity[i], change)
		w.water[i], w.capacity[i], w.conductivity[i], w.falls[i] = c.Soil.at(w.head[i])
	}
}

// error is how far the step misses the truth at most: half the change of a rate over it.
func (c *Column) error(dt float64) float64 {
	w := c.work
	worst := 0.0
	for i := range c.water {
		rate := (w.flux[i] - w.flux[i+1] - w.uptake[i]) * c.grid.thin[i]
		w.change[i] = rate
		worst = max(worst, math.Abs(rate-c.rate[i]))
	}
	return worst * dt / 2
}

// accept makes the end of the step the state, by what has crossed the faces, and books it.
func (c *Column) accept(dt float64, d Demand) {
	w := c.work
	taken := 0.0
	for i, rate := range w.change {
		c.water[i] += float64(rate * dt)
		c.rate[i] = rate
		taken += w.uptake[i]
	}
	c.at.copy(w.iterate)
	entered, left := w.flux[0], w.flux[len(c.water)]
	c.enter = entered
	c.Evaporated += float64(taken * dt)
	c.Drained += float64(left * dt)
	if c.HoldsHead {
		c.Applied += float64(entered * dt)
		return
	}
	c.Applied += float64(d.Application * dt)
	stays := c.Pond + float64((d.Application-d.Evaporation-entered)*dt)
	dried := float64(d.Evaporation * dt)
	if stays < 0 { // the surface did not give what the air asked for
		dried, stays = dried+stays, 0
	}
	c.Evaporated += dried
	c.Pond = min(stays, c.Ponds)
	c.RunOff += stays - c.Pond
}
