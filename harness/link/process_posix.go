//go:build unix && !linux

package link

import (
	"os/exec"
	"syscall"
)

// ownGroup makes the child the leader of a process group, so that whatever it starts can be ended with it.
func ownGroup(cmd *exec.Cmd) { cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true} }

func startCommand(cmd *exec.Cmd) error { return cmd.Start() }
