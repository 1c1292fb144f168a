package fault

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"unicode"
)

// Cause is a fault that a complaint may come from.
type Cause struct {
	Entry
	Symptom  string  // of the entry's symptoms, the one that is most like the complaint; empty when none is
	Likeness float64 // the higher, the more like it
}

// Causes lists the faults that a complaint in a customer's words may come from, likeliest first: those whose symptoms
// say the same, then those whose effects and hazards do. A word counts the more the fewer faults are complained of with
// it, by the root of their number, so that two usual words together outweigh a rare one. A complaint without any word
// that the catalogue has gives none.
func Causes(complaint string) []Cause {
	asked := words(complaint)
	weights := make([]float64, len(asked))
	for i, stem := range asked {
		for _, e := range catalogue {
			if slices.Contains(words(strings.Join(e.Symptoms, " ")), stem) {
				weights[i]++
			}
		}
		weights[i] = 1 / math.Sqrt(max(1, weights[i]))
	}
	like := func(text string) (sum float64) {
		has := words(text)
		for i, stem := range asked {
			if slices.Contains(has, stem) {
				sum += weights[i]
			}
		}
		return sum
	}
	var causes []Cause
	for _, e := range catalogue {
		c := Cause{Entry: e}
		for _, symptom := range e.Symptoms {
			if l := like(symptom); l > c.Likeness {
				c.Symptom, c.Likeness = symptom, l
			}
		}
		if c.Likeness += like(e.effects()) / 4; c.Likeness > 0 {
			causes = append(causes, c)
		}
	}
	slices.SortStableFunc(causes, func(a, b Cause) int { return cmp.Compare(b.Likeness, a.Likeness) })
	return causes
}

// effects is what an entry says of where it leads.
func (e Entry) effects() string {
	text := e.Name + " " + e.EndEffect
	for _, h := range e.Hazards {
		text += " " + string(h)
	}
	return text
}

// idle words mean nothing for a search.
const idle = " a an and all any are as at be been but by do does did for from had has have i in is it its my no not of on only or our so " +
	"that the then there they this through to up was we were what when where which while will with you "

// synonyms lead a customer's word to the one that the symptoms use.
var synonyms = map[string]string{"overni": "night", "evenin": "night", "overfl": "flood", "spill": "flood",
	"spille": "flood", "barrel": "tank", "cister": "tank", "contai": "tank",
	"sump": "tank", "phone": "alert", "messag": "alert", "notifi": "alert", "alarm": "alert", "soil": "bed", "ground": "bed", "plant": "bed",
	"router": "wi-fi", "wifi": "wi-fi", "networ": "wi-fi", "intern": "wi-fi", "connec": "wi-fi", "solen": "valve", "soleno": "valve",
	"sensor": "probe", "switch": "float", "leaks": "leak", "mains": "pressu", "noise": "bang", "knock": "bang", "hammer": "bang",
	"buzz": "hum", "buzze": "hum", "hums": "hum", "frosty": "frost", "frozen": "frost", "swamp": "soak", "soggy": "soak", "jumps": "swing", "jump": "swing", "close": "shut", "clos": "shut", "gush": "shoot", "wilt": "dry", "brown": "dry", "yellow": "dry",
	"wither": "dry", "dried": "dry", "ran": "run", "runn": "run", "stopp": "stop", "away": "holida", "vacati": "holida"}

// words are the stems of the words of a text that mean something.
func words(text string) []string {
	var stems []string
	for _, word := range strings.FieldsFunc(strings.ToLower(text),
		func(r rune) bool { return !unicode.IsLetter(r) && r != '-' }) {
		if strings.Contains(idle, " "+word+" ") {
			continue
		}
		stem := word
		for _, ending := range []string{"ing", "ed", "es", "s"} {
			if cut, ok := strings.CutSuffix(stem, ending); ok && len(cut) >= 4 {
				stem = cut
				break
			}
		}
		if r := []rune(stem); len(r) > 6 {
			stem = string(r[:6])
		}
		if s, ok := synonyms[stem]; ok {
			stem = s
		}
		if !slices.Contains(stems, stem) {
			stems = append(stems, stem)
		}
	}
	return stems
}
