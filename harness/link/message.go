package link

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"ullage/harness"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// The messages of the package comment. Both ends use these: Exec writes what Serve reads, and the other way round.

// helloMessage greets the program.
type helloMessage struct {
	Do         string            `json:"do"`
	Version    int               `json:"version"`
	Terminals  []terminalMessage `json:"terminals"`
	Controller json.RawMessage   `json:"controller"` // see plain
}

type terminalMessage struct {
	Name   string `json:"name"`
	Kind   string `json:"kind"`
	Normal string `json:"normal,omitempty"` // contact and pulse: "open" or "closed"
	Drive  string `json:"drive,omitempty"`  // output: of a valve that needs both polarities
}

// greeting is the program's answer to hello.
type greeting struct {
	Name   string            `json:"name"`
	Can    []harness.Ability `json:"can"`
	Band   int               `json:"band,omitempty"`
	Reacts json.RawMessage   `json:"reacts,omitempty"` // see plain
	Error  string            `json:"error,omitempty"`
}

// runMessage sends the program what has changed and lets it run.
type runMessage struct {
	Do   string         `json:"do"`
	From signal.Time    `json:"from"`
	To   signal.Time    `json:"to"`
	Boot bool           `json:"boot,omitempty"`
	In   []inputMessage `json:"in,omitempty"`
	Got  []frameMessage `json:"got,omitempty"`
}

type inputMessage struct {
	Terminal string   `json:"terminal"`
	Level    string   `json:"level,omitempty"`  // contact and pulse
	Counts   *int     `json:"counts,omitempty"` // analogue
	Volts    float64  `json:"volts"`
	Slope    float64  `json:"slope"`
	Ohms     *float64 `json:"ohms"` // nil: open circuit
	HumVolts float64  `json:"hum_v,omitempty"`
	HumHertz float64  `json:"hum_hz,omitempty"`
}

// answer is what the program did, and until when.
type answer struct {
	At    *signal.Time    `json:"at,omitempty"`
	Out   []outputMessage `json:"out,omitempty"`
	Send  []frameMessage  `json:"send,omitempty"`
	Error string          `json:"error,omitempty"`
}

type outputMessage struct {
	Terminal string `json:"terminal"`
	On       *bool  `json:"on"`
	Reverse  bool   `json:"reverse,omitempty"`
}

// frameMessage is a frame in either direction.
type frameMessage struct {
	Kind   string   `json:"kind"`
	Number uint64   `json:"number,omitempty"`
	Topic  string   `json:"topic,omitempty"`
	Text   string   `json:"text,omitempty"`
	Value  *float64 `json:"value,omitempty"` // of a command
}

// newHello is the greeting of a controller with these settings and terminals.
func newHello(spec sitefile.Controller, terminals []harness.Terminal) (*helloMessage, error) {
	m := &helloMessage{Do: "hello", Version: Version}
	for _, t := range terminals {
		one := terminalMessage{Name: t.Name, Kind: t.Kind.String()}
		switch t.Kind {
		case harness.ContactTerminal, harness.PulseTerminal:
			one.Normal = "open"
			if t.Normal {
				one.Normal = "closed"
			}
		case harness.OutputTerminal:
			if t.Drive == sitefile.Latching || t.Drive == sitefile.Motorised {
				one.Drive = string(t.Drive)
			}
		}
		m.Terminals = append(m.Terminals, one)
	}
	spec.Terminals = nil            // they are in the list above, with what the program needs of them
	spec.Reacts = sitefile.Reacts{} // a program says how it reacts itself
	var err error
	m.Controller, err = plain(spec)
	return m, err
}

// newFrame is a frame from the network.
func newFrame(f harness.Frame) frameMessage {
	m := frameMessage{Kind: f.Kind.String()}
	switch f.Kind {
	case harness.Acknowledged:
		m.Number = f.Number
	case harness.Publish:
		m.Number, m.Topic, m.Text = f.Number, f.Topic, f.Text
	case harness.Command:
		m.Topic, m.Text, m.Value = f.Topic, f.Text, &f.Value
	}
	return m
}

