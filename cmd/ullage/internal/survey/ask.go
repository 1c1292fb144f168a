package survey

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"strings"
)

// Given are answers from a command line, by the names of Flags; feeds has one text a valve, each as "name: what it
// feeds".
type Given map[string][]string

// Prompt is where a person, or a pipe, answers.
type Prompt struct {
	In   io.Reader
	Out  io.Writer
	Echo bool // whether Out shows the answers too, because In is no terminal
}

// ErrNoMoreAnswers says that the input ended before the questions did.
var ErrNoMoreAnswers = errors.New("the answers end before the questions do")

// Collect puts the answers together: those given, and from the prompt what is not. Without a prompt a question that is
// not answered takes what is usual, and the error is Mistakes: every answer that cannot be used. With one, such an
// answer is asked for again; the error is then ErrNoMoreAnswers or that of the reader.
func Collect(given Given, prompt *Prompt) (*Answers, error) {
	a := &Answers{blank: map[string]bool{}}
	c := &collector{answers: a, given: given, prompt: prompt, used: map[string]bool{}}
	if prompt != nil {
		c.lines = bufio.NewReader(prompt.In)
		fmt.Fprintf(
			prompt.Out,
			"Ten questions. A blank answer takes what stands in [brackets]; %q goes back to the question before.\n",
			stepBack,
		)
	}
	for i := 0; i < len(a.questions()); i++ {
		c.at = i
		err := c.settle(a.questions()[i])
		switch {
		case err == errBack:
			i = c.before() - 1
		case err != nil:
			return nil, err
		}
	}
	c.leftOver()
	switch {
	case len(c.mistakes) == 0:
	case prompt == nil:
		return nil, c.mistakes
	default:
		fmt.Fprintf(prompt.Out, "\nNot used:\n%s\n", c.mistakes)
	}
	return a, nil
}

// stepBack is the answer that goes back to the question that was asked before.
const stepBack = "back"

var errBack = errors.New("one question back")

// before takes the question that was asked before this one from the list of those asked.
func (c *collector) before() int {
	to := c.asked[max(0, len(c.asked)-2)]
	c.asked = c.asked[:max(0, len(c.asked)-2)]
	return to
}

type collector struct {
	answers  *Answers
	given    Given
	prompt   *Prompt
	lines    *bufio.Reader
	number   int   // of the question that was asked last
	at       int   // place of the question in the list
	asked    []int // places of those that were asked, this one last
	used     map[string]bool
	mistakes Mistakes
}

// settle answers one question.
func (c *collector) settle(one question) error {
	if text, is := c.givenFor(one); is {
		err := c.take(one, text)
		if err == nil {
			return nil
		}
		m := Mistake{one.flag, text, err.Error()}
		if c.prompt == nil {
			c.mistakes = append(c.mistakes, m)
			return nil
		}
		fmt.Fprintf(c.prompt.Out, "  %s\n", m)
	} else if c.prompt == nil {
		return c.blankly(one)
	}
	return c.ask(one)
}

// blankly takes what is usual; that this cannot be used is then a mistake of an answer before it.
func (c *collector) blankly(one question) error {
	if err := c.take(one, ""); err != nil {
		c.mistakes = append(c.mistakes, Mistake{one.flag, "",
			fmt.Sprintf("the usual %q does not fit the other answers: %v", one.usual, err)})
	}
	return nil
}

// take takes one answer, blank or not.
func (c *collector) take(one question, text string) error {
	text = strings.TrimSpace(text)
	key := one.flag + one.valve
	if text == "" {
		c.answers.blank[key] = true
		return one.take(one.usual)
	}
	delete(c.answers.blank, key)
	return one.take(text)
}

// givenFor is the answer that the command line gave.
func (c *collector) givenFor(one question) (string, bool) {
	if one.valve == "" {
		c.used[one.flag] = true
		if texts := c.given[one.flag]; len(texts) > 0 {
			return texts[len(texts)-1], true
		}
		return "", false
	}
	for _, text := range c.given[one.flag] {
		name, what, _ := strings.Cut(text, ":")
		if strings.TrimSpace(name) == one.valve {
			c.used[one.flag+text] = true
			return what, true
		}
	}
	return "", false
}

// leftOver reports answers that no question asked for.
func (c *collector) leftOver() {
	var names []string
	for _, v := range c.answers.Valves {
		names = append(names, v.Name)
	}
	for _, f := range Flags() {
		for _, text := range c.given[f.Name] {
			switch {
			case f.Name == "feeds" && len(names) > 0 && !c.used["feeds"+text]:
				c.mistakes = append(c.mistakes, Mistake{"feeds", text,
					fmt.Sprintf("no valve of this name, or it is answered already; expected \"%s: ...\"",
						strings.Join(names, ": ...\" or \""))})
			case f.Name != "feeds" && !c.used[f.Name] && c.sound("valves", "feeds", "tank"):
				c.mistakes = append(c.mistakes, Mistake{f.Name, text,
					"no valve fills a tank; expected no answer about one, or --feeds \"" + names[0] + ": tank\""})
			}
		}
	}
}

// sound reports whether none of the questions has a mistake.
func (c *collector) sound(flags ...string) bool {
	for _, m := range c.mistakes {
		for _, f := range flags {
			if m.Flag == f {
				return false
			}
		}
	}
	return len(c.answers.Valves) > 0
}

// ask asks until the answer can be used.
func (c *collector) ask(one question) error {
	out := c.prompt.Out
	c.asked = append(c.asked, c.at)
	head := fmt.Sprintf("%2d. ", one.number)
	if one.number == c.number {
		head = "    "
	}
	c.number = one.number
	standing := one.usual
	if one.optional {
		standing = one.untaken
	}
	fmt.Fprintf(out, "\n%s%s?\n    as %s\n", head, one.ask, one.write)
	for {
		fmt.Fprintf(out, "    [%s] ", standing)
		line, err := c.lines.ReadString('\n')
		text := strings.TrimSpace(line)
		if err != nil && text == "" {
			fmt.Fprintln(out)
			if errors.Is(err, io.EOF) {
				return fmt.Errorf("%w, at question %d (--%s); nothing was written", ErrNoMoreAnswers, one.number,
					one.flag)
			}
			return err
		}
		if c.prompt.Echo {
			fmt.Fprintln(out, text)
		}
		if strings.EqualFold(text, stepBack) {
			return errBack
		}
		wrong := c.take(one, text)
		if wrong == nil {
			return nil
		}
		fmt.Fprintf(out, "    %s\n", Mistake{one.flag, text, wrong.Error()}.text())
	}
}
