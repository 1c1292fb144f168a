package language

import (
	"regexp"
	"slices"
	"strings"
	"sync"

	"ullage/harness"
	"ullage/harness/sitefile"
	"ullage/harness/wording"
)

// fillIn is a phrase with the names and figures that a step has, and with those of its example where the step has none.
func fillIn(p *Phrase, s *said) string {
	var b strings.Builder
	used, left := map[string]bool{}, slices.Clone(s.figures)
	shownBy := p.Example
	if p.Sentences != nil {
		var sites []*sitefile.Site
		if s.site != nil {
			sites = append(sites, s.site)
		}
		shownBy = p.Sentences[0].Entry.Example(p.Sentences[0].Phrase, sites)
	}
	example := p.Made.Expr.FindStringSubmatch(shownBy)
	group := 1
	if p.Timed {
		group = 2
	}
	begin, full := 0, true // of a part that may be left out; whether what stands in it was said
	for _, piece := range wording.Split(p.Pattern) {
		switch piece.Kind {
		case wording.Begin:
			begin, full = b.Len(), true
		case wording.End:
			if !full {
				text := b.String()[:begin]
				b.Reset()
				b.WriteString(text)
			}
		case wording.Literal:
			b.WriteString(piece.Text)
		case wording.Letters:
			if verb.MatchString(b.String()) == one.MatchString(b.String()) { // things get an s when many, verbs when one does
				b.WriteString(piece.Text)
			}
		case wording.Words:
			b.WriteString(form(piece.Text, b.String()))
		case wording.Placeholder:
			said, was := s.at(p, piece.Text, used, &left)
			full = full && was
			shown := ""
			if group < len(example) {
				shown = example[group]
			}
			group += len(find(piece.Text, p.Figures).readers)
			switch {
			case was:
				b.WriteString(said)
			case piece.Text == "for":
			case piece.Text == "within" && shown != "":
				b.WriteString("within " + shown)
			case isDevice(piece.Text) || piece.Text == "site" || piece.Text == "alert":
				b.WriteString(`"` + shown + `"`)
			default:
				b.WriteString(shown)
			}
		}
	}
	return b.String()
}

// one is a text that ends in a single thing.
var one = regexp.MustCompile(`(?:^|\s)1(?: [a-zA-Z]+)?(?: "[^"]*")?(?: [a-z]+)?$`)

// verb is a text that ends in a verb whose letters may be missing.
var verb = regexp.MustCompile(`(?:pass|arrive)$`)

// form is one of two words: the first behind a single thing.
func form(words, before string) string {
	singular, plural, _ := strings.Cut(words, "/")
	if plural == "" || one.MatchString(strings.TrimSpace(before)) {
		return singular
	}
	return plural
}

func isDevice(name string) bool {
	return slices.ContainsFunc(Devices, func(d device) bool { return d.Placeholder == name })
}

// at is what stands at a placeholder by what was said: a device that was named, or the only one of its kind; a figure of
// its dimension; an alert whose name was said.
func (s *said) at(p *Phrase, name string, used map[string]bool, left *[]figure) (text string, was bool) {
	if name == "alert" {
		return s.alert()
	}
	if isDevice(name) {
		device := s.nameFor(name, used)
		if device == "" {
			device = s.only(name)
		}
		used[device] = true
		return `"` + device + `"`, device != ""
	}
	wants := wantOf(p, name, false)
	kind := wants[len(wants)-1].kind
	i := slices.IndexFunc(*left, func(f figure) bool { return f.kind == kind })
	if name == "within" && i < 0 {
		if at := slices.IndexFunc(*left, func(f figure) bool { return f.kind == "time" }); at >= 0 {
			text := "by " + (*left)[at].text
			*left = slices.Delete(*left, at, at+1)
			return text, true
		}
	}
	if i < 0 {
		return "", false
	}
	text = (*left)[i].text
	*left = slices.Delete(*left, i, i+1)
	switch name {
	case "within":
		text = "within " + text
	case "for":
		text = " for " + text
	case "clock":
		text = "Monday " + text
	}
	return text, true
}

// only is the one device of a kind that the site has; of several the one that shares a part of its name with the text,
// or the first.
func (s *said) only(kind string) string {
	if s.site == nil {
		return ""
	}
	for _, d := range Devices {
		if d.Placeholder != kind {
			continue
		}
		names := d.Names(s.site)
		for _, name := range names {
			parts := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return r == '-' || r == ' ' })
			if strings.Contains(upper.Replace(s.text), parts[len(parts)-1]) {
				return name
			}
		}
		if len(names) > 0 {
			return names[0]
		}
	}
	return ""
}

// upper are words that people have for the contacts of a tank.
var upper = strings.NewReplacer("upper", "high", "top float", "high float", "full", "high", "lower", "low", "bottom", "low")

// alert is the alert most of whose words were said.
func (s *said) alert() (string, bool) {
	if len(s.alerts) > 0 {
		return `"` + s.alerts[0] + `"`, true
	}
	best, most := "", 0.0
	for _, name := range harness.AlertNames() {
		if s.raises != nil && !slices.Contains(s.raises, name) {
			continue
		}
		n := 0.0
		for word := range alertAbout()[name] {
			if s.has(word) {
				n++
			}
		}
		if n > most {
			best, most = name, n
		}
	}
	return `"` + best + `"`, best != ""
}

// alertsOf are the alerts that a site has a rule for, and those that need none.
func alertsOf(site *sitefile.Site) []string {
	all := []string{harness.AlertRestarted, harness.AlertSettingsLost, harness.AlertLowBattery}
	for _, rule := range harness.Rules(site) {
		if rule.Name != "messages" { // they carry every alert, and raise none
			all = append(all, rule.Alerts...)
		}
	}
	return all
}

// alertAbout is, of each alert, the words that say what it is about.
var alertAbout = sync.OnceValue(func() map[string]map[string]bool {
	all := map[string]map[string]bool{}
	for _, name := range harness.AlertNames() {
		all[name] = map[string]bool{}
		for _, word := range hear(name+" "+alertWords[name], nil).words {
			all[name][word] = true
		}
	}
	return all
})

// alertWords are further words that people say of what an alert is about.
var alertWords = map[string]string{harness.AlertFlowWithoutCall: "leak burst pipe unexpected",
	harness.AlertSpill: "overflow rim", harness.AlertProbeFault: "probe reading sensor", harness.AlertDryRun: "low water empty cistern dry",
	harness.AlertFillLockedOut: "given up lockout", harness.AlertRestarted: "restart",
	harness.AlertLowBattery: "flat charge", harness.AlertNoFlow: "no-flow flow", harness.AlertClockNotSet: "time"}
