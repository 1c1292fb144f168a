package survey

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	q "ullage/harness/quantity"
	"ullage/harness/sitefile"
	"ullage/harness/spelling"
)

// Pipe is a pipe by its trade name.
type Pipe struct {
	Name      string  // as it was written: "25 mm SDR 11"
	Bore      float64 // inner diameter, m
	Roughness float64 // of the wall, m
	Source    string  // where the bore comes from: "wall 2.3 mm, ISO 4427-2"
	Drip      bool    // drip pipe, with its drippers along it
}

// trade is the size and the words of a pipe's trade name.
type trade struct {
	number   float64 // of the unit
	inches   bool    // the unit: inches or mm
	words    map[string]bool
	ratio    float64 // behind SDR; 0 when there is none
	schedule int     // behind schedule; 0 when there is none
	kind     string  // behind type: k, l, m
}

const expectedPipe = "a trade size with its material or wall, as 25 mm SDR 11, 20 mm PE, 3/4 in PVC schedule 40, 1/2 in copper type L, 16 mm drip pipe, 16 mm LDPE, 20 mm PEX, 13 mm garden hose, 16 x 2 mm or 13.6 mm bore"

var (
	byWall = regexp.MustCompile(`^(\d+(?:\.\d+)?) ?(?:mm)? ?x ?(\d+(?:\.\d+)?) ?(mm)?\b(.*)$`)
	sized  = regexp.MustCompile(
		`^(\d+[ -]\d+/\d+|\d+/\d+|\d+(?:\.\d+)?)(?: |-)?(mm|inches|inch|in|")?(?:[ .,-]+|$)(.*)$`,
	)
	ratioed   = regexp.MustCompile(`\bsdr[ -]?(\d+(?:\.\d+)?)\b`)
	classed   = regexp.MustCompile(`\bclass[ -]?(\d+)\b`)
	scheduled = regexp.MustCompile(`\b(?:schedule|sched|sch)\.?[ -]?(\d+)\b`)
	typed     = regexp.MustCompile(`\btype[ -]?([a-z])\b`)
	aWord     = regexp.MustCompile(`[^\s,]+`)
)

// pipeWords are the words of trade names, each with the one that stands for it; "" is a word that says nothing.
var pipeWords = map[string]string{
	"pe": "pe", "hdpe": "pe", "mdpe": "pe", "ldpe": "ldpe", "lldpe": "ldpe", "pex": "pex", "pe-x": "pex", "xpe": "pex", "pe80": "pe", "pe100": "pe", "poly": "pe", "polyethylene": "pe", "polythene": "pe",
	"pvc": "pvc", "upvc": "pvc", "pvc-u": "pvc", "cpvc": "pvc", "copper": "copper", "cu": "copper",
	"steel": "steel", "galvanised": "steel", "galvanized": "steel", "gi": "steel",
	"hose": "hose", "drip": "drip", "dripline": "drip", "bore": "bore", "inside": "bore", "id": "bore",
	"pipe": "", "tube": "", "tubing": "", "line": "", "od": "", "of": "", "medium": "", "garden": "", "water": "",
	"mains": "", "blue": "", "black": "", "white": "", "irrigation": "", "barrier": "", "cross-linked": "",
}

// ParsePipe reads a pipe by its trade size. Errors say what was expected. The bores follow from outside diameter and
// wall in the standards named in each Source; what a name leaves open (SDR of a polyethylene pipe, schedule of a PVC
// one) is taken as the usual one, and Source says so.
func ParsePipe(text string) (Pipe, error) {
	plain := strings.NewReplacer("×", "x", "″", `"`, "”", `"`, "½", " 1/2 ", "¾", " 3/4 ", "¼", " 1/4 ").Replace(text)
	plain = strings.ToLower(strings.Join(strings.Fields(plain), " "))
	pipe, err := parsePipe(plain)
	if err != nil {
		return Pipe{}, err
	}
	pipe.Name = strings.Join(strings.Fields(text), " ")
	const least, most = 2e-3, 2.0 // m, what a site file holds
	if !(pipe.Bore >= least && pipe.Bore <= most) {
		return Pipe{}, fmt.Errorf("its bore would be %s; expected %s", q.Format(pipe.Bore, q.Length), expectedPipe)
	}
	if pipe.Roughness == 0 {
		pipe.Roughness = sitefile.DefaultRoughness
	}
	return pipe, nil
}

