package language

import (
	"regexp"
	"slices"
	"strings"

	"ullage/harness/sitefile"
)

// jam is what a step says of a contact that no longer moves: whether it is operated or released, and whether its
// circuit is closed or open. Either is "" where it is not said, or does not follow from the site.
type jam struct {
	said           bool
	state, circuit string
}

var (
	stuckContact = regexp.MustCompile(`\b(?:stuck|sticks?|sticking|jam(?:s|med)?|seized|caught|held|holds|` +
		`weld(?:s|ed)?|fused)\b(?: (?:\w+ ){0,2}?(open|closed|shut|up|down)\b)?`)
	movedByHand = regexp.MustCompile(`\b(?:is |gets? |are )?(?:lifted|(?:raised|pulled|pushed|pressed|held) (up|down))\b`)
	fused       = regexp.MustCompile(`weld|fused`)
	aContact    = regexp.MustCompile(`\b(?:floats?|switch|contacts?|reed)\b`)
)

// takeJam puts the words of the phrases in the place of those for a contact that is stuck closed, open, up or down. A
// contact is closed when operated if it is normally open; where the site does not say, only its lead is spoken of.
func takeJam(text string, site *sitefile.Site) (plain string, j jam) {
	lower := strings.ToLower(text)
	contact, about := contactOf(lower, site)
	expr := movedByHand
	if !expr.MatchString(lower) {
		expr = stuckContact
	}
	found := expr.FindStringSubmatch(lower)
	if !about || found == nil {
		return text, jam{}
	}
	how := found[1]
	switch {
	case expr == movedByHand && how == "":
		how = "up"
	case how == "shut", how == "" && fused.MatchString(found[0]):
		how = "closed"
	case how == "":
		return text, jam{}
	}
	j.said = true
	if how == "open" || how == "closed" {
		j.circuit = how
	}
	if contact != nil {
		operated := (how == "closed") == (contact.Normally == "open")
		if j.circuit == "" {
			operated = (how == "up") == (contact.Operates.SI > contact.Releases.SI)
		}
		j.state = "released"
		if operated {
			j.state = "operated"
		}
	}
	by := map[string]string{"operated": "jams operated", "released": "jams released"}[j.state]
	if by == "" {
		by = map[string]string{"closed": "lead is shorted", "open": "lead breaks"}[j.circuit]
	}
	if by == "" {
		by = "jams"
	}
	at := expr.FindStringIndex(lower)
	return lower[:at[0]] + by + lower[at[1]:], j
}

// contactOf is the contact that a text names, or the only one that shares a word with it; about reports whether the
// text is about a contact at all and names neither valve nor pump.
func contactOf(text string, site *sitefile.Site) (contact *sitefile.Contact, about bool) {
	about = aContact.MatchString(text)
	if site == nil {
		return nil, about
	}
	for i := range site.Contacts {
		if strings.Contains(text, strings.ToLower(site.Contacts[i].Name)) {
			return &site.Contacts[i], true
		}
	}
	for _, kind := range []string{"valve", "pump"} {
		if strings.Contains(text, kind) || slices.ContainsFunc(namesOf(kind, site), func(name string) bool {
			return strings.Contains(text, strings.ToLower(name))
		}) {
			return nil, false
		}
	}
	shared := 0
	for i, one := range site.Contacts {
		parts := strings.Split(strings.ToLower(one.Name), "-")
		if strings.Contains(upper.Replace(text), parts[len(parts)-1]) {
			contact = &site.Contacts[i]
			shared++
		}
	}
	if shared != 1 {
		contact = nil
	}
	return contact, about
}

func namesOf(kind string, site *sitefile.Site) []string {
	i := slices.IndexFunc(Devices, func(d device) bool { return d.Placeholder == kind })
	return Devices[i].Names(site)
}

// contradicts reports whether a phrase of a contact says another state, or another circuit, than the jam.
func (j jam) contradicts(k *known) bool {
	has := func(word string) bool { return slices.Contains(k.pattern, concept(word)) }
	if !j.said || !slices.ContainsFunc(k.wants, func(w want) bool { return w.kind == "contact" }) {
		return false
	}
	switch {
	case has("jams") && has("released") && j.state != "released", has("jams") && has("operated") && j.state != "operated":
		return true
	case j.circuit == "closed" && has("lead") && has("breaks"), j.circuit == "open" && has("shorted"):
		return true
	}
	return false
}
