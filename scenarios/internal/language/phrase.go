package language

import (
	"regexp"
	"sync"

	"ullage/harness/fault"
	"ullage/harness/outcome"
	"ullage/harness/quantity"
	"ullage/scenarios/internal/feature"
)

// Phrase is one sentence that a step may consist of.
type Phrase struct {
	Kind    feature.Kind
	Pattern string // placeholders in braces, letters that may be missing in parentheses, is/are for one of two words
	Meaning string
	Example string // a step of a shipped site
	// Formerly are patterns that the phrase had before, with the same placeholders: they are refused with the present
	// wording.
	Formerly []string
	Timed    bool // may begin with "as <event>, ", "<duration> after <event>, " or the like

	Figures   map[string]quantity.Dimension // placeholders of the phrase's own at which a figure stands
	Sentences []Sentence                    // of the catalogue of faults that the phrase stands for
	Made      *pattern
	Compile   func(*Compiler, Args)
}

// Text is the phrase as it is printed: what stands in angle brackets is to be filled in, what stands in square brackets
// may be left out.
func (p Phrase) Text() string {
	if p.Timed {
		return "[<when>, ][<how>, ]" + p.Made.Shows
	}
	return p.Made.Shows
}

// Vocabulary is every phrase, event and timing with its pattern made.
type Vocabulary struct {
	Phrases []Phrase
	Events  []Event
	Timings []Timing
	Manners []Manner
	Former  []former

	once   sync.Once // guards the index of the phrases, which is made when a step first asks for it
	search *search
}

// Event is something that a deadline or the beginning of a fault may be tied to.
type Event struct {
	Clause  string // "as <clause>, ..." and "<duration> after <clause>, ..."
	Of      string // "within <duration> of <of>"
	Meaning string

	clause, of *pattern
	Happens    func(*Compiler, Args) outcome.Event
}

// Text is the event as it is printed: as a clause, and as what a deadline counts from.
func (e Event) Text() (clause, of string) { return e.clause.Shows, e.of.Shows }

// Timing is a way to say when a fault or stimulus happens.
type Timing struct {
	Text    string
	Tie     func(c *Compiler, a Args) Args
	Pattern *pattern
}

// Manner is a way in which a fault or stimulus happens: again and again, or slowly. It stands alone or behind what says
// when, and a comma.
type Manner struct {
	text    string
	Meaning string
	tie     func(c *Compiler, read Args, a *Args)
	Pattern *pattern
}

// former is a wording that a phrase no longer has. It is refused with the present one.
type former struct {
	Kind  feature.Kind
	Expr  *regexp.Regexp // one group for what says when and how, where the phrase is timed, and one a placeholder
	Names []string       // of the placeholders, one a group
	Now   string         // the present pattern
}

// Sentence is a phrase of an entry of the catalogue of faults.
type Sentence struct {
	Entry  fault.Entry
	Phrase fault.Phrase
}
