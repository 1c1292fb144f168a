package survey

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
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
		return nil, fmt.Errorf("%q: write a decimal point (%s), or a blank behind the comma between two figures", found,
			strings.Replace(found, ",", ".", 1))
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
		return 0, fmt.Errorf("that is %s; expected %s to %s", q.Format(flow, q.Flow), q.Format(least, q.Flow),
			q.Format(most, q.Flow))
	}
	return flow, nil
}

// Usual capacity of a plastic solenoid valve by its thread, fully open, Kv in m³/h: about 0.2 bar at the flow that its
// pipe carries at 1.5 m/s (common practice, no source).
var valveKvs = []struct {
	size  string
	kv    float64
	write []string
}{
	{"1/2 in", 2, []string{"1/2", "0.5", "15 mm", "dn15", "dn 15"}},
	{"3/4 in", 4, []string{"3/4", "0.75", "20 mm", "dn20", "dn 20"}},
	{"1 in", 8, []string{"1", "25 mm", "dn25", "dn 25"}},
}

// connection is a connection size as the file writes it: "3/4 in" of 3/4, DN 20 or 20 mm.
func connection(text string) (size string, known bool) {
	text = strings.ToLower(strings.Join(strings.Fields(strings.ReplaceAll(text, `"`, " in")), " "))
	bare := strings.TrimSpace(strings.TrimSuffix(strings.TrimSuffix(text, "inch"), "in"))
	for _, k := range valveKvs {
		if slices.Contains(k.write, text) || slices.Contains(k.write, bare) {
			return k.size, true
		}
	}
	return "", false
}

const expectedValves = `names and connection sizes, as "top-up 3/4 in, sprays 1 in" (sizes: 1/2, 3/4, 1 in)`

// reservedNames belong to what the file names itself, and to every stand.
var reservedNames = map[string]bool{"mains": true, "main pipe": true, "preventer": true, "meter": true, "filter": true, "tank": true, "inlet": true, "controller": true,
	"wifi":  true,
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
		v.Size, _ = connection(m[2])
		for _, k := range valveKvs {
			if k.size == v.Size {
				v.Kv = k.kv
			}
		}
		switch {
		case v.Size == "":
			return nil, fmt.Errorf("%q is no connection size; expected %s", strings.ToLower(m[2]), expectedValves)
		case !plainName.MatchString(v.Name):
			return nil, fmt.Errorf("%q is no name; expected letters, digits, blanks, - and _", shortened(v.Name))
		case reservedNames[v.Name] || strings.HasSuffix(v.Name, " pipe") || strings.HasSuffix(v.Name, " outlets") ||
			strings.HasSuffix(v.Name, " regulator"):
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
