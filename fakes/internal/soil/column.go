package soil

// Base is how water leaves a column at its lower end.
type Base uint8

// The kinds of base.
const (
	SeepageFace  Base = iota // when the soil there is saturated
	FreeDrainage             // by its weight, as in deep soil that goes on alike
	FixedHead                // to or from a pressure head, as above a water table
)

// Column is the soil of a bed over a square metre of ground. Depths count from the surface, pressure heads are negative
// where the soil holds water by suction. It is used from one goroutine; only the table of its soil is shared.
type Column struct {
	Soil  *Soil
	Base  Base
	Ponds float64 // m, depth of water that stands on the surface before it runs off

	BaseHead    float64 // m, with FixedHead
	HoldsHead   bool    // the surface is held at SurfaceHead instead of being watered
	SurfaceHead float64 // m
	Tolerance   float64 // error of a water content allowed in one step

	Pond float64 // m of water on the surface
	Book
	Iterations int // that all steps since the beginning have taken, those that were refused among them: what they cost

	grid  *grid
	roots []float64 // share of the transpiration that each cell is asked for
	water []float64 // water content by volume of each cell
	rate  []float64 // its change in the last step, 1/s
	at    iterate   // suctions, and the curves there
	next  float64   // s, step to try
	asked float64   // m/s, application less evaporation of the last step
	enter float64   // m/s, what entered by the surface in the last step
	work  *work
}

// Book is what has passed since the beginning, in metres of water.
type Book struct {
	Applied    float64 // onto the surface
	Evaporated float64 // from the surface and by the plants
	Drained    float64 // below the base; negative when water has risen from there
	RunOff     float64 // over the surface
}

// iterate is one set of pressure heads and the curves of the soil there.
type iterate struct{ head, water, capacity, conductivity, falls []float64 }

// work is what a step needs and leaves nothing in. Columns that are copies of each other share it.
type work struct {
	iterate
	flux         []float64 // downwards through the upper face of each cell, and through the base
	change       []float64 // rates of the water contents
	upper, right []float64
	uptake       []float64 // by the roots
}

// UsualTolerance is the error of a water content that a step of a bed may make: a tenth of a percent by volume, less
// than any probe resolves.
const UsualTolerance = 1e-3

// NewColumn makes a column of so many equal cells over a depth in m, with roots over a part of it. It holds no water
// until Settle or SetHeads.
func NewColumn(s *Soil, cells int, depth, rootDepth float64) *Column {
	return newColumn(s, evenGrid(cells, depth), rootDepth)
}

// A bed's cells are finer at the top, where a front of water begins: each is thicker than the one above by the same
// factor. That many keep fronts within a tenth of where 300 equal cells have them, in all textures (TestFrontsOfABed).
const (
	bedCells = 52
	finest   = 1.0 / 320 // of the depth, the uppermost cell
)

// NewBed is a column with the cells of a bed.
func NewBed(s *Soil, depth, rootDepth float64) *Column {
	return newColumn(s, gradedGrid(bedCells, finest*depth, depth), rootDepth)
}

func newColumn(s *Soil, g *grid, rootDepth float64) *Column {
	cells := len(g.thick)
	numbers := make([]float64, 17*cells+1)
	take := func(n int) []float64 {
		part := numbers[:n:n]
		numbers = numbers[n:]
		return part
	}
	curves := func() iterate { return iterate{take(cells), take(cells), take(cells), take(cells), take(cells)} }
	c := &Column{Soil: s, grid: g, Tolerance: UsualTolerance, next: 1}
	c.roots, c.water, c.rate, c.at = make([]float64, cells), take(cells), take(cells), curves()
	c.work = &work{iterate: curves(), flux: take(cells + 1), change: take(cells), upper: take(cells),
		right: take(cells), uptake: take(cells)}
	for i := range c.roots {
		c.roots[i] = rootShare((g.middle[i]+g.thick[i]/2)/rootDepth) - rootShare((g.middle[i]-g.thick[i]/2)/rootDepth)
	}
	return c
}

// Copy makes the column what another one of the same grid is.
func (c *Column) Copy(from *Column) {
	water, rate, at := c.water, c.rate, c.at
	*c = *from
	c.water, c.rate, c.at = water, rate, at
	copy(c.water, from.water)
	copy(c.rate, from.rate)
	c.at.copy(from.at)
}

// Twin is a copy that shares nothing with the column but what a step leaves nothing in.
func (c *Column) Twin() *Column {
	n := len(c.water)
	t := &Column{water: make([]float64, n), rate: make([]float64, n),
		at: iterate{make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)}}
	t.Copy(c)
	return t
}

func (x iterate) copy(from iterate) {
	copy(x.head, from.head)
	copy(x.water, from.water)
	copy(x.capacity, from.capacity)
	copy(x.conductivity, from.conductivity)
	copy(x.falls, from.falls)
}

// SetHeads gives each cell the pressure head, m, at the depth of its middle.
func (c *Column) SetHeads(head func(depth float64) float64) {
	for i := range c.water {
		h := head(c.grid.middle[i])
		c.at.head[i] = h
		c.at.water[i], c.at.capacity[i], c.at.conductivity[i], c.at.falls[i] = c.Soil.at(h)
		c.water[i], c.rate[i] = c.at.water[i], 0
	}
}

// Settle gives the column, down to a depth, a mean water content by volume and lets it rest: the suction grows upwards
// by the height, as when nothing moves any more.
func (c *Column) Settle(mean, depth float64) {
	low, high := float64(driest), 10.0 // pressure heads at the surface
	for range 100 {
		surface := (low + high) / 2
		c.SetHeads(func(d float64) float64 { return surface + d })
		if c.Mean(depth) < mean {
			low = surface
		} else {
			high = surface
		}
	}
}

// Mean is the mean water content by volume down to a depth in m.
func (c *Column) Mean(depth float64) float64 {
	sum, left := 0.0, depth
	for i, w := range c.water {
		part := min(left, c.grid.thick[i])
		if part <= 0 {
			break
		}
		sum += float64(w * part)
		left -= part
	}
	return sum / (depth - max(0, left))
}

// At is the water content by volume at a depth in m, straight between the middles of the cells.
func (c *Column) At(depth float64) float64 { return c.between(c.water, depth) }

// HeadAt is the pressure head in m at a depth, likewise.
func (c *Column) HeadAt(depth float64) float64 { return c.between(c.at.head, depth) }

func (c *Column) between(values []float64, depth float64) float64 {
	i, share := c.grid.place(depth)
	return values[i] + float64((values[i+1]-values[i])*share)
}

// Stored is the water held, with what stands on the surface, m.
func (c *Column) Stored() float64 {
	sum := c.Pond
	for i, w := range c.water {
		sum += float64(w * c.grid.thick[i])
	}
	return sum
}
