package language

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"ullage/harness"
	"ullage/harness/quantity"
	"ullage/harness/sitefile"
)

// said is what a step in free words says, as far as a search understands it.
type said struct {
	words   []string // concepts, without idle words
	implied []string // concepts that a figure and what it is of make likely
	alerts  []string // that are named
	raises  []string // alerts that the site has a rule for; nil without a site
	signs   []string // bounds and directions: "<never>", "<most>", ...
	figures []figure
	bounded string // the kind of the figure behind at most, at least or exactly; "" without
	names   []string
	jam     jam
	text    string
	site    *sitefile.Site
}

// figure is a quantity, a time of day or a count.
type figure struct {
	text string
	kind string // as placeholders are called: "duration", "time", "count"
}

// has reports whether a word or sign was said.
func (s *said) has(one string) bool {
	return slices.Contains(s.words, one) || slices.Contains(s.signs, one)
}

var (
	numbers = regexp.MustCompile(`\b(two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|fifteen|twenty|thirty|` +
		`forty|fifty|sixty|ninety|hundred)\b`)
	numberOf = map[string]string{"two": "2", "three": "3", "four": "4", "five": "5", "six": "6", "seven": "7", "eight": "8",
		"nine": "9", "ten": "10", "eleven": "11", "twelve": "12", "fifteen": "15", "twenty": "20", "thirty": "30",
		"forty": "40", "fifty": "50", "sixty": "60", "ninety": "90", "hundred": "100"}

	spans = replacements(`three quarters of an hour`, `45 min`, `half an hour`, `30 min`,
		`(?:a|one) quarter of an hour|quarter of an hour|quarter hour`, `15 min`, `half a minute`, `30 s`,
		`an hour and a half`, `90 min`, `an hour's|an hour|one hour|per hour|a full hour|(?:the|each|every) hour`, `1 h`,
		`(?:a|one) minute's|a minute|one minute|per minute`, `1 min`, `a second|one second`, `1 s`, `a day|one day`, `1 d`,
		`(?:a|one) (?:full|whole|entire|complete) (day|hour|minute|week)`, `1 $1`, `per ?cent`, `%`,
		`(\d{1,2}(?:[:.]\d\d)?) in the morning`, `$1 am`, `(\d{1,2}(?:[:.]\d\d)?) (?:in the (?:afternoon|evening)|at night)`,
		`$1 pm`, `from \d\d?:\d\d (?:to|until|till) (\d\d?:\d\d)`, `until $1`,
		`a litre|one litre`, `1 L`, `\b(than|most|least|exactly|only) one\b`, `$1 1`)
	flows = regexp.MustCompile(`(\d[\d.]*) ?(?:l|litres?|liters?|ltr)\b ?(?:a|an|per|each|every|/) ?(?:1 ?)?` +
		`(minutes?|min|hours?|h|s|seconds?)\b`)
	decimalComma = regexp.MustCompile(`(\d),(\d)`)
	clockWord    = regexp.MustCompile(`\b(midnight|midday|noon)\b`)
	clockHalf    = regexp.MustCompile(`\b(half past|quarter past|quarter to) (\d+)`)
	clockHour    = regexp.MustCompile(`\b(\d{1,2})(?:[:.](\d\d))? ?(o'clock|a\.?m\.?|p\.?m\.?)`)
	amounts      = regexp.MustCompile(`(?:^|[\s(])([-+]?\d*\.?\d+)(?: ?([a-zµω°%³/]+\d?))?`)
	clocks       = regexp.MustCompile(`\b(\d{1,2}:\d\d)\b`)
)

// hear takes a step in free words apart.
func hear(text string, site *sitefile.Site) *said {
	s := &said{site: site, text: strings.ToLower(text)}
	if site != nil {
		s.raises = alertsOf(site)
	}
	text = strings.ToLower(" " + strings.NewReplacer("’", "'", "“", `"`, "”", `"`, "„", `"`).Replace(text) + " ")
	text = strings.NewReplacer("can't", "can not", "won't", "will not", "cannot", "can not", "n't", " not").Replace(text)
	text = " " + strings.Join(strings.Fields(s.takeNames(atTerminals(text, site))), " ") + " "
	if outputs.MatchString(text) {
		for _, r := range ofOutput {
			text = r.put(text)
		}
	}
	text = decimalComma.ReplaceAllString(text, "$1.$2")
	text = strings.NewReplacer(`"`, " ", ",", " , ").Replace(text)
	text = numbers.ReplaceAllStringFunc(text, func(word string) string { return numberOf[word] })
	for _, r := range spans {
		text = r.put(text)
	}
	text = s.takeTimes(text)
	text = flows.ReplaceAllStringFunc(text, func(flow string) string {
		m := flows.FindStringSubmatch(flow)
		unit := map[byte]string{'m': "min", 'h': "h", 's': "s"}[m[2][0]]
		s.figures = append(s.figures, figure{m[1] + " L/" + unit, "flow"})
		return " "
	})
	for _, r := range sayings {
		text = r.put(text)
	}
	text = s.takeAmounts(text)
	s.takeWords(text)
	s.imply()
	return s
}

