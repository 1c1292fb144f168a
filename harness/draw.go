package harness

// Draw gives random numbers without state: a number depends on the seed, what it is for and its ordinal, and on nothing
// that was drawn before, so that a further fault or reader shifts nothing.
type Draw struct{ seed uint64 }

// NewDraw returns the draws of one run of one scenario.
func NewDraw(seed uint64, scenario string) Draw { return Draw{mix(seed ^ hash(scenario))} }

// Uniform is the ordinal-th number for a device and a purpose, at least 0 and below 1.
func (d Draw) Uniform(device, purpose string, ordinal uint64) float64 {
	return float64(mix(d.seed^mix(hash(device)^mix(hash(purpose)^mix(ordinal))))>>11) / (1 << 53)
}

// mix is the finaliser of the SplitMix64 generator (Steele, Lea and Flood 2014).
func mix(x uint64) uint64 {
	x += 0x9e3779b97f4a7c15
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}

// hash is FNV-1a, 64 bits (Fowler, Noll and Vo).
func hash(s string) uint64 {
	h := uint64(14695981039346656037)
	for i := 0; i < len(s); i++ {
		h = (h ^ uint64(s[i])) * 1099511628211
	}
	return h
}
