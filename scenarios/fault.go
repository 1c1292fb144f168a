package scenarios

import (
	"errors"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/sitefile"
)

// sentence is a phrase of an entry of the catalogue of faults.
type sentence struct {
	entry  fault.Entry
	phrase fault.Phrase
}

// faultPhrases makes the phrases of the catalogue. One that several entries declare is one phrase, whose figures choose among
// them.
func faultPhrases() []Phrase {
	shared := map[string][]sentence{}
	var patterns []string
	for _, e := range fault.Catalogue() {
		for _, p := range e.Phrases {
			if shared[p.Pattern] == nil {
				patterns = append(patterns, p.Pattern)
			}
			shared[p.Pattern] = append(shared[p.Pattern], sentence{e, p})
		}
	}
	var phrases []Phrase
	for _, pattern := range patterns {
		phrases = append(phrases, faultPhrase(shared[pattern]))
	}
	return phrases
}

func faultPhrase(sentences []sentence) Phrase {
	e, p := sentences[0].entry, sentences[0].phrase
	made := Phrase{Kind: Given | When, Timed: true, Pattern: p.Pattern, Meaning: p.Meaning,
		figures: e.Figures(p), sentences: sentences}
	if e.Event {
		made.Kind = When
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
	made.compile = func(c *compiler, a args) { c.inject(sentences, a) }
	return made
}

// ReadFault reads a step that injects a fault of the catalogue on a site, without what may stand in front to say when and how.
func ReadFault(site *sitefile.Site, step string) (fault.Injection, error) {
	c := &compiler{language: language(), step: Step{Kind: When, Text: step}, site: site}
	found := c.match(c.step)
	if found == nil {
		return fault.Injection{}, c.problems
	}
	a, _ := found.pattern.read(c, step)
	if len(c.problems) > 0 {
		return fault.Injection{}, c.problems
	}
	in, _, err := injection(found.sentences, site, a)
	return in, err
}

// injection is what a sentence of the catalogue injects: by the first of its entries that takes its figures.
func injection(sentences []sentence, site *sitefile.Site, a args) (fault.Injection, fault.Entry, error) {
	var refusals []error
	for _, s := range sentences {
		target := s.entry.DeviceKind
		if !s.entry.Single() && len(a.values) > 0 {
			target = a.text(0)
		}
		in, err := s.entry.Read(s.phrase, site, target, a.figures, a.window)
		if err == nil {
			err = s.entry.Fits(site, target)
		}
		if err == nil {
			return in, s.entry, nil
		}
		refusals = append(refusals, err)
	}
	return fault.Injection{}, fault.Entry{}, errors.Join(refusals...)
}

// inject makes a fault of the catalogue happen: as a Given it stands from the beginning of the run to its end, as a When it begins
// at the cursor or after its event.
func (c *compiler) inject(sentences []sentence, a args) {
	if c.site == nil {
		return
	}
	in, entry, err := injection(sentences, c.site, a)
	if err != nil {
		c.fail("%v", err)
		return
	}
	turns, err := fault.Turns(in)
	if err != nil {
		c.fail("%v", err)
		return
	}
	c.needContact(in.Target)
	c.needProbe(in.Target)
	c.need(faultNeeds[in.Fault]...)
	act := harness.Act{Fault: in.Fault, Target: in.Target, Turns: c.mannered(turns, &entry, a), Mark: in.Fault + " " + in.Target}
	if c.step.Kind != Given {
		c.happen(act, a)
		return
	}
	if a.window > 0 || a.event != nil || a.over > 0 || a.times > 0 {
		c.fail("a fault as a Given has been there all along; one that begins or ends in the story is a When")
	} else {
		c.contradicts(act)
	}
	act.Given = true
	c.append(act)
}
