package main

import (
	"context"
	"flag"
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var whole = flag.Bool("mutants", false, "try every mutant: some minutes")

// Every survivor has an explanation, and nothing is explained that the suite kills.
func TestMutants(t *testing.T) {
	if !*whole {
		t.Skip("tries every mutant on the suite; -mutants does it, as go run ./fakes/controller/internal/mutants does")
	}
	require.NoError(t, run(t.Context(), options{scenario: ".", jobs: runtime.NumCPU()}))
}

// An explanation of a mutant that does not exist any more explains nothing.
func TestEveryExplanationIsOfAMutant(t *testing.T) {
	_, mutants, err := wovenSources()
	require.NoError(t, err)
	assert.Greater(t, len(mutants), 1000, "the control code is not found any more")
	_, err = explanations(mutants)
	assert.NoError(t, err)
}

func named(name string) *regexp.Regexp { return regexp.MustCompile("^" + regexp.QuoteMeta(name) + "$") }

// The woven controller is the controller as long as no mutant is chosen, and the tool tells a mutant that the suite
// kills from one that it cannot see.
func TestTryingSome(t *testing.T) {
	if testing.Short() {
		t.Skip("builds the controller anew and runs the suite")
	}
	sources, mutants, err := wovenSources()
	require.NoError(t, err)
	killed := choose(mutants, named("fill.go fill.fail: f.call.set(false) -> (deleted)"))
	require.Len(t, killed, 1)
	unseen := choose(mutants, named("fill.go fill.fail: f.attempts > 0 -> f.attempts >= 0"))
	require.Len(t, unseen, 1)
	answers, err := tryAll(
		context.Background(),
		sources,
		mutants,
		append(killed, unseen...),
		options{scenario: ".", jobs: 1},
		func(int) {},
	)
	require.NoError(t, err)
	assert.NotEmpty(t, answers[killed[0]].Killed, "a fill that fails and goes on is not noticed")
	assert.Empty(
		t,
		answers[unseen[0]].Killed,
		"a lock-out without a number of attempts is noticed where every site gives one",
	)
	assert.False(t, answers[unseen[0]].Felt)
}

// What is made of a function, in the order in which it stands there.
func TestWhatBecomesOfAFunction(t *testing.T) {
	const head = `package p
type c struct{ a, b bool; n int }
func (k *c) f(x, y int) {
`
	for _, test := range []struct {
		name, body string
		want       []string
	}{
		{"a comparison", "if x < y { k.n++ }", []string{"x < y -> x <= y", "x < y -> x >= y", "k.n++ -> k.n--", "k.n++ -> (deleted)"}},
		{"a connective", "k.a = k.a && k.b", []string{"k.a = k.a && k.b -> (deleted)", "k.a -> !k.a", "k.b -> !k.b", "k.a && k.b -> k.a || k.b"}},
		{"arithmetic and numbers", "k.n = x + 2", []string{"k.n = x + 2 -> (deleted)", "2 -> 0", "2 -> 3", "x + 2 -> x - 2"}},
		{"a negation", "k.a = !k.b", []string{"k.a = !k.b -> (deleted)", "!k.b -> k.b"}},
		{"the sooner", "k.n = min(x, y)", []string{"k.n = min(x, y) -> (deleted)", "min(x, y) -> max(x, y)"}},
		{"what comes before a condition", "if k.n = x; k.a { k.n = y }", []string{"k.n = x -> (deleted)", "k.a -> !k.a", "k.n = y -> (deleted)"}},
		{"two statements", "k.n = x; return", []string{"body -> returns at once", "k.n = x -> (deleted)", "return -> (deleted)"}},
	} {
		t.Run(test.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "p.go")
			require.NoError(t, os.WriteFile(path, []byte(head+test.body+"\n}\n"), 0o644))
			w := &weaver{
				files: token.NewFileSet(),
				same:  map[string]int{},
				info:  &types.Info{Types: map[ast.Expr]types.TypeAndValue{}, Uses: map[*ast.Ident]types.Object{}},
			}
			file, err := parser.ParseFile(w.files, path, nil, parser.SkipObjectResolution)
			require.NoError(t, err)
			w.pkg, err = (&types.Config{}).Check("p", w.files, []*ast.File{file}, w.info)
			require.NoError(t, err)
			text, err := w.weave(path, "p.go", file)
			require.NoError(t, err)
			var got []string
			for _, m := range w.mutants {
				if m.in == "c.f" {
					got = append(got, m.was+" -> "+m.becomes)
				}
			}
			assert.Equal(t, test.want, got)
			_, err = parser.ParseFile(token.NewFileSet(), "woven.go", text, 0)
			assert.NoError(t, err, text)
		})
	}
}
