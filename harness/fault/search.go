package fault

import (
	"cmp"
	"maps"
	"math"
	"slices"
	"strings"
	"sync"

	"ullage/harness/numeric"
)

// Hit is a fault that a complaint may come from.
type Hit struct {
	Entry
	Symptom string  // of the entry's symptoms, the one that is most like the complaint
	Score   float64 // the higher, the likelier
}

// mostHits is how many causes a person can look into.
const mostHits = 7

// Search lists the faults that a complaint in a customer's words may come from, at most seven, likeliest first, and none
// where nothing of the catalogue fits: where its words speak of another business, or hardly any of them is one that
// complaints about watering have.
func Search(complaint string) []Hit {
	ix := index()
	q := ix.query(complaint)
	var ranked []match
	for _, d := range ix.docs {
		if m := ix.match(q, d); m.Score > 0 {
			ranked = append(ranked, m)
		}
	}
	slices.SortStableFunc(ranked, func(a, b match) int { return cmp.Compare(b.Score, a.Score) })
	if len(ranked) == 0 || ranked[0].ID == "" || ranked[0].pairs == 0 && ranked[0].Score*ranked[0].share < leastFit {
		return nil
	}
	var hits []Hit
	for _, m := range ranked {
		if m.ID != "" && len(hits) < mostHits && m.Score >= tail*ranked[0].Score {
			hits = append(hits, m.Hit)
		}
	}
	return hits
}

// document is an entry as the search compares it.
type document struct {
	Entry
	weights map[string]float64 // of each term and pair of terms, by the fields that have it
	length  float64            // the weight of all its terms
	says    [][]string         // the terms of each symptom
}

// The weights of an entry's texts.
const (
	ofSymptoms = 1.0
	ofName     = 1.0
	ofAsk      = 1.0
	ofCause    = 0.5
	ofEffects  = 0.6
	ofCheck    = 0.2
)

// The rest of the ranking. The weights are those that find an entry best by one of its own symptoms that is left out.
const (
	saturation = 1.0  // a term of this weight counts half, in an entry of mean length
	pairShare  = 0.3  // of the mean of its terms, for a pair of terms that stand together in complaint and entry
	sentence   = 0.4  // what the best symptom adds, as a share of the weight of its terms
	prior      = 0.5  // what a base rate adds or takes
	reach      = 3    // terms that stand no further apart are a pair
	tail       = 0.4  // of the first score, below which a cause is not worth a look
	leastFit   = 1.25 // of score and share of a complaint, where no two of its words fit together
	unheard    = 4.0  // what a word weighs that the catalogue does not have
)

// searchIndex is the catalogue as the search compares it.
type searchIndex struct {
	docs       []document
	length     float64            // of the documents, on average
	rarity     map[string]float64 // of each term: the fewer entries have it, the more it says
	vocabulary []string
}

var index = sync.OnceValue(func() *searchIndex {
	ix := &searchIndex{rarity: map[string]float64{}}
	for _, e := range catalogue {
		ix.docs = append(ix.docs, newDocument(e))
	}
	for _, sentences := range otherBusiness {
		ix.docs = append(ix.docs, newDocument(Entry{Symptoms: sentences}))
	}
	seen := map[string]float64{}
	for _, d := range ix.docs {
		for t := range d.weights {
			if !strings.Contains(t, " ") {
				seen[t]++
			}
		}
	}
	n := float64(len(ix.docs))
	for _, d := range ix.docs {
		ix.length += d.length / n
	}
	for t, k := range seen {
		ix.rarity[t] = numeric.Log(1 + n/(k+1))
		ix.vocabulary = append(ix.vocabulary, t)
	}
	slices.Sort(ix.vocabulary)
	return ix
})

func newDocument(e Entry) document {
	d := document{Entry: e, weights: map[string]float64{}}
	add := func(text string, weight float64) {
		for _, clause := range clauses(text) {
			list := terms(clause)
			for _, t := range list {
				d.weights[t] += weight
				d.length += weight
			}
			for p := range pairs(list) {
				d.weights[p] += weight
			}
		}
	}
	for _, s := range e.Symptoms {
		add(s, ofSymptoms)
		says := terms(s)
		slices.Sort(says)
		d.says = append(d.says, slices.Compact(says))
	}
	add(e.Name, ofName)
	add(e.Ask, ofAsk)
	add(e.Mechanism, ofCause)
	add(e.LocalEffect+" "+e.EndEffect, ofEffects)
	add(e.Check, ofCheck)
	return d
}

// clauses cuts a text where a thought ends.
func clauses(text string) []string {
	return strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(".;:!?", r) })
}

// pairs are terms that stand close to each other, in either order.
func pairs(list []string) map[string]bool {
	found := map[string]bool{}
	for i := range list {
		for _, b := range list[i+1 : min(i+1+reach, len(list))] {
			if a := list[i]; a != b {
				found[min(a, b)+" "+max(a, b)] = true
			}
		}
	}
	return found
}

// query is a complaint as the search compares it.
type query struct{ terms, pairs []string }

func (ix *searchIndex) query(complaint string) query {
	words, near := map[string]bool{}, map[string]bool{}
	for _, clause := range clauses(complaint) {
		list := terms(clause)
		for i, t := range list {
			if ix.rarity[t] == 0 {
				list[i] = spelt(t, ix.vocabulary)
			}
			words[list[i]] = true
		}
		maps.Copy(near, pairs(list))
	}
	return query{slices.Sorted(maps.Keys(words)), slices.Sorted(maps.Keys(near))}
}

// match is how well an entry fits a complaint.
type match struct {
	Hit
	pairs int     // of terms that stand together in both
	share float64 // of the weight of the complaint's terms, that the entry has
}

func (ix *searchIndex) match(q query, d document) match {
	m := match{Hit: Hit{Entry: d.Entry}}
	fits, all := 0.0, 0.0
	half := saturation * d.length / ix.length
	for _, t := range q.terms {
		rarity, w := ix.rarity[t], d.weights[t]
		if rarity == 0 {
			rarity = unheard
		}
		all += rarity
		if w >= ofAsk {
			fits += rarity
		}
		m.Score += rarity * w / (w + half)
	}
	if m.Score == 0 {
		return m
	}
	m.share = fits / all
	for _, p := range q.pairs {
		if w := d.weights[p]; w > 0 {
			a, b, _ := strings.Cut(p, " ")
			m.Score += pairShare * (ix.rarity[a] + ix.rarity[b]) / 2 * w / (w + half)
			if w >= ofAsk {
				m.pairs++
			}
		}
	}
	best := 0.0
	for i, says := range d.says {
		if like := ix.alike(q, says); like > best {
			best, m.Symptom = like, d.Symptoms[i]
		}
	}
	m.Score += sentence * best
	switch d.BaseRate {
	case Often:
		m.Score += prior
	case Seldom:
		m.Score -= prior
	}
	return m
}

// alike is the weight of a symptom's terms that a complaint has, and less the more it lacks.
func (ix *searchIndex) alike(q query, says []string) float64 {
	has, all := 0.0, 1.0
	for _, t := range says {
		all += ix.rarity[t]
		if _, found := slices.BinarySearch(q.terms, t); found {
			has += ix.rarity[t]
		}
	}
	return has * math.Sqrt(has/all)
}
