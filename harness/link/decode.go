package link

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"ullage/harness"
	"ullage/harness/signal"
)

// greeting is the program's answer to hello.
type greeting struct {
	Name  string   `json:"name"`
	Can   []string `json:"can"`
	Band  int      `json:"band"`
	Error string   `json:"error"`
}

func parseGreeting(line []byte) (*greeting, error) {
	var g greeting
	if err := unmarshal(line, &g); err != nil {
		return nil, err
	}
	switch {
	case g.Error != "":
		return nil, fmt.Errorf("it refuses: %s", g.Error)
	case g.Name == "":
		return nil, errors.New(`its greeting has no "name"`)
	case g.Band < 0:
		return nil, fmt.Errorf(`its greeting asks for a "band" of %d counts; expected 1 or more`, g.Band)
	}
	for _, name := range g.Can {
		if !slices.Contains(harness.AllAbilities(), harness.Ability(name)) {
			return nil, fmt.Errorf("it claims an ability %q; the abilities are %s", name, quoted(harness.AllAbilities()))
		}
	}
	return &g, nil
}

func (g *greeting) abilities() harness.Abilities {
	can := harness.Abilities{}
	for _, name := range g.Can {
		can[harness.Ability(name)] = true
	}
	return can
}

// deeds is what the program did besides letting time pass.
type deeds struct {
	Out  []output `json:"out"`
	Send []send   `json:"send"`
}

type output struct {
	Terminal string `json:"terminal"`
	On       *bool  `json:"on"`
	Reverse  bool   `json:"reverse"`
}

type send struct {
	Kind   string `json:"kind"`
	Number uint64 `json:"number"`
	Topic  string `json:"topic"`
	Text   string `json:"text"`
}

// parseAnswer reads an answer to run; did is nil when nothing but time has passed.
func parseAnswer(line []byte) (at int64, did *deeds, err error) {
	if at, ok := parseReached(line); ok {
		return at, nil, nil
	}
	var answer struct {
		At *int64 `json:"at"`
		deeds
		Error string `json:"error"`
	}
	if err := unmarshal(line, &answer); err != nil {
		return 0, nil, err
	}
	switch {
	case answer.Error != "":
		return 0, nil, fmt.Errorf("it gives up: %s", answer.Error)
	case answer.At == nil:
		return 0, nil, errors.New(`its answer has no "at"`)
	}
	for _, o := range answer.Out {
		if o.On == nil {
			return 0, nil, fmt.Errorf(`its answer does not say whether the output %q is "on"`, o.Terminal)
		}
	}
	for _, s := range answer.Send {
		if err := s.check(); err != nil {
			return 0, nil, err
		}
	}
	return *answer.At, &answer.deeds, nil
}

// parseReached reads {"at":123} and nothing else, which is what most answers are.
func parseReached(line []byte) (at int64, ok bool) {
	rest, ok := bytes.CutPrefix(line, []byte(`{"at":`))
	if !ok {
		return 0, false
	}
	digits := 0
	for ; digits < len(rest) && '0' <= rest[digits] && rest[digits] <= '9'; digits++ {
		at = at*10 + int64(rest[digits]-'0')
	}
	if digits == 0 || digits > 18 || digits > 1 && rest[0] == '0' || digits == len(rest) || rest[digits] != '}' {
		return 0, false
	}
	return at, len(bytes.TrimRight(rest[digits+1:], "\r\n")) == 0
}

func (s send) check() error {
	switch {
	case s.Kind == "connect":
		return nil
	case s.Kind != "publish":
		return fmt.Errorf(`it sends a frame of kind %q; expected "connect" or "publish"`, s.Kind)
	case s.Number == 0:
		return errors.New(`its publish has no "number"; expected 1 for the first after a boot`)
	case s.Topic == harness.TopicReport:
		return nil
	case s.Topic != harness.TopicAlert:
		return fmt.Errorf(`it publishes to %q; expected "alert" or "report"`, s.Topic)
	case !slices.Contains(harness.AlertNames(), s.Text):
		return fmt.Errorf("it publishes an alert %q; the alerts are %s", s.Text, quoted(harness.AlertNames()))
	}
	return nil
}

// frame is what was sent; check has found no fault with it.
func (s send) frame(at signal.Time) harness.Frame {
	if s.Kind == "connect" {
		return harness.Frame{At: at, Kind: harness.Connect}
	}
	return harness.Frame{At: at, Kind: harness.Publish, Number: s.Number, Topic: s.Topic, Text: s.Text}
}

// unmarshal reads one JSON object and nothing after it. Keys that the protocol does not have are refused: a mistyped key
// would otherwise do nothing in silence.
func unmarshal(line []byte, into any) error {
	d := json.NewDecoder(bytes.NewReader(line))
	d.DisallowUnknownFields()
	err := d.Decode(into)
	if err == nil {
		if _, more := d.Token(); more != io.EOF {
			err = errors.New("more than one value on the line")
		}
	}
	if err != nil {
		return fmt.Errorf("its answer is not one JSON object of the protocol: %w", err)
	}
	return nil
}

// quoted lists names for a message.
func quoted[S ~string](names []S) string {
	if len(names) == 0 {
		return "none"
	}
	list := make([]string, len(names))
	for i, name := range names {
		list[i] = strconv.Quote(string(name))
	}
	return strings.Join(list, ", ")
}
