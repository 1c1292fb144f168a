package main

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"strconv"
	"strings"
)

// mutant is one mechanical change of the source.
type mutant struct {
	file    string
	line    int
	in      string // function
	was     string
	becomes string
	again   int // how many of the same text stand before it in the function
}

// String names a mutant by where it is and what it changes, not by its line, so that a list of them lasts.
func (m mutant) String() string {
	text := fmt.Sprintf("%s %s: %s -> %s", m.file, m.in, m.was, m.becomes)
	if m.again > 0 {
		text += fmt.Sprintf(" (%d)", m.again+1)
	}
	return text
}

// place is the name with the line in it, for whoever looks for it.
func (m mutant) place() string {
	return fmt.Sprintf("%s:%d %s", m.file, m.line, strings.TrimPrefix(m.String(), m.file+" "))
}

// What a statement or a body becomes.
const (
	deleted = "(deleted)"
	atOnce  = "returns at once"
)

// turned are the comparisons that take the place of one: the boundary moved, and the opposite.
var turned = map[token.Token][]token.Token{
	token.LSS: {token.LEQ, token.GEQ}, token.LEQ: {token.LSS, token.GTR},
	token.GTR: {token.GEQ, token.LEQ}, token.GEQ: {token.GTR, token.LSS},
	token.EQL: {token.NEQ}, token.NEQ: {token.EQL},
	token.LAND: {token.LOR}, token.LOR: {token.LAND},
}

// reckoned are the arithmetic operators that take the place of one. None can divide by zero, since both are computed.
var reckoned = map[token.Token]token.Token{
	token.ADD: token.SUB, token.SUB: token.ADD, token.MUL: token.ADD, token.QUO: token.MUL, token.REM: token.MUL,
}

// alternatives are the texts that take the place of an expression, one a mutant.
func (w *weaver) alternatives(e ast.Expr) []string {
	t := w.info.Types[e]
	if t.Type == nil || !t.IsValue() {
		return nil
	}
	if isBool(t.Type) {
		return w.opposites(e)
	}
	basic, ok := t.Type.Underlying().(*types.Basic)
	if !ok || basic.Info()&types.IsNumeric == 0 {
		return nil
	}
	switch e := e.(type) {
	case *ast.BinaryExpr:
		if op, ok := reckoned[e.Op]; ok {
			return []string{w.source(e.X) + " " + op.String() + " " + w.source(e.Y)}
		}
	case *ast.UnaryExpr:
		if e.Op == token.SUB {
			return []string{w.source(e.X)}
		}
	case *ast.BasicLit:
		return numbers(e)
	case *ast.Ident:
		if c, ok := w.info.Uses[e].(*types.Const); ok && c.Pkg() == w.pkg && !isEnumeration(c) {
			return []string{"0"}
		}
	case *ast.SelectorExpr:
		if e.Sel.Name == "Never" {
			return []string{"0"}
		}
	case *ast.CallExpr:
		if name, ok := e.Fun.(*ast.Ident); ok && len(e.Args) > 1 {
			other := map[string]string{"min": "max", "max": "min"}[name.Name]
			if _, builtin := w.info.Uses[name].(*types.Builtin); builtin && other != "" {
				return []string{other + w.source(e)[len(name.Name):]}
			}
		}
	}
	return nil
}

// opposites are the alternatives of something that is true or false.
func (w *weaver) opposites(e ast.Expr) []string {
	switch e := e.(type) {
	case *ast.BinaryExpr:
		var list []string
		for _, op := range turned[e.Op] {
			list = append(list, w.source(e.X)+" "+op.String()+" "+w.source(e.Y))
		}
		return list
	case *ast.UnaryExpr:
		if e.Op == token.NOT {
			return []string{w.source(e.X)}
		}
	case *ast.Ident, *ast.SelectorExpr, *ast.CallExpr, *ast.IndexExpr:
		return []string{"!" + w.source(e)}
	}
	return nil
}

// numbers are 0 and 1 in the place of a literal, whichever it is not; whole numbers beyond them are missed by one.
func numbers(e *ast.BasicLit) []string {
	switch n, err := strconv.ParseFloat(e.Value, 64); {
	case err != nil:
		return nil
	case n == 0:
		return []string{"1"}
	case n == 1:
		return []string{"0"}
	case e.Kind == token.INT:
		return []string{"0", strconv.Itoa(int(n) + 1)}
	}
	return []string{"0", "1"}
}

func isBool(t types.Type) bool {
	basic, ok := t.Underlying().(*types.Basic)
	return ok && basic.Info()&types.IsBoolean != 0
}

// isEnumeration reports whether a constant is a state, whose number means nothing.
func isEnumeration(c *types.Const) bool {
	named, ok := c.Type().(*types.Named)
	return ok && named.Obj().Pkg() == c.Pkg()
}
