package link

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"time"
)

const (
	longestLine   = 1 << 20 // bytes of one answer
	shownLines    = 6       // last lines shown in an error
	shownLine     = 400     // bytes of one line shown in an error
	shownStandard = 4096    // bytes of standard error shown
)

// process is a child process that answers one line to each line.
type process struct {
	command  []string
	cmd      *exec.Cmd
	in       *os.File
	out      *os.File
	lines    *bufio.Reader
	long     []byte // an answer that did not fit the reader's buffer
	standard tail
	last     [shownLines][]byte // what was said, oldest first from turn on
	turn     int
	deadline time.Duration
	watchdog *time.Timer
	late     atomic.Bool // the watchdog has killed it
	gone     bool
}

// start starts the program in a process group of its own.
func start(command []string, deadline time.Duration) (*process, error) {
	p := &process{command: command, deadline: deadline, cmd: exec.Command(command[0], command[1:]...)}
	childIn, in, err := os.Pipe()
	if err != nil {
		return nil, err
	}
	out, childOut, err := os.Pipe()
	if err != nil {
		return nil, errors.Join(err, childIn.Close(), in.Close())
	}
	p.in, p.out = in, out
	p.lines = bufio.NewReaderSize(out, 1<<16)
	p.cmd.Stdin, p.cmd.Stdout, p.cmd.Stderr = childIn, childOut, &p.standard
	p.cmd.WaitDelay = time.Second
	ownGroup(p.cmd)
	err = startCommand(p.cmd)
	childIn.Close()
	childOut.Close()
	if err != nil {
		in.Close()
		out.Close()
		return nil, fmt.Errorf("the controller %q cannot be started: %w", command[0], err)
	}
	p.watchdog = time.AfterFunc(time.Hour, p.bite)
	p.watchdog.Stop()
	return p, nil
}

// bite ends a program that lets the harness wait, and the waiting too, should a grandchild hold the pipes.
func (p *process) bite() {
	p.late.Store(true)
	killGroup(p.cmd)
	now := time.Now()
	p.out.SetReadDeadline(now)
	p.in.SetWriteDeadline(now)
}

// exchange writes one line, which it ends, and reads the answer, which is valid until the next call. After an error the
// process is gone; when the context ends, it is ended in the midst of the exchange.
func (p *process) exchange(ctx context.Context, line []byte) ([]byte, error) {
	if p.gone {
		return nil, errors.New("the controller has ended")
	}
	line = append(line, '\n')
	p.note('>', line)
	if p.lines.Buffered() > 0 {
		extra, _ := p.readLine()
		p.note('<', extra)
		return nil, p.fail(errors.New("it answered more than one line"))
	}
	release := context.AfterFunc(ctx, p.bite)
	p.watchdog.Reset(p.deadline)
	_, err := p.in.Write(line)
	if err == nil {
		line, err = p.readLine()
	}
	p.watchdog.Stop()
	if !release() { // it has been ended
		return nil, p.fail(context.Cause(ctx))
	}
	if p.late.Load() {
		return nil, p.fail(fmt.Errorf("it did not answer within %v", p.deadline))
	}
	if err != nil {
		p.note('<', line)
		return nil, p.lost(err)
	}
	p.note('<', line)
	return line, nil
}

// readLine reads up to the next line end.
func (p *process) readLine() ([]byte, error) {
	line, err := p.lines.ReadSlice('\n')
	if !errors.Is(err, bufio.ErrBufferFull) {
		return line, err
	}
	p.long = append(p.long[:0], line...)
	for errors.Is(err, bufio.ErrBufferFull) && len(p.long) < longestLine {
		line, err = p.lines.ReadSlice('\n')
		p.long = append(p.long, line...)
	}
	if errors.Is(err, bufio.ErrBufferFull) {
		return p.long, fmt.Errorf("its answer goes on for more than %d bytes without a line end", longestLine)
	}
	return p.long, err
}

// note keeps a line for the error that may come.
func (p *process) note(who byte, line []byte) {
	if len(line) == 0 {
		return
	}
	kept := append(p.last[p.turn][:0], who, ' ')
	if len(line) > shownLine {
		kept = append(kept, line[:shownLine]...)
		kept = append(kept, "..."...)
	} else {
		kept = append(kept, bytes.TrimSpace(line)...)
	}
	p.last[p.turn] = kept
	p.turn = (p.turn + 1) % shownLines
}

// fail ends the process, waits for it, and makes the error that shows what was said last and what it wrote to standard
// error.
func (p *process) fail(why error) error {
	if p.gone {
		return why
	}
	killGroup(p.cmd)
	p.wait()
	return fmt.Errorf("the controller %s: %w%s", p, why, p.report())
}

// lost is fail for a process that no longer reads or writes: it is given the time to end by itself, so that its status
// can be told.
func (p *process) lost(why error) error {
	if !errors.Is(why, io.EOF) && !isBrokenPipe(why) {
		return p.fail(why)
	}
	status := p.wait()
	if p.late.Load() {
		return fmt.Errorf("the controller %s: it closed its output instead of answering%s", p, p.report())
	}
	return fmt.Errorf("the controller %s: it ended instead of answering: %s%s", p, status, p.report())
}

// String is the command, for a message.
func (p *process) String() string {
	text := strings.Join(p.command, " ")
	if len(text) > 100 {
		text = text[:100] + "..."
	}
	return strconv.Quote(text)
}

// report is what an error shows of the conversation and of standard error.
func (p *process) report() string {
	var b strings.Builder
	b.WriteString("\n  the last lines (> to it, < from it):")
	for i := range shownLines {
		if line := p.last[(p.turn+i)%shownLines]; len(line) > 0 {
			fmt.Fprintf(&b, "\n    %s", line)
		}
	}
	text := strings.TrimSpace(p.standard.String())
	if text == "" {
		b.WriteString("\n  its standard error is empty")
		return b.String()
	}
	b.WriteString("\n  the end of its standard error:\n    ")
	b.WriteString(strings.ReplaceAll(text, "\n", "\n    "))
	return b.String()
}

// end closes the program's input, which asks it to end, and waits for it.
func (p *process) end() error {
	if p.gone {
		return nil
	}
	status := p.wait()
	switch {
	case p.late.Load():
		return fmt.Errorf("the controller %s did not end within %v after the end of its input%s", p, p.deadline,
			p.report())
	case status != "exit status 0":
		return fmt.Errorf("the controller %s ended with %s after the end of its input%s", p, status, p.report())
	}
	return nil
}

// wait ends the input, reaps the process within the deadline and gives how it ended. What is left of its group is
// killed.
func (p *process) wait() string {
	p.gone = true
	p.in.Close()
	if !p.late.Load() {
		p.watchdog.Reset(p.deadline)
	}
	p.cmd.Wait()
	p.watchdog.Stop()
	killGroup(p.cmd) // the group's number stays taken as long as one of its members is left
	p.out.Close()
	return p.cmd.ProcessState.String()
}

// tail keeps the end of what is written to it.
type tail struct {
	mu   sync.Mutex // the process writes while the harness may read
	kept []byte
}

// Write is part of io.Writer.
func (t *tail) Write(b []byte) (int, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.kept = append(t.kept, b...)
	if extra := len(t.kept) - shownStandard; extra > 0 {
		t.kept = t.kept[:copy(t.kept, t.kept[extra:])]
	}
	return len(b), nil
}

func (t *tail) String() string {
	t.mu.Lock()
	defer t.mu.Unlock()
	return strings.ToValidUTF8(string(t.kept), "?")
}
