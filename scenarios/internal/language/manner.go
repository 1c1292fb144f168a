package language

import (
	"regexp"
	"strings"

	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/spelling"
)

// Manner is a way in which a fault or stimulus happens: again and again, or slowly. It stands alone or behind what says
// when, and a comma.
type Manner struct {
	text    string
	Meaning string
	tie     func(c *Compiler, read Args, a *Args)
	Pattern *pattern
}

// mostTimes is how often something may happen again in one step.
const mostTimes = 1000

// declaredManners are the manners.
var declaredManners = []Manner{
	{text: `every {duration}, {count} times`, Meaning: "so often in all, a period apart; a deadline counts from the first",
		tie: func(c *Compiler, read Args, a *Args) {
			a.period, a.times = read.Span(0), int(read.SI(1))
			if a.times < 2 || a.times > mostTimes {
				c.Problem(read.Text(1)+" times", "2 to 1000 times")
			}
		}},
	{text: `gradually over {duration}`, Meaning: "from nothing to what is said, evenly, in that time, and back at once when it ends",
		tie: func(c *Compiler, read Args, a *Args) { a.over = read.Span(0) }},
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

// mannered is the turns of an act in the manner that was asked for. entry is the fault's; nil for a stimulus.
func (c *Compiler) mannered(turns []fault.Turn, entry *fault.Entry, a Args) []fault.Turn {
	if a.over > 0 {
		turns = c.gradual(turns, entry, a)
	}
	for _, t := range turns {
		if t.Over > 0 && t.Until <= t.Over {
			c.Fail("it is to end after %v, before it has come gradually over %v; expected a longer window", t.Until, t.Over)
			return turns
		}
	}
	if a.times > 0 {
		return c.repeated(turns, a)
	}
	return turns
}

// gradual has the knobs go to their values over a time. Only what has a degree can.
func (c *Compiler) gradual(turns []fault.Turn, entry *fault.Entry, a Args) []fault.Turn {
	if entry == nil || !entry.HasDegree() {
		c.Fail("this cannot come gradually: it is there or not; gradually is for faults with a figure that grows")
		return turns
	}
	for i := range turns {
		turns[i].Over = a.over
	}
	return turns
}

// repeated is the turns made again and again. Each must have ended before the next begins.
func (c *Compiler) repeated(turns []fault.Turn, a Args) []fault.Turn {
	var all []fault.Turn
	for _, t := range turns {
		if t.Until >= a.period {
			c.Fail("it happens again every %s and lasts %s; expected it to end before it begins again, e.g. \"... for 10 s\"",
				quantity.Format(a.period.Seconds(), quantity.Duration), lasts(t.Until))
			return turns
		}
	}
	for n := range a.times {
		for _, t := range turns {
			t.From += signal.Time(n) * a.period
			t.Until += signal.Time(n) * a.period
			all = append(all, t)
		}
	}
	return all
}

func lasts(until signal.Time) string {
	if until == signal.Never {
		return "to the end of the run"
	}
	return quantity.Format(until.Seconds(), quantity.Duration)
}
