package runs

import (
	"bufio"
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"sync"

	"ullage/harness"
	"ullage/harness/lockfile"
	"ullage/harness/outcome"
	"ullage/harness/signal"
)

// Store keeps results under the keys of what they depend on. It is safe for concurrent use.
type Store interface {
	// Find reads the value of a key, and reports whether there is one.
	Find(key string, value any) (bool, error)
	// Put keeps a value. A key is put once.
	Put(key string, value any) error
}

// Kept does a job where the store has no result of it, and keeps the result. What was stopped, or could not be made, is
// not kept.
type Kept struct {
	Store  Store
	Runner Runner
}

// Run does a job, or finds what it came to.
func (k Kept) Run(ctx context.Context, j *Job, watch ...signal.Sink) *harness.Result {
	key := j.Key()
	var kept json.RawMessage
	found, err := k.Store.Find(key, &kept)
	if found && err == nil {
		var r *harness.Result
		if r, err = decode(j, kept, watch...); err == nil {
			return r
		}
	}
	if err != nil {
		return notMade(j, fmt.Errorf("reading a result that was kept: %w", err))
	}
	r, text, err := recorded(ctx, k.Runner, j, watch...)
	if ctx.Err() != nil || r.Worst() == outcome.Broken {
		return r
	}
	if err == nil {
		err = k.Store.Put(key, json.RawMessage(text))
	}
	if err != nil {
		return notMade(j, fmt.Errorf("keeping the result: %w", err))
	}
	return r
}

// Memory is a store that lasts as long as the program. The zero value is empty.
type Memory struct {
	mu    sync.Mutex // guards texts
	texts map[string][]byte
}

// Find reads the value of a key.
func (m *Memory) Find(key string, value any) (bool, error) {
	m.mu.Lock()
	text, ok := m.texts[key]
	m.mu.Unlock()
	if !ok {
		return false, nil
	}
	return true, json.Unmarshal(text, value)
}

// Put keeps a value.
func (m *Memory) Put(key string, value any) error {
	text, err := json.Marshal(value)
	if err != nil {
		return err
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.texts == nil {
		m.texts = map[string][]byte{}
	}
	m.texts[key] = text
	return nil
}

// File is a store in a file that is only appended to, a line a value with its hash, and that one process at a time
// writes. What was put before the process is killed is there afterwards; a line that was cut off by a kill is dropped.
type File struct {
	mu    sync.Mutex // guards file, end and lines
	file  *os.File
	lock  *lockfile.Lock
	end   int64
	lines map[string]span // by key
}

// span is where the line of a value stands.
type span struct{ at, length int64 }

// line is one line of the file. Its sum makes sure that a value which was damaged, or edited, is not taken for a
// result.
type line struct {
	Key   string          `json:"key"`
	Sum   string          `json:"sha256"`
	Value json.RawMessage `json:"value"`
}

// sum is the hash of a key and its value, as JSON writes it.
func (l line) sum() string {
	hash := sha256.Sum256(fmt.Appendf(nil, "%s\n%s", l.Key, l.Value))
	return hex.EncodeToString(hash[:])
}

// read reads a line of the file.
func (l *line) read(text []byte) error {
	if err := json.Unmarshal(text, l); err != nil || l.Key == "" {
		return errors.New("expected a kept result on each line")
	}
	if l.Sum != l.sum() {
		return errors.New("the result that is kept here is not the one that was written: its sha256 differs")
	}
	return nil
}

// OpenFile opens the store of a name in a folder, and makes both where they are not there. The error wraps a
// *lockfile.HeldError when another process has it open.
func OpenFile(folder, name string) (*File, error) {
	if err := os.MkdirAll(folder, 0o777); err != nil {
		return nil, err
	}
	path := filepath.Join(folder, name+".jsonl")
	lock, err := lockfile.Take(filepath.Join(folder, name+".lock"))
	var held *lockfile.HeldError
	if errors.As(err, &held) {
		return nil, fmt.Errorf("the results in %s are %w; wait until that has ended, or name another folder with "+
			"--results", path, held)
	}
	if err != nil {
		return nil, fmt.Errorf("results in %s: %w", path, err)
	}
	s := &File{lock: lock, lines: map[string]span{}}
	if info, err := os.Lstat(path); err == nil && !info.Mode().IsRegular() {
		return nil, errors.Join(fmt.Errorf("%s is no regular file: remove it", path), lock.Release())
	}
	if s.file, err = os.OpenFile(path, os.O_CREATE|os.O_RDWR, 0o666); err != nil {
		return nil, errors.Join(err, lock.Release())
	}
	if err = s.index(); err == nil {
		err = s.file.Truncate(s.end)
	}
	if err != nil {
		return nil, errors.Join(err, s.Close())
	}
	return s, nil
}

// index finds the lines that are there.
func (s *File) index() error {
	in := bufio.NewReader(s.file)
	for n := 1; ; n++ {
		text, err := in.ReadBytes('\n')
		if errors.Is(err, io.EOF) {
			return nil // what stands behind the last end of a line was cut off
		}
		if err != nil {
			return err
		}
		var l line
		if err := l.read(text); err != nil {
			return fmt.Errorf("%s:%d: %w; remove the file to begin anew", s.Name(), n, err)
		}
		s.lines[l.Key] = span{s.end, int64(len(text))}
		s.end += int64(len(text))
	}
}

// Find reads the value of a key.
func (s *File) Find(key string, value any) (bool, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	at, ok := s.lines[key]
	if !ok {
		return false, nil
	}
	text := make([]byte, at.length)
	if _, err := s.file.ReadAt(text, at.at); err != nil {
		return false, err
	}
	var l line
	if err := l.read(text); err != nil {
		return false, err
	}
	return true, json.Unmarshal(l.Value, value)
}

// Put keeps a value. It is in the file when Put returns.
func (s *File) Put(key string, value any) error {
	var text bytes.Buffer
	encoder := json.NewEncoder(&text)
	encoder.SetEscapeHTML(false)
	v, err := json.Marshal(value)
	if err == nil {
		l := line{Key: key, Value: v}
		l.Sum = l.sum()
		err = encoder.Encode(l)
	}
	if err != nil {
		return err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	n, err := s.file.WriteAt(text.Bytes(), s.end)
	if err != nil { // a full disk: half a line must not stand before the next
		return errors.Join(err, s.file.Truncate(s.end))
	}
	s.lines[key] = span{s.end, int64(n)}
	s.end += int64(n)
	return nil
}

// Len is how many values the store holds.
func (s *File) Len() int {
	s.mu.Lock()
	defer s.mu.Unlock()
	return len(s.lines)
}

// Name is the file.
func (s *File) Name() string { return s.file.Name() }

// Close lets go of the file.
func (s *File) Close() error { return errors.Join(s.file.Close(), s.lock.Release()) }
