package main

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"os"
	"slices"
	"strings"
)

// weaver rewrites the files of a package so that they hold every mutant at once; which one acts is chosen while the
// program runs. One build serves for all.
type weaver struct {
	files   *token.FileSet
	info    *types.Info
	pkg     *types.Package
	text    []byte // of the file
	name    string // of the file
	in      string // function
	mutants []mutant
	same    map[string]int // by text
}

// weave is the text of a file with its mutants in it.
func (w *weaver) weave(path, name string, file *ast.File) (string, error) {
	text, err := os.ReadFile(path)
	if err != nil {
		return "", err
	}
	w.text, w.name, w.in = text, name, ""
	return w.node(file) + string(text[w.offset(file.End()):]), nil
}

func (w *weaver) offset(p token.Pos) int { return w.files.Position(p).Offset }

// source is a node as it is written.
func (w *weaver) source(n ast.Node) string {
	return string(w.text[w.offset(n.Pos()):w.offset(n.End())])
}

// add makes a mutant and returns its number; the first is 1.
func (w *weaver) add(at token.Pos, was, becomes string) int {
	m := mutant{file: w.name, line: w.files.Position(at).Line, in: w.in, was: oneLine(was), becomes: oneLine(becomes)}
	name := m.String()
	m.again = w.same[name]
	w.same[name]++
	w.mutants = append(w.mutants, m)
	return len(w.mutants)
}

func oneLine(text string) string { return strings.Join(strings.Fields(text), " ") }

// node is the text of a node with the mutants of it and of what is in it.
func (w *weaver) node(n ast.Node) string {
	switch n := n.(type) {
	case *ast.FuncDecl:
		return w.function(n)
	case *ast.GenDecl:
		return w.source(n)
	case *ast.BlockStmt:
		return w.list(n, n.List)
	case *ast.CaseClause:
		return w.clause(n)
	case *ast.IfStmt:
		return w.branch(n)
	case *ast.AssignStmt:
		return w.assignment(n)
	case *ast.ReturnStmt, *ast.ExprStmt:
		return w.inside(n)
	case *ast.SelectorExpr: // the name behind the point is no expression
		return w.expression(n, w.node(n.X)+string(w.text[w.offset(n.X.End()):w.offset(n.End())]))
	case *ast.KeyValueExpr:
		return w.source(n.Key) + ": " + w.node(n.Value)
	case *ast.CallExpr:
		return w.expression(n, w.call(n))
	case *ast.UnaryExpr:
		return w.unary(n)
	case *ast.BinaryExpr:
		return w.expression(n, w.node(n.X)+" "+n.Op.String()+" "+w.node(n.Y))
	case *ast.FuncType, *ast.ArrayType, *ast.CompositeLit, *ast.IncDecStmt, *ast.BranchStmt, *ast.TypeAssertExpr:
		return w.source(n)
	case *ast.RangeStmt: // what is gone over stays
		return string(w.text[w.offset(n.Pos()):w.offset(n.Body.Pos())]) + w.node(n.Body)
	case *ast.ForStmt:
		return string(w.text[w.offset(n.Pos()):w.offset(n.Body.Pos())]) + w.node(n.Body)
	case ast.Expr:
		return w.expression(n, w.inside(n))
	}
	return w.inside(n)
}

// inside is the text of a node with what is in it woven.
func (w *weaver) inside(n ast.Node) string {
	var children []ast.Node
	ast.Inspect(n, func(child ast.Node) bool {
		if child == nil || child == n {
			return child != nil
		}
		if _, comment := child.(*ast.CommentGroup); !comment {
			children = append(children, child)
		}
		return false
	})
	slices.SortStableFunc(children, func(a, b ast.Node) int { return int(a.Pos() - b.Pos()) })
	var b strings.Builder
	start := n.Pos()
	if file, ok := n.(*ast.File); ok {
		start = file.FileStart
	}
	at := w.offset(start)
	for _, child := range children {
		b.Write(w.text[at:w.offset(child.Pos())])
		b.WriteString(w.node(child))
		at = w.offset(child.End())
	}
	b.Write(w.text[at:w.offset(n.End())])
	return b.String()
}

