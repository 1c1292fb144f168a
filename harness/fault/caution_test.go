package fault

import (
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
)

// What a check must say before it lets anybody do something that can hurt. A pattern is looked for in lower case.
var rules = []struct{ does, says, why string }{
	{`open(s|ed)? (it\b|the body|a joint|the strainer|anything)|opens the body|unscrew|blow through`,
		`isolat.*reliev|tester`, "opens what is under pressure"},
	{`take (a nozzle|the screen|the plunger) out|vent screw|drag pointer|behind it.*gauges fitted`,
		`reliev|left on the tap`, "opens what is under pressure"},
	{`\bohms\b|resistance of|bridge|take[sn]? (the|its|it) .*\b(lead|wire|wires)\b`, `switch(ed)? off|power off|unplugged`,
		"touches a lead"},
	{`voltage|volts`, `qualified|ghost volts|label|extra-low voltage|zero volts`, "measures a voltage"},
	{`contactor|preventer|mains (wiring|side)|fuses|sockets|motor`, `electrician|licensed|isolator|look for a hose|storm|drag`,
		"is at the mains, a pump's wiring or a preventer"},
	{`pump.*(open|touch)`, `isolat`, "works at a pump"},
}

func TestChecksKeepTheRules(t *testing.T) {
	for _, e := range Catalogue() {
		check := strings.ToLower(e.Check)
		for _, r := range rules {
			if regexp.MustCompile(r.does).MatchString(check) {
				assert.Regexp(t, regexp.MustCompile(r.says), check, "the check of %s %s", e.ID, r.why)
			}
		}
		assert.NotRegexp(t, `live terminal|measure the (supply|voltage)|at the motor`, check, "the check of %s", e.ID)
	}
}

// One line of caution stands under every check: it fits a line of a terminal, and speaks of what can hurt there.
func TestEveryCheckHasItsCaution(t *testing.T) {
	speaks := map[string]string{"pump": "hot", "tank": "legionella", "supply": "call the supplier", "valve": "relieve",
		"backflow preventer": "licensed", "outlet": "fog", "pipe": "relieve", "power": "electrician"}
	for _, e := range Catalogue() {
		line := e.Caution()
		assert.LessOrEqual(t, utf8.RuneCountInString(line), 115, e.ID)
		assert.Contains(t, line, speaks[e.DeviceKind], e.ID)
		assert.Contains(t, e.Describe(nil), line, e.ID)
		listed := strings.Join(strings.Fields(Listed([]Hit{{Entry: e}})), " ")
		assert.Contains(t, listed, e.Check+" "+line, "the caution of %s must stand under its check", e.ID)
	}
	assert.LessOrEqual(t, utf8.RuneCountInString(Caution), 120)
}
