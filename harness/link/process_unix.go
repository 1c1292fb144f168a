//go:build unix

package link

import (
	"errors"
	"os/exec"
	"syscall"
)

// ownGroup makes the child the leader of a process group, so that whatever it starts can be ended with it.
func ownGroup(cmd *exec.Cmd) { cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true} }

func killGroup(cmd *exec.Cmd) { syscall.Kill(-cmd.Process.Pid, syscall.SIGKILL) }

func isBrokenPipe(err error) bool { return errors.Is(err, syscall.EPIPE) }
