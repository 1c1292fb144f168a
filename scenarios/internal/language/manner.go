package language

import (
	"regexp"
	"strings"

	"ullage/harness/spelling"
)

// mostTimes is how often something may happen again in one step.
const mostTimes = 1000

// declaredManners are the manners.
var declaredManners = []Manner{
	{text: `every {duration}, {count} times`,
		Meaning: "so often in all, a period apart; a deadline counts from the first",
		tie: func(c *Compiler, read Args, a *Args) {
			a.period, a.times = read.Span(0), int(read.SI(1))
			if a.times < 2 || a.times > mostTimes {
				c.Problem(read.Text(1)+" times", "2 to 1000 times")
			}
		}},
	{text: `gradually over {duration}`,
		Meaning: "from nothing to what is said, evenly, in that time, and back at once when it ends",
		tie:     func(c *Compiler, read Args, a *Args) { a.over = read.Span(0) }},
}

// lastParts splits what stands in front of a timed phrase where a manner may begin.
var lastParts = regexp.MustCompile(`(?:^|, )(?:every|gradually) .*$`)

// readManner reads the manner at the end of what stands in front of a timed phrase, and returns what is left of it.
func readManner(c *Compiler, text string, a *Args) string {
	at := lastParts.FindStringIndex(text)
	if at == nil {
		return text
	}
	how := strings.TrimPrefix(text[at[0]:], ", ")
	for _, m := range c.language.Manners {
		if read, ok := m.Pattern.read(c, how); ok {
			m.tie(c, read, a)
			return text[:at[0]]
		}
	}
	known := Names(c.language.Manners, func(m Manner) string { return m.Pattern.Shows })
	c.Problem(spelling.Quote(how), "one of: "+strings.Join(known, "; "))
	return text[:at[0]]
}
