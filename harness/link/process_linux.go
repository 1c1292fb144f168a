package link

import (
	"os/exec"
	"runtime"
	"sync"
	"syscall"
)

// ownGroup makes the child the leader of a process group, so that whatever it starts can be ended with it, and has the
// kernel kill the child when this process is killed.
func ownGroup(cmd *exec.Cmd) {
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true, Pdeathsig: syscall.SIGKILL}
}

// startCommand starts a child. The death that Pdeathsig speaks of is that of the thread which started it, see prctl(2):
// all children are started by one thread that lives as long as this process.
func startCommand(cmd *exec.Cmd) error {
	started := make(chan error)
	starts() <- func() { started <- cmd.Start() }
	return <-started
}

// starts leads to the thread that starts children.
var starts = sync.OnceValue(func() chan<- func() {
	calls := make(chan func())
	go func() {
		runtime.LockOSThread()
		for call := range calls {
			call()
		}
	}()
	return calls
})
