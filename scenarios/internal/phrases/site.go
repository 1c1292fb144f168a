package phrases

import (
	"errors"
	"strings"

	"ullage/harness"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
	"ullage/scenarios/internal/feature"
	"ullage/scenarios/internal/language"
)

// sitePhrases name the site and the state that it begins in.
var sitePhrases = []language.Phrase{
	{
		Kind: feature.Given, Pattern: `the site {site}`,
		Meaning: "The scenario runs on this site. It is the first step.",
		Example: `the site "tern-lane"`,
		Compile: func(c *language.Compiler, a language.Args) { openSite(c, a.Text(0)) },
	},
	{
		Kind: feature.Given, Pattern: `it is {clock}`,
		Meaning: "The controller's clock at the beginning of the run.",
		Example: `it is Monday 05:50`,
		Compile: func(c *language.Compiler, a language.Args) { c.Set("controller/settings/clock", a.Text(0)) },
	},
	{
		Kind: feature.Given, Pattern: `it is {time}`,
		Meaning: "The controller's clock at the beginning of the run, on the day that the site file says.",
		Example: `it is 05:50`,
		Compile: func(c *language.Compiler, a language.Args) {
			day := "Monday"
			if c.Site != nil && c.Site.Controller.Settings.Clock != "" {
				day, _, _ = strings.Cut(c.Site.Controller.Settings.Clock, " ")
			}
			c.Set("controller/settings/clock", day+" "+a.Text(0))
		},
	},
	{
		Kind: feature.Given, Pattern: `the level in {tank} is {length}`,
		Meaning: "The water in the tank stands so high above its floor when the run begins.",
		Example: `the level in "header-tank" is 300 mm`,
		Compile: func(c *language.Compiler, a language.Args) { c.Set("tanks/"+a.Text(0)+"/starts", a.Text(1)) },
	},
	{
		Kind: feature.Given, Pattern: `the pressure vessel of {pump} has {share} of its air left`,
		Meaning: "The vessel of a pump with a pressure switch has taken in water in the place of its air.",
		Example: `the pressure vessel of "set" has 10 % of its air left`,
		Compile: func(c *language.Compiler, a language.Args) {
			c.Set("pumps/"+a.Text(0)+"/pressure-switch/air", a.Text(1))
		},
	},
	{
		Kind: feature.Given, Pattern: `the soil of {bed} holds {share} water`,
		Meaning: "The water content of the root zone, by volume, when the run begins.",
		Example: `the soil of "bed" holds 20 % water`,
		Compile: func(c *language.Compiler, a language.Args) { c.Set("beds/"+a.Text(0)+"/starts", a.Text(1)) },
	},
}

// open takes the site of the scenario.
func openSite(c *language.Compiler, name string) {
	if c.Script.Site != "" {
		c.Fail("a second site; expected one")
		return
	}
	c.Script.Site = name
	site, err := c.Sites(name)
	var mistakes *sitefile.Mistakes
	switch {
	case errors.As(err, &mistakes):
		first := feature.SiteProblem((*mistakes)[0])
		first.Excerpt = ""
		c.FailOfSite("mistakes in the file of the site %q: %d, the first: %v", name, len(*mistakes), first)
		return
	case err != nil:
		c.Fail("%v", err)
		return
	}
	c.Site = site.Copy()
	for _, v := range site.Valves {
		if v.Drive != sitefile.SpringReturn {
			c.Need(harness.BothPolarities)
		}
	}
	const grace = 10 // s, common practice, no source
	c.Settled = language.Span(site.Controller.Boots.SI+site.WiFi.Joins.Or(2).SI) + grace*signal.Second
}

// Settings are the values of the controller's settings that a scenario may change: their names, and their places in the
// site file.
var Settings = []struct{ Name, value, Path, Example string }{
	{"the longest run of a fill", "duration", "fill/longest-run", "10 min"},
	{"the pause after a failed fill", "duration", "fill/pause", "5 min"},
	{"the number of failed fills before the lock-out", "count", "fill/attempts", "2"},
	{"the debounce of the contacts", "duration", "fill/debounce", "1 s"},
	{"the debounce of the interlock", "duration", "interlock/debounce", "2 s"},
	{"the pump restart delay", "duration", "interlock/restart-in", "1 min"},
	{"the cycle of the moisture rule", "duration", "moisture/cycle", "6 min"},
	{"the soak of the moisture rule", "duration", "moisture/soak", "20 min"},
	{"the number of cycles before the moisture rule gives up", "count", "moisture/attempts", "6"},
	{"the rest of the moisture rule", "duration", "moisture/rest-after", "6 h"},
	{"the reading below which the moisture rule starts", "share", "moisture/starts-below", "45 %"},
	{"the reading at which the moisture rule stops", "share", "moisture/stops-at", "60 %"},
	{"the run limit of remote starts", "duration", "remote/longest-run", "15 min"},
	{"the time without flow that is an alarm", "duration", "flow-alarms/no-flow-after", "1 min"},
	{"the shortest time between two alerts of one kind", "duration", "alerts/repeat-after", "1 h"},
	{"the number of alerts kept without a connection", "count", "alerts/kept", "16"},
	{"the reporting interval", "duration", "report-every", "15 min"},
}

// formerSettings are names that settings had before.
var formerSettings = map[string]string{"the pump restart delay": "the time that the interlock keeps a stopped pump off"}

// settingPhrases makes a phrase of each setting.
func settingPhrases() []language.Phrase {
	var phrases []language.Phrase
	for _, s := range Settings {
		var formerly []string
		if old, ok := formerSettings[s.Name]; ok {
			formerly = []string{old + " is {" + s.value + "}"}
		}
		phrases = append(phrases, language.Phrase{
			Kind: feature.Given, Pattern: s.Name + " is {" + s.value + "}", Formerly: formerly,
			Meaning: "The controller is set up so: controller/settings/" + s.Path + " of the site file.",
			Example: s.Name + " is " + s.Example,
			Compile: func(c *language.Compiler, a language.Args) { c.Set("controller/settings/"+s.Path, a.Text(0)) },
		})
	}
	return phrases
}

// timePhrases let time pass.
var timePhrases = []language.Phrase{
	{
		Kind: feature.Given, Pattern: `{duration} has/have passed`,
		Meaning: "So much time goes by before the story begins. Outcomes are not observed during it.",
		Example: `10 min have passed`,
		Compile: func(c *language.Compiler, a language.Args) { c.Pass(a.Span(0)) },
	},
	{
		Kind: feature.When, Pattern: `{duration} pass(es)`,
		Meaning: "So much time goes by after what happened last.",
		Example: `6 hours pass`,
		Compile: func(c *language.Compiler, a language.Args) { c.Pass(a.Span(0)) },
	},
	{
		Kind: feature.When, Pattern: `the clock reaches {time}`,
		Meaning: "Time goes by until it is this time of day, by the clock that the controller begins with.",
		Example: `the clock reaches 06:30`,
		Compile: func(c *language.Compiler, a language.Args) {
			wait := c.Until(a.Span(0))
			if wait == 0 {
				wait = signal.Day
			}
			c.Pass(wait)
		},
	},
}
