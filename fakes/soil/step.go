package soil

import "math"

// How a step is found.
const (
	shortest       = 1e-3  // s; a step below that is taken as it is
	longest        = 3600  // s
	settled        = 1e-4  // change of a water content by an iteration that is the last
	settledHead    = 1e-3  // m, likewise of the head of a saturated cell
	mostOver       = 1e-5  // m of water that may enter besides what there is
	mostIterations = 12    // before a shorter step is tried
	leastCapacity  = 1e-9  // 1/m, that a saturated cell is given while heads are sought
	dry            = 1.0   // m, suction from which on a cell is wetted in several iterations
	driest         = -2048 // m, pressure head beyond which the curves do not go
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
		miss := c.error(dt) / c.Tolerance
		if iterations > mostIterations {
			miss = max(miss, 16)
		}
		growth := max(0.2, 0.9/math.Sqrt(max(miss, 0.05)))
		if miss <= 1 || dt <= shortest {
			if dt < most || growth < 1 {
				c.next = max(shortest, dt*growth)
			} else { // cut short from outside
				c.next = max(c.next, dt*growth)
			}
			c.accept(dt, d)
			return dt
		}
		dt = max(shortest, dt*min(0.7, growth))
	}
}

// expect sets the rate at which the uppermost cell is about to fill when what is asked of the surface has changed, so
// that a jump of the application does not count as an error.
func (c *Column) expect(d Demand) {
	given, _ := c.dryness(c.water[0], 0)
	if asked := d.Application - float64(d.Evaporation*given); asked != c.asked {
		c.asked = asked
		through := (c.Soil.conductivity + c.at.conductivity[0]) / 2
		enters := min(asked, through*(1-2*c.at.head[0]/c.cell))
		jump := math.Abs(enters-c.enter) / c.cell
		c.rate[0] += (enters - c.enter) / c.cell
		c.enter = enters
		c.next = min(c.next, max(1, 2*c.Tolerance/jump)) // what is new does not last
	}
}

// solve seeks the heads at the end of a step by modified Picard iteration (Celia, Bouloutas and Zarba 1990, eq. 16) and
// leaves them, and the fluxes that belong to them, in work. It returns the number of iterations; one more than
// mostIterations when the heads have not settled.
func (c *Column) solve(dt float64, d Demand) int {
	w := c.work
	c.wettest = float64(len(c.water))*c.cell + max(c.Ponds, c.Pond, c.BaseHead, c.SurfaceHead) // under still water as deep as can be
	w.iterate.copy(c.at)
	for n := 1; ; n++ {
		enters, gives := c.surface(dt, d)
		leaves, takes := c.drainage()
		w.flux[0], w.flux[len(c.water)] = enters, leaves
		c.eliminate(dt, d.Transpiration, gives, takes)
		done := c.substitute(gives, takes)
		if over := float64((w.flux[0]-d.Application)*dt) - c.Pond; over > mostOver && !c.HoldsHead {
			done = false // more would enter than there is: the pond ends within the step
		}
		if done || n > mostIterations {
			return n
		}
	}
}

// surface is the flux into the uppermost cell with the heads as they are, and by how much it falls for each metre that the
// head there rises.
func (c *Column) surface(dt float64, d Demand) (flux, falls float64) {
	head, inside := c.work.head[0], c.work.conductivity[0]
	under := func(at, outside float64) (flux, falls float64) { // with the surface at a head
		through := (outside + inside) / c.cell // the mean conductivity over half a cell
		return float64(through*(at-head)) + (outside+inside)/2, through
	}
	if c.HoldsHead {
		_, _, outside := c.Soil.at(c.SurfaceHead)
		return under(c.SurfaceHead, outside)
	}
	asked := d.Application - d.Evaporation
	supply := c.Pond/dt + asked // if the surface gives what the air asks for
	flux, falls = under(0, c.Soil.conductivity)
	if supply > flux { // water stands on the surface
		stands := 1 + float64(falls*dt)
		flux += float64(falls * (c.Pond + float64(asked*dt)))
		if flux/stands < supply-c.Ponds/dt { // and runs off
			flux, falls = under(c.Ponds, c.Soil.conductivity)
			return flux, falls
		}
		return flux / stands, falls / stands
	}
	given, eases := c.dryness(c.work.water[0], c.work.capacity[0])
	return supply + float64(d.Evaporation*(1-given)), d.Evaporation * eases
}

