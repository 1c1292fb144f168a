package soil

// What holds evaporation back: from the water content of the uppermost cell at the first suction on it falls in a
// straight line, to nothing at the second (in the manner of the evaporation coefficient of FAO-56, eq. 74; the suctions
// are those of drained soil and of soil in dry air: common practice, no source).
const (
	surfaceDries = 3.3    // m
	airDry       = 1000.0 // m
	leastDrying  = 1e-3   // by volume, between the two at least, as sand holds next to nothing at either
)

// dryness is the share of the evaporation that the surface gives with a water content of the uppermost cell, and by how
// much the share grows for each metre that the head there rises, given the slope of the water content by the head.
func (c *Column) dryness(water, capacity float64) (share, grows float64) {
	switch span := c.Soil.moist - c.Soil.dry; {
	case water >= c.Soil.moist:
		return 1, 0
	case water <= c.Soil.dry:
		return 0, 0
	default:
		return (water - c.Soil.dry) / span, capacity / span
	}
}

// How dry soil holds plants back: between these two suctions the uptake falls in a straight line to nothing (Feddes,
// Kowalik and Zaradny 1978; the figures are those commonly used for grass, from memory).
const (
	stressBegins = 5.0  // m
	uptakeEnds   = 80.0 // m
	// by volume: within that of its driest, soil gives less and less, as sand dries from the one suction to the other
	// all at once
	lastUptake = 1e-3
)

// stress is the share of what a plant asks for that it gets from soil at a pressure head and with the water content
// there, and by how much the share grows for each metre that the head rises, given the slope of the water content.
func (c *Column) stress(head, water, capacity float64) (share, grows float64) {
	share = (uptakeEnds + head) / (uptakeEnds - stressBegins)
	holds := (water - c.Soil.driest) / lastUptake
	switch {
	case share <= 0 || holds <= 0:
		return 0, 0
	case holds < min(1, share):
		return holds, capacity / lastUptake
	case share < 1:
		return share, 1 / (uptakeEnds - stressBegins)
	}
	return 1, 0
}

// rootShare is the share of the transpiration that comes from above a depth, as a share of the root depth: four tenths
// from the uppermost quarter, then three, two and one (common practice, no source).
func rootShare(depth float64) float64 {
	share := 0.0
	for quarter, part := range [...]float64{0.4, 0.3, 0.2, 0.1} {
		share += part * max(0, min(1, float64(4*depth)-float64(quarter)))
	}
	return share
}
