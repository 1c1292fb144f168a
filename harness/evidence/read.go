package evidence

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"ullage/harness/lockfile"
	"ullage/harness/textfile"
)

// Read reads the run.json of an evidence folder, strictly: an unknown key, an unknown state or another version is an
// error. Of a run that is under way or was killed it reads the log, and Complete is false.
func Read(dir string) (*Summary, error) {
	s, err := readSummary(filepath.Join(dir, RunFile))
	if !errors.Is(err, fs.ErrNotExist) {
		return s, err
	}
	var held *lockfile.HeldError
	if err := lockfile.Check(filepath.Join(dir, LockFile)); err != nil && !errors.As(err, &held) {
		return nil, err
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, err
	}
	defer root.Close()
	log, err := openLog(root)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nothingRecorded(dir)
	}
	if err != nil {
		return nil, err
	}
	defer log.close()
	for i := range log.scenarios { // no result counts whose record is damaged
		if r := &log.scenarios[i]; r.done {
			if _, err := r.read(); err != nil {
				return nil, err
			}
		}
	}
	s = log.summary()
	if held != nil {
		s.Holder = held.Holder
	}
	return s, nil
}

func readSummary(path string) (*Summary, error) {
	var s Summary
	var mark struct {
		Format  string
		Version int
	}
	text, err := textfile.Read(path, textfile.Recorded)
	if err != nil {
		return nil, err
	}
	if json.Unmarshal(text, &mark) != nil || mark.Format != Format {
		return nil, fmt.Errorf("%s is not from a run of ours: it does not say \"format\": %q", path, Format)
	}
	if mark.Version != Version {
		return nil, fmt.Errorf(
			"%s is of version %d, this program reads version %d: run the suite again with this program",
			path,
			mark.Version,
			Version,
		)
	}
	if err := decode(text, &s); err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return &s, nil
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
