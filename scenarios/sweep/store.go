package sweep

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
)

// Store keeps the results of one sweep in a file, a line each, so that a sweep which was killed goes on where it stopped.
type Store struct {
	file  *os.File
	known map[string]Result
}

// Key names everything that the results of a sweep depend on: the site file, every cell with its figures, the seeds, and the
// version that the caller gives of the program and of the controller.
func (p *Plan) Key(seeds int, version string) string {
	h := sha256.New()
	fmt.Fprintf(h, "%s\x00%d\x00%d\x00%s\x00", p.Library.SiteText(p.Site), p.Seed, seeds, version)
	for _, c := range p.Cells {
		fmt.Fprintf(h, "%s\x00%s\x00", c.ID, c.Feature(func(string) bool { return true }))
	}
	return hex.EncodeToString(h.Sum(nil))[:16]
}

// OpenStore opens the results of a sweep in a folder, under the name of its site and its key, and reads what an earlier one
// has left there. A line that was cut off by a kill is dropped.
func OpenStore(folder, site, key string) (*Store, error) {
	if err := os.MkdirAll(folder, 0o777); err != nil {
		return nil, err
	}
	name := filepath.Join(folder, site+"-"+key+".jsonl")
	text, err := os.ReadFile(name)
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		return nil, err
	}
	s := &Store{known: map[string]Result{}}
	whole := bytes.LastIndexByte(text, '\n') + 1
	for n, line := range bytes.SplitAfter(text[:whole], []byte{'\n'}) {
		if len(line) == 0 {
			continue
		}
		var r Result
		if err := json.Unmarshal(line, &r); err != nil || r.ID == "" {
			return nil, fmt.Errorf("%s:%d: expected a result of a sweep on each line; remove the file to begin anew", name, n+1)
		}
		s.known[r.ID] = r
	}
	if s.file, err = os.OpenFile(name, os.O_CREATE|os.O_WRONLY, 0o666); err != nil {
		return nil, err
	}
	if err = s.file.Truncate(int64(whole)); err == nil {
		_, err = s.file.Seek(int64(whole), 0)
	}
	return s, err
}

// Known is how many results the store had or has been given.
func (s *Store) Known() int { return len(s.known) }

// find is the result of a cell, if there is one.
func (s *Store) find(id string) (Result, bool) {
	if s == nil {
		return Result{}, false
	}
	r, ok := s.known[id]
	return r, ok
}

// put keeps a result. It is in the file when put returns.
func (s *Store) put(r Result) error {
	if s == nil {
		return nil
	}
	line, err := json.Marshal(r)
	if err != nil {
		return err
	}
	s.known[r.ID] = r
	_, err = s.file.Write(append(line, '\n'))
	return err
}

// Name is the file that results are kept in.
func (s *Store) Name() string { return s.file.Name() }

// Close lets go of the file.
func (s *Store) Close() error { return s.file.Close() }
