package worksheet

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness/fault"
	"ullage/harness/sitefile"
)

const small = `title: Small
severities:
  - {name: critical, meaning: Great loss.}
  - {name: marginal, meaning: Small loss.}
rows:
  - fault: valve.stuck-open
    end-effect: The cellar is under water.
    detection: The meter counts without a call.
    severity: critical
  - item: settings
    mode: longest run far too long
    cause: Hours for minutes.
    local-effect: A fill is not ended.
    end-effect: Water wasted.
    detection: By nobody.
    severity: marginal
    scenarios: ["@mode-too-long"]
`

func TestRowsTakeFromTheCatalogueWhatTheyDoNotSay(t *testing.T) {
	w, err := Read("hazards.yaml", []byte(small))
	require.NoError(t, err)
	entry, _ := fault.Find("valve.stuck-open")
	row := w.Rows[0].Full()
	assert.Equal(t, entry.DeviceKind, row.Item)
	assert.Equal(t, entry.Name, row.Mode)
	assert.Equal(t, entry.Mechanism, row.Cause)
	assert.Equal(t, entry.LocalEffect, row.LocalEffect)
	assert.Equal(t, "The cellar is under water.", row.EndEffect, "what a row says itself counts")
	assert.Equal(t, []string{"@fault-valve.stuck-open"}, w.Rows[0].Tags())
	assert.Equal(t, w.Rows[1], w.Rows[1].Full())
}

func TestTagsOfRowsAndScenarios(t *testing.T) {
	w, err := Read("hazards.yaml", []byte(small))
	require.NoError(t, err)
	assert.NoError(t, w.UnmatchedRowTags([]string{"@mode-too-long"}), "a fault that no scenario injects is no mistake")
	assert.True(t, w.Rows[0].Open([]string{"@mode-too-long"}))
	assert.False(t, w.Rows[1].Open([]string{"@mode-too-long"}))

	var mistakes *sitefile.Mistakes
	require.ErrorAs(t, w.UnmatchedRowTags([]string{"@mode-too-lang"}), &mistakes)
	assert.Contains(t, mistakes.Error(), `hazards.yaml:17:17: read "@mode-too-long": no scenario has this tag`)
	assert.Contains(t, mistakes.Error(), `did you mean "@mode-too-lang"?`)
	assert.Equal(t, []string{"@mode-other"},
		w.UnmatchedModeTags([]string{"@mode-too-long", "@mode-other", "@good-day"}))
}

func TestBadWorksheets(t *testing.T) {
	const head = "title: Small\nseverities:\n  - {name: critical, meaning: Great loss.}\nrows:\n"
	for name, c := range map[string]struct{ text, want string }{
		"not YAML":      {"rows: [", "hazards.yaml:1:"},
		"nothing":       {"", "hazards.yaml:1:1: read nothing"},
		"a list":        {"- a", "expected the keys title, scope, severities, rows"},
		"a title alone": {"title: Small", `read nothing for "severities"`},
		"an unknown key": {head + "  - {fault: valve.weeps, detecton: none, severity: critical}",
			`hazards.yaml:5:26: read "detecton": unknown key`},
		"an unknown fault": {head + "  - {fault: valve.weaps, detection: none, severity: critical}",
			`hazards.yaml:5:13: read "valve.weaps"; expected the ID of a fault in the catalogue (ullage faults lists them); did you mean "valve.weeps"?`},
		"an unknown severity": {head + "  - {fault: valve.weeps, detection: none, severity: critcal}",
			`read "critcal"; expected a severity of this file: critical; did you mean "critical"?`},
		"a class that is twice": {"title: Small\nseverities:\n  - {name: critical, meaning: a}\n  - {name: critical, meaning: b}\nrows: []", "hazards.yaml:4:12: read \"critical\": this class is there already"},
		"a fault that is twice": {head + "  - {fault: valve.weeps, detection: none, severity: critical}\n  - {fault: valve.weeps, detection: none, severity: critical}",
			"hazards.yaml:6:13: read \"valve.weeps\": this fault has a row already; expected each fault of the catalogue in one row"},
		"no fault and no item": {head + "  - {mode: m, cause: c, local-effect: l, end-effect: e, detection: none, severity: critical}", `hazards.yaml:5:5: read nothing for "item"`},
		"a tag without @":      {head + "  - {fault: valve.weeps, detection: none, severity: critical, scenarios: [mode-x]}", `read "mode-x"; expected a tag of scenarios in quotes`},
		"a number for a text":  {head + "  - {fault: valve.weeps, detection: 7, severity: critical}", "a number"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := Read("hazards.yaml", []byte(c.text))
			var mistakes *sitefile.Mistakes
			require.ErrorAs(t, err, &mistakes)
			assert.Contains(t, err.Error(), c.want)
		})
	}
}

// What the message about a missing row offers can be pasted as it is.
func TestANewRowCanBePasted(t *testing.T) {
	for _, e := range fault.Catalogue() {
		w, err := Read(
			"hazards.yaml",
			[]byte("title: Small\nseverities:\n  - {name: marginal, meaning: m}\nrows:\n"+NewRow(e, "marginal")),
		)
		require.NoError(t, err, e.ID)
		assert.Equal(t, e.ID, w.Rows[0].Fault)
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(small))
	f.Fuzz(func(t *testing.T, text []byte) {
		w, err := Read("hazards.yaml", text)
		assert.True(t, (w == nil) == (err != nil), "a worksheet or its mistakes")
	})
}
