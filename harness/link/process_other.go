//go:build !unix

package link

import "os/exec"

func ownGroup(*exec.Cmd) {}

func startCommand(cmd *exec.Cmd) error { return cmd.Start() }

func killGroup(cmd *exec.Cmd) { cmd.Process.Kill() }

func isBrokenPipe(error) bool { return false }
