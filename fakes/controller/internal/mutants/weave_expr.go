package main

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"strings"
)

// assignment weaves the right side; the left one is a place and no value.
func (w *weaver) assignment(n *ast.AssignStmt) string {
	var right []string
	for _, e := range n.Rhs {
		right = append(right, w.node(e))
	}
	return string(w.text[w.offset(n.Pos()):w.offset(n.TokPos)]) + n.Tok.String() + " " + strings.Join(right, ", ")
}

// call weaves the arguments of a call, and the receiver's.
func (w *weaver) call(n *ast.CallExpr) string {
	if t, ok := w.info.Types[n.Fun]; ok && t.IsType() { // a conversion
		return w.source(n.Fun) + "(" + w.node(n.Args[0]) + ")"
	}
	if name, ok := n.Fun.(*ast.Ident); ok && (name.Name == "make" || name.Name == "clear" || name.Name == "len") {
		return w.source(n)
	}
	var list []string
	for _, e := range n.Args {
		list = append(list, w.node(e))
	}
	fun := w.source(n.Fun)
	if dots := n.Ellipsis; dots.IsValid() {
		list[len(list)-1] += "..."
	}
	return fun + "(" + strings.Join(list, ", ") + ")"
}

// unary weaves what has a sign. The address of something stays.
func (w *weaver) unary(n *ast.UnaryExpr) string {
	switch n.Op {
	case token.AND:
		return w.source(n)
	case token.NOT: // the negation is a mutant already
		if inner, ok := n.X.(*ast.ParenExpr); ok {
			return w.expression(n, "!"+w.node(inner))
		}
		if call, ok := n.X.(*ast.CallExpr); ok {
			return w.expression(n, "!"+w.call(call))
		}
		return w.expression(n, w.source(n))
	}
	if _, literal := n.X.(*ast.BasicLit); literal {
		return w.expression(n, w.source(n))
	}
	return w.expression(n, n.Op.String()+w.node(n.X))
}

// expression puts the alternatives of an expression before it, whose text is woven already.
func (w *weaver) expression(e ast.Expr, woven string) string {
	list := w.alternatives(e)
	if len(list) == 0 {
		return woven
	}
	first := len(w.mutants) + 1
	for _, becomes := range list {
		w.add(e.Pos(), w.source(e), becomes)
	}
	t := w.info.Types[e].Type
	if isBool(t) {
		text := fmt.Sprintf("truth(%d, func() bool { return %s }", first, woven)
		for _, becomes := range list {
			text += fmt.Sprintf(", func() bool { return %s }", becomes)
		}
		return text + ")"
	}
	of := types.TypeString(types.Default(t), func(p *types.Package) string {
		if p == w.pkg {
			return ""
		}
		return p.Name()
	})
	for i, becomes := range list {
		woven = fmt.Sprintf("either[%s](%d, %s, %s)", of, first+i, becomes, woven)
	}
	return woven
}

// outside names the functions that are no control code: how its parts are put together, and what nobody controls with.
func outside(function string) bool {
	switch function {
	case "newClock",
		"newAlerts",
		"newNetwork",
		"schedule.add",
		"record.declare",
		"Controller.Can",
		"Controller.Samples",
		"Controller.Close":
		return true
	}
	return false
}
