package survey

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	q "ullage/harness/quantity"
)

// ranged reads one quantity and holds it against its limits, in SI.
func ranged(text string, dim q.Dimension, least, most float64) (float64, error) {
	v, err := q.Parse(text, dim)
	if err != nil {
		return 0, err
	}
	if v.Tolerance > 0 {
		return 0, errors.New("a tolerance; expected one value, and the tolerance may be written into the file later")
	}
	if !(v.SI >= least && v.SI <= most) {
		return 0, fmt.Errorf("expected %s to %s", q.Format(least, dim), q.Format(most, dim))
	}
	return v.SI, nil
}

var (
	comma     = regexp.MustCompile(`\d,\d`)
	intoTime  = regexp.MustCompile(`^(.+?) +(?:in|within|takes|per) +(.+)$`)
	namedSize = regexp.MustCompile(`^(.*?)[ :=]+((?:dn ?\d+)|(?:[\d/ -]+(?:\.\d+)? ?(?:mm|in|inch|")?))$`)
)

// pieces cuts an answer at its commas and semicolons.
func pieces(text string) ([]string, error) {
	if found := comma.FindString(text); found != "" {
		return nil, fmt.Errorf("%q: write a decimal point (%s), or a blank behind the comma between two figures", found, strings.Replace(found, ",", ".", 1))
	}
	var list []string
	for _, p := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' }) {
		if p = strings.Join(strings.Fields(p), " "); p != "" {
			list = append(list, p)
		}
	}
	return list, nil
}

// bucket reads "24 L/min" or "10 L in 25 s".
func bucket(text string) (float64, error) {
	const least, most = 0.1e-3 / 60, 1.0 / 6 // m³/s: 0.1 L/min to 10 m³/min, what a site file holds
	flow := 0.0
	if m := intoTime.FindStringSubmatch(text); m != nil {
		volume, err := q.Parse(m[1], q.Volume)
		if err != nil {
			return 0, err
		}
		time, err := q.Parse(m[2], q.Duration)
		if err != nil {
			return 0, err
		}
		if !(volume.SI > 0 && time.SI > 0) {
			return 0, errors.New("expected water and a time, as 10 L in 25 s")
		}
		flow = volume.SI / time.SI
	} else {
		v, err := q.Parse(text, q.Flow)
		if err != nil {
			return 0, fmt.Errorf("%w; or a bucket and a time, as 10 L in 25 s", err)
		}
		flow = v.SI
	}
	if !(flow >= least && flow <= most) {
		return 0, fmt.Errorf("that is %s; expected %s to %s", q.Format(flow, q.Flow), q.Format(least, q.Flow), q.Format(most, q.Flow))
	}
	return flow, nil
}

// Usual capacity of a plastic solenoid valve by its thread, fully open, Kv in m³/h: about 0.2 bar at the flow that its pipe
// carries at 1.5 m/s (common practice, no source).
var valveKvs = []struct {
	size  string
	kv    float64
	write []string
}{
	{"1/2 in", 2, []string{"1/2", "0.5", "15 mm", "dn15", "dn 15"}},
	{"3/4 in", 4, []string{"3/4", "0.75", "20 mm", "dn20", "dn 20"}},
	{"1 in", 8, []string{"1", "25 mm", "dn25", "dn 25"}},
}

const expectedValves = `names and connection sizes, as "top-up 3/4 in, sprays 1 in" (sizes: 1/2, 3/4, 1 in)`

// reservedNames belong to what the file names itself, and to every stand.
var reservedNames = map[string]bool{"mains": true, "main pipe": true, "tank": true, "inlet": true, "controller": true, "wifi": true,
	"cloud": true, "script": true, "power": true, "tank-low": true, "tank-high": true, "tank-spill": true}

var plainName = regexp.MustCompile(`^[\p{L}\p{N}][\p{L}\p{N} _-]*$`)

const mostValves = 32

