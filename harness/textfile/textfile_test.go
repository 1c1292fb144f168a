package textfile_test

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness/textfile"
)

// Each kind of file is read or refused unread, by its path and in a file system alike.
func TestKinds(t *testing.T) {
	dir := t.TempDir()
	in := func(name string) string { return filepath.Join(dir, name) }
	require.NoError(t, os.WriteFile(in("full"), []byte("12345678"), 0o666))
	require.NoError(t, os.WriteFile(in("large"), []byte("123456789"), 0o666))
	require.NoError(t, os.Mkdir(in("folder"), 0o777))
	require.NoError(t, syscall.Mkfifo(in("pipe"), 0o666))
	for link, target := range map[string]string{"link": "full", "link to a pipe": "pipe",
		"link to a device": "/dev/zero", "broken": "nowhere"} {
		require.NoError(t, os.Symlink(target, in(link)))
	}
	for name, want := range map[string]string{
		"full": "", "link": "",
		"large":            "it has at least 9 bytes; expected at most 8",
		"folder":           "it is a folder; expected a regular file",
		"pipe":             "it is a pipe; expected a regular file",
		"link to a pipe":   "it is a pipe; expected a regular file",
		"link to a device": "it is a device; expected a regular file",
		"broken":           "no such file",
	} {
		for way, read := range map[string]func() ([]byte, error){
			"by its path":      func() ([]byte, error) { return textfile.Read(in(name), 8) },
			"in a file system": func() ([]byte, error) { return textfile.ReadFrom(os.DirFS(dir), name, 8) },
		} {
			text, err := read()
			if want == "" {
				require.NoError(t, err, "%s %s", name, way)
				assert.Equal(t, "12345678", string(text), "%s %s", name, way)
				continue
			}
			require.ErrorContains(t, err, want, "%s %s", name, way)
			assert.Contains(t, err.Error(), name)
			var refused *textfile.Error
			assert.Equal(t, !strings.Contains(want, "no such"), assert.ErrorAs(noFail{}, err, &refused), "%s %s", name,
				way)
		}
	}
}

// noFail is asked without failing.
type noFail struct{}

func (noFail) Errorf(string, ...any) {}
