package language

import "slices"

// opposites are words and signs of which one says the contrary of the other.
var opposites = contraries([][2]string{{"open", "close"}, {"start", "stop"}, {"<on>", "close"}, {"<on>", "stop"}, {"<off>", "open"},
	{"<off>", "start"}, {"<below>", "<above>"}, {"rise", "fall"}, {"operate", "release"}, {"forward", "back"},
	{"<least>", "<most>"}, {"slow", "slam"}, {"<never>", "<least>"}, {"fast", "slow"}, {"run", "stop"},
	{"leak", "block"}, {"<failon>", "<failoff>"}})

// contraries are pairs of words as pairs of concepts.
func contraries(pairs [][2]string) [][2]string {
	for i, p := range pairs {
		pairs[i] = [2]string{concept(p[0]), concept(p[1])}
	}
	return pairs
}

// verbs are what "never" denies.
var verbs = []string{"open", "close", "start", "stop", "run", "arrive", "connect", "restart", "leak", "over", "reach",
	"<on>", "<off>"}

// opposite reports whether a phrase says the contrary of a step: it has the opposite of a word and not the word, or it
// denies what the step says, or the other way round.
func opposite(k *known, s *said) bool {
	phrase := func(one string) bool { return slices.Contains(k.pattern, one) || slices.Contains(k.signs, one) }
	denies := (phrase("<never>") || phrase("<shut>")) && !phrase("<most>") && !lasting(k)
	denied := s.has("<never>") || s.has("<shut>")
	for _, pair := range opposites {
		for _, p := range [][2]string{pair, {pair[1], pair[0]}} {
			said, other := p[0], p[1]
			if !s.has(said) || s.has(other) || !phrase(other) || phrase(said) {
				continue
			}
			if denied != denies && !isSign(other) { // "does not open" and "closes" are no contrary
				continue
			}
			return true
		}
	}
	if denied == denies {
		return false
	}
	for _, verb := range verbs {
		if !phrase(verb) || !s.means(verb) {
			continue
		}
		switch {
		case denies && !s.has("<most>") && !s.has("<below>"):
			return true
		case denied && !phrase("<most>") && !phrase("<below>") && !phrase("<above>") && !lasting(k):
			return true
		}
	}
	return false
}

// isBound reports whether a sign bounds a figure.
func isBound(sign string) bool { return sign == "<most>" || sign == "<least>" || sign == "<exactly>" }

func isSign(word string) bool {
	return word == "<least>" || word == "<most>" || word == "<below>" || word == "<above>" || word == "<failon>" ||
		word == "<failoff>"
}

// lasting reports whether a phrase is one whose wording denies in itself: a valve that stays shut.
func lasting(k *known) bool {
	return slices.Contains(k.signs, "<least>") || slices.Contains(k.signs, "<exactly>")
}

// bounds is what at most, at least, never and within say for a phrase.
func bounds(k *known, s *said) (score float64) {
	for _, sign := range []string{"<most>", "<least>", "<never>", "<within>", "<exactly>", "<between>", "<below>",
		"<above>", "<together>", "<each>"} {
		phrase := slices.Contains(k.signs, sign)
		switch {
		case phrase && s.has(sign):
			score += forBound
		case phrase:
			score -= noBound / 2
		case s.has(sign):
			score -= noBound
		}
	}
	for _, pair := range opposites {
		first, next := slices.Index(s.words, pair[0]), slices.Index(s.words, pair[1])
		if first < 0 || next < 0 {
			continue
		}
		verb, other := pair[0], pair[1]
		if next < first {
			verb, other = other, verb
		}
		if slices.Contains(k.pattern, other) && !slices.Contains(k.pattern, verb) {
			return score - second // the first verb of a step is what happens, the next what it counts from
		}
	}
	return score
}
