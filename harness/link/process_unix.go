//go:build unix

package link

import (
	"errors"
	"os/exec"
	"syscall"
)

func killGroup(cmd *exec.Cmd) { syscall.Kill(-cmd.Process.Pid, syscall.SIGKILL) }

func isBrokenPipe(err error) bool { return errors.Is(err, syscall.EPIPE) }
