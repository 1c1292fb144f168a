package fault

import (
	"encoding/csv"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// complaints are what customers wrote, by people who had read no entry, with the causes that they had in mind: at most
// two entries, none where nothing fits. The causes were set before the search was first asked.
func complaints(t *testing.T) [][]string {
	file, err := os.Open("testdata/complaints.csv")
	require.NoError(t, err)
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)
	return rows[1:]
}

// The weights of the search were chosen on these complaints, so that the figures say how well it does on known ones.
func TestComplaints(t *testing.T) {
	first, three, seven, refused := 0, 0, 0, 0
	for _, row := range complaints(t) {
		var found []string
		for _, h := range Search(row[0]) {
			found = append(found, h.ID)
		}
		causes := strings.Fields(row[1])
		at := slices.IndexFunc(found, func(id string) bool { return slices.Contains(causes, id) })
		switch {
		case len(causes) == 0 && len(found) == 0:
			refused++
		case at == 0:
			first++
		case at < 0 || at > 2:
			t.Logf("%q: %v, and not %v", row[0], found, causes)
		}
		if at >= 0 && at < 3 {
			three++
		}
		if at >= 0 {
			seven++
		}
	}
	assert.GreaterOrEqual(t, first, 49, "complaints of 54 whose cause the search names first")
	assert.GreaterOrEqual(t, three, 50, "complaints of 54 whose cause is among the first three")
	assert.GreaterOrEqual(t, seven, 51, "complaints of 54 whose cause is among the seven")
	assert.Equal(t, 6, refused, "letters of 6 about other business that the search refuses")
}
