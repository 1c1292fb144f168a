// Package textfile reads the files that a person names: regular ones, up to a size. A pipe that nobody writes to would
// keep a command waiting for ever, and a device would fill the memory.
//
// It is no API: it serves the readers of this program.
package textfile

import (
	"fmt"
	"io"
	"io/fs"
	"os"
)

// The sizes up to which files are read, in bytes.
const (
	Written  = 1 << 20   // what people write: features, sites, worksheets, lists; thirty times the largest shipped one
	Recorded = 256 << 20 // what the program has written: results and logs of hours
)

// Error says why a file is not read.
type Error struct {
	Name string
	Why  string // what it is, and what was expected
}

// Error is the sentence for a person.
func (e *Error) Error() string { return e.Name + ": " + e.Why }

// Read reads a regular file of at most so many bytes; what is no such file, also behind a link, is refused unread with
// an *Error.
func Read(name string, most int64) ([]byte, error) {
	return read(name, most, func() (fs.FileInfo, error) { return os.Stat(name) },
		func() (fs.File, error) { return os.Open(name) })
}

// ReadFrom is Read in a file system.
func ReadFrom(fsys fs.FS, name string, most int64) ([]byte, error) {
	return read(name, most, func() (fs.FileInfo, error) { return fs.Stat(fsys, name) },
		func() (fs.File, error) { return fsys.Open(name) })
}

func read(name string, most int64, stat func() (fs.FileInfo, error), open func() (fs.File, error)) ([]byte, error) {
	info, err := stat()
	if err != nil {
		return nil, err
	}
	if err := Regular(name, info); err != nil {
		return nil, err
	}
	if info.Size() > most {
		return nil, tooLarge(name, info.Size(), most)
	}
	f, err := open()
	if err != nil {
		return nil, err
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, most+1))
	if err == nil && int64(len(text)) > most { // it has grown meanwhile
		err = tooLarge(name, int64(len(text)), most)
	}
	return text, err
}

// Regular refuses what is no regular file, with an *Error, for readers that go through a file of any size in pieces.
// Ask it before the file is opened: to open a pipe is to wait for its writer.
func Regular(name string, info fs.FileInfo) error {
	kind := "of no known kind"
	switch mode := info.Mode(); {
	case mode.IsRegular():
		return nil
	case mode.IsDir():
		kind = "a folder"
	case mode&fs.ModeNamedPipe != 0:
		kind = "a pipe"
	case mode&fs.ModeSocket != 0:
		kind = "a socket"
	case mode&fs.ModeDevice != 0:
		kind = "a device"
	}
	return &Error{Name: name, Why: "it is " + kind + "; expected a regular file"}
}

func tooLarge(name string, size, most int64) error {
	return &Error{Name: name, Why: fmt.Sprintf("it has at least %d bytes; expected at most %d", size, most)}
}
