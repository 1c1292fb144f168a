package link

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// Maker makes the controller that is served, for the settings and terminals of a greeting.
type Maker func(spec sitefile.Controller, terminals []harness.Terminal) (harness.Controller, error)

// Serve turns a controller written in Go into a program that speaks the protocol of this package, for the command line
// flag --controller exec:./program. A whole program is
//
//	func main() {
//		if err := link.Serve(os.Stdin, os.Stdout, "my firmware 1.4", newController); err != nil {
//			log.Fatal(err)
//		}
//	}
//
// It answers until the end of its input, which ends it without an error. A controller that cannot be made, or that
// fails, is reported to the harness, and the error is returned. The harness keeps the board's side: it decides when the
// controller is without power and how long it boots, so that the controller is made with a boot time of 0 and boots
// when power comes. What it records, and the knobs that it offers, stay behind: over this link a controller has a reset
// line and no other knob.
func Serve(in io.Reader, out io.Writer, name string, newController Maker) error {
	s := &server{lines: bufio.NewReaderSize(in, 1<<16), out: out, name: name}
	err := s.serve(newController)
	if s.controller != nil {
		err = errors.Join(err, s.controller.Close())
	}
	return err
}

// server is the program's end of the conversation.
type server struct {
	lines      *bufio.Reader
	out        io.Writer
	writer     writer
	name       string
	controller harness.Controller
	terminals  []harness.Terminal
	inputs     []harness.Input // the board's input stages, by terminal
	byName     map[string]int
	power      int
	now        signal.Time
	on         []bool // outputs, as they were received
	reversed   []bool
	reverse    bool // the supply itself is connected the wrong way round
}

func (s *server) serve(newController Maker) error {
	for {
		line, err := s.lines.ReadBytes('\n')
		if errors.Is(err, io.EOF) && len(line) == 0 {
			return nil
		}
		if err != nil {
			return err
		}
		reply, err := s.reply(line, newController)
		if err != nil {
			_ = s.say(answer{Error: err.Error()}) // the harness may be gone; what went wrong is returned
			return err
		}
		if err := s.say(reply); err != nil {
			return err
		}
	}
}

func (s *server) say(message any) error {
	line, err := s.writer.line(message)
	if err == nil {
		_, err = s.out.Write(append(line, '\n'))
	}
	return err
}

// reply is the answer to one message.
func (s *server) reply(line []byte, newController Maker) (any, error) {
	var kind struct {
		Do string `json:"do"`
	}
	if err := decode(line, &kind); err != nil {
		return nil, err
	}
	switch {
	case kind.Do == "hello" && s.controller == nil:
		var m helloMessage
		if err := decode(line, &m); err != nil {
			return nil, err
		}
		return s.greet(&m, newController)
	case kind.Do == "run" && s.controller != nil:
		var m runMessage
		if err := decode(line, &m); err != nil {
			return nil, err
		}
		return s.run(&m)
	}
	return nil, fmt.Errorf("a message %q; expected hello once and run from then on", kind.Do)
}

// greet makes the controller and says what it can do.
func (s *server) greet(m *helloMessage, newController Maker) (*greeting, error) {
	if m.Version != Version {
		return nil, fmt.Errorf("the harness speaks version %d of the protocol, this program version %d", m.Version,
			Version)
	}
	var spec sitefile.Controller
	if err := fromPlain(m.Controller, &spec); err != nil {
		return nil, fmt.Errorf("settings: %w", err)
	}
	spec.Boots = spec.Boots.With(0, 0)
	s.power, s.byName = -1, map[string]int{}
	for i, t := range m.Terminals {
		kind, err := terminalKind(t.Kind)
		if err != nil {
			return nil, err
		}
		s.terminals = append(s.terminals, harness.Terminal{Name: t.Name, Kind: kind, Normal: t.Normal == "closed",
			Drive: sitefile.Drive(t.Drive)})
		s.inputs = append(s.inputs, harness.InputOf(spec.Board, kind))
		s.byName[t.Name] = i
		switch kind {
		case harness.PowerTerminal:
			s.power = i
			continue
		case harness.OutputTerminal:
			spec.Terminals = append(spec.Terminals, sitefile.Terminal{Output: t.Name})
		case harness.ContactTerminal:
			spec.Terminals = append(spec.Terminals, sitefile.Terminal{Contact: t.Name})
		case harness.PulseTerminal:
			spec.Terminals = append(spec.Terminals, sitefile.Terminal{Pulse: t.Name})
		case harness.AnalogueTerminal:
			spec.Terminals = append(spec.Terminals, sitefile.Terminal{Analogue: t.Name})
		}
	}
	if s.power < 0 {
		return nil, errors.New("the greeting names no power terminal")
	}
	s.on, s.reversed = make([]bool, len(s.terminals)), make([]bool, len(s.terminals))
	c, err := newController(spec, s.terminals)
	if err != nil {
		return nil, err
	}
	s.controller = c
	if err := c.Open(context.Background(), signal.NewTrace(), fault.NewPanel(), harness.Draw{}); err != nil {
		return nil, err
	}
	g := &greeting{Name: s.name, Band: 1}
	for _, ability := range harness.AllAbilities() {
		if c.Can()[ability] {
			g.Can = append(g.Can, ability)
		}
	}
	if r, ok := c.(harness.Reacting); ok {
		var err error
		if g.Reacts, err = plain(r.Reacts()); err != nil {
			return nil, err
		}
	}
	return g, nil
}