// atTerminals puts the name of a device in the place of that of the terminal it is wired to.
func atTerminals(text string, site *sitefile.Site) string {
	if site == nil {
		return text
	}
	for _, t := range site.Controller.Terminals {
		expr := regexp.MustCompile(`\b` + regexp.QuoteMeta(strings.ToLower(t.Terminal)) + `\b`)
		text = expr.ReplaceAllLiteralString(text, strings.ToLower(t.Device()))
	}
	return text
}

// takeNames notes the devices that are named, the longest names first. A name that is a word of the trade as well stays
// one: the tank "tank".
func (s *said) takeNames(text string) string {
	var known []string
	for _, d := range Devices {
		if s.site != nil {
			known = append(known, d.Names(s.site)...)
		}
	}
	slices.SortStableFunc(known, func(a, b string) int { return len(b) - len(a) })
	for _, name := range slices.Compact(known) {
		spelt := strings.NewReplacer("-", "[- ]", " ", "[- ]").Replace(regexp.QuoteMeta(strings.ToLower(name)))
		expr := regexp.MustCompile(`([^\pL\d-])` + spelt + `([^\pL\d-])`)
		if !expr.MatchString(text) {
			continue
		}
		if !slices.Contains(s.names, name) {
			s.names = append(s.names, name)
		}
		stays := ""
		if nouns[concept(strings.ToLower(name))] {
			stays = strings.ToLower(name)
		}
		text = expr.ReplaceAllString(text, "${1}"+stays+"${2}")
	}
	for _, alert := range harness.AlertNames() {
		spelt := strings.ReplaceAll(alert, " ", "[- ]")
		if expr := regexp.MustCompile(`"` + spelt + `"|\b` + spelt + ` (?:alert|alarm|warning|message)`); expr.MatchString(text) {
			s.alerts = append(s.alerts, alert)
			text = expr.ReplaceAllString(text, " alert ")
		}
	}
	return text
}

// imply notes what goes without saying: a length of a tank is a level, a share of a bed its water.
func (s *said) imply() {
	of := func(kind, word string) bool { return s.nameFor(kind, nil) != "" || s.has(word) }
	for _, f := range s.figures {
		switch {
		case f.kind == "length" && of("tank", "tank"):
			s.implied = append(s.implied, "level")
		case f.kind == "length" && of("bed", "bed"):
			s.implied = append(s.implied, "rain")
		case f.kind == "share" && of("bed", "bed"):
			s.implied = append(s.implied, "soil")
		case f.kind == "pressure", f.kind == "voltage":
			s.implied = append(s.implied, f.kind)
		case f.kind == "time":
			s.implied = append(s.implied, "clock")
		}
	}
	if s.has("<never>") && s.has("close") {
		s.implied = append(s.implied, "stick", "open") // what does not close stays open
	}
	if s.has("swap") && len(s.names) > 1 { // two things for one another, and not the two leads of one
		s.words[slices.Index(s.words, "swap")] = "exchang"
		s.implied = append(s.implied, "coil", "next")
	}
	if s.has("alert") {
		s.implied = append(s.implied, "arrive")
	}
	for _, word := range []string{"start", "run", "stop"} {
		sign := "<on>"
		if word == "stop" {
			sign = "<off>"
		}
		if s.has(word) && s.nameFor("zone", nil) != "" && !s.has(sign) {
			s.words = append(s.words, sign)
		}
	}
}

