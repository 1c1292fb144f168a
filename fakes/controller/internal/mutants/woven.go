package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

const target = "ullage/fakes/controller"

// control says whether a file is control code: not the seeded defects and variants, not the faults inside the firmware
// and of its oscillator, and not how a controller is put together.
func control(file string) bool {
	switch file {
	case "wiring.go", "open.go", "reacts.go", "firmware.go", "oscillator.go", "seeded.go", "variant.go":
		return false
	}
	return !strings.HasPrefix(file, "defects")
}

// hook is what the woven package has beside its own files: which mutant acts, how many points a run may still pass
// before it counts as one that does not end, and which points it has passed.
const hook = `package controller

var (
	active int
	left   int64
	felt   []bool
)

// Begin chooses a mutant, 0 for none, before a run that may pass so many points. Without one the points are noted at
// which a mutant would have made a difference.
func Begin(mutant int, points int64, note []bool) { active, left, felt = mutant, points, note }

// Left is how many points the run may still pass.
func Left() int64 { return left }

func pass() {
	if left--; left < 0 {
		panic("the mutant does not come to an end")
	}
}

func mutant(n int) bool {
	pass()
	if felt != nil {
		felt[n] = true
	}
	return n == active
}

func either[T comparable](n int, becomes, is T) T {
	pass()
	if felt != nil && becomes != is {
		felt[n] = true
	}
	if n == active {
		return becomes
	}
	return is
}

func truth(first int, is func() bool, others ...func() bool) bool {
	pass()
	if n := active - first; n >= 0 && n < len(others) {
		return others[n]()
	}
	value := is()
	if felt != nil {
		for i, other := range others {
			if !felt[first+i] {
				felt[first+i] = differs(value, other)
			}
		}
	}
	return value
}

// differs reports whether a condition has another value, or none.
func differs(value bool, other func() bool) (does bool) {
	defer func() { does = does || recover() != nil }()
	return other() != value
}
`

// start is what the woven program of this folder has besides: the way to that hook.
const start = `package main

import "ullage/fakes/controller"

func init() { begin, left = controller.Begin, controller.Left }
`

// listed is a package as the go command lists it.
type listed struct {
	ImportPath, Dir, Export string
	GoFiles                 []string
}

// packages asks the go command for the package to be mutated and all that it imports, built.
func packages() (map[string]listed, error) {
	text, err := goCommand("list", "-export", "-deps", "-json=ImportPath,Dir,Export,GoFiles", target)
	if err != nil {
		return nil, err
	}
	all := map[string]listed{}
	for d := json.NewDecoder(strings.NewReader(text)); ; {
		var p listed
		switch err := d.Decode(&p); {
		case errors.Is(err, io.EOF):
			return all, nil
		case err != nil:
			return nil, err
		}
		all[p.ImportPath] = p
	}
}

func goCommand(args ...string) (string, error) {
	var errOut strings.Builder
	c := exec.Command("go", args...)
	c.Stderr = &errOut
	text, err := c.Output()
	if err != nil {
		return "", fmt.Errorf("go %s: %w\n%s", strings.Join(args, " "), err, errOut.String())
	}
	return string(text), nil
}

// wovenSources are the files of the controller with all mutants in them, by path, and the mutants by number less one.
func wovenSources() (map[string]string, []mutant, error) {
	all, err := packages()
	if err != nil {
		return nil, nil, err
	}
	w := &weaver{files: token.NewFileSet(), same: map[string]int{}}
	var paths []string
	var files []*ast.File
	for _, name := range all[target].GoFiles {
		path := filepath.Join(all[target].Dir, name)
		file, err := parser.ParseFile(w.files, path, nil, parser.SkipObjectResolution)
		if err != nil {
			return nil, nil, err
		}
		paths, files = append(paths, path), append(files, file)
	}
	w.info = &types.Info{Types: map[ast.Expr]types.TypeAndValue{}, Uses: map[*ast.Ident]types.Object{}}
	check := types.Config{
		Importer: importer.ForCompiler(
			w.files,
			"gc",
			func(path string) (io.ReadCloser, error) { return os.Open(all[path].Export) },
		),
	}
	if w.pkg, err = check.Check(target, w.files, files, w.info); err != nil {
		return nil, nil, err
	}
	sources := map[string]string{filepath.Join(all[target].Dir, "mutants_hook.go"): hook}
	for i, path := range paths {
		if name := filepath.Base(path); control(name) {
			if sources[path], err = w.weave(path, name, files[i]); err != nil {
				return nil, nil, err
			}
		}
	}
	return sources, w.mutants, nil
}

// build builds this program anew with the woven controller in it, into a folder.
func build(folder string, sources map[string]string) (program string, err error) {
	here, err := goCommand("list", "-f", "{{.Dir}}", "ullage/fakes/controller/internal/mutants")
	if err != nil {
		return "", err
	}
	sources[filepath.Join(strings.TrimSpace(here), "woven_start.go")] = start
	overlay := map[string]map[string]string{"Replace": {}}
	for path, text := range sources {
		copied := filepath.Join(folder, filepath.Base(path))
		overlay["Replace"][path] = copied
		if err := os.WriteFile(copied, []byte(text), 0o644); err != nil {
			return "", err
		}
	}
	text, err := json.Marshal(overlay)
	if err != nil {
		return "", err
	}
	list := filepath.Join(folder, "overlay.json")
	if err := os.WriteFile(list, text, 0o644); err != nil {
		return "", err
	}
	program = filepath.Join(folder, "woven")
	_, err = goCommand("build", "-overlay", list, "-o", program, "ullage/fakes/controller/internal/mutants")
	return program, err
}
