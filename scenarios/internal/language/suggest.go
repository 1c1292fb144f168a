package language

import (
	"cmp"
	"regexp"
	"slices"
	"strings"

	"ullage/harness/fault"
	"ullage/harness/numeric"
	"ullage/harness/sitefile"
	"ullage/harness/wording"
	"ullage/scenarios/internal/feature"
)

// Suggestion is a phrase that may say what a step in other words says.
type Suggestion struct {
	Phrase *Phrase
	Step   string  // the phrase filled in with what the step named
	Score  float64 // 0 to about 1.5; 2 where the words are those of the phrase
}

// mostSuggestions is how many are shown.
const mostSuggestions = 3

// The weights of a ranking. All of it was chosen on the first list of newcomers, scenarios/testdata/newcomers.csv.
const (
	ofPattern  = 1.0
	ofExample  = 0.7
	ofMeaning  = 0.45
	ofSymptoms = 0.4
	ofImplied  = 0.7  // what is implied, of what is said
	unheard    = 0.25 // of the mean rarity, what a word weighs that no phrase has
	ofCover    = 0.5  // what it takes when a phrase says what the step does not
	forDevice  = 0.14
	noDevice   = 0.08
	forFigure  = 0.12
	noFigure   = 0.1
	forTime    = 0.2 // a time of day says more than another figure
	second     = 0.2
	forBound   = 0.2
	noBound    = 0.12
	otherKind  = 0.25
	forCause   = 0.15
	spelt      = 2    // of a phrase of which only the figures are none
	least      = 0.42 // of a score, below which no phrase is near
	tailShare  = 0.6  // of the first score, below which a further one is not worth reading
)

// known is a phrase as the search compares it.
type known struct {
	phrase  *Phrase
	weights map[string]float64 // of its words, by where they stand
	pattern []string           // the words that its pattern has
	signs   []string
	wants   []want
	spelt   *regexp.Regexp // the phrase, with up to two words where a figure stands
}

// want is a placeholder.
type want struct {
	kind   string // "valve", "duration", "count", ...
	device bool
	free   bool // stands in a part that may be left out
}

// search is the index of a language.
type search struct {
	phrases []known
	rarity  map[string]float64
	mean    float64
}

var (
	marginPart = regexp.MustCompile(`Margin: .*`)
	namePart   = regexp.MustCompile(`"[^"]*"`)
	brackets   = regexp.MustCompile(`\([^)]*\)`)
)

// newSearch makes the index.
func newSearch(phrases []Phrase) *search {
	ix := &search{rarity: map[string]float64{}}
	for i := range phrases {
		ix.phrases = append(ix.phrases, newKnown(&phrases[i]))
	}
	seen := map[string]float64{}
	for _, k := range ix.phrases {
		for word := range k.weights {
			seen[word]++
		}
	}
	for word, n := range seen {
		ix.rarity[word] = numeric.Log(1 + float64(len(phrases))/(1+n))
	}
	for _, word := range slices.Sorted(keys(ix.rarity)) {
		ix.mean += ix.rarity[word] / float64(len(ix.rarity))
	}
	return ix
}

func keys(m map[string]float64) func(func(string) bool) {
	return func(yield func(string) bool) {
		for k := range m {
			if !yield(k) {
				return
			}
		}
	}
}

func newKnown(p *Phrase) known {
	k := known{phrase: p, weights: map[string]float64{}, spelt: noFigures(p.Made.Expr)}
	literal := ""
	free := false
	for _, piece := range wording.Split(p.Pattern) {
		switch piece.Kind {
		case wording.Begin:
			free = true
		case wording.End:
			free = false
		case wording.Literal:
			literal += piece.Text
		case wording.Letters:
		case wording.Words:
			first, _, _ := strings.Cut(piece.Text, "/")
			literal += first
		case wording.Placeholder:
			literal += " "
			k.wants = append(k.wants, wantOf(p, piece.Text, free)...)
		}
	}
	literal = brackets.ReplaceAllString(literal, " ")
	said := hear(literal, nil)
	k.pattern, k.signs = said.words, said.signs
	for _, w := range k.wants {
		if w.kind == "within" {
			k.signs = append(k.signs, "<within>")
		}
	}
	k.add(literal, ofPattern)
	k.add(namePart.ReplaceAllString(p.Example, " "), ofExample)
	k.add(marginPart.ReplaceAllString(p.Meaning, ""), ofMeaning)
	for _, s := range p.Sentences {
		k.add(s.Entry.Name, ofExample)
		k.add(strings.Join(s.Entry.Symptoms, ". "), ofSymptoms)
	}
	return k
}

