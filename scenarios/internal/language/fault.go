package language

import (
	"errors"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/sitefile"
	"ullage/scenarios/internal/feature"
)

// ReadFault reads a step that injects a fault of the catalogue on a site.
func ReadFault(language *Vocabulary, site *sitefile.Site, step string) (fault.Injection, error) {
	c := &Compiler{language: language, step: feature.Step{Kind: feature.When, Text: step}, Site: site}
	found := c.match(c.step)
	if found == nil {
		return fault.Injection{}, c.problems
	}
	a, _ := found.Made.read(c, step)
	if len(c.problems) > 0 {
		return fault.Injection{}, c.problems
	}
	in, _, err := injection(found.Sentences, site, a)
	return in, err
}

// injection is what a sentence of the catalogue injects: by the first of its entries that takes its figures.
func injection(sentences []Sentence, site *sitefile.Site, a Args) (fault.Injection, fault.Entry, error) {
	var refusals []error
	for _, s := range sentences {
		target := s.Entry.DeviceKind
		if !s.Entry.Single() && len(a.values) > 0 {
			target = a.Text(0)
		}
		in, err := s.Entry.Read(s.Phrase, site, target, a.figures, a.window)
		if err == nil {
			err = s.Entry.Fits(site, target)
		}
		if err == nil {
			return in, s.Entry, nil
		}
		refusals = append(refusals, err)
	}
	return fault.Injection{}, fault.Entry{}, errors.Join(refusals...)
}

// Inject makes a fault of the catalogue happen: as a Given it stands from the beginning of the run to its end, as a
// When it begins at the cursor or after its event.
func (c *Compiler) Inject(sentences []Sentence, a Args) {
	if c.Site == nil {
		return
	}
	in, entry, err := injection(sentences, c.Site, a)
	if err != nil {
		c.Fail("%v", err)
		return
	}
	turns, err := fault.Turns(in)
	if err != nil {
		c.Fail("%v", err)
		return
	}
	c.NeedContact(in.Target)
	c.needProbe(in.Target)
	c.Need(faultNeeds[in.Fault]...)
	act := harness.Act{Fault: in.Fault, Target: in.Target, Turns: c.mannered(turns, &entry, a), Mark: in.Fault + " " +
		in.Target}
	if c.step.Kind != feature.Given {
		c.Happen(act, a)
		return
	}
	if a.window > 0 || a.Event != nil || a.Wait > 0 || a.over > 0 || a.times > 0 {
		c.Fail("a fault as a Given has been there all along; one that begins or ends in the story is a When")
	} else {
		c.contradicts(act)
	}
	act.Given = true
	c.append(act)
}
