package fault

import (
	"slices"
	"strings"
	"unicode"

	"ullage/harness/spelling"
)

// A term is a word as the search compares it: in lower case, without its ending, and in the place of its synonyms.

// stopWords say nothing of a fault.
var stopWords = wordSet(`a about above actually after   along already also although always am an and any anyway are around as at
	away  be because been before being below beside between both bought but by came can cannot come comes coming could day
	days did do does doing done each either else end ever   exactly few find first for found from gave get gets
	getting give go goes going  good got had happen happened happens has have having he hear heard her here him his how i if
	in inside into is isn it its  just keep keeps kind know last like  ll long look looked looks lot made make makes
	man many maybe me mean might mine more most much must my myself near need needed needs new next now of often oh ok old on
	once  ones  onto or   our out   part people perfect place please properly put quite rather re
	really  round said  saw say saying says see seem seems seen she should show shows side since so some somebody
	someone something sometimes soon sort still stuff such sure take taken takes tell than that the their them  then
	there these they thing things think this those though thought three through time times to today together told too took
	tried try two under until up us use used uses using usual ve later very want wanted was way we   well went were what
	when whenever where which while who whole why wife will with within    would yes yesterday yet you your
	yours im ive id thats theres dont hi hello thanks sir madam please help idea bit simply sunday monday tuesday wednesday
	thursday friday saturday     noon midnight `)

// irregular are forms that no ending gives away.
var irregular = map[string]string{"ran": "run", "froze": "freeze", "broke": "break", "broken": "break", "lost": "lose", "blew": "blow",
	"blown": "blow", "burnt": "burn", "dug": "dig", "bitten": "bite", "shook": "shake", "came": "come", "went": "go", "won": "win",
	"kept": "keep", "left": "leave", "children": "child", "dried": "dry", "dries": "dry", "drier": "dry", "died": "die",
	"tied": "tie", "leaves": "leaf", "mice": "mouse", "fell": "fall", "fallen": "fall", "swollen": "swell", "stood": "stand",
	"froz": "freeze", "sank": "sink", "sunk": "sink", "drew": "draw", "drawn": "draw", "torn": "tear", "tore": "tear", "worn": "wear",
	"rang": "ring", "forgot": "forget", "forgotten": "forget", "wet": "wet", "bust": "burst", "half": "half", "swapped": "swap"}

// terms are those of a text, in its order.
func terms(text string) []string {
	text = strings.NewReplacer("n't", " not", "n’t", " not", "'s", "", "’s", "", "'d", "", "’d", "",
		"'ve", "", "’ve", "", "'re", "", "'ll", "", "'m", "", "wi-fi", "wifi", "top up", "topup",
		"tops up", "topup", "topping up", "topup", "topped up", "topup", "themselves", "itself", "power cut", "outage", "cant ", "can not ", "wont ", "will not ", "doesnt ", "does not ",
		"doesn t", "does not", "didnt", "did not", "isnt", "is not", "%", " percent ", "°", " ").Replace(strings.ToLower(text))
	var list []string
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }) {
		if !stopWords[word] {
			list = append(list, term(word))
		}
	}
	return list
}

// negations turn the meaning of what follows, and are one term.
var negations = wordSet("not no never none nothing without neither nor cannot nowhere")

// term is what a word is compared as.
func term(word string) string {
	if negations[word] {
		return "not"
	}
	for _, form := range []string{word, stem(word)} {
		if s, ok := synonyms[form]; ok {
			return s
		}
	}
	return stem(word)
}

// stem takes the usual endings off a word. What is left need not be a word; it is compared with others of its making.
func stem(word string) string {
	if base, ok := irregular[word]; ok {
		return base
	}
	for _, ending := range []string{"ations", "ation", "ings", "ing", "edly", "ies", "ied", "ed", "ers", "er", "es", "ly", "s", "y", "e"} {
		cut, ok := strings.CutSuffix(word, ending)
		if !ok || len(cut) < 3 || ending == "s" && strings.HasSuffix(cut, "s") {
			continue
		}
		if n := len(cut); n > 3 && cut[n-1] == cut[n-2] && !strings.ContainsRune("lsz", rune(cut[n-1])) {
			cut = cut[:n-1]
		}
		return strings.TrimSuffix(strings.TrimSuffix(cut, "e"), "i")
	}
	return word
}

func wordSet(words string) map[string]bool {
	set := map[string]bool{}
	for _, w := range strings.Fields(words) {
		set[w] = true
	}
	return set
}

// spelt is the term of the vocabulary that one that it does not have was meant for: a letter wrong in six or more.
func spelt(term string, vocabulary []string) string {
	if len(term) < 6 {
		return term
	}
	if near := spelling.Nearest(term, vocabulary); near != "" && slices.Contains([]int{-1, 0, 1}, len(near)-len(term)) &&
		near[0] == term[0] && spelling.Slips(term, near) <= 1+len(term)/9 {
		return near
	}
	return term
}
