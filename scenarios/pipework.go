package scenarios

import (
	"ullage/harness/outcome"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// pipeworkOutcomes judge what gets out of pipes, and what openings and filters do.
var pipeworkOutcomes = []Phrase{
	{
		Kind: Then, Pattern: `at most {volume} leaks/leak out of {pipe or drip line}`,
		Meaning: "What gets out through a hole or an open end of a pipe or a drip line. To spare: how much more it could have been.",
		Example: `at most 50 L leak out of "main"`,
		compile: func(c *compiler, a args) { c.hold(riseAtMost(signal.Part(a.text(1)).Leaked(), a.si(0))) },
	},
	{
		Kind: Then, Pattern: `the nozzles of {sprinkler} are weak for at most {duration} in all`,
		Meaning: "The time in which water leaves them with less than the pressure that they work above. To spare: how much longer it could have been.",
		Example: `the nozzles of "sprinklers" are weak for at most 30 s in all`,
		compile: func(c *compiler, a args) {
			c.hold(outcome.TotalAtMost(isOn(signal.Outlet(a.text(0)).Weak()), a.span(1)))
		},
	},
	{
		Kind: Then, Pattern: `the filter {filter} is never blocked by more than {share}`,
		Meaning: "To spare: how much more of its passage could have been blocked.",
		Example: `the filter "filter" is never blocked by more than 80 %`,
		compile: func(c *compiler, a args) {
			c.couldFail(a.si(1) < 0.99, "a filter always passes a hundredth")
			c.hold(always(signal.Filter(a.text(0)).Loading(), outcome.AtMost, a.si(1)))
		},
	},
}

// leaky are the parts that water can get out of.
func leaky(s *sitefile.Site) []string {
	all := names(s.Pipes, func(d sitefile.Pipe) string { return d.Name })
	return append(all, names(s.Laterals, func(d sitefile.Lateral) string { return d.Name })...)
}

// sprinklers are the outlets that need a pressure to work.
func sprinklers(s *sitefile.Site) []string {
	var all []string
	for _, o := range s.Outlets {
		if o.WorksAbove.IsSet() {
			all = append(all, o.Name)
		}
	}
	return all
}
