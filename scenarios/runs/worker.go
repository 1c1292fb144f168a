package runs

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os/exec"
	"sync"
	"syscall"
	"time"

	"ullage/harness"
	"ullage/harness/signal"
)

// answer is what a worker writes for each description: its result, or why the description could not be read.
type answer struct {
	Result json.RawMessage `json:"result,omitempty"`
	Error  string          `json:"error,omitempty"`
}

// Serve reads descriptions, a JSON object a line, does each, and writes a line with its result before it reads the
// next, until the input ends. The error is that of reading or writing, or of the context.
func Serve(ctx context.Context, runner Runner, in io.Reader, out io.Writer) error {
	lines := bufio.NewReader(in)
	for ctx.Err() == nil {
		text, err := lines.ReadBytes('\n')
		if len(bytes.TrimSpace(text)) > 0 {
			if err := json.NewEncoder(out).Encode(serve(ctx, runner, text)); err != nil {
				return err
			}
		}
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
	}
	return context.Cause(ctx)
}

func serve(ctx context.Context, runner Runner, text []byte) answer {
	j, err := Read(text)
	if err != nil {
		return answer{Error: err.Error()}
	}
	_, result, err := recorded(ctx, runner, j)
	if err != nil {
		return answer{Error: err.Error()}
	}
	return answer{Result: result}
}

// Workers does jobs in child processes, which speak as Serve does. What a job does to its process, endless loops in a
// controller, memory, a crash, ends that child and not this program. Close ends the children.
type Workers struct {
	command []string

	mu   sync.Mutex // guards idle
	idle []*worker
}

// NewWorkers starts a child by the command for every job that none of those which are there is free for.
func NewWorkers(command ...string) *Workers { return &Workers{command: command} }

// grace is how long a child may take beyond the time of its job: it stops by itself when that is over, unless it hangs.
const grace = 2 * time.Second

// Run has a child do a job. A child that does not answer in time, or when the context ends, is ended, and what it has started
// with it.
func (w *Workers) Run(ctx context.Context, j *Job, watch ...signal.Sink) *harness.Result {
	if ctx.Err() != nil {
		return stopped(ctx, j)
	}
	child, err := w.take()
	if err != nil {
		return notMade(j, err)
	}
	limit := ctx
	if j.Timeout > 0 {
		var cancel context.CancelFunc
		limit, cancel = context.WithTimeoutCause(ctx, j.Timeout+grace,
			fmt.Errorf("the process of the run did not answer within %v", j.Timeout+grace))
		defer cancel()
	}
	text, err := child.exchange(limit, &j.Description)
	switch {
	case ctx.Err() != nil:
		return stopped(ctx, j)
	case err != nil:
		return notMade(j, err)
	}
	var a answer
	if err = json.Unmarshal(text, &a); err == nil && a.Error != "" {
		err = errors.New(a.Error)
	}
	var r *harness.Result
	if err == nil {
		r, err = decode(j, a.Result, watch...)
	}
	if err != nil {
		child.end()
		return notMade(j, fmt.Errorf("the process of the run: %w", err))
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	w.idle = append(w.idle, child)
	return r
}

// stopped is the result of a job that the end of the context has stopped, or that was not begun because of it.
func stopped(ctx context.Context, j *Job) *harness.Result {
	return notMade(j, &harness.CannotError{Reason: "it was stopped: " + context.Cause(ctx).Error()})
}

// take is a child that is free.
func (w *Workers) take() (*worker, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if n := len(w.idle); n > 0 {
		child := w.idle[n-1]
		w.idle = w.idle[:n-1]
		return child, nil
	}
	return startWorker(w.command)
}

// Close ends the children that are free. Those that do a job end with it.
func (w *Workers) Close() {
	w.mu.Lock()
	defer w.mu.Unlock()
	for _, child := range w.idle {
		child.end()
	}
	w.idle = nil
}

// worker is a child process.
type worker struct {
	process *exec.Cmd
	in      io.WriteCloser
	out     *bufio.Reader
	said    *bytes.Buffer // on its standard error
}

func startWorker(command []string) (*worker, error) {
	c := exec.Command(command[0], command[1:]...)
	w := &worker{process: c, said: &bytes.Buffer{}}
	c.Stderr = w.said
	out, err := c.StdoutPipe()
	if err == nil {
		w.in, err = c.StdinPipe()
	}
	if err == nil {
		err = c.Start()
	}
	if err != nil {
		return nil, fmt.Errorf("starting a process for runs: %w", err)
	}
	w.out = bufio.NewReader(out)
	return w, nil
}

// exchange sends a description and waits for the line of its result. After an error the process is gone.
func (w *worker) exchange(ctx context.Context, d *Description) ([]byte, error) {
	stop := context.AfterFunc(ctx, w.terminate)
	err := json.NewEncoder(w.in).Encode(d)
	var text []byte
	if err == nil {
		text, err = w.out.ReadBytes('\n')
	}
	if stop() && err == nil {
		return text, nil
	}
	w.end()
	if ctx.Err() != nil {
		return nil, context.Cause(ctx)
	}
	return nil, fmt.Errorf("the process of the run ended (%v): %s", w.process.ProcessState,
		bytes.TrimSpace(w.said.Bytes()))
}

// terminate has the process end what it has started, a controller for instance that answers no more, and end; when it does not
// do so within grace, or where there is no such signal, it is killed.
func (w *worker) terminate() {
	late, cancel := context.WithTimeout(context.Background(), grace)
	if w.process.Process.Signal(syscall.SIGTERM) != nil {
		cancel()
	}
	context.AfterFunc(late, func() {
		cancel()
		_ = w.process.Process.Kill()
	})
}

// end ends the process and waits for it.
func (w *worker) end() {
	_ = w.in.Close()
	_ = w.process.Process.Kill()
	_ = w.process.Wait()
}