// takeTimes notes times of day, however they are written.
func (s *said) takeTimes(text string) string {
	text = clockWord.ReplaceAllStringFunc(text, func(word string) string {
		if word == "midnight" {
			return "00:00"
		}
		return "12:00"
	})
	text = clockHalf.ReplaceAllStringFunc(text, func(t string) string {
		m := clockHalf.FindStringSubmatch(t)
		hour, _ := strconv.Atoi(m[2])
		switch m[1] {
		case "half past":
			return clockText(hour, 30)
		case "quarter past":
			return clockText(hour, 15)
		}
		return clockText(hour-1, 45)
	})
	text = clockHour.ReplaceAllStringFunc(text, func(t string) string {
		m := clockHour.FindStringSubmatch(t)
		hour, _ := strconv.Atoi(m[1])
		minute, _ := strconv.Atoi(m[2])
		if strings.HasPrefix(m[3], "p") && hour < 12 {
			hour += 12
		}
		return clockText(hour, minute)
	})
	return clocks.ReplaceAllStringFunc(text, func(t string) string {
		if len(t) == 4 {
			t = "0" + t
		}
		s.figures = append(s.figures, figure{t, "time"})
		return " <time> "
	})
}

func clockText(hour, minute int) string {
	text := strconv.Itoa(100*((hour+24)%24) + minute + 10000)[1:]
	return text[:2] + ":" + text[2:]
}

// takeAmounts notes quantities; a number without a unit is a count.
func (s *said) takeAmounts(text string) string {
	return amounts.ReplaceAllStringFunc(text, func(found string) string {
		m := amounts.FindStringSubmatch(found)
		kind, unit := kindOfUnit(m[2])
		if bound := strings.TrimSpace(text[:strings.Index(text, found)]); s.bounded == "" && (strings.HasSuffix(bound, "<most>") ||
			strings.HasSuffix(bound, "<least>") || strings.HasSuffix(bound, "<exactly>")) {
			s.bounded = kind
			if kind == "" {
				s.bounded = "count"
			}
		}
		if kind == "" {
			s.figures = append(s.figures, figure{m[1], "count"})
			return " " + m[2]
		}
		s.figures = append(s.figures, figure{m[1] + " " + unit, kind})
		return " "
	})
}

// kindOfUnit is the placeholder at which a quantity with a unit may stand, "" for a word that is no unit; the unit as it
// is written.
func kindOfUnit(unit string) (kind, written string) {
	for _, one := range []string{unitsInWords[unit], unit, strings.ToUpper(unit), strings.TrimSuffix(unit, "s")} {
		if one == "" {
			continue
		}
		for _, name := range []string{"duration", "volume", "length", "pressure", "share", "flow", "voltage", "current",
			"resistance", "temperature"} {
			if q, err := quantity.Parse("1 "+one, Quantities[name].Dim); err == nil && q.Tolerance == 0 {
				return name, one
			}
		}
	}
	return "", ""
}

// unitsInWords are units that people spell out.
var unitsInWords = map[string]string{"l": "L", "v": "V", "litres": "L", "litre": "L", "liters": "L", "liter": "L", "millimetres": "mm",
	"millimetre": "mm", "millimeters": "mm", "centimetres": "cm", "centimeters": "cm", "metres": "m", "meters": "m",
	"metre": "m", "volts": "V", "volt": "V", "percent": "%", "bars": "bar", "amps": "A", "ohms": "ohm", "degrees": "°C",
	"kiloohms": "kohm", "millivolts": "mV", "milliseconds": "ms", "cc": "cm3", "ml": "mL", "kpa": "kPa"}

var wordsOf = regexp.MustCompile(`<[a-z]+>|[\pL][\pL'-]*`)

// takeWords notes what is left, as concepts and signs.
func (s *said) takeWords(text string) {
	sign := func(one string) {
		if !slices.Contains(s.signs, one) {
			s.signs = append(s.signs, one)
		}
	}
	counts := 0
	for _, f := range s.figures {
		if f.kind == "count" {
			counts++
		}
	}
	for _, word := range wordsOf.FindAllString(text, -1) {
		switch {
		case word[0] == '<':
			sign(word)
			if word == "<on>" || word == "<off>" {
				s.words = append(s.words, word)
			}
			continue
		case strings.HasSuffix(word, "n't"), word == "never", word == "no", word == "not", word == "nobody",
			word == "nothing", word == "none", word == "neither", word == "without", word == "nor":
			sign("<never>")
			continue
		case word == "within" || word == "inside":
			sign("<within>")
		case word == "by" || word == "before":
			if slices.ContainsFunc(s.figures, func(f figure) bool { return f.kind == "time" }) {
				sign("<within>")
			}
		case word == "between" && counts >= 2:
			sign("<between>")
			continue
		case word == "below" || word == "under":
			sign("<below>")
		case word == "above" || word == "over":
			sign("<above>")
		}
		if c := concept(word); !idle[word] && !slices.Contains(s.words, c) {
			s.words = append(s.words, c)
		}
	}
}
