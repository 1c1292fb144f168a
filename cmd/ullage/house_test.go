package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"ullage/fakes/accuracy"
)

const root = "../.."

// mayImport is the order of the house: a package may import those listed for the longest prefix that fits it, and the
// standard library and other modules besides. "x/..." stands for x and all below it.
var mayImport = map[string][]string{
	"harness/spelling": {},
	"harness/numeric":  {},
	"harness/quantity": {"harness/spelling"},
	"harness/signal":   {"harness/quantity"},
	"harness/sitefile": {"harness/numeric", "harness/spelling", "harness/quantity", "harness/signal", "harness/textfile"},
	"harness/wording":  {},
	"harness/fault": {"harness/console", "harness/numeric", "harness/quantity", "harness/signal", "harness/sitefile",
		"harness/spelling", "harness/wording"},
	"harness/clock":   {"harness/signal"},
	"harness/outcome": {"harness/quantity", "harness/signal"},
	"harness": {
		"harness/numeric",
		"harness/quantity",
		"harness/signal",
		"harness/clock",
		"harness/sitefile",
		"harness/fault",
		"harness/outcome",
	},
	"harness/link": {
		"harness",
		"harness/quantity",
		"harness/signal",
		"harness/sitefile",
		"harness/fault",
	},
	"harness/standtest": {
		"harness",
		"harness/quantity",
		"harness/signal",
		"harness/sitefile",
		"harness/fault",
	},
	"harness/console":   {},
	"harness/lockfile":  {"harness/console"},
	"harness/textfile":  {},
	"harness/worksheet": {"harness/spelling", "harness/sitefile", "harness/fault"},
	"harness/evidence": {
		"harness",
		"harness/console",
		"harness/spelling",
		"harness/lockfile",
		"harness/textfile",
		"harness/worksheet",
		"harness/quantity",
		"harness/signal",
		"harness/sitefile",
		"harness/fault",
		"harness/outcome",
	},
	"fakes/water":                {"harness/numeric"},
	"fakes/internal/soil":        {"harness/numeric"},
	"fakes/internal/weather":     {"harness/numeric"},
	"fakes/internal/surge":       {"harness/numeric"},
	"fakes/accuracy":             {},
	"fakes/internal/contact":     {"harness/numeric", "harness/signal"},
	"fakes/internal/probe":       {"harness/numeric", "harness/signal"},
	"fakes/internal/electric":    {"harness/numeric", "harness", "harness/signal"},
	"fakes/site/internal/device": {"harness/signal", "harness/fault"},
	"fakes/site/internal/hydraulics": {
		"harness/...",
		"fakes/site/internal/device",
		"fakes/pipework",
		"fakes/water",
		"fakes/internal/surge",
		"fakes/internal/contact",
	},
	"fakes/site/internal/beds": {
		"harness/...",
		"fakes/site/internal/device",
		"fakes/site/internal/hydraulics",
		"fakes/internal/soil",
		"fakes/internal/weather",
	},
	"fakes/site/internal/wiring": {
		"harness/...",
		"fakes/site/internal/...",
		"fakes/internal/contact",
		"fakes/internal/probe",
		"fakes/internal/electric",
	},
	"fakes":                             {"harness/...", "fakes/..."},
	"fakes/controller/internal/mutants": {"harness/...", "fakes/...", "scenarios", "features"},
	"fakes/scenariotest":                {"harness/...", "fakes/...", "scenarios", "scenarios/runs", "features"},
	"features":                          {},
	"scenarios/internal/feature":        {"harness/..."},
	"scenarios/internal/language":       {"harness/...", "scenarios/internal/feature"},
	"scenarios/internal/phrases":        {"harness/...", "scenarios/internal/feature", "scenarios/internal/language"},
	"scenarios":                         {"harness/...", "scenarios/internal/...", "features"},
	"scenarios/runs":                    {"harness/...", "scenarios"},
	"scenarios/sweep":                   {"harness/...", "scenarios", "scenarios/runs"},
	"cmd": {
		"cmd/...",
		"harness/...",
		"fakes/...",
		"scenarios",
		"scenarios/...",
		"features",
	},
}

