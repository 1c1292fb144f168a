package sweep

import (
	"fmt"
	"slices"
	"strings"

	"ullage/harness/fault"
)

// ReadAccepted reads the single faults that are known and lived with: one a line, as fault:target, or as fault for every
// target; what stands behind # is a remark. The error says which line names no fault of the catalogue.
func ReadAccepted(name string, text []byte) ([]string, error) {
	var list []string
	for n, line := range strings.Split(string(text), "\n") {
		line, _, _ = strings.Cut(line, "#")
		if line = strings.TrimSpace(line); line == "" {
			continue
		}
		id, _, _ := strings.Cut(line, ":")
		if _, ok := fault.Find(id); !ok {
			return nil, fmt.Errorf("%s:%d: read %q; expected fault:target, or a fault of the catalogue; ullage faults lists them", name, n+1, line)
		}
		list = append(list, line)
	}
	return list, nil
}

// Accepts tells whether a fault on a target is among the accepted ones.
func Accepts(accepted []string, id string) bool {
	whole, _, _ := strings.Cut(id, ":")
	return slices.Contains(accepted, id) || slices.Contains(accepted, whole)
}
