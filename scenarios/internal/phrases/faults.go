package phrases

import (
	"ullage/harness/fault"
	"ullage/scenarios/internal/feature"
	"ullage/scenarios/internal/language"
)

// faultPhrases makes the phrases of the catalogue. One that several entries declare is one phrase, whose figures choose
// among them.
func faultPhrases() []language.Phrase {
	shared := map[string][]language.Sentence{}
	var patterns []string
	for _, e := range fault.Catalogue() {
		for _, p := range e.Phrases {
			if shared[p.Pattern] == nil {
				patterns = append(patterns, p.Pattern)
			}
			shared[p.Pattern] = append(shared[p.Pattern], language.Sentence{Entry: e, Phrase: p})
		}
	}
	var phrases []language.Phrase
	for _, pattern := range patterns {
		phrases = append(phrases, faultPhrase(shared[pattern]))
	}
	return phrases
}

// faultPhrase is the phrase of one or several entries of the catalogue.
func faultPhrase(sentences []language.Sentence) language.Phrase {
	e, p := sentences[0].Entry, sentences[0].Phrase
	made := language.Phrase{Kind: feature.Given | feature.When, Timed: true, Pattern: p.Pattern, Meaning: p.Meaning,
		Figures: e.Figures(p), Sentences: sentences}
	if e.Event {
		made.Kind = feature.When
	}
	if e.Awaits != "" {
		made.Meaning = "Refused until " + e.Awaits + " are simulated: " + e.ID + " is listed only."
	} else if !e.WithoutWindow && !p.Window() {
		made.Pattern += "{for}"
		for _, old := range p.Formerly {
			made.Formerly = append(made.Formerly, old+"{for}")
		}
	} else {
		made.Formerly = p.Formerly
	}
	made.Compile = func(c *language.Compiler, a language.Args) { c.Inject(sentences, a) }
	return made
}
