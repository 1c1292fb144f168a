package evidence

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness"
	"ullage/harness/worksheet"
)

const rows = `title: Small <b>
severities: [{name: critical, meaning: Great loss.}]
rows:
  - {fault: contact.bounce, detection: none, severity: critical}
  - {fault: valve.weeps, detection: none, severity: critical}
  - {fault: valve.stuck-open, detection: none, severity: critical}
  - {item: i, mode: m, cause: c, local-effect: l, end-effect: e, detection: <i>, severity: critical, scenarios: ["@both"]}
  - {item: i, mode: "m2\e[2J", cause: c, local-effect: l, end-effect: e, detection: d, severity: critical}
`

// filled writes the evidence of a run and returns its rows as CSV and the page.
func filled(t *testing.T, results []*harness.Result, suiteTags []string) ([][]string, string) {
	sheet, err := worksheet.Read("hazards.yaml", []byte(rows))
	require.NoError(t, err)
	dir := t.TempDir()
	require.NoError(
		t,
		write(dir, results, Meta{Controller: "simulated", Seed: 1, Worksheet: &Worksheet{sheet, suiteTags, true}}),
	)
	file, err := os.Open(filepath.Join(dir, WorksheetCSVFile))
	require.NoError(t, err)
	defer file.Close()
	table, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)
	page, err := os.ReadFile(filepath.Join(dir, WorksheetFile))
	require.NoError(t, err)
	report, err := os.ReadFile(filepath.Join(dir, ReportFile))
	require.NoError(t, err)
	assert.Contains(t, string(report), `<a href="worksheet.html">`)
	return table, string(page)
}

func TestWorksheetIsFilledIn(t *testing.T) {
	held, failed := link("One that holds", 3, 61), bounce()
	held.Script.Tags = []string{"@fault-contact.bounce", "@both"}
	failed.Script.Tags = []string{"@both"}
	table, page := filled(
		t,
		[]*harness.Result{held, failed},
		[]string{"@fault-contact.bounce", "@both", "@fault-valve.weeps"},
	)

	result := map[string][]string{}
	for _, row := range table[1:] {
		require.Len(t, row, len(headings))
		result[row[0]] = row
	}
	state := func(r *harness.Result) string { return r.Worst().String() }
	assert.Equal(t, state(held), result["1"][11])
	assert.Equal(t, "not run", result["2"][11], "its scenario was not part of this run")
	assert.Equal(t, "open", result["3"][11], "no scenario plays it")
	assert.Equal(t, "open", result["5"][11], "it names no scenario")
	worst := state(held)
	if (State{failed.Worst()}).rank() < (State{held.Worst()}).rank() {
		worst = state(failed)
	}
	assert.Equal(t, worst, result["4"][11], "the worst of its scenarios counts")
	assert.Equal(t, "features/link.feature:3", result["1"][10])
	assert.NotEmpty(t, result["1"][12], "a margin with its unit")
	assert.NotEmpty(t, result["1"][14])
	assert.Equal(
		t,
		"'@fault-contact.bounce",
		result["1"][9],
		"no cell begins with what a spreadsheet takes for a formula",
	)

	assert.Equal(t, `m2\x1b[2J`, result["5"][2], "a cell steers the terminal that prints it")

	assert.Contains(t, page, "does not replace one")
	assert.Contains(t, page, "local codes and licensed")
	assert.Contains(t, page, "Small &lt;b&gt;")
	assert.NotContains(t, page, "<i>,", "what is written in the file is text")
	assert.Contains(t, page, `href="report.html#features-link-feature-3"`)
}

// A result is one item of a list.
func TestWhatIsMarginalReadsAsOneItem(t *testing.T) {
	held, close := link("One that holds", 3, 61), link("One that holds by little", 9, 61)
	held.Script.Tags, close.Script.Tags = []string{"@fault-contact.bounce"}, []string{"@fault-valve.weeps"}
	close.Verdicts[0].Marginal = "the contact hangs low"
	_, page := filled(t, []*harness.Result{held, close}, []string{"@fault-contact.bounce", "@fault-valve.weeps"})
	assert.Contains(t, page, "5: 1 held, 1 held (marginal), 3 open")
	var console strings.Builder
	require.NoError(t, Table(&console, Summarise([]*harness.Result{held, close}, sampleMeta), "", 0, false))
	assert.Contains(t, console.String(), "held (marginal)")
}

func TestWithoutAWorksheetThereIsNone(t *testing.T) {
	dir := t.TempDir()
	sheet, err := worksheet.Read("hazards.yaml", []byte(rows))
	require.NoError(t, err)
	require.NoError(t, write(dir, samples(), Meta{Worksheet: &Worksheet{Sheet: sheet}}))
	require.NoError(t, write(dir, samples(), Meta{}))
	assert.NoFileExists(t, filepath.Join(dir, WorksheetFile), "an earlier run's worksheet is taken away")
	assert.NoFileExists(t, filepath.Join(dir, WorksheetCSVFile))
}
