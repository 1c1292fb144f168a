package sitefile

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The descriptions of the schema are the comments of the types, as they stand in the sources; -update writes them anew.
func TestDescriptionsAreCurrent(t *testing.T) {
	want := comments(t)
	if *update {
		require.NoError(t, os.WriteFile("descriptions.tsv", []byte(want), 0o644))
		return
	}
	assert.Equal(t, want, descriptions, "descriptions.tsv is not current: go generate ./harness/sitefile")
}

// comments are those of the structs with keys of the site file, by type and field, in the order of the sources.
func comments(t *testing.T) string {
	files, err := filepath.Glob("*.go")
	require.NoError(t, err)
	var rows strings.Builder
	for _, name := range files {
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ParseComments)
		require.NoError(t, err)
		for _, declaration := range file.Decls {
			types, ok := declaration.(*ast.GenDecl)
			if !ok || types.Tok != token.TYPE {
				continue
			}
			for _, spec := range types.Specs {
				named := spec.(*ast.TypeSpec)
				of, ok := named.Type.(*ast.StructType)
				if !ok || !hasKeys(of) {
					continue
				}
				fmt.Fprintf(&rows, "%s\t%s\n", named.Name, oneLine(types.Doc.Text()))
				for _, f := range of.Fields.List {
					for _, field := range f.Names {
						fmt.Fprintf(&rows, "%s.%s\t%s\n", named.Name, field, oneLine(f.Doc.Text()+" "+f.Comment.Text()))
					}
				}
			}
		}
	}
	return rows.String()
}

func hasKeys(s *ast.StructType) bool {
	for _, f := range s.Fields.List {
		if f.Tag != nil && strings.Contains(f.Tag.Value, "yaml:") {
			return true
		}
	}
	return false
}

func oneLine(text string) string { return strings.Join(strings.Fields(text), " ") }
