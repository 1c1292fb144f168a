package language

import (
	"regexp"
	"strings"

	"ullage/harness/wording"
)

// FormerOf makes a former wording of a phrase.
func FormerOf(p Phrase, old string) former {
	f := former{Kind: p.Kind, Now: p.Pattern}
	var expr strings.Builder
	if p.Timed {
		expr.WriteString(`(.+?, )?`)
		f.Names = append(f.Names, "")
	}
	for _, piece := range wording.Split(old) {
		switch piece.Kind {
		case wording.Literal:
			expr.WriteString(regexp.QuoteMeta(piece.Text))
		case wording.Begin:
			expr.WriteString("(?:")
		case wording.End:
			expr.WriteString(")?")
		case wording.Letters:
			expr.WriteString("(?:" + piece.Text + ")?")
		case wording.Words:
			expr.WriteString("(?:" + strings.ReplaceAll(piece.Text, "/", "|") + ")")
		case wording.Placeholder:
			h := find(piece.Text, p.Figures)
			expr.WriteString("(" + capturing.ReplaceAllString(h.expr, "(?:$1") + ")")
			f.Names = append(f.Names, piece.Text)
		}
	}
	f.Expr = regexp.MustCompile("^" + expr.String() + "$")
	return f
}

// capturing is the beginning of a group that captures.
var capturing = regexp.MustCompile(`\(([^?])`)

// present is a step in the present wording; ok reports whether it has the former one.
func (f former) present(step string) (text string, ok bool) {
	found := f.Expr.FindStringSubmatch(step)
	if found == nil {
		return "", false
	}
	said := map[string][]string{}
	for i, name := range f.Names {
		said[name] = append(said[name], found[i+1])
	}
	if when := said[""]; when != nil {
		text = when[0]
	}
	begin, full := 0, true // of a part that may be left out; whether what stands in it was said
	for _, piece := range wording.Split(f.Now) {
		switch piece.Kind {
		case wording.Begin:
			begin, full = len(text), true
		case wording.End:
			if !full {
				text = text[:begin]
			}
		case wording.Words:
			first, _, _ := strings.Cut(piece.Text, "/")
			text += first
		case wording.Placeholder:
			list := said[piece.Text]
			if len(list) == 0 || list[0] == "" {
				full = false
				continue
			}
			text, said[piece.Text] = text+list[0], list[1:]
		default:
			text += piece.Text
		}
	}
	return text, true
}