func parsePipe(text string) (Pipe, error) {
	if m := byWall.FindStringSubmatch(text); m != nil {
		outside, _ := strconv.ParseFloat(m[1], 64)
		wall, _ := strconv.ParseFloat(m[2], 64)
		if _, err := wordsOf(m[4]); err != nil {
			return Pipe{}, err
		}
		return Pipe{Bore: (outside - 2*wall) / 1000, Source: "outside diameter less two walls"}, nil
	}
	t, err := tradeName(text)
	if err != nil {
		return Pipe{}, err
	}
	switch {
	case t.words["bore"], t.words["hose"]:
		return t.byBore(), nil
	case t.words["drip"]:
		return t.drip()
	case t.words["pex"]:
		return t.crossLinked()
	case t.ratio == 0 && (t.words["ldpe"] || t.words["pe"] && !t.inches && t.number < peOutside[0]):
		return t.lowDensity()
	case t.words["copper"]:
		return t.copper()
	case t.words["steel"] && t.schedule == 0:
		return t.galvanised()
	case t.schedule > 0 || t.inches && t.words["pvc"] && t.ratio == 0:
		return t.scheduled()
	case t.ratio > 0 || t.words["pe"] || t.words["ldpe"]:
		return t.byRatio()
	}
	return Pipe{}, fmt.Errorf("the material or the wall is missing; expected %s", expectedPipe)
}

// tradeName takes a trade name apart.
func tradeName(text string) (trade, error) {
	m := sized.FindStringSubmatch(text)
	if m == nil {
		return trade{}, fmt.Errorf("it does not begin with a size; expected %s", expectedPipe)
	}
	t := trade{inches: m[2] != "mm" && m[2] != ""}
	if m[2] == "" {
		if !strings.Contains(m[1], "/") {
			return trade{}, fmt.Errorf("the size has no unit; expected %s", expectedPipe)
		}
		t.inches = true // 3/4 PVC
	}
	size, err := q.Parse(m[1], q.None)
	if err != nil {
		return trade{}, err
	}
	t.number = size.SI
	rest := m[3]
	take := func(form *regexp.Regexp) string {
		found := form.FindStringSubmatch(rest)
		if found == nil {
			return ""
		}
		rest = strings.Replace(rest, found[0], " ", 1)
		return found[1]
	}
	t.ratio, _ = strconv.ParseFloat(take(ratioed), 64)
	if class := take(classed); class != "" {
		ratio, known := map[string]float64{"160": 26, "200": 21}[class] // ASTM D2241
		if !known {
			return trade{}, fmt.Errorf("class %s is not known; expected class 160 or class 200, or the SDR", class)
		}
		t.ratio = ratio
	}
	t.schedule, _ = strconv.Atoi(take(scheduled))
	t.kind = take(typed)
	t.words, err = wordsOf(rest)
	return t, err
}

// wordsOf are the words that say something.
func wordsOf(text string) (map[string]bool, error) {
	words := map[string]bool{}
	for _, w := range aWord.FindAllString(text, -1) {
		means, known := pipeWords[w]
		if !known {
			meant := ""
			if near := spelling.Nearest(w, append(keys(pipeWords), "sdr", "schedule", "type", "class")); near != "" {
				meant = fmt.Sprintf(" (%q was meant?)", near)
			}
			return nil, fmt.Errorf("%q is no word for a pipe%s; expected %s", w, meant, expectedPipe)
		}
		if means != "" {
			words[means] = true
		}
	}
	return words, nil
}

func keys(m map[string]string) []string {
	var list []string
	for k := range m {
		list = append(list, k)
	}
	slices.Sort(list)
	return list
}

// byBore reads a hose or a pipe that is named by its inner diameter.
func (t trade) byBore() Pipe {
	if t.inches {
		return Pipe{Bore: t.number * inch, Source: "named by its bore"}
	}
	return Pipe{Bore: t.number / 1000, Source: "named by its bore"}
}

// inInches finds the row of a nominal size.
func (t trade) inInches(sizes []float64, what string) (int, error) {
	at := slices.Index(sizes, t.number)
	if !t.inches || at < 0 {
		return 0, fmt.Errorf("%s has no such size; expected %s", what, listed(sizes, nominal, "in"))
	}
	return at, nil
}

func (t trade) inMillimetres(sizes []float64, what string) (int, error) {
	at := slices.Index(sizes, t.number)
	if t.inches || at < 0 {
		return 0, fmt.Errorf("%s has no such size; expected %s", what,
			listed(sizes, func(x float64) string { return fmt.Sprint(x) }, "mm"))
	}
	return at, nil
}

// listed is "1/2, 3/4 or 1 in".
func listed(sizes []float64, name func(float64) string, unit string) string {
	var names []string
	for _, s := range sizes {
		names = append(names, name(s))
	}
	last := len(names) - 1
	if last == 0 {
		return names[0] + " " + unit
	}
	return strings.Join(names[:last], ", ") + " or " + names[last] + " " + unit
}

// nominal writes a nominal size in inches as the trade does: 3/4, 1 1/2.
func nominal(x float64) string {
	whole, part := math.Modf(x)
	text := map[float64]string{0.25: "1/4", 0.375: "3/8", 0.5: "1/2", 0.75: "3/4"}[part]
	switch {
	case whole == 0:
		return text
	case text == "":
		return fmt.Sprint(whole)
	}
	return fmt.Sprintf("%v %s", whole, text)
}

var errNoRatio = errors.New("expected SDR 7.4, 9, 11, 13.6 or 17, as 25 mm SDR 11")
