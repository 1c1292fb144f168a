package scenarios_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/features"
	"ullage/harness/fault"
	"ullage/harness/worksheet"
	"ullage/scenarios"
)

func shippedWorksheet(t *testing.T) (*worksheet.Worksheet, []string) {
	sheet, suiteTags, whole, problems := shipped(t).Worksheet()
	require.Empty(t, problems)
	require.True(t, whole)
	return sheet, suiteTags
}

// Every fault that can act has a row in features/hazards.yaml. The message is what to paste there, below the rows of
// its kind.
func TestEveryFaultHasARow(t *testing.T) {
	sheet, _ := shippedWorksheet(t)
	var rows strings.Builder
	for _, e := range sheet.Missing() {
		rows.WriteString(worksheet.NewRow(e, "marginal"))
	}
	assert.Empty(
		t,
		rows.String(),
		"faults of the catalogue without a row in features/hazards.yaml; paste, and set detection and severity:\n%s",
		rows.String(),
	)
}

// Every fault that is simulated is played by a scenario.
func TestEveryFaultIsPlayed(t *testing.T) {
	_, suiteTags := shippedWorksheet(t)
	for _, e := range fault.Catalogue() {
		if e.Simulated() == nil {
			assert.Contains(t, suiteTags, worksheet.FaultTag(e.ID), "no scenario plays %s", e.ID)
		}
	}
}

const garden = `Feature: Garden
  @mode-knock
  Scenario: A knock
    Given the site "tern-lane"
    When the float of "tank-low" jams operated for 30 ms
    And 30 min pass
    Then the valve "top-up" never opens
`

const gardenSheet = `title: Garden
severities: [{name: marginal, meaning: Small loss.}]
rows:
  - {fault: contact.jammed-operated, detection: none, severity: marginal}
  - {fault: valve.weeps, detection: none, severity: marginal}
  - {item: tank, mode: knocked, cause: a ball, local-effect: l, end-effect: e, detection: none, severity: marginal, scenarios: ["@mode-knock"]}
`

// folder makes a folder of files.
func folder(t *testing.T, files map[string]string) string {
	dir := t.TempDir()
	for name, text := range files {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666))
	}
	return dir
}

func TestWorksheetsOfOnesOwn(t *testing.T) {
	for name, c := range map[string]struct {
		files map[string]string
		open  string // a file in the folder; "" the folder
		want  string // among the problems; "" none
		rows  int
	}{
		"with its folder": {files: map[string]string{"g.feature": garden, "hazards.yaml": gardenSheet},
			rows: 3},
		"beside a feature": {files: map[string]string{"g.feature": garden, "hazards.yaml": gardenSheet},
			open: "g.feature", rows: 3},
		"none": {files: map[string]string{"g.feature": garden}},
		"a tag that no scenario has": {files: map[string]string{"g.feature": strings.Replace(garden, "@mode-knock",
			"@mode-knack", 1), "hazards.yaml": gardenSheet}, want: `hazards.yaml:6:129: read "@mode-knock": no scenario has this tag`, rows: 3},
		"a tag that no row names": {files: map[string]string{"g.feature": strings.Replace(garden, "@mode-knock",
			"@good-day @mode-knack @mode-knock", 1), "hazards.yaml": gardenSheet}, want: `g.feature:2:13: read "@mode-knack"; expected a tag that a row of`, rows: 3},
		"a tag of another feature file": {files: map[string]string{"g.feature": strings.Replace(garden, "@mode-knock",
			"", 1), "hazards.yaml": gardenSheet}, open: "g.feature", rows: 3},
		"bad YAML": {files: map[string]string{"g.feature": garden, "hazards.yaml": "rows: {"},
			want: "hazards.yaml:1:"},
	} {
		t.Run(name, func(t *testing.T) {
			l, _, err := scenarios.Load(features.Files, []string{filepath.Join(folder(t, c.files), c.open)})
			require.NoError(t, err)
			sheet, suiteTags, _, problems := l.Worksheet()
			_, checked, err := scenarios.Check(t.Context(), l, scenarios.Selection{})
			require.NoError(t, err)
			if c.want == "" {
				assert.Empty(t, problems)
				assert.Empty(t, checked)
			} else {
				assert.Contains(t, problems.Error(), c.want)
				assert.Contains(t, checked.Error(), c.want, "ullage check says the same")
			}
			if c.rows > 0 {
				require.NotNil(t, sheet)
				assert.Len(t, sheet.Rows, c.rows)
				assert.Contains(t, suiteTags, "@fault-contact.jammed-operated",
					"a scenario has the tags of the faults that it injects")
			} else {
				assert.Nil(t, sheet)
			}
		})
	}
}

func TestScenariosAreSelectedByTheFaultsThatTheyPlay(t *testing.T) {
	l := shipped(t)
	chosen, err := l.Select(scenarios.Selection{Tags: "@fault-valve.stuck-open"})
	require.NoError(t, err)
	assert.NotEmpty(t, chosen)
	_, err = l.Select(scenarios.Selection{Tags: "@fault-valve.stuck-opn"})
	assert.ErrorContains(t, err, "did you mean @fault-valve.stuck-open?")
}