// noFigures is the expression of a phrase with up to two words wherever a figure stands.
func noFigures(expr *regexp.Regexp) *regexp.Regexp {
	const anything = `([^ ",]+(?: [^ ",]+)?)`
	return regexp.MustCompile("(?i)" + strings.NewReplacer(amount, anything, whole, anything).Replace(expr.String()))
}

// add notes the words of a text.
func (k *known) add(text string, weight float64) {
	for _, word := range hear(text, nil).words {
		k.weights[word] = max(k.weights[word], weight)
	}
}

// wantOf is what a placeholder asks for.
func wantOf(p *Phrase, name string, free bool) []want {
	if dim, own := p.Figures[name]; own {
		for kind, q := range Quantities {
			if q.Dim == dim {
				return []want{{kind: kind, free: free}}
			}
		}
		return []want{{kind: "count", free: free}}
	}
	switch name {
	case "for":
		return []want{{kind: "duration", free: true}}
	case "within":
		return []want{{kind: "within"}, {kind: "duration"}}
	case "window":
		return []want{{kind: "duration", free: free}}
	case "clock":
		return []want{{kind: "time", free: free}}
	}
	device := slices.ContainsFunc(Devices, func(d device) bool { return d.Placeholder == name })
	return []want{{kind: name, device: device, free: free}}
}

// Suggest lists the phrases that may say what a step says, the likeliest first and three at the most, each filled in;
// none where nothing is near, or only what would say the opposite. The site, whose names it fills in, may be nil.
func (v *Vocabulary) Suggest(step feature.Step, site *sitefile.Site) (list []Suggestion) {
	v.once.Do(func() { v.search = newSearch(v.Phrases) })
	text, jam := takeJam(step.Text, site)
	s := hear(text, site)
	s.jam = jam
	causes := map[string]float64{}
	if step.Kind != feature.Then {
		for i, h := range fault.Search(text) {
			causes[h.ID] = 1 / float64(1+i)
		}
	}
	for i := range v.search.phrases {
		k := &v.search.phrases[i]
		if score := v.search.score(k, s, step.Kind, causes); score >= least {
			list = append(list, Suggestion{Phrase: k.phrase, Score: score})
		}
	}
	slices.SortStableFunc(list, func(a, b Suggestion) int { return cmp.Compare(b.Score, a.Score) })
	for i := range list {
		if i == mostSuggestions || list[i].Score < tailShare*list[0].Score {
			list = list[:i]
			break
		}
		list[i].Step = fillIn(list[i].Phrase, s)
	}
	return list
}

// score is how well a phrase fits what was said; 0 when it says the opposite or is of another kind altogether.
func (ix *search) score(k *known, s *said, kind feature.Kind, causes map[string]float64) float64 {
	if (k.phrase.Kind == feature.Then) != (kind == feature.Then) || opposite(k, s) ||
		s.jam.contradicts(k) {
		return 0
	}
	if k.phrase.Kind&kind != 0 && k.spelt.MatchString(s.text) && k.there(s) {
		return spelt
	}
	fits, all, only := 0.0, 0.0, true // only nouns are heard
	about := k.about(s)
	for _, word := range s.words {
		weight := ix.weigh(word)
		all += weight
		if about[word] {
			fits, only = fits+weight, false
			continue
		}
		heard := ix.weight(k, word)
		fits += weight * heard
		only = only && (nouns[word] || heard < ofMeaning)
	}
	for _, word := range s.implied {
		if !slices.Contains(s.words, word) {
			only = only && k.weights[word] < ofMeaning
			fits += ofImplied * ix.rarity[word] * k.weights[word]
			all += ofImplied * ix.rarity[word]
		}
	}
	if only || !k.there(s) {
		return 0
	}
	covered, pattern := 0.0, 0.0
	for _, word := range k.pattern {
		pattern += ix.rarity[word]
		if s.means(word) {
			covered += ix.rarity[word]
		}
	}
	if !k.meant(s, covered/max(pattern, 1e-9)) {
		return 0
	}
	score := fits / all
	if pattern > 0 {
		score *= 1 - ofCover + ofCover*covered/pattern
	}
	for _, sentence := range k.phrase.Sentences {
		score += forCause * causes[sentence.Entry.ID]
	}
	if k.phrase.Kind&kind == 0 {
		score -= otherKind
	}
	return score + devices(k, s) + figures(k, s) + bounds(k, s)
}

// weigh is how much a word of a step says: the fewer phrases have it, the more.
func (ix *search) weigh(word string) float64 {
	switch word {
	case "<on>":
		return (ix.rarity["open"] + ix.rarity["start"]) / 2
	case "<off>":
		return (ix.rarity["close"] + ix.rarity["stop"]) / 2
	}
	if weight, heard := ix.rarity[word]; heard {
		return weight
	}
	return unheard * ix.mean
}

