package water

import (
	"math"
	"slices"
)

// Uniformity says how evenly emitters that ought to give the same do so: the distribution uniformity of the lower
// quarter, which is the mean of the lowest quarter of the flows over the mean of all (J. L. Merriam and J. Keller,
// 1978), and the coefficient of J. E. Christiansen (1942), one less the mean deviation from the mean over the mean.
// Both are 1 when all flows are the same and at least one is not zero; without any flow there is nothing to share out,
// and both are NaN. One flow is given for each emitter, in any unit; where their number is no multiple of four, the
// last of the lowest quarter counts in part. The flows are not changed.
func Uniformity(flows []float64) (lowerQuarter, christiansen float64) {
	total := 0.0
	for _, q := range flows {
		total += q
	}
	if !(total > 0) {
		return math.NaN(), math.NaN()
	}
	mean := total / float64(len(flows))
	deviation := 0.0
	for _, q := range flows {
		deviation += math.Abs(q - mean)
	}
	lowest := slices.Sorted(slices.Values(flows))
	quarter := float64(len(flows)) / 4
	low, left := 0.0, quarter
	for _, q := range lowest {
		share := math.Min(left, 1)
		low += float64(share * q)
		if left -= share; left <= 0 {
			break
		}
	}
	return low / quarter / mean, 1 - deviation/total
}
