package lockfile

import (
	"bufio"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestMain lets the test binary be the other process: it takes the lock it is told and waits to be killed.
func TestMain(m *testing.M) {
	if path := os.Getenv("LOCKFILE_TO_TAKE"); path != "" {
		_, err := Take(path)
		fmt.Println(err)
		select {}
	}
	os.Exit(m.Run())
}

// holds starts another process that holds a lock, and returns it.
func holds(t *testing.T, path string) *exec.Cmd {
	self, err := os.Executable()
	require.NoError(t, err)
	c := exec.Command(self, "--evidence", "two words")
	c.Env = append(os.Environ(), "LOCKFILE_TO_TAKE="+path)
	out, err := c.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, c.Start())
	t.Cleanup(func() { _ = c.Process.Kill(); _ = c.Wait() })
	line, err := bufio.NewReader(out).ReadString('\n')
	require.NoError(t, err)
	require.Equal(t, "<nil>\n", line, "the other process could not take the lock")
	return c
}

func TestTheSecondLearnsWhoHoldsIt(t *testing.T) {
	path := filepath.Join(t.TempDir(), ".lock")
	other := holds(t, path)
	_, err := Take(path)
	var held *HeldError
	require.ErrorAs(t, err, &held)
	assert.Equal(t, err, Check(path), "who only looks learns it too")
	assert.NoError(t, Check(filepath.Join(t.TempDir(), ".lock")), "nobody holds what is not there")
	assert.Regexp(
		t,
		fmt.Sprintf(
			`^in use by process %d since 20\d\d-\d\d-\d\d \d\d:\d\d:\d\d .*: .*lockfile.test --evidence 'two words'$`,
			other.Process.Pid,
		),
		err.Error(),
	)
}

func TestALockEndsWithItsProcess(t *testing.T) {
	path := filepath.Join(t.TempDir(), ".lock")
	other := holds(t, path)
	require.NoError(t, other.Process.Kill())
	_ = other.Wait()
	l, err := Take(path)
	require.NoError(t, err, "a lock of a killed process is still held")
	require.NoError(t, l.Release())
	text, err := os.ReadFile(path)
	require.NoError(t, err, "the file of a lock stays, and marks the folder")
	assert.Empty(t, text)
}

func TestAHeldLockIsHeldInThisProcessToo(t *testing.T) {
	path := filepath.Join(t.TempDir(), ".lock")
	first, err := Take(path)
	require.NoError(t, err)
	_, err = Take(path)
	var held *HeldError
	require.ErrorAs(t, err, &held)
	require.NoError(t, first.Release())
	again, err := Take(path)
	require.NoError(t, err)
	require.NoError(t, again.Release())
}

func TestALinkIsNotFollowed(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.Symlink(filepath.Join(dir, "outside"), filepath.Join(dir, ".lock")))
	_, err := Take(filepath.Join(dir, ".lock"))
	assert.ErrorContains(t, err, "is no regular file")
	assert.NoFileExists(t, filepath.Join(dir, "outside"), "taking a lock made a file behind a link")
}