// there reports whether the site has what a phrase is about.
func (k *known) there(s *said) bool {
	if s.site == nil {
		return true
	}
	for _, w := range k.wants {
		if w.device && !w.free && s.only(w.kind) == "" {
			return false
		}
	}
	if k.phrase.Sentences == nil {
		return true
	}
	return slices.ContainsFunc(k.phrase.Sentences, func(one Sentence) bool {
		targets, _ := one.Entry.Targets(s.site)
		return len(targets) > 0
	})
}

// nouns are what devices are called.
var nouns = conceptsOf(`valve pump tank pipe zone contact probe supply controller water meter outlet bed soil filter`)

// plain words say what is there and what it does, and nothing of what is wrong with it.
var plain = conceptsOf(`valve pump tank pipe zone contact probe supply controller water open close start stop run fill
	level pressure lead coil clock <on> <off> soil rim over power voltage meter outlet bed`)

// meant reports whether a phrase of a fault may be meant: something that was said is of a fault, and not merely of the
// device.
func (k *known) meant(s *said, covered float64) bool {
	if k.phrase.Sentences == nil || covered > 0.6 && slices.Contains(k.signs, "<never>") && s.has("<never>") {
		return true
	}
	if covered == 1 && !slices.ContainsFunc(k.wants, func(w want) bool { return !w.device && !w.free }) {
		return true
	}
	return slices.ContainsFunc(s.words, func(word string) bool { return !plain[word] && k.weights[word] > ofMeaning })
}

// about is the words that say what an alert is about, of a phrase that asks for its name.
func (k *known) about(s *said) map[string]bool {
	if !slices.ContainsFunc(k.wants, func(w want) bool { return w.kind == "alert" }) {
		return nil
	}
	name, _ := s.alert()
	return alertAbout()[strings.Trim(name, `"`)]
}

// weight is how much a word of the step counts in a phrase. On and off mean several things.
func (ix *search) weight(k *known, word string) float64 {
	switch word {
	case "<on>":
		return max(k.weights[word], k.weights["open"], k.weights["start"], k.weights["run"])
	case "<off>":
		return max(k.weights[word], k.weights["close"], k.weights["stop"])
	}
	return k.weights[word]
}

// means reports whether a word of a pattern was said.
func (s *said) means(word string) bool {
	switch word {
	case "open", "start", "run":
		return s.has(word) || s.has("<on>")
	case "close", "stop":
		return s.has(word) || s.has("<off>")
	}
	return s.has(word) || slices.Contains(s.implied, word)
}

// devices is what the named devices say for a phrase.
func devices(k *known, s *said) (score float64) {
	used := map[string]bool{}
	for _, w := range k.wants {
		if w.kind == "alert" {
			switch _, named := s.alert(); {
			case len(s.alerts) > 0:
				score += forDevice
			case !named:
				score -= noDevice
			}
			continue
		}
		if !w.device {
			continue
		}
		name := s.nameFor(w.kind, used)
		switch {
		case name != "":
			used[name] = true
			score += forDevice
		case !w.free:
			score -= noDevice
		}
	}
	for _, name := range s.names {
		if !used[name] {
			score -= noDevice / 2
		}
	}
	return score
}

// nameFor is a device of a kind that was named and is not used yet, "" when there is none.
func (s *said) nameFor(kind string, used map[string]bool) string {
	for _, d := range Devices {
		if d.Placeholder != kind || s.site == nil {
			continue
		}
		for _, name := range s.names {
			if !used[name] && slices.Contains(d.Names(s.site), name) {
				return name
			}
		}
	}
	return ""
}

// figures is what the quantities say for a phrase: those that it asks for and that were said, those that it lacks.
func figures(k *known, s *said) (score float64) {
	left := slices.Clone(s.figures)
	for _, w := range k.wants {
		if _, is := Quantities[w.kind]; !is && w.kind != "count" && w.kind != "time" {
			continue
		}
		i := slices.IndexFunc(left, func(f figure) bool { return f.kind == w.kind })
		switch {
		case i >= 0:
			left = slices.Delete(left, i, i+1)
			score += forFigure
			if w.kind == "time" {
				score += forTime
			}
		case !w.free:
			score -= noFigure
		}
	}
	if bound := slices.ContainsFunc(k.signs, isBound); s.bounded != "" && bound &&
		!slices.ContainsFunc(k.wants, func(w want) bool { return w.kind == s.bounded }) {
		score -= second
	}
	for _, f := range left {
		if f.kind != "time" && f.kind != "duration" || k.phrase.Kind == feature.Then || !k.phrase.Timed {
			score -= noFigure
		}
	}
	return score
}