// TestOrderOfImports: data goes one way, and each room knows only those below it.
func TestOrderOfImports(t *testing.T) {
	eachFile(t, func(path string, file *ast.File) {
		if strings.HasSuffix(path, "_test.go") {
			return
		}
		room := filepath.ToSlash(filepath.Dir(path))
		rule, known := "", false
		for prefix := range mayImport {
			if (room == prefix || strings.HasPrefix(room, prefix+"/")) && len(prefix) >= len(rule) {
				rule, known = prefix, true
			}
		}
		require.True(t, known, "%s is in a room that the order of the house does not know", path)
		for _, i := range file.Imports {
			name, _ := strconv.Unquote(i.Path.Value)
			inside, ours := strings.CutPrefix(name, "ullage/")
			if !ours {
				continue
			}
			allowed := slices.ContainsFunc(mayImport[rule], func(a string) bool {
				below, all := strings.CutSuffix(a, "/...")
				return inside == below || all && strings.HasPrefix(inside, below+"/")
			})
			require.True(t, allowed, "%s imports %s; a package in %s may import %v", path, name, rule, mayImport[rule])
		}
	})
}

// banned functions give other bits on another CPU, or read what a run must not depend on.
var banned = map[string][]string{
	"math": {
		"Exp",
		"Exp2",
		"Expm1",
		"Log",
		"Log2",
		"Log10",
		"Log1p",
		"Pow",
		"Pow10",
		"Sin",
		"Cos",
		"Tan",
		"Sincos",
		"Asin",
		"Acos",
		"Atan",
		"Atan2",
		"Sinh",
		"Cosh",
		"Tanh",
		"Cbrt",
		"Hypot",
		"Gamma",
		"Erf",
	},
	"time": {"Now", "Since", "Until", "Sleep", "After", "Tick", "NewTimer", "NewTicker", "AfterFunc"},
}

// exempt rooms talk to real processes or to a person, whose time is the wall clock's, or are the wall clock.
var exempt = []string{"harness/clock/", "harness/link/", "cmd/", "fakes/controller/internal/mutants/"}

// TestNothingReadsTheClock: a simulated run gives the same bytes everywhere and always.
func TestNothingReadsTheClock(t *testing.T) {
	eachFile(t, func(path string, file *ast.File) {
		outside := slices.ContainsFunc(exempt, func(room string) bool { return strings.HasPrefix(path, room) })
		if strings.HasSuffix(path, "_test.go") || outside {
			return
		}
		for _, i := range file.Imports {
			name, _ := strconv.Unquote(i.Path.Value)
			require.NotContains(
				t,
				[]string{"math/rand", "math/rand/v2", "crypto/rand"},
				name,
				"%s draws numbers; a run's draws come from harness.Draw",
				path,
			)
		}
		ast.Inspect(file, func(n ast.Node) bool {
			if s, ok := n.(*ast.SelectorExpr); ok {
				if x, ok := s.X.(*ast.Ident); ok && x.Obj == nil {
					require.NotContains(t, banned[x.Name], s.Sel.Name, "%s uses %s.%s", path, x.Name, s.Sel.Name)
				}
			}
			return true
		})
	})
}

// api are the packages that others may build on. Every other package stands below an internal folder or a command, or
// says that it is no API.
var api = []string{
	"harness",
	"harness/clock",
	"harness/evidence",
	"harness/fault",
	"harness/link",
	"harness/outcome",
	"harness/quantity",
	"harness/signal",
	"harness/sitefile",
	"harness/standtest",
	"scenarios",
	"scenarios/runs",
	"features",
	"fakes/controller",
	"fakes/site",
	"fakes/wifi",
	"fakes/stand",
	"fakes/scenariotest",
}

// TestPackagesSayWhatTheyAre: every package has a package comment, which says so where the package is no API.
func TestPackagesSayWhatTheyAre(t *testing.T) {
	said := map[string]string{}
	eachFile(t, func(path string, file *ast.File) {
		if !strings.HasSuffix(path, "_test.go") {
			room := filepath.ToSlash(filepath.Dir(path))
			said[room] += file.Doc.Text()
		}
	})
	for room, text := range said {
		require.NotEmpty(t, text, "package %s has no package comment", room)
		inside := strings.Contains(room, "/internal/") || strings.HasPrefix(room, "cmd/")
		require.Equal(
			t,
			!inside && !slices.Contains(api, room),
			strings.Contains(text, "no API") && !inside,
			"package %s: either it is API, or it stands below an internal folder, or its comment says that it is no API",
			room,
		)
	}
	for _, room := range api {
		require.Contains(t, said, room, "there is no such package any more")
	}
}

