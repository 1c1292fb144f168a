package scenarios

import (
	"errors"
	"maps"
	"slices"

	"ullage/harness"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// sitePhrases name the site and the state that it begins in.
var sitePhrases = []Phrase{
	{
		Kind: Given, Pattern: `the site {site}`,
		Meaning: "The scenario runs on this site. It is the first step.",
		Example: `the site "tern-lane"`,
		compile: func(c *compiler, a args) { c.open(a.text(0)) },
	},
	{
		Kind: Given, Pattern: `it is {clock}`,
		Meaning: "The controller's clock at the beginning of the run.",
		Example: `it is Monday 05:50`,
		compile: func(c *compiler, a args) { c.set("controller/settings/clock", a.text(0)) },
	},
	{
		Kind: Given, Pattern: `the level in {tank} is {length}`,
		Meaning: "The water in the tank stands so high above its floor when the run begins.",
		Example: `the level in "header-tank" is 300 mm`,
		compile: func(c *compiler, a args) { c.set("tanks/"+a.text(0)+"/starts", a.text(1)) },
	},
	{
		Kind: Given, Pattern: `the pressure vessel of {pump} has {share} of its air left`,
		Meaning: "The vessel of a pump with a pressure switch has taken in water in the place of its air.",
		Example: `the pressure vessel of "set" has 10 % of its air left`,
		compile: func(c *compiler, a args) { c.set("pumps/"+a.text(0)+"/pressure-switch/air", a.text(1)) },
	},
	{
		Kind: Given, Pattern: `the soil of {bed} holds {share} water`,
		Meaning: "The water content of the root zone, by volume, when the run begins.",
		Example: `the soil of "bed" holds 20 % water`,
		compile: func(c *compiler, a args) { c.set("beds/"+a.text(0)+"/starts", a.text(1)) },
	},
}

// open takes the site of the scenario.
func (c *compiler) open(name string) {
	if c.script.Site != "" {
		c.fail("a second site; expected one")
		return
	}
	c.script.Site = name
	site, err := c.sites(name)
	var mistakes *sitefile.Mistakes
	switch {
	case errors.As(err, &mistakes):
		first := siteProblem((*mistakes)[0])
		first.Excerpt = ""
		c.fail("mistakes in the file of the site %q: %d, the first: %v", name, len(*mistakes), first)
		return
	case err != nil:
		c.fail("%v", err)
		return
	}
	c.site = site.Copy()
	for _, v := range site.Valves {
		if v.Drive != sitefile.SpringReturn {
			c.need(harness.BothPolarities)
		}
	}
	const grace = 10 // s, common practice, no source
	c.settled = span(site.Controller.Boots.SI+site.WiFi.Joins.Or(2).SI) + grace*signal.Second
}

// settings are the values of the controller's settings that a scenario may change: their names, and their places in the
// site file.
var settings = []struct{ name, value, path, example string }{
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
func settingPhrases() []Phrase {
	var phrases []Phrase
	for _, s := range settings {
		var formerly []string
		if old, ok := formerSettings[s.name]; ok {
			formerly = []string{old + " is {" + s.value + "}"}
		}
		phrases = append(phrases, Phrase{
			Kind: Given, Pattern: s.name + " is {" + s.value + "}", Formerly: formerly,
			Meaning: "The controller is set up so: controller/settings/" + s.path + " of the site file.",
			Example: s.name + " is " + s.example,
			compile: func(c *compiler, a args) { c.set("controller/settings/"+s.path, a.text(0)) },
		})
	}
	return phrases
}

// timePhrases let time pass.
var timePhrases = []Phrase{
	{
		Kind: Given, Pattern: `{duration} has/have passed`,
		Meaning: "So much time goes by before the story begins. Outcomes are not observed during it.",
		Example: `10 min have passed`,
		compile: func(c *compiler, a args) { c.pass(a.span(0)) },
	},
	{
		Kind: When, Pattern: `{duration} pass(es)`,
		Meaning: "So much time goes by after what happened last.",
		Example: `6 hours pass`,
		compile: func(c *compiler, a args) { c.pass(a.span(0)) },
	},
}

// sorted lists the names of a table in order.
func sorted(table map[string]harness.Ability) []string { return slices.Sorted(maps.Keys(table)) }
