package signal

import (
	"encoding/binary"
	"fmt"
	"math"
	"os"
	"runtime"
)

// pageLength is how many changes of one signal a page holds; it takes 16 KiB.
const (
	pageLength = 1 << 10
	pageSize   = 16 * pageLength
)

// page is where pageLength changes of one signal stand in the file of a trace.
type page struct {
	number int64 // in the file
	first  Time  // moment of its first change
}

// pageFile is the temporary file of a trace, in the folder for such files (os.TempDir). It has no name: nothing of it
// is left when the process ends, however that ends, or when the trace is no longer used.
type pageFile struct {
	file   *os.File
	pages  int64
	buffer []byte // of the page that is written
}

// ReadBackError says that what a trace had moved to its temporary file could not be read again. It is the value of a
// panic: nothing that is said of such a trace could be relied on.
type ReadBackError struct{ Err error }

// Error says so.
func (e *ReadBackError) Error() string {
	return fmt.Sprintf("reading back the trace from its temporary file: %v", e.Err)
}

// Unwrap is the error of the file.
func (e *ReadBackError) Unwrap() error { return e.Err }

func newPageFile() (*pageFile, error) {
	file, err := os.CreateTemp("", "ullage-trace-*")
	if err != nil {
		return nil, err
	}
	f := &pageFile{file: file, buffer: make([]byte, pageSize)}
	nameless := os.Remove(file.Name()) == nil // not every system removes the name of an open file
	runtime.AddCleanup(f, func(file *os.File) {
		_ = file.Close()
		if !nameless {
			_ = os.Remove(file.Name())
		}
	}, file)
	return f, nil
}

// append writes a page: the moments, then the values.
func (f *pageFile) append(at []Time, value []float64) (page, error) {
	for i := range at {
		binary.LittleEndian.PutUint64(f.buffer[8*i:], uint64(at[i]))
		binary.LittleEndian.PutUint64(f.buffer[8*(pageLength+i):], math.Float64bits(value[i]))
	}
	if _, err := f.file.WriteAt(f.buffer, f.pages*pageSize); err != nil {
		return page{}, err
	}
	f.pages++
	return page{f.pages - 1, at[0]}, nil
}

// read reads a page by a buffer of pageSize bytes.
func (f *pageFile) read(p page, into *Column, buffer []byte) {
	if _, err := f.file.ReadAt(buffer, p.number*pageSize); err != nil {
		panic(&ReadBackError{err})
	}
	for i := range into.At {
		into.At[i] = Time(binary.LittleEndian.Uint64(buffer[8*i:]))
		into.Value[i] = math.Float64frombits(binary.LittleEndian.Uint64(buffer[8*(pageLength+i):]))
	}
}
