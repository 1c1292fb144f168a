package water

import (
	"math"
	"slices"
	"sort"

	"ullage/harness/numeric"
)

// Vessel is the geometry of a tank. Levels are heights above the tank's base;
// a solve may ask for levels above the rim and below the base, where the
// functions must go on (a wall that continues). Volume must grow with the
// level and be 0 at level 0, Area must be its derivative, and Level its
// inverse.
type Vessel interface {
	Volume(level float64) float64 // m3
	Area(level float64) float64   // m2, of the surface of the water
	Level(volume float64) float64 // m
}

// Upright is a vessel with straight walls; its value is the area in m2.
type Upright float64

// Volume returns the area times the level.
func (u Upright) Volume(level float64) float64 { return float64(float64(u) * level) }

// Area returns the area.
func (u Upright) Area(float64) float64 { return float64(u) }

// Level returns the volume through the area.
func (u Upright) Level(volume float64) float64 { return volume / float64(u) }

// Lying is a cylinder on its side. At its lowest and its highest line the
// surface has no width, so that in the last thousandth of the diameter its
// walls count as upright; above the diameter they go on as a neck.
type Lying struct {
	Length   float64 // m
	Diameter float64 // m
}

// sliver is the share of a lying cylinder's diameter at its bottom, and at its
// top, in which its walls count as upright.
const sliver = 1e-3

// Volume returns length times the segment of the circle, r2 (a - sin a cos a)
// with cos a = (r - level) / r (mensuration of the circle, any handbook).
func (l Lying) Volume(level float64) float64 {
	thin := float64(sliver * l.Diameter)
	switch full := l.segment(l.Diameter); {
	case level < thin:
		return float64(level/thin) * l.segment(thin)
	case level > l.Diameter-thin:
		return full - float64((l.Diameter-level)/thin)*l.segment(thin)
	}
	return l.segment(level)
}

// Area returns length times the chord, 2 sqrt(level (diameter - level)).
func (l Lying) Area(level float64) float64 {
	thin := float64(sliver * l.Diameter)
	if level < thin || level > l.Diameter-thin {
		return l.segment(thin) / thin
	}
	return 2 * l.Length * math.Sqrt(float64(level*(l.Diameter-level)))
}

// Level returns the root of Volume, by Newton's method kept within bounds.
func (l Lying) Level(volume float64) float64 {
	thin := float64(sliver * l.Diameter)
	few, full := l.segment(thin), l.segment(l.Diameter)
	switch {
	case volume < few:
		return volume / few * thin
	case volume > full-few:
		return l.Diameter - float64((full-volume)/few*thin)
	}
	const tries = 60
	low, high := thin, l.Diameter-thin
	level := l.Diameter * volume / full
	for range tries {
		off := l.segment(level) - volume
		if off > 0 {
			high = level
		} else {
			low = level
		}
		next := level - off/l.Area(level)
		if !(next > low && next < high) {
			next = (low + high) / 2
		}
		if math.Abs(next-level) <= 1e-16*l.Diameter {
			return next
		}
		level = next
	}
	return level
}

// segment is the volume below a level between 0 and the diameter.
func (l Lying) segment(level float64) float64 {
	radius := l.Diameter / 2
	angle := numeric.Acos((radius - level) / radius)
	triangle := float64((radius - level) * math.Sqrt(float64(level*(l.Diameter-level))))
	return l.Length * (float64(radius*radius*angle) - triangle)
}

// Table is a vessel of any shape by the volumes at some levels, as its maker or
// a measuring can gives them; between them the walls count as upright. The
// first level and volume are 0, and both rise from each row to the next.
type Table struct {
	Levels  []float64 // m
	Volumes []float64 // m3
}

// Volume returns the volume on the straight line between two rows.
func (t Table) Volume(level float64) float64 {
	i := rowBelow(t.Levels, level)
	return t.Volumes[i] + float64((level-t.Levels[i])*t.area(i))
}

// Area returns the volume over the level from one row to the next.
func (t Table) Area(level float64) float64 { return t.area(rowBelow(t.Levels, level)) }

// Level returns the level on the straight line between two rows.
func (t Table) Level(volume float64) float64 {
	i := rowBelow(t.Volumes, volume)
	return t.Levels[i] + (volume-t.Volumes[i])/t.area(i)
}

func (t Table) area(i int) float64 {
	return (t.Volumes[i+1] - t.Volumes[i]) / (t.Levels[i+1] - t.Levels[i])
}

// rowBelow is the last row but one that is not above a value, the first for
// what is below all.
func rowBelow(rows []float64, value float64) int {
	above := sort.Search(len(rows), func(i int) bool { return rows[i] > value })
	return min(max(above-1, 0), len(rows)-2)
}

// Kinks returns the levels at which a vessel's area jumps; steps in time are
// best made to end there.
func Kinks(vessel Vessel) []float64 {
	switch v := vessel.(type) {
	case Lying:
		return []float64{sliver * v.Diameter, v.Diameter - float64(sliver*v.Diameter)}
	case Cushion:
		return []float64{v.lifts()}
	case Table:
		return slices.Clone(v.Levels[1 : len(v.Levels)-1])
	}
	return nil
}
