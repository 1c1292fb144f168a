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
	for i, e := range n.Rhs {
		if len(n.Rhs) == len(n.Lhs) && onlyDefectsRead(n.Lhs[i]) {
			right = append(right, w.source(e))
		} else {
			right = append(right, w.node(e))
		}
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

// binary weaves two operands. One that is settled without defects leaves the other alone.
func (w *weaver) binary(n *ast.BinaryExpr) string {
	if n.Op == token.LAND || n.Op == token.LOR {
		for _, side := range [][2]ast.Expr{{n.X, n.Y}, {n.Y, n.X}} {
			_, settled := fold(side[0])
			if !settled {
				continue
			}
			left, right := w.source(n.X), w.node(n.Y)
			if side[0] == n.Y {
				left, right = w.node(n.X), w.source(n.Y)
			}
			return left + " " + n.Op.String() + " " + right
		}
	}
	return w.expression(n, w.node(n.X)+" "+n.Op.String()+" "+w.node(n.Y))
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

// fold says what is true or false whatever happens, as long as the controller was built without a seeded defect.
func fold(e ast.Expr) (value, settled bool) {
	switch e := e.(type) {
	case *ast.ParenExpr:
		return fold(e.X)
	case *ast.UnaryExpr:
		if e.Op == token.NOT {
			value, settled = fold(e.X)
			return !value, settled
		}
	case *ast.CallExpr:
		if s, ok := e.Fun.(*ast.SelectorExpr); ok && (s.Sel.Name == "has" || s.Sel.Name == "skips" || s.Sel.Name == "hangs") {
			return false, true
		}
	case *ast.SelectorExpr:
		return e.Sel.Name == "armed", e.Sel.Name == "armed" || e.Sel.Name == "passed" || e.Sel.Name == "ended"
	case *ast.BinaryExpr:
		if e.Op == token.EQL && isName(e.Y, "hung") {
			return false, true
		}
		x, knowX := fold(e.X)
		y, knowY := fold(e.Y)
		switch e.Op {
		case token.LAND:
			return x && y, knowX && !x || knowY && !y || knowX && knowY
		case token.LOR:
			return x || y, knowX && x || knowY && y || knowX && knowY
		}
	}
	return false, false
}

func is(e ast.Expr, value bool) bool {
	v, settled := fold(e)
	return settled && v == value
}

func isName(e ast.Expr, name string) bool {
	id, ok := e.(*ast.Ident)
	return ok && id.Name == name
}

// readByDefects are the fields that seeded defects alone look at.
var readByDefects = map[string]bool{"armed": true, "passed": true, "ended": true, "said": true, "begun": true, "lowWas": true,
	"blocked": true}

func onlyDefectsRead(e ast.Expr) bool {
	s, ok := e.(*ast.SelectorExpr)
	return ok && readByDefects[s.Sel.Name]
}

// onlyForDefects tells whether a statement sets nothing that a controller without defects looks at.
func onlyForDefects(s ast.Stmt) bool {
	a, ok := s.(*ast.AssignStmt)
	if !ok {
		return false
	}
	for _, e := range a.Lhs {
		if !onlyDefectsRead(e) {
			return false
		}
	}
	return true
}

// outside names the functions that are no control code: how the controller is put together, and the seeded defects.
func outside(function string) bool {
	switch function {
	case "New", "Polling", "span", "newClock", "newAlerts", "newNetwork", "Controller.Open", "Controller.declare", "Controller.Can",
		"Controller.Samples", "Controller.Close", "Controller.has", "Controller.wantedFromAfar", "Controller.nextMinute", "cutOff.skips", "cutOff.pulse", "power.hangs":
		return true
	}
	return strings.HasPrefix(function, "wiring.")
}
