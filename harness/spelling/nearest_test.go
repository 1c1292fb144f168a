package spelling

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestNearest(t *testing.T) {
	names := []string{"tank-low", "tank-high", "tank-spill", "header-tank", "pump", "größe"}
	for written, want := range map[string]string{
		"tank-hihg": "tank-high", "Tank-Low": "tank-low", "tanklow": "tank-low", "pmup": "pump", "header tank": "header-tank", "GRÖSE": "größe",
		"boiler": "", "": "", "tank": "", "p": "", strings.Repeat("pump", 20): "",
	} {
		assert.Equal(t, want, Nearest(written, names), written)
	}
	assert.Equal(t, "pumps", Nearest("pumpo", []string{"pumps", "pumpe"}), "the first of two that are equally close")
	assert.Empty(t, Nearest("pump", nil))
}

// Distances of the optimal string alignment, counted by hand.
func TestEdits(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"", "", 0}, {"", "abc", 3}, {"abc", "", 3}, {"kitten", "sitting", 3}, {"ab", "ba", 1}, {"ca", "abc",
		3}, {"static", "statik", 1}} {
		assert.Equal(t, c.want, edits([]rune(c.a), []rune(c.b)), "%s to %s", c.a, c.b)
	}
}
