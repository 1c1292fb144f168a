package sweep

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"ullage/harness/fault"
	"ullage/harness/spelling"
)

// ReadAccepted reads the single faults that are known and lived with: one a line, as fault:target, or as fault for
// every target; what stands behind # is a remark. The error says of each line that names nothing that is tried on the
// site what was meant. It is to be asked before Only narrows the plan.
func (p *Plan) ReadAccepted(file string, text []byte) ([]string, error) {
	var list []string
	var mistakes []error
	for n, line := range strings.Split(string(text), "\n") {
		line, _, _ = strings.Cut(line, "#")
		if line = strings.TrimSpace(line); line == "" {
			continue
		}
		id, err := p.named(line)
		if err != nil {
			mistakes = append(mistakes, fmt.Errorf("%s:%d: read %w", file, n+1, err))
			continue
		}
		list = append(list, id)
	}
	return list, errors.Join(mistakes...)
}

// named is a fault, or fault:target, as trials are named by it; the target may be written as the site file has it. The
// error begins with what was read.
func (p *Plan) named(written string) (string, error) {
	id, target, one := strings.Cut(written, ":")
	if one {
		id = name(id, target)
	}
	known := map[string]bool{}
	var names []string // in the order of the plan
	for _, c := range p.Trials {
		for _, n := range []string{c.Fault, name(c.Fault, c.Target)} {
			if !known[n] {
				known[n], names = true, append(names, n)
			}
		}
	}
	if known[id] {
		return id, nil
	}
	return "", fmt.Errorf("%q; expected a fault, or fault:target, that is tried on this site%s", written,
		p.meant(id, names))
}

// meant says why a name is none of those of the plan, or which of them is near; "" when neither can be said.
func (p *Plan) meant(id string, names []string) string {
	whole, _, _ := strings.Cut(id, ":")
	entry, known := fault.Find(whole)
	if err := entry.Simulated(); err != nil {
		return "; " + err.Error()
	}
	for _, r := range p.Refused {
		if name(r.Fault, r.Target) == id {
			return "; not applicable: " + r.Why
		}
	}
	if near := spelling.Nearest(id, names); near != "" {
		return fmt.Sprintf("; did you mean %q?", near)
	}
	targets := slices.DeleteFunc(slices.Clone(names), func(n string) bool { return !strings.HasPrefix(n, whole+":") })
	if len(targets) > 0 {
		return ": " + strings.Join(targets, ", ")
	}
	if known {
		return "; nothing here can have " + whole
	}
	return "; ullage faults lists the faults"
}

// Accepts reports whether a fault on a target is among the accepted ones.
func Accepts(accepted []string, id string) bool {
	whole, _, _ := strings.Cut(id, ":")
	return slices.Contains(accepted, id) || slices.Contains(accepted, whole)
}
