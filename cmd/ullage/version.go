package main

import (
	"fmt"
	"maps"
	"slices"
	"strings"
)

// version is what --version prints: the program, its commit, and the versions of what it reads and writes.
func version() string {
	t := tool()
	if t.Commit == "" {
		t.Commit = "unknown"
	}
	if t.Modified {
		t.Commit += ", modified"
	}
	var b strings.Builder
	fmt.Fprintf(&b, "ullage %s\n%-20s %s\n%-20s %s\n", t.Version, "commit", t.Commit, "toolchain", t.Go)
	for _, name := range slices.Sorted(maps.Keys(t.Schemas)) {
		fmt.Fprintf(&b, "%-20s %d\n", name, t.Schemas[name])
	}
	return b.String()
}
