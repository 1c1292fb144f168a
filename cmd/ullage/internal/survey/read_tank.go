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

// What overflows are called, each with the kind that stands for it.
var overflowKinds = regexp.MustCompile(
	`(?i)^(standpipe|upright pipe|side outlet|side pipe|through the wall|pipe through the wall|notch|weir)(?: at)? +(.+)$`)

var overflowKind = map[string]string{"standpipe": standpipe, "upright pipe": standpipe, "side outlet": sideOutlet,
	"side pipe": sideOutlet, "through the wall": sideOutlet, "pipe through the wall": sideOutlet, "notch": notch,
	"weir": notch}

const (
	standpipe  = "standpipe"
	sideOutlet = "side outlet"
	notch      = "notch"
)

var (
	pipeWord = regexp.MustCompile(`(?i)\b(pipe|bore|wide|long|inside)\b`)
	falls    = regexp.MustCompile(`(?i)^(?:with (?:a )?)?(?:falls?|fall of)(?: by)? +(.+)$`)
)

// overflow reads "standpipe 800 mm, 40 mm bore", "side outlet 780 mm, 36 mm bore, 2 m, falls 100 mm", "notch 800 mm, 100
// mm wide" or "none".
func (t *Tank) overflow(text string, system q.System) error {
	if isNone(text) {
		t.Overflow, t.OverflowBore, t.OverflowKind, t.OverflowRun, t.OverflowFall = 0, 0, "", 0, 0
		return nil
	}
	const expected = `its kind, the height of its edge (of a side outlet the lowest point of its bore) over the floor and its true ` +
		`bore at the narrowest, as "standpipe 800 mm, 40 mm bore", "side outlet 780 mm, 36 mm bore, 2 m, falls 100 mm", ` +
		`"notch 800 mm, 100 mm wide", or none`
	m := overflowKinds.FindStringSubmatch(text)
	if m == nil {
		return fmt.Errorf("its kind is missing: a pipe through the wall carries far less than a standpipe; expected %s", expected)
	}
	list, err := pieces(m[2])
	if err != nil {
		return err
	}
	kind := overflowKind[strings.ToLower(m[1])]
	if len(list) < 2 || len(list) > 4 || kind == notch && len(list) > 2 {
		return fmt.Errorf("expected %s", expected)
	}
	crest, err := ranged(list[0], q.Length, 1e-3, 20)
	if err != nil {
		return fmt.Errorf("%w; expected %s", err, expected)
	}
	bore, err := ranged(strings.TrimSpace(pipeWord.ReplaceAllString(list[1], "")), q.Length, 5e-3, 2)
	if err != nil {
		return fmt.Errorf("%w; expected %s", err, expected)
	}
	run, fall := 0.0, 0.0
	for _, further := range list[2:] {
		into := &run
		if m := falls.FindStringSubmatch(further); m != nil {
			into, further = &fall, m[1]
		}
		if *into, err = ranged(strings.TrimSpace(pipeWord.ReplaceAllString(further, "")), q.Length, 0, 200); err != nil {
			return fmt.Errorf("%w; expected %s", err, expected)
		}
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
	t.Overflow, t.OverflowBore, t.OverflowKind, t.OverflowRun, t.OverflowFall = crest, bore, kind, run, fall
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
