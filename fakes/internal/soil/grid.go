package soil

import "sort"

// grid is how a column is divided into cells, from the surface down. It is not changed, and shared by columns.
type grid struct {
	thick  []float64 // m, of each cell
	thin   []float64 // 1/m, its inverse
	middle []float64 // m, depth of its middle
	// 1/m, of the distance from the middle of each cell to that of the next; at the ends, to the surface and to the base
	above, below []float64
}

// evenGrid is one of equal cells.
func evenGrid(cells int, depth float64) *grid { return gradedGrid(cells, depth/float64(cells), depth) }

// gradedGrid is one whose cells grow by a factor from the uppermost on, which is found by halving.
func gradedGrid(cells int, uppermost, depth float64) *grid {
	factor, most := 1.0, 2.0
	for range 60 {
		if middle := (factor + most) / 2; uppermost*sum(middle, cells) <= depth {
			factor = middle
		} else {
			most = middle
		}
	}
	thickness := depth / sum(factor, cells)
	numbers := make([]float64, 5*cells)
	take := func() []float64 {
		part := numbers[:cells:cells]
		numbers = numbers[cells:]
		return part
	}
	g := &grid{thick: take(), thin: take(), middle: take(), above: take(), below: take()}
	top := 0.0
	for i := range cells {
		g.thick[i], g.thin[i], g.middle[i] = thickness, 1/thickness, top+thickness/2
		top += thickness
		thickness *= factor
	}
	for i := range cells {
		g.above[i], g.below[i] = 2/g.thick[i], 2/g.thick[i]
		if i > 0 {
			g.above[i] = 1 / (g.middle[i] - g.middle[i-1])
			g.below[i-1] = g.above[i]
		}
	}
	return g
}

// sum is that of so many terms of the geometric series, 1 + f + f² + ...
func sum(factor float64, terms int) (total float64) {
	term := 1.0
	for range terms {
		total += term
		term *= factor
	}
	return total
}

// place is the cell whose middle is the last above a depth in m, and by what share of the way to the next middle it is
// below that. Beyond the outermost middles it is these.
func (g *grid) place(depth float64) (cell int, share float64) {
	i := sort.SearchFloat64s(g.middle, depth) - 1
	i = max(0, min(i, len(g.middle)-2))
	return i, max(0, min(1, (depth-g.middle[i])*g.below[i]))
}
