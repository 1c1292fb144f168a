package evidence

import (
	"encoding/csv"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness"
	"ullage/harness/outcome"
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// spreadsheet is what a cell may begin with that a spreadsheet runs.
const spreadsheet = "=+-@\t\r\n"

func TestCellsAreText(t *testing.T) {
	for text, want := range map[string]string{
		"":                         "",
		"header-tank.level":        "header-tank.level",
		"2 reports":                "2 reports",
		"=HYPERLINK(\"http://x\")": "'=HYPERLINK(\"http://x\")",
		"+1":                       "'+1",
		"-12.3 mm":                 "'-12.3 mm",
		"@SUM(A1)":                 "'@SUM(A1)",
		"\tx":                      "'\tx",
		"\rx":                      "'\rx",
		"\nx":                      "'\nx",
		"'tis":                     "''tis",
		"＝1":                       "'＝1",
	} {
		got := cell(text)
		assert.Equal(t, want, got)
		assert.Equal(t, text, strings.TrimPrefix(got, "'"), "read back without the apostrophe")
	}
}

// No text of a run becomes a formula in a CSV file, and no number becomes a text.
func TestCSVHoldsNoFormulas(t *testing.T) {
	r := record()
	r.course(r.declare("script", "begins", quantity.None, signal.Event), 0, 1)
	r.course(r.declare("=cmd|' /C calc'!A0", "level", quantity.Length, signal.Linear), 0, -0.5, 10, 0.25)
	script := &harness.Script{
		Name: "@name",
		File: "-f.feature",
		Line: 3,
		Tags: []string{"@both"},
		Outcomes: []outcome.Outcome{{Text: "+text",
			Property: outcome.Always(
				outcome.Condition{Signal: "=cmd|' /C calc'!A0.level", Is: outcome.AtMost, Limit: 0.125},
			)}},
	}
	result := judged(script, r.end(10), 0)
	table, _ := filled(t, []*harness.Result{result}, []string{"@both"})
	dir := t.TempDir()
	require.NoError(t, write(dir, []*harness.Result{result}, sampleMeta))
	trace := readCSV(t, files(t, dir)[TraceFile])
	for _, row := range append(table, trace...) {
		for i, c := range row {
			if _, err := strconv.ParseFloat(c, 64); err != nil && c != "" {
				assert.NotContains(t, spreadsheet, c[:1], "column %d of %q is run by a spreadsheet", i, row)
			}
		}
	}
	assert.Equal(t, []string{"'-f.feature:3", "0.000000000", "'=cmd|' /C calc'!A0.level", "-0.5", "m"}, trace[2])
	assert.Equal(t, []string{"'-125 mm", "-0.125", "m"}, []string{table[4][12], table[4][13], table[4][14]})
}

func readCSV(t *testing.T, text string) [][]string {
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	require.NoError(t, err)
	return rows
}
