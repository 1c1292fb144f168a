package phrases

import (
	"ullage/harness/outcome"
	"ullage/harness/signal"
	"ullage/scenarios/internal/feature"
	"ullage/scenarios/internal/language"
)

// pipeworkOutcomes judge what gets out of pipes, and what openings and filters do.
var pipeworkOutcomes = []language.Phrase{
	{
		Kind: feature.Then, Pattern: `at most {volume} leaks/leak out of {pipe or drip line}`,
		Meaning: "What gets out through a hole or an open end of a pipe or a drip line. Margin: how much more it could have been.",
		Example: `at most 50 L leak out of "main"`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.Hold(riseAtMost(signal.Part(a.Text(1)).Leaked(), a.SI(0)))
		},
	},
	{
		Kind: feature.Then, Pattern: `the nozzles of {sprinkler} run below working pressure for at most {duration} in all`,
		Formerly: []string{`the nozzles of {sprinkler} are weak for at most {duration} in all`},
		Meaning:  "The time in which water leaves them with less than the pressure that they work above. Margin: how much longer it could have been.",
		Example:  `the nozzles of "sprinklers" run below working pressure for at most 30 s in all`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.HoldAtMost(a.Span(1), outcome.TotalAtMost(isOn(signal.Outlet(a.Text(0)).Weak()), a.Span(1)))
		},
	},
	{
		Kind: feature.Then, Pattern: `the filter {filter} is never blocked by more than {share}`,
		Meaning: "Margin: how much more of its passage could have been blocked.",
		Example: `the filter "filter" is never blocked by more than 80 %`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.CouldFail(a.SI(1) < 0.99, "a filter always passes a hundredth")
			c.Hold(always(signal.Filter(a.Text(0)).Loading(), outcome.AtMost, a.SI(1)))
		},
	},
}
