package survey

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// US units, exactly but for the pressure.
const (
	inch = 0.0254                        // m
	foot = 12 * inch                     // m
	gpm  = 231 * inch * inch * inch / 60 // m³/s
	psi  = 6894.757293168361             // Pa
)

// roughness of walls that are not smooth plastic, m (engineering handbooks after L. F. Moody, 1944; from memory).
const (
	copperRoughness = 0.0015e-3
	steelRoughness  = 0.15e-3
)

// Polyethylene pipe, ISO 4427-2 and EN 12201-2: least wall in mm by outside diameter (rows) and SDR (columns); 0 is not
// made. Verified against two makers' tables. The formula OD/SDR, rounded up to 0.1 mm, is not enough: small walls are
// raised to 2.0, 2.3 or 3.0.
var (
	peOutside = []float64{20, 25, 32, 40, 50, 63}
	peRatios  = []float64{7.4, 9, 11, 13.6, 17}
	peWalls   = [][]float64{
		{3.0, 2.3, 2.0, 0, 0},
		{3.5, 3.0, 2.3, 2.0, 0},
		{4.4, 3.6, 3.0, 2.4, 2.0},
		{5.5, 4.5, 3.7, 3.0, 2.4},
		{6.9, 5.6, 4.6, 3.7, 3.0},
		{8.6, 7.1, 5.8, 4.7, 3.8},
	}
)

// Inch pipe: outside diameters in inches, ASTM D1785 (PVC) and ASME B36.10 (steel) alike, with the walls of schedules
// 40 and 80 (verified). Real PVC bores are smaller by the tolerance of the wall, which the standard gives as the least.
var (
	inchSizes   = []float64{0.5, 0.75, 1, 1.25, 1.5, 2}
	inchOutside = []float64{0.840, 1.050, 1.315, 1.660, 1.900, 2.375}
	schedules   = map[int][]float64{
		40: {0.109, 0.113, 0.133, 0.140, 0.145, 0.154},
		80: {0.147, 0.154, 0.179, 0.191, 0.200, 0.218},
	}
)

// Copper tube, ASTM B88: the outside diameter is an eighth of an inch above the nominal size; walls in inches
// (verified).
var copperWalls = map[string][]float64{
	"k": {0.049, 0.065, 0.065, 0.065, 0.072, 0.083},
	"l": {0.040, 0.045, 0.050, 0.055, 0.060, 0.070},
	"m": {0.028, 0.032, 0.035, 0.042, 0.049, 0.058},
}

// Copper tube in mm, EN 1057: the walls sold for water in Britain (from memory).
var (
	copperOutside = []float64{10, 12, 15, 22, 28, 35}
	copperThin    = []float64{0.6, 0.6, 0.7, 0.9, 0.9, 1.2}
)

// Galvanised steel tube, EN 10255 medium series: outside diameter and wall in mm (from memory).
var (
	steelOutside = []float64{21.3, 26.9, 33.7, 42.4, 48.3, 60.3}
	steelWalls   = []float64{2.6, 2.6, 3.2, 3.2, 3.2, 3.6}
)

// Drip pipe: bores in m by the size it is sold as (common practice, no source).
var dripBores = map[string]float64{"12 mm": 10.0e-3, "16 mm": 13.6e-3, "20 mm": 17.6e-3, "1/2 in": 0.600 * inch,
	"3/4 in": 0.820 * inch}

func (t trade) drip() (Pipe, error) {
	name := fmt.Sprintf("%v mm", t.number)
	if t.inches {
		name = nominal(t.number) + " in"
	}
	bore, known := dripBores[name]
	if !known {
		return Pipe{}, fmt.Errorf("drip pipe has no such size; expected 12, 16 or 20 mm, or 1/2 or 3/4 in")
	}
	return Pipe{Bore: bore, Source: "usual bore of drip pipe", Drip: true}, nil
}

// Soft polyethylene pipe for drip and garden: bores in m by outside diameter in mm (common practice, no source).
var softBores = map[float64]float64{12: 10.0e-3, 16: 13.6e-3, 20: 17.6e-3, 25: 21.8e-3, 32: 28.0e-3}

func (t trade) lowDensity() (Pipe, error) {
	if t.inches {
		at, err := t.inInches(inchSizes, "polyethylene in inches")
		if err != nil {
			return Pipe{}, err
		}
		return Pipe{Bore: (inchOutside[at] - 2*schedules[40][at]) * inch,
			Source: "made to the bore of schedule 40, ASTM D2239"}, nil
	}
	bore, known := softBores[t.number]
	if !known {
		return Pipe{}, errors.New("soft polyethylene pipe has no such size; expected 12, 16, 20, 25 or 32 mm")
	}
	return Pipe{Bore: bore, Source: "usual bore of soft polyethylene pipe"}, nil
}

// Cross-linked polyethylene: outside diameters and usual walls in mm, EN ISO 15875 (16 to 32) and BS 7291 (10, 15, 22,
// 28), not verified. In inches it is copper tube size with SDR 9, ASTM F876: the outside diameter is an eighth of an
// inch above the nominal size, the wall a ninth of it and not below 0.070 in.
var (
	pexOutside = []float64{10, 15, 16, 20, 22, 25, 28, 32}
	pexWalls   = []float64{1.5, 1.7, 2.0, 2.0, 2.0, 2.3, 2.6, 2.9}
)