// frame is the frame of a message.
func (m frameMessage) frame(at signal.Time) (harness.Frame, error) {
	f := harness.Frame{At: at, Number: m.Number, Topic: m.Topic, Text: m.Text}
	if m.Value != nil {
		f.Value = *m.Value
	}
	for f.Kind = harness.Connect; f.Kind <= harness.Command; f.Kind++ {
		if f.Kind.String() == m.Kind {
			return f, nil
		}
	}
	return f, fmt.Errorf("a frame of kind %q is none of the protocol", m.Kind)
}

// parseGreeting reads and checks the answer to hello.
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
		if !slices.Contains(harness.AllAbilities(), name) {
			return nil, fmt.Errorf("it claims an ability %q; the abilities are %s", name,
				quoted(harness.AllAbilities()))
		}
	}
	if _, err := g.reacts(); err != nil {
		return nil, err
	}
	return &g, nil
}

// reacts is how the program says that it reacts.
func (g *greeting) reacts() (r sitefile.Reacts, err error) {
	if g.Reacts == nil {
		return r, nil
	}
	if err = readPlain(g.Reacts, reflect.ValueOf(&r).Elem(), true); err == nil {
		err = r.Validate()
	}
	if err != nil {
		return r, fmt.Errorf(`its greeting has "reacts": %w`, err)
	}
	return r, nil
}

func (g *greeting) abilities() harness.Abilities {
	can := harness.Abilities{}
	for _, name := range g.Can {
		can[name] = true
	}
	return can
}

// parseAnswer reads and checks an answer to run.
func parseAnswer(line []byte) (*answer, error) {
	var a answer
	if err := unmarshal(line, &a); err != nil {
		return nil, err
	}
	switch {
	case a.Error != "":
		return nil, fmt.Errorf("it gives up: %s", a.Error)
	case a.At == nil:
		return nil, errors.New(`its answer has no "at"`)
	}
	for _, o := range a.Out {
		if o.On == nil {
			return nil, fmt.Errorf(`its answer does not say whether the output %q is "on"`, o.Terminal)
		}
	}
	for _, s := range a.Send {
		if err := s.checkSent(); err != nil {
			return nil, err
		}
	}
	return &a, nil
}

// checkSent checks a frame that the program sends.
func (m frameMessage) checkSent() error {
	switch {
	case m.Value != nil:
		return fmt.Errorf(`it sends a %s with a "value", which only commands have`, m.Kind)
	case m.Kind == harness.Connect.String():
		return nil
	case m.Kind != harness.Publish.String():
		return fmt.Errorf(`it sends a frame of kind %q; expected "connect" or "publish"`, m.Kind)
	case m.Number == 0:
		return errors.New(`its publish has no "number"; expected 1 for the first after a boot`)
	case m.Topic == harness.TopicReport:
		return nil
	case m.Topic != harness.TopicAlert:
		return fmt.Errorf(`it publishes to %q; expected "alert" or "report"`, m.Topic)
	case !slices.Contains(harness.AlertNames(), m.Text):
		return fmt.Errorf("it publishes an alert %q; the alerts are %s", m.Text, quoted(harness.AlertNames()))
	}
	return nil
}

// writer writes messages as one line each, without its end, into room that is used again.
type writer struct {
	room    bytes.Buffer
	encoder *json.Encoder
}

// line is a message as a line, valid until the next one.
func (w *writer) line(message any) ([]byte, error) {
	if w.encoder == nil {
		w.encoder = json.NewEncoder(&w.room)
		w.encoder.SetEscapeHTML(false)
	}
	w.room.Reset()
	err := w.encoder.Encode(message)
	return bytes.TrimSuffix(w.room.Bytes(), []byte("\n")), err
}

// unmarshal reads one JSON object and nothing after it. Keys that the protocol does not have are refused: a mistyped
// key would otherwise do nothing in silence.
func unmarshal(line []byte, into any) error {
	if bytes.Equal(bytes.TrimSpace(line), []byte("null")) { // which encoding/json takes for an empty object
		line = nil
	}
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
