package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"unicode"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"ullage/cmd/ullage/internal/survey"
	"ullage/harness/spelling"
)

// newOptions are the flags of new besides the answers.
type newOptions struct {
	out   string
	force bool
	ask   bool
}

func newCommand() *cobra.Command {
	var o newOptions
	c := &cobra.Command{
		Use:   "new [FILE]",
		Short: "Write a site file from ten questions",
		Long: "Write a site file from ten questions in the words of the trade, and fit what nobody can measure, the loss in the\n" +
			"mains and in the fittings, to the readings. Without a flag that answers a question they are asked, at the prompt or\n" +
			"from piped lines; with one, questions without a flag take what is usual, or are asked with --ask.\n" +
			"FILE ends in .yaml; \"-\" prints the file. Without FILE it is new-site.yaml.\n\n" +
			"Exit status: 0 the file was written, 2 it was not.",
		Example: "  ullage new header-house.yaml\n  ullage new header-house.yaml --static '3.6 bar' --bucket '10 L in 25 s' --residual '2.1 bar' --preventer 'BA 3/4 in' \\\n" +
			"    --length '28 m' --valves 'top-up 3/4 in' --feeds 'top-up: tank, 4 m' --fill-time '8 min' --tank '400 L, 880 mm high' \\\n" +
			"    --overflow 'standpipe 800 mm, 40 mm bore' --floats 'low 250 mm, high 720 mm, spill 770 mm'",
		Args: expects("at most one FILE; words of an answer belong in quotes", cobra.MaximumNArgs(1)),
	}
	given := survey.Given{}
	for _, f := range survey.Flags() {
		c.Flags().Var(answer{given, f}, f.Name, f.Usage)
	}
	c.Flags().StringVarP(&o.out, "out", "o", "", "the file to write, in the place of FILE")
	c.Flags().BoolVar(&o.force, "force", false, "overwrite the file")
	c.Flags().BoolVar(&o.ask, "ask", false, "ask the questions that no flag answers")
	c.Flags().SortFlags = false
	c.RunE = func(c *cobra.Command, args []string) error {
		if len(args) > 0 && o.out != "" && args[0] != o.out {
			return fmt.Errorf("two files are named, %s and --out %s; expected one", args[0], o.out)
		}
		if len(args) > 0 {
			o.out = args[0]
		}
		return o.run(c.Context(), given, c.InOrStdin(), c.OutOrStdout(), c.ErrOrStderr())
	}
	return c
}

// answer is a flag that answers a question; of one that is given twice the last counts.
type answer struct {
	given survey.Given
	flag  survey.Flag
}

// Set takes the answer as it is; what is wrong with it is told with all other mistakes.
func (a answer) Set(text string) error {
	if !a.flag.Repeats {
		a.given[a.flag.Name] = nil
	}
	a.given[a.flag.Name] = append(a.given[a.flag.Name], text)
	return nil
}

// String is empty: there is no answer before one is given.
func (a answer) String() string { return "" }

// Type is what the help calls the value.
func (a answer) Type() string { return "answer" }

func (o *newOptions) run(ctx context.Context, given survey.Given, in io.Reader, out, errOut io.Writer) error {
	if o.out == "" {
		o.out = "new-site.yaml"
	}
	talk := out
	if o.out == "-" {
		talk = errOut
	} else if err := o.free(); err != nil {
		return err
	}
	var prompt *survey.Prompt
	if o.ask || len(given) == 0 {
		prompt = &survey.Prompt{In: interruptible{ctx, in}, Out: talk, Echo: !isTerminal(in)}
	}
	answers, err := survey.Collect(given, prompt)
	if err != nil {
		var mistakes survey.Mistakes
		if errors.As(err, &mistakes) {
			fmt.Fprintln(errOut, mistakes.Error())
			return &exitError{exitBroken, spelling.Count(len(mistakes), "error") + "; nothing was written"}
		}
		return err
	}
	made, err := survey.Make(answers, title(o.out))
	if err != nil {
		return err
	}
	if o.out == "-" {
		_, err = out.Write(made.Text)
	} else {
		err = o.write(made.Text)
	}
	if err != nil {
		return err
	}
	return made.Report(talk, o.out)
}

// free tells before the first question whether the file may be written.
func (o *newOptions) free() error {
	if filepath.Ext(o.out) != ".yaml" {
		return fmt.Errorf(
			"read %q; expected a file that ends in .yaml, which is how a scenario finds it, or - to print it",
			o.out,
		)
	}
	if strings.TrimSuffix(filepath.Base(o.out), ".yaml") == "" {
		return fmt.Errorf("read %q; expected a name before .yaml", o.out)
	}
	if folder := filepath.Dir(o.out); folder != "." {
		if info, err := os.Stat(folder); err != nil || !info.IsDir() {
			return fmt.Errorf("there is no folder %s; make it first", folder)
		}
	}
	if _, err := os.Lstat(o.out); err == nil && !o.force {
		return fmt.Errorf("%s is there already; name another file, or overwrite it with --force", o.out)
	}
	return nil
}

func (o *newOptions) write(text []byte) error {
	how := os.O_WRONLY | os.O_CREATE | os.O_EXCL
	if o.force {
		how = os.O_WRONLY | os.O_CREATE | os.O_TRUNC
	}
	f, err := os.OpenFile(o.out, how, 0o666)
	if errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("%s is there already; name another file, or overwrite it with --force", o.out)
	}
	if err != nil {
		return err
	}
	_, err = f.Write(text)
	return errors.Join(err, f.Close())
}

// title is the name of a site after its file: header-house.yaml is Header house.
func title(file string) string {
	name := strings.TrimSuffix(filepath.Base(file), ".yaml")
	words := strings.Join(
		strings.FieldsFunc(name, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }),
		" ",
	)
	if words == "" {
		return "New site"
	}
	letters := []rune(words)
	letters[0] = unicode.ToUpper(letters[0])
	return string(letters)
}

// interruptible is an input that an interrupt ends, though nobody types.
type interruptible struct {
	ctx context.Context
	in  io.Reader
}

// Read reads from the input. Where the context ends first, the reading goes on to nobody: the program ends.
func (r interruptible) Read(p []byte) (int, error) {
	type result struct {
		text []byte
		err  error
	}
	done := make(chan result, 1)
	go func() {
		text := make([]byte, len(p))
		n, err := r.in.Read(text)
		done <- result{text[:n], err}
	}()
	select {
	case <-r.ctx.Done():
		return 0, errors.New("interrupted; nothing was written")
	case got := <-done:
		return copy(p, got.text), got.err
	}
}

func isTerminal(in io.Reader) bool {
	f, ok := in.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}
