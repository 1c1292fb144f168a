package runs_test

import (
	"crypto/sha256"
	"flag"
	"fmt"
	"go/parser"
	"go/printer"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/scenarios/runs"
)

var update = flag.Bool("update", false,
	"record the version of the models: only commit it if you understand what changed")

// modelRooms hold the sources that decide what a run comes to; notModels are the rooms in them that do not.
var (
	modelRooms = []string{"harness", "fakes", "scenarios"}
	notModels  = []string{"harness/console", "harness/evidence", "harness/lockfile", "harness/standtest",
		"harness/worksheet",
		"fakes/accuracy", "fakes/scenariotest", "fakes/controller/internal/mutants"}
)

// modelsHash is a hash of the sources of the models without their comments.
func modelsHash(t *testing.T, root string) string {
	h := sha256.New()
	for _, room := range modelRooms {
		err := filepath.WalkDir(filepath.Join(root, room), func(path string, d fs.DirEntry, err error) error {
			if err != nil {
				return err
			}
			name, _ := filepath.Rel(root, path)
			name = filepath.ToSlash(name)
			switch {
			case d.IsDir() && (d.Name() == "testdata" || slices.Contains(notModels, name)):
				return filepath.SkipDir
			case d.IsDir() || !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go"):
				return nil
			}
			set := token.NewFileSet()
			file, err := parser.ParseFile(set, path, nil, parser.SkipObjectResolution)
			if err != nil {
				return err
			}
			fmt.Fprintf(h, "%s\n", name)
			return printer.Fprint(h, set, file)
		})
		require.NoError(t, err)
	}
	return fmt.Sprintf("%x", h.Sum(nil))
}

// Results are kept under the version of the models: when the models change, so must it.
func TestModels(t *testing.T) {
	hash := modelsHash(t, "../..")
	text, err := os.ReadFile("models.txt")
	require.NoError(t, err)
	recorded := strings.TrimSpace(strings.TrimPrefix(strings.Split(string(text), "\n")[1], "sha256"))
	if hash == recorded {
		return
	}
	next := runs.Models() + 1
	if *update {
		require.NoError(t, os.WriteFile("models.txt", fmt.Appendf(nil, "version %d\nsha256 %s\n", next, hash), 0o666))
		return
	}
	assert.Fail(
		t,
		"the models have changed and their version has not",
		"results that were kept would be taken for those of these models; go test ./scenarios/runs -run TestModels -update records version %d",
		next,
	)
}

// A comment changes nothing that is run, and a statement does.
func TestModelsHash(t *testing.T) {
	hash := func(text string) string {
		root := t.TempDir()
		for _, room := range modelRooms {
			require.NoError(t, os.MkdirAll(filepath.Join(root, room, "a"), 0o777))
		}
		require.NoError(t, os.WriteFile(filepath.Join(root, "fakes", "a", "a.go"), []byte(text), 0o666))
		return modelsHash(t, root)
	}
	one := hash("package a\n\nconst length = 1 // m\n")
	assert.Equal(t, one, hash("package a\n\n// It is short.\nconst length = 1\n"))
	assert.NotEqual(t, one, hash("package a\n\nconst length = 2 // m\n"))
}
