// Command ullage proves that a watering controller ends safely whatever the water, the wiring and the network do, and
// says with what margin. One file a verb; the work is done in the packages below.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"
	"syscall"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"ullage/harness/console"
)

// Exit statuses: everything selected was run, exercised and held; something failed or was not exercised; something
// could not be made or was not run.
const (
	exitHeld   = 0
	exitFailed = 1
	exitBroken = 2
)

// exitError ends the program with a status. Its message has been printed already when it is empty.
type exitError struct {
	status  int
	message string
}

func (e *exitError) Error() string { return e.message }

func main() { os.Exit(standalone()) }

// standalone runs the command line of this process until it is done, interrupted or terminated, and returns the exit
// status.
func standalone() int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	context.AfterFunc(ctx, stop) // a second signal ends the process at once
	return execute(ctx, os.Args[1:], os.Stdout, os.Stderr)
}

// execute runs one command line and returns its exit status. Output that could not be written is always one that could
// not be made.
func execute(ctx context.Context, args []string, out, errOut io.Writer) int {
	written, complaints := &console.Output{To: out}, &console.Output{To: errOut}
	status := command(ctx, args, written, complaints)
	if err := errors.Join(written.Err(), complaints.Err()); err != nil {
		fmt.Fprintln(complaints, "ullage: the output could not be written:", err)
		return exitBroken
	}
	return status
}

func command(ctx context.Context, args []string, out, errOut *console.Output) int {
	root := &cobra.Command{
		Use:   "ullage",
		Short: "Fault simulation and hardware-in-the-loop tests for watering controllers",
		Long: "ullage runs scenarios on a simulated site, injects faults and reports for each safety outcome whether it held and by\n" +
			"what margin.\n\n" +
			"Exit status: 0 all held, 1 something failed or was not exercised, 2 something could not be made or was not run.",
		SilenceUsage:      true,
		SilenceErrors:     true,
		PersistentPreRunE: func(c *cobra.Command, _ []string) error { return c.Context().Err() },
		Version:           version(),
	}
	root.SetVersionTemplate("{{.Version}}")
	root.AddCommand(
		runCommand(),
		checkCommand(),
		newCommand(),
		flowsCommand(),
		faultsCommand(),
		sweepCommand(),
		challengeCommand(),
		phrasesCommand(),
		schemaCommand(),
		reportCommand(),
		compareCommand(),
		workerCommand(),
	)
	root.SetArgs(args)
	root.SetOut(out)
	root.SetErr(errOut)
	root.SetFlagErrorFunc(
		func(c *cobra.Command, err error) error { return fmt.Errorf("%w; see %s --help", err, c.CommandPath()) },
	)
	err := root.ExecuteContext(ctx)
	if err == nil {
		return exitHeld
	}
	if out.Err() != nil { // which execute reports
		return exitBroken
	}
	if err == ctx.Err() { // the bare end of the context
		err = errors.New("interrupted")
	}
	if strings.HasPrefix(err.Error(), "unknown command") { // which cobra says of its own accord
		err = fmt.Errorf("%s\nexpected one of the commands that ullage --help lists", strings.TrimSpace(err.Error()))
	}
	var exit *exitError
	if !errors.As(err, &exit) {
		exit = &exitError{exitBroken, err.Error()}
	}
	if exit.message != "" {
		fmt.Fprintln(errOut, "ullage:", exit.message)
	}
	return exit.status
}

// expects puts what a command takes behind the complaint that it was given something else.
func expects(what string, check cobra.PositionalArgs) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if check(c, args) == nil {
			return nil
		}
		return fmt.Errorf(
			"%s: read %d arguments %q; expected %s; see ullage %s --help",
			c.Name(),
			len(args),
			args,
			what,
			c.Name(),
		)
	}
}

// terminal says whether w is a terminal, and how wide it is.
func terminal(w io.Writer) (width int, is bool) {
	if o, ok := w.(*console.Output); ok {
		w = o.To
	}
	f, ok := w.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		return 0, false
	}
	width, _, err := term.GetSize(int(f.Fd()))
	return width, err == nil
}

// colours says whether to use colour on w: a terminal, and NO_COLOR is not set (no-color.org).
func colours(w io.Writer) bool {
	_, is := terminal(w)
	return is && os.Getenv("NO_COLOR") == ""
}
