package main

import (
	"crypto/sha256"
	"encoding/hex"
	"io"
	"os"
	"os/exec"
	"runtime"
	"runtime/debug"
	"strings"
	"time"

	"ullage/harness/evidence"
	"ullage/harness/link"
	"ullage/harness/sitefile"
	"ullage/scenarios"
	"ullage/scenarios/runs"
)

// provenance is what a run is made with: this program, the controller of that name, the files of the chosen scenarios.
func provenance(
	library *scenarios.Library,
	chosen []*scenarios.Case,
	controller string,
	seed uint64,
) (*evidence.Provenance, error) {
	p := &evidence.Provenance{Format: evidence.ProvenanceFormat, Version: evidence.ProvenanceVersion,
		Started: time.Now().
			UTC().
			Format(time.RFC3339),
		Tool: tool(), Seed: seed, Arguments: append([]string{}, os.Args[1:]...),
		Inputs: []evidence.FileUsed{}, Host: evidence.Host{OS: runtime.GOOS, Arch: runtime.GOARCH, CPUs: runtime.NumCPU()}}
	p.Host.Name, _ = os.Hostname() // a machine without a name has none here
	for _, i := range library.Inputs(chosen) {
		sum := sha256.Sum256(i.Text)
		p.Inputs = append(p.Inputs, evidence.FileUsed{Name: i.Name, SHA256: hex.EncodeToString(sum[:])})
	}
	var err error
	p.Controller, err = controllerUsed(controller)
	return p, err
}

// tool is this program.
func tool() evidence.Tool {
	t := evidence.Tool{Name: "ullage", Go: runtime.Version(), Schemas: map[string]int{evidence.Format: evidence.Version,
		evidence.LogFormat: evidence.LogVersion, evidence.ProvenanceFormat: evidence.ProvenanceVersion, runs.Format: runs.Version,
		"models": runs.Models(), "link protocol": link.Version, "site file": sitefile.Version}}
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return t
	}
	t.Version = info.Main.Version
	for _, s := range info.Settings {
		switch s.Key {
		case "vcs.revision":
			t.Commit = s.Value
		case "vcs.modified":
			t.Modified = s.Value == "true"
		}
	}
	return t
}

// controllerUsed tells which controller --controller names, by the content of its program and of the files among its
// arguments.
func controllerUsed(name string) (evidence.ControllerUsed, error) {
	used := evidence.ControllerUsed{Name: name, Command: []string{}, Files: []evidence.FileUsed{}}
	command, isProgram := strings.CutPrefix(name, "exec:")
	if !isProgram {
		return used, nil
	}
	used.Command = strings.Fields(command)
	for i, word := range used.Command {
		path := word
		if found, err := exec.LookPath(word); i == 0 && err == nil {
			path = found
		}
		if info, err := os.Stat(path); err != nil || !info.Mode().IsRegular() {
			continue // an argument, or a program that is missed when it is started
		}
		sum, err := hashFile(path)
		if err != nil {
			return used, err
		}
		used.Files = append(used.Files, evidence.FileUsed{Name: path, SHA256: sum})
	}
	return used, nil
}

// hashFile is the SHA-256 of a file's content in hexadecimal digits.
func hashFile(name string) (string, error) {
	f, err := os.Open(name)
	if err != nil {
		return "", err
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return "", err
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}
