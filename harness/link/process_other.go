//go:build !unix

package link

import "os/exec"

func ownGroup(*exec.Cmd) {}

func killGroup(cmd *exec.Cmd) { cmd.Process.Kill() }

func isBrokenPipe(error) bool { return false }
