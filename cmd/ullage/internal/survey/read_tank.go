package survey

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	q "ullage/harness/quantity"
)

const expectedTank = `inside sizes up to the rim, as "1000 x 500 x 880 mm", "diameter 1.1 m x 1.25 m high" or "400 L, 880 mm high"`

var (
	by        = regexp.MustCompile(`(\d) ?x ?(\d)`)
	between   = regexp.MustCompile(`\s*(?:\bx\b|×|,|;|\bby\b)\s*`)
	roundWord = regexp.MustCompile(`\b(?:diameter|dia|round|across)\b\.?|ø`)
	tankWord  = regexp.MustCompile(`\b(?:high|height|deep|tall|inside|long|wide|drum|barrel)\b`)
)

// tank reads the inside of a tank: two or three sizes.
func tank(text string) (Tank, error) {
	text = strings.ToLower(strings.Join(strings.Fields(text), " "))
	if _, err := pieces(text); err != nil {
		return Tank{}, err
	}
	round := roundWord.MatchString(text)
	text = tankWord.ReplaceAllString(roundWord.ReplaceAllString(text, " "), " ")
	text = by.ReplaceAllString(by.ReplaceAllString(text, "$1 x $2"), "$1 x $2") // twice: 1x2x3 shares its middle
	parts := between.Split(strings.TrimSpace(text), -1)
	first := q.Length
	if len(parts) == 2 && !round {
		first = q.Volume
	}
	sizes, err := sizesOf(parts, first)
	if err != nil {
		return Tank{}, err
	}
	var t Tank
	switch {
	case len(parts) == 3 && !round:
		t.Length, t.Width, t.Rim = sizes[0], sizes[1], sizes[2]
	case len(parts) == 2 && round:
		t.Diameter, t.Rim = sizes[0], sizes[1]
	case len(parts) == 2:
		t.ByVolume, t.Rim = true, sizes[1]
		t.Diameter = math.Round(math.Sqrt(4*sizes[0]/sizes[1]/math.Pi)*1e4) / 1e4 // to a tenth of a millimetre
	default:
		return t, fmt.Errorf("sizes: %d; expected %s", len(parts), expectedTank)
	}
	return t, t.sensible()
}

// sizesOf reads sizes; one without a unit has that of the last. The first may be a volume.
func sizesOf(parts []string, first q.Dimension) ([]float64, error) {
	unit := strings.TrimLeft(parts[len(parts)-1], "0123456789./ ")
	sizes := make([]float64, len(parts))
	for i, p := range parts {
		p = strings.TrimSpace(p)
		if _, err := strconv.ParseFloat(p, 64); err == nil {
			p += " " + unit
		}
		dim := q.Length
		if i == 0 {
			dim = first
		}
		if _, err := q.Parse(p, q.Length); dim == q.Volume && (err == nil || unit == "") {
			return nil, fmt.Errorf("two sizes do not make a tank; expected %s", expectedTank)
		}
		v, err := q.Parse(p, dim)
		if err != nil {
			return nil, fmt.Errorf("%w; expected %s", err, expectedTank)
		}
		if v.Tolerance > 0 || !(v.SI > 0) {
			return nil, fmt.Errorf("%q; expected %s", p, expectedTank)
		}
		sizes[i] = v.SI
	}
	return sizes, nil
}

// sensible holds the sizes of a tank against what a site file holds.
func (t Tank) sensible() error {
	for _, across := range []float64{t.Length, t.Width, t.Diameter} {
		if across != 0 && (across < 0.010 || across > 100) {
			return fmt.Errorf("it would be %s across; expected 10 mm to 100 m", q.Format(across, q.Length))
		}
	}
	if t.Rim < 0.05 || t.Rim > 20 {
		return fmt.Errorf("the rim would be at %s; expected 50 mm to 20 m", q.Format(t.Rim, q.Length))
	}
	return nil
}

var pipeWord = regexp.MustCompile(`(?i)\b(pipe|bore)\b`)

// overflow reads "800 mm, 40 mm pipe" or "none".
func (t *Tank) overflow(text string, system q.System) error {
	if low := strings.ToLower(text); low == "none" || low == "no" {
		t.Overflow, t.OverflowBore = 0, 0
		return nil
	}
	const expected = `the height of its edge over the floor and its bore, as "800 mm, 40 mm pipe", or none`
	list, err := pieces(text)
	if err != nil {
		return err
	}
	if len(list) != 2 {
		return fmt.Errorf("expected %s", expected)
	}
	crest, err := ranged(list[0], q.Length, 1e-3, 20)
	if err != nil {
		return fmt.Errorf("%w; expected %s", err, expected)
	}
	bore, err := ranged(pipeWord.ReplaceAllString(list[1], ""), q.Length, 5e-3, 2)
	if err != nil {
		return fmt.Errorf("%w; expected %s", err, expected)
	}
	if !(crest < t.Rim) {
		return fmt.Errorf("the overflow at %s is not below the rim at %s: it would never carry water",
			level(crest, system), level(t.Rim, system))
	}
	for _, across := range []float64{t.Length, t.Width, t.Diameter} {
		if across != 0 && bore >= across {
			return fmt.Errorf("a pipe of %s does not fit into a tank %s across", level(bore, system),
				level(across, system))
		}
	}
	t.Overflow, t.OverflowBore = crest, bore
	return nil
}

var floatGap = regexp.MustCompile(`(?i)[,;]?\s+(low|high|spill)\b`)

var floatPart = regexp.MustCompile(`(?i)\b(low|high|spill)\b\s*(?:float|at|:|=)?\s*`)

// floats reads "low 250 mm, high 720 mm, spill 770 mm".
func (t *Tank) floats(text string, system q.System) error {
	const expected = `levels over the floor, as "low 250 mm, high 720 mm, spill 770 mm" (spill only when there is one)`
	list, err := pieces(floatGap.ReplaceAllString(text, ", $1"))
	if err != nil {
		return err
	}
	levels := map[string]float64{}
	for _, p := range list {
		at := floatPart.FindStringSubmatchIndex(p)
		if at == nil || at[0] != 0 {
			return fmt.Errorf("%q; expected %s", shortened(p), expected)
		}
		which := strings.ToLower(p[at[2]:at[3]])
		height, err := ranged(p[at[1]:], q.Length, 1e-3, 20)
		if err != nil {
			return fmt.Errorf("%w; expected %s", err, expected)
		}
		if _, twice := levels[which]; twice {
			return fmt.Errorf("%q is there twice; expected %s", which, expected)
		}
		levels[which] = height
	}
	low, high, spill := levels["low"], levels["high"], levels["spill"]
	switch {
	case low == 0 || high == 0:
		return fmt.Errorf("low and high are both needed; expected %s", expected)
	case high <= low:
		return fmt.Errorf("high at %s is not above low at %s", level(high, system), level(low, system))
	case high-low < leastBetween:
		return fmt.Errorf("high is %s above low; expected %s at the least", q.FormatIn(high-low, q.Length, system),
			q.FormatIn(leastBetween, q.Length, system))
	case spill > 0 && spill <= high:
		return fmt.Errorf("spill at %s is not above high at %s", level(spill, system), level(high, system))
	case math.Max(high, spill) >= t.Rim:
		return fmt.Errorf("a float at %s is not below the rim at %s", level(math.Max(high, spill), system),
			level(t.Rim, system))
	}
	t.Low, t.High, t.Spill = low, high, spill
	return nil
}

// leastBetween is the least distance of two floats, m.
const leastBetween = 5e-3