// TestExportedNamesAreDocumented: what a package offers says what it is.
func TestExportedNamesAreDocumented(t *testing.T) {
	eachFile(t, func(path string, file *ast.File) {
		if strings.HasSuffix(path, "_test.go") {
			return
		}
		for _, d := range file.Decls {
			if f, ok := d.(*ast.FuncDecl); ok && f.Name.IsExported() && exportedReceiver(f) {
				require.NotNil(t, f.Doc, "%s: %s has no doc comment", path, f.Name.Name)
			}
			g, ok := d.(*ast.GenDecl)
			if !ok || g.Tok != token.TYPE {
				continue
			}
			for _, s := range g.Specs {
				spec := s.(*ast.TypeSpec)
				require.True(
					t,
					!spec.Name.IsExported() || g.Doc != nil || spec.Doc != nil,
					"%s: type %s has no doc comment",
					path,
					spec.Name.Name,
				)
			}
		}
	})
}

// exportedReceiver reports whether a function is one, or a method of an exported type that is not there to please an
// interface of the standard library.
func exportedReceiver(f *ast.FuncDecl) bool {
	if f.Recv == nil {
		return true
	}
	known := []string{
		"String",
		"Error",
		"Unwrap",
		"Len",
		"Less",
		"Swap",
		"MarshalText",
		"UnmarshalText",
		"MarshalJSON",
		"UnmarshalJSON",
	}
	if slices.Contains(known, f.Name.Name) {
		return false
	}
	x := f.Recv.List[0].Type
	if s, ok := x.(*ast.StarExpr); ok {
		x = s.X
	}
	if g, ok := x.(*ast.IndexExpr); ok {
		x = g.X
	}
	i, ok := x.(*ast.Ident)
	return ok && i.IsExported()
}

// eachFile parses every Go file of the project; paths are relative to its root, with slashes.
func eachFile(t *testing.T, do func(path string, file *ast.File)) {
	set := token.NewFileSet()
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		relative, _ := filepath.Rel(root, path)
		if d.IsDir() && (d.Name() == "testdata" || strings.HasPrefix(d.Name(), ".") && relative != ".") {
			return filepath.SkipDir
		}
		if !strings.HasSuffix(path, ".go") {
			return nil
		}
		file, err := parser.ParseFile(set, path, nil, parser.ParseComments)
		if err != nil {
			return err
		}
		do(filepath.ToSlash(relative), file)
		return nil
	})
	require.NoError(t, err)
}

// TestAccuracyTableIsOwned: every row of the table of DEVELOPERS.md belongs to a test that measures it, so that a row
// whose test has gone does not stay behind.
func TestAccuracyTableIsOwned(t *testing.T) {
	owned := map[string]bool{}
	eachFile(t, func(path string, file *ast.File) {
		if !strings.HasSuffix(path, "_test.go") {
			return
		}
		ast.Inspect(file, func(n ast.Node) bool {
			if pair, ok := n.(*ast.KeyValueExpr); ok {
				if key, ok := pair.Key.(*ast.Ident); ok && key.Name == "Computation" {
					if value, ok := pair.Value.(*ast.BasicLit); ok {
						name, _ := strconv.Unquote(value.Value)
						require.False(t, owned[name], "%s: two tests measure %q", path, name)
						owned[name] = true
					}
				}
			}
			return true
		})
	})
	text, err := os.ReadFile(filepath.Join(root, "DEVELOPERS.md"))
	require.NoError(t, err)
	_, table, found := strings.Cut(string(text), accuracy.Heading)
	require.True(t, found, "DEVELOPERS.md has no table of what was checked against the outside")
	rows := strings.Split(strings.TrimLeft(table, "\n"), "\n")
	require.True(t, strings.HasPrefix(rows[0], "| ---"), "the table of DEVELOPERS.md has no line under its heading")
	for _, row := range rows[1:] {
		if !strings.HasPrefix(row, "| ") {
			break
		}
		name, _, _ := strings.Cut(strings.TrimPrefix(row, "| "), " |")
		require.True(t, owned[name], "DEVELOPERS.md has a row %q that no test measures", name)
		delete(owned, name)
	}
	require.Empty(t, owned, "these have no row in DEVELOPERS.md, or not in its table")
}