// run gives the controller what has changed and lets it run until it has done something that the harness does not know.
func (s *server) run(m *runMessage) (answer, error) {
	ctx := context.Background()
	if m.Boot {
		if err := s.powerCut(ctx, m.From); err != nil {
			return answer{}, err
		}
	}
	pins, frames, err := s.news(m)
	if err != nil {
		return answer{}, err
	}
	for rounds := 0; ; rounds++ {
		at, out, sent, err := s.controller.Advance(ctx, m.To, pins, frames)
		if err != nil {
			return answer{}, err
		}
		a := answer{At: &at, Out: s.changed(out)}
		for _, f := range sent {
			a.Send = append(a.Send, newFrame(f))
		}
		if at > s.now {
			s.now, rounds = at, 0
		}
		if len(a.Out)+len(a.Send) > 0 || at >= m.To {
			return a, nil
		}
		if pins, frames = nil, nil; rounds > mostRounds {
			return answer{}, fmt.Errorf("the controller stops at %v again and again without having done anything", at)
		}
	}
}

// mostRounds is how often a controller may stop at one moment without a change of an output.
const mostRounds = 64

// powerCut takes the supply away from where the controller stands until a moment. What it does meanwhile reaches
// nobody.
func (s *server) powerCut(ctx context.Context, until signal.Time) error {
	in := []harness.Pin{harness.Open(s.now, s.power)}
	for rounds := 0; ; rounds++ {
		at, _, _, err := s.controller.Advance(ctx, until, in, nil)
		switch {
		case err != nil:
			return err
		case at >= until:
			s.now = at
			clear(s.on)
			return nil
		case rounds > mostRounds:
			return fmt.Errorf("the controller goes on without its supply: it stops at %v", at)
		}
		in = nil
	}
}

// news is what has changed at the terminals and what has arrived.
func (s *server) news(m *runMessage) ([]harness.Pin, []harness.Frame, error) {
	var pins []harness.Pin
	for _, in := range m.In {
		i, ok := s.byName[in.Terminal]
		if !ok {
			return nil, nil, fmt.Errorf("there is no terminal %q", in.Terminal)
		}
		p := harness.Open(m.From, i)
		if in.Ohms != nil {
			p.Volts, p.Slope, p.Ohms = in.Volts, in.Slope, *in.Ohms
		}
		if parallel := s.inputs[i].Parallel(p); in.HumVolts != 0 && parallel > 0 {
			p.Hum, p.HumHertz = in.HumVolts/parallel, in.HumHertz
		}
		if i == s.power {
			s.reverse = p.Volts < 0
		}
		pins = append(pins, p)
	}
	var frames []harness.Frame
	for _, g := range m.Got {
		f, err := g.frame(m.From)
		if err != nil {
			return nil, nil, err
		}
		frames = append(frames, f)
	}
	return pins, frames, nil
}

// changed are the outputs that are switched otherwise than the harness knows. An output passes on every change of the
// supply, which the harness does by itself.
func (s *server) changed(pins []harness.Pin) []outputMessage {
	var list []outputMessage
	for _, p := range pins {
		i := p.Terminal
		on := p.Ohms < disconnected && p.Volts != 0
		reversed := on && (p.Volts < 0) != s.reverse
		if on == s.on[i] && reversed == s.reversed[i] {
			continue
		}
		s.on[i], s.reversed[i] = on, reversed
		list = append(list, outputMessage{Terminal: s.terminals[i].Name, On: &on, Reverse: reversed})
	}
	return list
}

// terminalKind is the kind of terminal with a name.
func terminalKind(name string) (harness.TerminalKind, error) {
	for kind := harness.OutputTerminal; kind <= harness.PowerTerminal; kind++ {
		if kind.String() == name {
			return kind, nil
		}
	}
	return 0, fmt.Errorf("there is no kind of terminal called %q", name)
}

// decode reads a message of the harness. Keys that this version does not know are passed over.
func decode(line []byte, into any) error {
	if err := json.Unmarshal(line, into); err != nil {
		return fmt.Errorf("the harness sent what is no message of the protocol: %w", err)
	}
	return nil
}
