package sweep

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A link in the place of a saved trial, or of its folder, is never followed out of the folder of results.
func TestSavedTrialsStayInTheirFolder(t *testing.T) {
	name := filepath.Join("valve.stuck-open_fill", "idle.feature")
	for _, link := range []string{name, filepath.Dir(name)} {
		outside, folder := t.TempDir(), t.TempDir()
		mine := filepath.Join(outside, "idle.feature")
		require.NoError(t, os.WriteFile(mine, []byte("mine"), 0o666))
		target := outside
		if link == name {
			require.NoError(t, os.Mkdir(filepath.Join(folder, filepath.Dir(name)), 0o777))
			target = mine
		}
		require.NoError(t, os.Symlink(target, filepath.Join(folder, link)))
		err := write(folder, name, "saved")
		text, _ := os.ReadFile(mine)
		assert.Equal(t, "mine", string(text), "a link at %s was followed", link)
		if link == name {
			require.NoError(t, err)
			text, _ = os.ReadFile(filepath.Join(folder, name))
			assert.Equal(t, "saved", string(text))
			continue
		}
		assert.Error(t, err)
	}
}
