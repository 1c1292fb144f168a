package fault

import (
	"fmt"
	"math"
	"strings"

	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
	"ullage/harness/wording"
)

// Phrase is one sentence that a scenario says a fault in. Its pattern (see package wording) leaves open the target, by
// the kind of device; parameters by their names, with a "-" in front where the sentence turns the sign round; figures
// that a parameter follows from; and {window}, how long it lasts. Without {window} a sentence may end in "for
// <duration>".
type Phrase struct {
	Pattern string `json:"pattern"`
	Meaning string `json:"meaning,omitempty"`
	// parameters that the words give, in the place of their defaults
	Implies map[string]float64 `json:"implies,omitempty"`
	// Formerly are patterns that the phrase had before, with the same placeholders. A scenario with one is refused with
	// the present wording.
	Formerly []string `json:"-"`
	figures  map[string]figure
}

// figure is what a sentence says in the place of a parameter that follows from it and from the target.
type figure struct {
	parameter string
	dim       quantity.Dimension
	// from what is said to the parameter, and back
	from, to func(site *sitefile.Site, target string, v float64) float64
}

// window is the placeholder of how long a fault lasts.
const window = "window"

// Window reports whether a sentence has a place of its own for how long the fault lasts.
func (p Phrase) Window() bool { return strings.Contains(p.Pattern, "{"+window+"}") }

// Figures are the placeholders of a phrase of the entry at which a figure stands, with its dimension.
func (e Entry) Figures(p Phrase) map[string]quantity.Dimension {
	dims := map[string]quantity.Dimension{}
	for _, piece := range wording.Split(p.Pattern) {
		if piece.Kind != wording.Placeholder {
			continue
		}
		if f, ok := p.figures[piece.Text]; ok {
			dims[piece.Text] = f.dim
		} else if parameter, ok := e.parameter(strings.TrimPrefix(piece.Text, "-")); ok {
			dims[piece.Text] = parameter.Dim
		}
	}
	return dims
}

// Read makes an injection of what stands at the placeholders of a phrase of the entry. Parameters that it does not say
// are those of the phrase, or their defaults. The error says which figure is out of range, in the words of the phrase.
func (e Entry) Read(p Phrase, site *sitefile.Site, target string, said map[string]float64,
	length signal.Time) (Injection, error) {
	in := Injection{Fault: e.ID, Target: target, Params: e.defaults(p), For: length}
	for name, v := range said {
		f, ok := p.figures[name]
		if !ok {
			plain := strings.TrimPrefix(name, "-")
			if plain != name {
				v = -v
			}
			in.Params[plain] = v
			continue
		}
		parameter, _ := e.parameter(f.parameter)
		in.Params[f.parameter] = f.from(site, target, v)
		if value := in.Params[f.parameter]; !(value >= parameter.Min && value <= parameter.Max) {
			return in, outOfRange(e.ID, name, f.dim, v, f.to(site, target, parameter.Min),
				f.to(site, target, parameter.Max))
		}
	}
	return in, in.Check()
}

// defaults are the parameters where a phrase says nothing.
func (e Entry) defaults(p Phrase) map[string]float64 {
	values := map[string]float64{}
	for _, parameter := range e.Parameters {
		values[parameter.Name] = parameter.Default
		if v, ok := p.Implies[parameter.Name]; ok {
			values[parameter.Name] = v
		}
	}
	return values
}

// Sentence says an injection as a step of a scenario, in the first phrase of its entry that can say all of it. Reading
// it gives the same injection, where its figures are such as a decimal number with a unit can give.
func (in Injection) Sentence() (string, error) {
	e, ok := Find(in.Fault)
	if !ok {
		return "", unknown(in.Fault)
	}
	if err := in.Check(); err != nil {
		return "", err
	}
	for _, p := range e.Phrases {
		if text, ok := e.say(p, in, nil); ok {
			return text, nil
		}
	}
	return "", fmt.Errorf("no phrase says %s with the figures %v for %v", in.Fault, in.Params, in.For)
}

// say says an injection in one phrase; ok reports whether it can. With a site it says figures that follow from
// parameters too.
func (e Entry) say(p Phrase, in Injection, site *sitefile.Site) (text string, ok bool) {
	values, implied := e.values(in), e.defaults(p)
	missing := map[string]bool{} // parameters that differ from what the words alone give
	for name, v := range values {
		missing[name] = v != implied[name]
	}
	begin, needed, one := 0, false, false // of a part that may be left out; whether the last figure was 1
	length := in.length()
	for _, piece := range wording.Split(p.Pattern) {
		switch piece.Kind {
		case wording.Begin:
			begin, needed = len(text), false
		case wording.End:
			if !needed {
				text = text[:begin]
			}
		case wording.Letters:
			if !one {
				text += piece.Text
			}
		case wording.Words:
			first, _, _ := strings.Cut(piece.Text, "/")
			text += first
		case wording.Literal:
			text += piece.Text
		case wording.Placeholder:
			switch name := strings.TrimPrefix(piece.Text, "-"); {
			case name == e.DeviceKind:
				text += `"` + in.Target + `"`
			case name == window:
				if length == signal.Never {
					return "", false
				}
				text += quantity.Exact(length.Seconds(), quantity.Duration)
				length = signal.Never
			default:
				v, dim, can := e.figure(p, piece.Text, in, site)
				if !can {
					return "", false
				}
				text += quantity.Exact(v, dim)
				one, needed = v == 1, needed || missing[name]
				missing[name] = false
			}
		}
	}
	for _, is := range missing {
		if is {
			return "", false
		}
	}
	if length == signal.Never {
		return text, true
	}
	return text + " for " + quantity.Exact(length.Seconds(), quantity.Duration), !e.WithoutWindow
}

// figure is what stands at a placeholder when an injection is said; ok reports whether it can be said there. Without a
// site a figure that follows from a parameter is not, since reading it need not give the parameter to the last bit.
func (e Entry) figure(p Phrase, placeholder string, in Injection, site *sitefile.Site) (v float64,
	dim quantity.Dimension, ok bool) {
	values := e.values(in)
	if f, is := p.figures[placeholder]; is {
		if site == nil {
			return 0, 0, false
		}
		return f.to(site, in.Target, values[f.parameter]), f.dim, true
	}
	name := strings.TrimPrefix(placeholder, "-")
	parameter, _ := e.parameter(name)
	if v = values[name]; name != placeholder {
		v = -v
	}
	return math.Abs(v), parameter.Dim, v >= 0
}

// Example is a phrase of the entry with its default figures, at the first target on one of the sites that fits; at a
// device called after its kind where no site has any.
func (e Entry) Example(p Phrase, sites []*sitefile.Site) string {
	site, target := &sitefile.Site{}, e.DeviceKind
	for _, s := range sites {
		if fitting, _ := e.Targets(s); len(fitting) > 0 {
			site, target = s, fitting[0]
			break
		}
	}
	in := e.Injection(target, Typical)
	in.Params = e.defaults(p)
	for name := range e.Figures(p) {
		if plain, turned := strings.CutPrefix(name, "-"); turned {
			in.Params[plain] = -math.Abs(in.Params[plain])
		}
	}
	text, _ := e.say(p, in, site)
	return text
}
