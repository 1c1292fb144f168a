package link

import (
	"bufio"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// A harness that is killed has no time to end its programs, and one that hangs does not see the end of its input.
func TestAHungProgramEndsWithAKilledHarness(t *testing.T) {
	command := childCommand("starts another", "sleep", "600")
	harness := exec.Command(command[0], command[1:]...)
	out, err := harness.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, harness.Start())
	line, err := bufio.NewReader(out).ReadString('\n')
	require.NoError(t, err)
	program := fmt.Sprintf("/proc/%s/cmdline", strings.TrimSpace(line))
	runs := func() bool { // of one that has ended and that nobody has waited for, the command line is empty
		text, err := os.ReadFile(program)
		return err == nil && strings.HasPrefix(string(text), "sleep")
	}
	require.Eventually(t, runs, time.Minute, time.Millisecond, "read %q from the harness", line)
	require.NoError(t, harness.Process.Kill())
	_ = harness.Wait()
	require.Eventually(t, func() bool { return !runs() }, time.Minute, time.Millisecond,
		"a program goes on after its harness was killed")
}
