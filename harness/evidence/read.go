package evidence

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
)

// Read reads the run.json of an evidence folder, strictly: an unknown key, an unknown state or another version is an
// error. Of a run that was not finished it gathers what partial/ holds, and Complete is false.
func Read(dir string) (*Summary, error) {
	s, err := readSummary(filepath.Join(dir, RunFile))
	if err != nil {
		return nil, err
	}
	if s.Complete {
		return s, nil
	}
	partial := filepath.Join(dir, PartialName)
	files, err := os.ReadDir(partial)
	if err != nil {
		return nil, err
	}
	for _, file := range files {
		if filepath.Ext(file.Name()) != ".json" {
			continue
		}
		var r Record
		if err := readStrictly(filepath.Join(partial, file.Name()), &r); err != nil {
			return nil, err
		}
		s.Scenarios = append(s.Scenarios, r)
	}
	slices.SortStableFunc(s.Scenarios, compareRecords)
	s.count()
	return s, nil
}

func readSummary(path string) (*Summary, error) {
	var s Summary
	var mark struct {
		Format  string
		Version int
	}
	text, err := os.ReadFile(path)
	if errors.Is(err, os.ErrNotExist) {
		return nil, fmt.Errorf("there is no %s", path)
	}
	if err != nil {
		return nil, err
	}
	if json.Unmarshal(text, &mark) != nil || mark.Format != Format {
		return nil, fmt.Errorf("%s is not from a run of ours: it does not say \"format\": %q", path, Format)
	}
	if mark.Version != Version {
		return nil, fmt.Errorf("%s is of version %d, this program reads version %d: run the suite again with this program", path, mark.Version, Version)
	}
	if err := decode(text, &s); err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return &s, nil
}

func readStrictly(path string, into any) error {
	text, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	if err := decode(text, into); err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	return nil
}

// decode reads one JSON value and nothing else. Errors name the line.
func decode(text []byte, into any) error {
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	err := d.Decode(into)
	if err == nil {
		if _, more := d.Token(); more != io.EOF {
			err = errors.New("more text follows the end of the JSON value")
		}
	}
	if err == nil {
		return nil
	}
	at := d.InputOffset()
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	if errors.As(err, &syntax) {
		at = syntax.Offset
	} else if errors.As(err, &kind) {
		at = kind.Offset
	}
	return fmt.Errorf("line %d: %w", 1+bytes.Count(text[:min(at, int64(len(text)))], []byte("\n")), err)
}