// valves reads "top-up 3/4 in, sprays 1 in".
func valves(text string) ([]Valve, error) {
	list, err := pieces(text)
	if err != nil {
		return nil, err
	}
	var all []Valve
	seen := map[string]bool{}
	for _, p := range list {
		m := namedSize.FindStringSubmatch(strings.ReplaceAll(p, `"`, " in"))
		if m == nil || m[1] == "" {
			return nil, fmt.Errorf("%q has no connection size; expected %s", shortened(p), expectedValves)
		}
		v := Valve{Name: strings.TrimSpace(m[1])}
		size := strings.ToLower(strings.Join(strings.Fields(m[2]), " "))
		bare := strings.TrimSpace(strings.TrimSuffix(strings.TrimSuffix(size, "inch"), "in"))
		for _, k := range valveKvs {
			for _, w := range k.write {
				if w == size || w == bare {
					v.Size, v.Kv = k.size, k.kv
				}
			}
		}
		switch {
		case v.Size == "":
			return nil, fmt.Errorf("%q is no connection size; expected %s", size, expectedValves)
		case !plainName.MatchString(v.Name):
			return nil, fmt.Errorf("%q is no name; expected letters, digits, blanks, - and _", shortened(v.Name))
		case reservedNames[v.Name] || strings.HasSuffix(v.Name, " pipe") || strings.HasSuffix(v.Name, " outlets") || strings.HasSuffix(v.Name, " regulator"):
			return nil, fmt.Errorf("the name %q is taken by another part of the file; expected another name", v.Name)
		case seen[v.Name]:
			return nil, fmt.Errorf("the name %q is there twice; expected a name of its own for each valve", v.Name)
		}
		seen[v.Name] = true
		all = append(all, v)
	}
	if len(all) == 0 || len(all) > mostValves {
		return nil, fmt.Errorf("valves: %d; expected 1 to %d, as %s", len(all), mostValves, expectedValves)
	}
	return all, nil
}

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
func (t *Tank) overflow(text string) error {
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
		return fmt.Errorf("the overflow at %s is not below the rim at %s: it would never carry water", exactly(crest, q.Length, q.Metric), exactly(t.Rim, q.Length, q.Metric))
	}
	for _, across := range []float64{t.Length, t.Width, t.Diameter} {
		if across != 0 && bore >= across {
			return fmt.Errorf("a pipe of %s does not fit into a tank %s across", exactly(bore, q.Length, q.Metric), exactly(across, q.Length, q.Metric))
		}
	}
	t.Overflow, t.OverflowBore = crest, bore
	return nil
}

var floatGap = regexp.MustCompile(`(?i)[,;]?\s+(low|high|spill)\b`)

var floatPart = regexp.MustCompile(`(?i)\b(low|high|spill)\b\s*(?:float|at|:|=)?\s*`)

// floats reads "low 250 mm, high 720 mm, spill 770 mm".
func (t *Tank) floats(text string) error {
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
		level, err := ranged(p[at[1]:], q.Length, 1e-3, 20)
		if err != nil {
			return fmt.Errorf("%w; expected %s", err, expected)
		}
		if _, twice := levels[which]; twice {
			return fmt.Errorf("%q is there twice; expected %s", which, expected)
		}
		levels[which] = level
	}
	low, high, spill := levels["low"], levels["high"], levels["spill"]
	switch {
	case low == 0 || high == 0:
		return fmt.Errorf("low and high are both needed; expected %s", expected)
	case high <= low:
		return fmt.Errorf("high at %s is not above low at %s", exactly(high, q.Length, q.Metric), exactly(low, q.Length, q.Metric))
	case high-low < leastBetween:
		return fmt.Errorf("high is %s above low; expected %s at the least", q.Format(high-low, q.Length), q.Format(leastBetween, q.Length))
	case spill > 0 && spill <= high:
		return fmt.Errorf("spill at %s is not above high at %s", exactly(spill, q.Length, q.Metric), exactly(high, q.Length, q.Metric))
	case math.Max(high, spill) >= t.Rim:
		return fmt.Errorf("a float at %s is not below the rim at %s", exactly(math.Max(high, spill), q.Length, q.Metric), exactly(t.Rim, q.Length, q.Metric))
	}
	t.Low, t.High, t.Spill = low, high, spill
	return nil
}

// leastBetween is the least distance of two floats, m.
const leastBetween = 5e-3

var voltage = regexp.MustCompile(`(?i)^(.*?V)(?:olts?)? ?(ac|dc)?$`)

// volts reads "12 V", "24 V AC" or "24 VAC".
func volts(text string) (si float64, alternate bool, err error) {
	m := voltage.FindStringSubmatch(strings.TrimSpace(text))
	const expected = "extra-low voltage of coils and controller, as 12 V, 24 V AC or 9 V DC"
	if m == nil {
		return 0, false, fmt.Errorf("expected %s", expected)
	}
	v, err := q.Parse(m[1], q.Voltage)
	if err != nil {
		return 0, false, fmt.Errorf("%w; expected %s", err, expected)
	}
	if v.SI < 5 || v.SI > 60 || v.Tolerance > 0 {
		return 0, false, fmt.Errorf("expected 5 V to 60 V: %s, never mains voltage", expected)
	}
	return v.SI, strings.EqualFold(m[2], "ac"), nil
}
