package soil

// How dry soil holds plants back: between these two suctions the uptake falls in a straight line to nothing (Feddes,
// Kowalik and Zaradny 1978; the figures are those commonly used for grass, from memory).
const (
	stressBegins = 5.0  // m
	uptakeEnds   = 80.0 // m
)

// stress is the share of what a plant asks for that it gets from soil at a pressure head.
func stress(head float64) float64 {
	if head > -stressBegins {
		return 1
	}
	return max(0, (uptakeEnds+head)/(uptakeEnds-stressBegins))
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