// function weaves a function of the control code, and one mutant that returns at once.
func (w *weaver) function(f *ast.FuncDecl) string {
	w.in = f.Name.Name
	if f.Recv != nil {
		w.in = strings.TrimPrefix(w.source(f.Recv.List[0].Type), "*") + "." + w.in
	}
	if f.Body == nil || outside(w.in) {
		return w.source(f)
	}
	head := string(w.text[w.offset(f.Pos()):w.offset(f.Body.Pos())])
	early := ""
	switch results := f.Type.Results; {
	case results == nil && len(f.Body.List) > 1:
		early = fmt.Sprintf(" if mutant(%d) { return };", w.add(f.Pos(), "body", atOnce))
	case results != nil && results.NumFields() == 1:
		early = fmt.Sprintf(
			" if mutant(%d) { var zero %s; return zero };",
			w.add(f.Pos(), "body", atOnce),
			w.source(results.List[0].Type),
		)
	}
	return head + "{" + early + w.list(f.Body, f.Body.List)[1:]
}

// list weaves statements that stand one below the other.
func (w *weaver) list(n ast.Node, statements []ast.Stmt) string {
	var b strings.Builder
	at := w.offset(n.Pos())
	for _, s := range statements {
		b.Write(w.text[at:w.offset(s.Pos())])
		b.WriteString(w.statement(s))
		at = w.offset(s.End())
	}
	b.Write(w.text[at:w.offset(n.End())])
	return b.String()
}

// statement weaves a statement and the mutant that leaves it out.
func (w *weaver) statement(s ast.Stmt) string {
	switch s := s.(type) {
	case *ast.IfStmt:
		if leaves(s.Init) { // what is done before the condition is a statement of its own
			before := w.statement(s.Init)
			rest := *s
			rest.Init = nil
			return before + "; " + w.branch(&rest)
		}
	case *ast.ReturnStmt:
		if len(s.Results) > 0 {
			return w.node(s)
		}
	case *ast.IncDecStmt:
		other := map[token.Token]string{token.INC: "--", token.DEC: "++"}[s.Tok]
		n := w.add(s.Pos(), w.source(s), w.source(s.X)+other)
		return fmt.Sprintf("if mutant(%d) { %s } else if !mutant(%d) { %s }", n, w.source(s.X)+other, w.add(s.Pos(), w.source(s), deleted), w.source(s))
	case *ast.BranchStmt:
		if s.Tok == token.FALLTHROUGH {
			return w.source(s)
		}
	default:
		if !leaves(s) {
			return w.node(s)
		}
	}
	if _, isIf := s.(*ast.IfStmt); isIf {
		return w.node(s)
	}
	n := w.add(s.Pos(), w.source(s), deleted)
	return fmt.Sprintf("if !mutant(%d) { %s }", n, w.node(s))
}

// leaves reports whether a statement can be left out.
func leaves(s ast.Stmt) bool {
	switch s := s.(type) {
	case *ast.AssignStmt:
		return s.Tok != token.DEFINE
	case *ast.IncDecStmt, *ast.BranchStmt:
		return true
	case *ast.ExprStmt:
		_, call := s.X.(*ast.CallExpr)
		return call
	}
	return false
}

// clause weaves a case.
func (w *weaver) clause(n *ast.CaseClause) string {
	var b strings.Builder
	at := w.offset(n.Pos())
	for _, e := range n.List {
		b.Write(w.text[at:w.offset(e.Pos())])
		if isBool(w.info.Types[e].Type) {
			b.WriteString(w.node(e))
		} else {
			b.WriteString(w.source(e))
		}
		at = w.offset(e.End())
	}
	b.Write(w.text[at : w.offset(n.Colon)+1])
	at = w.offset(n.Colon) + 1
	for _, s := range n.Body {
		b.Write(w.text[at:w.offset(s.Pos())])
		b.WriteString(w.statement(s))
		at = w.offset(s.End())
	}
	b.Write(w.text[at:w.offset(n.End())])
	return b.String()
}

// branch weaves an if.
func (w *weaver) branch(n *ast.IfStmt) string {
	text := "if "
	if n.Init != nil {
		text += w.node(n.Init) + "; "
	}
	text += w.node(n.Cond) + " " + w.node(n.Body)
	if n.Else != nil {
		text += " else " + w.node(n.Else)
	}
	return text
}
