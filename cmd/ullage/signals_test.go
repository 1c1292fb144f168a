package main

import (
	"go/ast"
	"go/token"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"ullage/harness/signal"
)

// namesSignals is the room whose functions name the signals of a run.
const namesSignals = "harness/signal/"

// TestSignalsAreNamedInOnePlace: no code outside package signal puts the name of a signal together.
func TestSignalsAreNamedInOnePlace(t *testing.T) {
	names := signalNames(t)
	require.Subset(t, names, []string{".level", ".disc", ".command", ".report", "cloud.report", "site.lost"})
	eachFile(t, func(path string, file *ast.File) {
		if strings.HasPrefix(path, namesSignals) || strings.HasSuffix(path, "_test.go") {
			return
		}
		ast.Inspect(file, func(n ast.Node) bool {
			switch x := n.(type) {
			case *ast.BasicLit:
				text, _ := strconv.Unquote(x.Value)
				made := slices.Contains(names, strings.TrimSpace(text))
				require.False(t, made && x.Kind == token.STRING, "%s: %s is the name of a signal; package signal has a function for it", path, x.Value)
			case *ast.CompositeLit:
				if s, ok := x.Type.(*ast.SelectorExpr); ok && s.Sel.Name == "Signal" {
					require.False(t, namesQuantity(x), "%s makes a signal of its own; package signal has a function for it", path)
				}
			}
			return true
		})
	})
}

// namesQuantity reports whether a literal of a signal puts its quantity into words, as one that is read from a file
// does not.
func namesQuantity(signal *ast.CompositeLit) (named bool) {
	ast.Inspect(signal, func(n ast.Node) bool {
		text, ok := n.(*ast.BasicLit)
		named = named || ok && text.Kind == token.STRING
		return true
	})
	return named
}

// signalNames lists what code would put behind the name of a device, ".level", and the names of the devices that every
// run has once, "site.lost".
func signalNames(t *testing.T) (list []string) {
	eachFile(t, func(path string, file *ast.File) {
		if !strings.HasPrefix(path, namesSignals) || strings.HasSuffix(path, "_test.go") {
			return
		}
		ast.Inspect(file, func(n ast.Node) bool {
			if call, ok := n.(*ast.CallExpr); ok && len(call.Args) >= 2 {
				if name, ok := call.Args[1].(*ast.BasicLit); ok && name.Kind == token.STRING {
					text, _ := strconv.Unquote(name.Value)
					list = append(list, "."+text)
				}
			}
			return true
		})
	})
	for _, device := range []any{signal.Site, signal.Power, signal.Controller, signal.WiFi, signal.Cloud} {
		v := reflect.ValueOf(device)
		for i := range v.NumMethod() {
			if named, ok := v.Method(i).Interface().(func() signal.Signal); ok {
				list = append(list, named().Name())
			}
		}
	}
	return list
}