// drainage is the flux out of the lowest cell with the heads as they are, and by how much it grows for each metre that the
// head there rises.
func (c *Column) drainage() (flux, grows float64) {
	last := len(c.water) - 1
	head, inside := c.work.head[last], c.work.conductivity[last]
	outside := c.Soil.conductivity
	switch c.Base {
	case FreeDrainage:
		return inside, c.Soil.segment(max(0, -head)).falls
	case FixedHead:
		_, _, outside = c.Soil.at(c.BaseHead)
		grows = (outside + inside) / c.cell
		return float64(grows*(head-c.BaseHead)) + (outside+inside)/2, grows
	}
	grows = (outside + inside) / c.cell
	flux = float64(grows*head) + (outside+inside)/2
	if flux <= 0 { // the base is not saturated and lets no air in either way
		return 0, 0
	}
	return flux, grows
}

// eliminate sets up the equations of an iteration for the changes of the heads, and eliminates downwards.
func (c *Column) eliminate(dt, transpiration, gives, takes float64) {
	w := c.work
	n := len(c.water)
	size := c.cell / dt
	above, pivot, carried := 0.0, 0.0, 0.0
	for i := range n {
		below := 0.0
		if i+1 < n {
			mean := (w.conductivity[i] + w.conductivity[i+1]) / 2
			below = mean / c.cell
			w.flux[i+1] = float64(below*(w.head[i]-w.head[i+1])) + mean
			w.between[i+1] = below
		}
		w.uptake[i], w.eases[i] = 0, 0
		if asks := float64(transpiration * c.roots[i]); asks > 0 {
			given, eases := stress(w.head[i])
			w.uptake[i], w.eases[i] = asks*given, asks*eases
		}
		diagonal := float64(max(w.capacity[i], leastCapacity)*size) + above + below + w.eases[i]
		if i == 0 {
			diagonal += gives
		}
		if i == n-1 {
			diagonal += takes
		}
		right := w.flux[i] - w.uptake[i] - float64((w.water[i]-c.water[i])*size)
		if i+1 < n {
			right -= w.flux[i+1]
		} else {
			right -= w.flux[n]
		}
		if i > 0 {
			diagonal -= float64(above * w.upper[i-1])
			right += float64(above * carried)
		}
		pivot = 1 / diagonal
		carried = right * pivot
		w.upper[i], w.right[i] = below*pivot, carried
		above = below
	}
}

// substitute finds the changes of the heads upwards, brings the fluxes to the heads so found, and looks up the curves
// there. It tells whether the heads have settled.
func (c *Column) substitute(gives, takes float64) bool {
	w := c.work
	n := len(c.water)
	done := true
	change := 0.0
	for i := n - 1; i >= 0; i-- {
		under := change
		highest := c.wettest
		if w.head[i] < -dry {
			highest = w.head[i] / 8 // dry soil has hardly any capacity, from which wetting looks far too easy
		}
		change = max(driest-w.head[i], min(highest-w.head[i], w.right[i]+float64(w.upper[i]*under)))
		if i == n-1 {
			w.flux[n] += float64(takes * change)
		} else {
			w.flux[i+1] += float64(w.between[i+1] * (change - under))
		}
		w.uptake[i] = max(0, w.uptake[i]+float64(w.eases[i]*change))
		head := w.head[i] + change
		water, capacity, conductivity := c.Soil.at(head)
		if math.Abs(water-w.water[i]) > settled || capacity == 0 && math.Abs(change) > settledHead {
			done = false
		}
		w.head[i], w.water[i], w.capacity[i], w.conductivity[i] = head, water, capacity, conductivity
	}
	w.flux[0] -= float64(gives * change)
	return done
}

// error is how far the step misses the truth at most: half the change of a rate over it.
func (c *Column) error(dt float64) float64 {
	w := c.work
	worst := 0.0
	for i := range c.water {
		rate := (w.flux[i] - w.flux[i+1] - w.uptake[i]) / c.cell
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
	dried := d.Evaporation * dt
	if stays < 0 { // the surface did not give what the air asked for
		dried, stays = dried+stays, 0
	}
	c.Evaporated += dried
	c.Pond = min(stays, c.Ponds)
	c.RunOff += stays - c.Pond
}