const (
	pexRatio = 9
	pexWall  = 0.070 // in
)

func (t trade) crossLinked() (Pipe, error) {
	if t.inches {
		if _, err := t.inInches(append([]float64{0.375}, inchSizes...), "cross-linked polyethylene"); err != nil {
			return Pipe{}, err
		}
		outside := t.number + 0.125
		wall := math.Max(pexWall, outside/pexRatio)
		return Pipe{Bore: (outside - 2*wall) * inch, Source: fmt.Sprintf("wall %.3f in, ASTM F876 SDR 9", wall)}, nil
	}
	at, err := t.inMillimetres(pexOutside, "cross-linked polyethylene")
	if err != nil {
		return Pipe{}, err
	}
	return Pipe{Bore: (t.number - 2*pexWalls[at]) / 1000,
		Source: fmt.Sprintf("usual wall %v mm, EN ISO 15875 or BS 7291", pexWalls[at])}, nil
}

func (t trade) copper() (Pipe, error) {
	if !t.inches {
		at, err := t.inMillimetres(copperOutside, "copper in mm")
		if err != nil {
			return Pipe{}, err
		}
		return Pipe{Bore: (t.number - 2*copperThin[at]) / 1000, Roughness: copperRoughness,
			Source: fmt.Sprintf("wall %v mm, EN 1057", copperThin[at])}, nil
	}
	kind, taken := t.kind, ""
	if kind == "" {
		kind, taken = "l", ", taken as type L"
	}
	walls, known := copperWalls[kind]
	if !known {
		return Pipe{}, fmt.Errorf("type %q is not known; expected copper type K, L or M", t.kind)
	}
	at, err := t.inInches(inchSizes, "copper")
	if err != nil {
		return Pipe{}, err
	}
	return Pipe{Bore: (t.number + 0.125 - 2*walls[at]) * inch, Roughness: copperRoughness,
		Source: fmt.Sprintf("wall %.3f in, ASTM B88%s", walls[at], taken)}, nil
}

func (t trade) galvanised() (Pipe, error) {
	at, err := t.inInches(inchSizes, "galvanised steel")
	if err != nil {
		return Pipe{}, err
	}
	return Pipe{Bore: (steelOutside[at] - 2*steelWalls[at]) / 1000, Roughness: steelRoughness,
		Source: fmt.Sprintf("wall %v mm, EN 10255 medium", steelWalls[at])}, nil
}

func (t trade) scheduled() (Pipe, error) {
	schedule, taken := t.schedule, ""
	if schedule == 0 {
		schedule, taken = 40, ", taken as schedule 40"
	}
	walls, known := schedules[schedule]
	if !known {
		return Pipe{}, fmt.Errorf("schedule %d is not known; expected schedule 40 or 80", schedule)
	}
	at, err := t.inInches(inchSizes, "pipe by schedule")
	if err != nil {
		return Pipe{}, err
	}
	pipe := Pipe{Bore: (inchOutside[at] - 2*walls[at]) * inch,
		Source: fmt.Sprintf("wall %.3f in, ASTM D1785%s", walls[at], taken)}
	if t.words["steel"] {
		pipe.Roughness, pipe.Source = steelRoughness, fmt.Sprintf("wall %.3f in, ASME B36.10", walls[at])
	}
	return pipe, nil
}

// byRatio reads polyethylene, and PVC by its SDR.
func (t trade) byRatio() (Pipe, error) {
	switch {
	case t.inches && t.words["pe"] && t.ratio == 0:
		return t.lowDensity()
	case t.inches:
		at, err := t.inInches(inchSizes, "pipe by SDR in inches")
		if err != nil {
			return Pipe{}, err
		}
		wall := math.Max(0.060, inchOutside[at]/t.ratio)
		if t.ratio < 7 || t.ratio > 41 {
			return Pipe{}, fmt.Errorf("an SDR of %v is not made; expected 7 to 41", t.ratio)
		}
		return Pipe{Bore: (inchOutside[at] - 2*wall) * inch, Source: fmt.Sprintf("wall %.3f in, ASTM D2241", wall)}, nil
	case t.words["pvc"]:
		if t.ratio < 7 || t.ratio > 41 {
			return Pipe{}, fmt.Errorf("an SDR of %v is not made; expected 7 to 41", t.ratio)
		}
		const least = 1.5 // mm, EN ISO 1452-2 (from memory)
		wall := math.Max(least, math.Ceil(t.number/t.ratio*10-1e-9)/10)
		return Pipe{Bore: (t.number - 2*wall) / 1000, Source: fmt.Sprintf("wall %v mm, EN ISO 1452", wall)}, nil
	}
	ratio, taken := t.ratio, ""
	if ratio == 0 {
		ratio, taken = 11, ", taken as SDR 11"
	}
	column := slices.Index(peRatios, ratio)
	if column < 0 {
		return Pipe{}, errNoRatio
	}
	at, err := t.inMillimetres(peOutside, "polyethylene pipe")
	if err != nil {
		return Pipe{}, err
	}
	wall := peWalls[at][column]
	if wall == 0 {
		return Pipe{}, fmt.Errorf("%v mm is not made in SDR %v; expected a smaller SDR", t.number, ratio)
	}
	return Pipe{Bore: (t.number - 2*wall) / 1000, Source: fmt.Sprintf("wall %v mm, ISO 4427-2%s", wall, taken)}, nil
}
