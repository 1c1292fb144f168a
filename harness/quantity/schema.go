package quantity

import (
	"regexp"
	"strings"

	"ullage/harness/spelling"
)

// Pattern is a regular expression, in the syntax that JSON Schema (ECMA-262) and Go share, for the texts that Parse
// reads as the dimension. It knows the units and the shape of numbers; Parse remains the judge of order, size and
// sense.
func Pattern(d Dimension) string {
	const decimals = `(\d+\.?\d*|\.\d+)([eE][-+−–]?\d+)?`
	const fractions = `(\d+(\s+|-))?\d+[/⁄]0*[1-9]\d*`
	const glyphs = `(\d+\s*)?[½¼¾⅛⅜⅝⅞]`
	number := `(` + fractions + `|` + glyphs + `|` + decimals + `)`
	if Unit(d) == "" && d != Fraction {
		if d == None {
			return spaced(`^\s*[-+−–]?` + number + `\s*((±|\+/?-)\s*\+?` + number + `\s*%?\s*)?$`)
		}
		return spaced(`^\s*[-+−–]?` + number + `\s*$`)
	}
	var spellings []string
	for _, u := range units {
		if u.dim != d {
			continue
		}
		for _, s := range u.texts() {
			spellings = append(spellings, anyGlyph.Replace(regexp.QuoteMeta(s)))
		}
	}
	unit := `(` + strings.Join(spellings, "|") + `)`
	term := number + `\s*` + unit
	if d == Duration || d == Length {
		term += `(\s*` + term + `)*`
	}
	tolerance := `\s*(±|\+/?-)\s*\+?`
	share := number + `\s*(%|percent)`
	if d == Temperature {
		share = term
	}
	return spaced(`^\s*[-+−–]?(` + term + `(` + tolerance + `(` + term + `|` + share + `))?|` + number + tolerance +
		term + `)\s*$`)
}

// spaced opens a pattern to all the blanks that plain takes.
func spaced(pattern string) string { return strings.ReplaceAll(pattern, `\s`, `[\s`+narrowBlanks+`]`) }

// anyGlyph opens the spellings of a unit to the variants that plain takes.
var anyGlyph = strings.NewReplacer(
	"2", `(2|²|\^2)`, "3", `(3|³|\^3)`, "µ", `[µμ]`, "Ω", `[Ω`+"\u2126"+`]`, "°C", `([°º]C|℃)`, "°F", `([°º]F|℉)`,
	`"`, `["″”]`, "'", `['′’]`, " ", `\s+`, "-", "-",
)

// Description says in a sentence what to write, for the description beside Pattern.
func Description(d Dimension) string {
	text := strings.ToUpper(spelling.Article(Name(d))[:1]) + spelling.Article(Name(d))[1:] + ", e.g. " + Examples(d)
	if Unit(d) == "" && d != Fraction {
		return text + "."
	}
	text += ". Units: " + strings.Join(symbols(d), ", ") + "."
	if d == Volume || d == Flow {
		text += " Gallons are US gallons."
	}
	return text
}
