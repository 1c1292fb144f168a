package scenarios

import (
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/stand"
	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
	"ullage/scenarios/internal/language"
)

var quotedName = regexp.MustCompile(`"[^"]*"`)

// aimed is the example of a phrase at each device of a site that it may speak of.
func aimed(p Phrase, site *sitefile.Site) []string {
	var list []string
	for _, d := range language.Devices {
		if !strings.Contains(p.Pattern, "{"+d.Placeholder+"}") {
			continue
		}
		for _, name := range d.Names(site) {
			list = append(list, quotedName.ReplaceAllLiteralString(p.Example, strconv.Quote(name)))
		}
	}
	if list == nil {
		list = []string{p.Example}
	}
	return list
}

// Whatever is injected on whichever device of a shipped site, what compiles can be played: what the site lacks is said
// when the feature is checked, and not when it is run.
func TestWhatCompilesTheStandCanPlay(t *testing.T) {
	if testing.Short() {
		t.Skip("nothing runs side by side here")
	}
	b := bench{shipped(t)}
	build := stand.Builder(b.Site, stand.Simulated())
	played, refused := 0, 0
	for _, name := range b.Sites() {
		site, err := b.Site(name)
		require.NoError(t, err)
		var panel *fault.Panel
		for _, p := range Phrases() {
			if p.Kind&When == 0 {
				continue
			}
			for _, step := range aimed(p, site) {
				p.Example = step
				script, problems := b.compile(t, story(name, p))
				if len(problems) > 0 {
					refused++
					continue
				}
				if panel == nil {
					panel = offered(t, build, script)
				}
				for _, act := range script.Acts {
					for _, turn := range act.Turns {
						_, err := panel.Find(turn.Device, turn.Knob)
						assert.NoError(t, err, "%s: %q compiles and cannot be played", name, step)
						played++
					}
				}
			}
		}
	}
	assert.Greater(t, played, 2000)
	assert.Greater(t, refused, 10)
}

// offered are the knobs of the stand of a script.
func offered(t *testing.T, build harness.Builder, script *harness.Script) *fault.Panel {
	made, err := build(t.Context(), script)
	require.NoError(t, err)
	panel, trace := fault.NewPanel(), signal.NewTrace()
	draw := harness.NewDraw(1, "range")
	for _, part := range []harness.Part{made.Site, made.Network} {
		require.NoError(t, part.Open(t.Context(), trace, panel, draw))
	}
	require.NoError(t, harness.OpenController(t.Context(), made.Controller, trace, panel, draw))
	return panel
}
