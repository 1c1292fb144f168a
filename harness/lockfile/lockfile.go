// Package lockfile keeps two processes from writing into one folder at the same time. The lock is one of the operating
// system on an open file: it ends with the process that holds it, also when that is killed. While it is held the file
// says by whom; the file itself stays where it is, empty, and so also marks the folder as one that was written by this
// program.
//
// It is no API: it serves evidence folders and stores of results.
package lockfile

import (
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/gofrs/flock"

	"ullage/harness/console"
)

// Lock is a lock that this process holds. It is not safe for concurrent use.
type Lock struct{ file *flock.Flock }

// HeldError says that another process, or another part of this one, holds a lock.
type HeldError struct {
	Path   string // of the lock file
	Holder string // the process, its command and since when, as far as they can be read
}

func (e *HeldError) Error() string { return "in use by " + e.Holder }

// Take takes the lock of a file without waiting, and makes the file where there is none. The error is a *HeldError when
// another holds it. What is not a regular file, a link for instance, is refused and not followed.
func Take(path string) (*Lock, error) {
	if err := regular(path); err != nil && !os.IsNotExist(err) {
		return nil, err
	}
	l := &Lock{flock.New(path, flock.SetFlag(os.O_CREATE|os.O_RDWR), flock.SetPermissions(0o666))}
	taken, err := l.file.TryLock()
	switch {
	case err != nil:
		return nil, err
	case !taken:
		return nil, &HeldError{path, holder(path)}
	}
	words := make([]string, len(os.Args))
	for i, a := range os.Args {
		words[i] = console.ShellWord(a)
	}
	if err := os.WriteFile(path, fmt.Appendf(nil, "process %d: %s\n", os.Getpid(), strings.Join(words, " ")),
		0o666); err != nil {
		_ = l.file.Unlock()
		return nil, err
	}
	return l, nil
}

// Check returns a *HeldError when somebody holds a lock, and nil when nobody does or there is no lock file. It makes and
// changes no file.
func Check(path string) error {
	if err := regular(path); err != nil {
		if os.IsNotExist(err) {
			return nil
		}
		return err
	}
	file := flock.New(path, flock.SetFlag(os.O_RDONLY))
	taken, err := file.TryRLock()
	switch {
	case err != nil:
		return err
	case !taken:
		return &HeldError{path, holder(path)}
	}
	return file.Unlock()
}

// Release gives the lock back. The file stays, empty.
func (l *Lock) Release() error {
	if err := os.Truncate(l.file.Path(), 0); err != nil && !os.IsNotExist(err) {
		_ = l.file.Unlock()
		return err
	}
	return l.file.Unlock()
}

// regular refuses what is there and is no regular file.
func regular(path string) error {
	info, err := os.Lstat(path)
	if err == nil && !info.Mode().IsRegular() {
		return fmt.Errorf("%s is no regular file: remove it", path)
	}
	return err
}

// holder reads who holds a lock. The file was last written when the lock was taken.
func holder(path string) string {
	file, err := os.Open(path)
	if err != nil {
		return "another process"
	}
	defer file.Close()
	text, err := io.ReadAll(io.LimitReader(file, 500))
	info, statErr := file.Stat()
	if err != nil || statErr != nil || len(text) == 0 {
		return "another process"
	}
	who, command, _ := strings.Cut(strings.TrimSpace(string(text)), ": ")
	return fmt.Sprintf("%s since %s: %s", console.Clean(who), info.ModTime().Format("2006-01-02 15:04:05 MST"),
		console.Clean(command))
}
