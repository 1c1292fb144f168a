// Package fault holds the catalogue of faults as data, the knobs that faults turn, and how several windows on one knob
// join. A fault names a device kind and a knob; it never imports what it breaks.
package fault

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sort"

	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// Join says how several windows on one knob make one value. Every join gives the same value in whatever order the
// windows were opened.
type Join uint8

// The joins.
const (
	Replace  Join = iota // the value farthest from rest; of two equally far, the larger
	Multiply             // product of the windows' values
	Add                  // rest plus each window's difference to rest
	Largest              // the largest value
	Smallest             // the smallest value
)

// Knob is one physical parameter or wire of a device that a fault or a stimulus may turn.
type Knob struct {
	Device string             // name in the site file, "controller", "wifi", "cloud"
	Kind   string             // kind of device: "contact", "valve", "supply", "probe", "tank", "wifi"...
	Name   string             // what is turned: "jam", "pressure factor", "lead"
	Dim    quantity.Dimension // values are in the SI unit of this dimension
	Min    float64
	Max    float64
	Rest   float64 // the value of the untouched device
	Join   Join
	// Set turns the knob at a moment, which is the present of the run. With the rest value the device behaves to the
	// bit as if it had never been touched.
	Set func(signal.Time, float64) error
}

// Panel gathers the knobs of a stand. It belongs to one run and is not safe for concurrent use.
type Panel struct {
	knobs   map[string]*state
	order   []string
	devices map[string]string // device -> kind
}

type state struct {
	Knob
	windows []float64
}

// NewPanel returns an empty panel.
func NewPanel() *Panel { return &Panel{knobs: map[string]*state{}, devices: map[string]string{}} }

// Offer adds a knob. The same device and name offered twice is a mistake of the program and panics.
func (p *Panel) Offer(k Knob) {
	key := k.Device + "\x00" + k.Name
	if _, twice := p.knobs[key]; twice {
		panic(fmt.Sprintf("fault: knob %q of %q is offered twice", k.Name, k.Device))
	}
	p.knobs[key] = &state{Knob: k}
	p.order = append(p.order, key)
	p.devices[k.Device] = k.Kind
}

// Knobs lists the knobs in the order in which they were offered.
func (p *Panel) Knobs() []Knob {
	list := make([]Knob, len(p.order))
	for i, key := range p.order {
		list[i] = p.knobs[key].Knob
	}
	return list
}

// Kind returns the kind of a device that offers knobs, "" when it offers none.
func (p *Panel) Kind(device string) string { return p.devices[device] }

// Find returns a knob. The error is the refusal of a stand that cannot realise a fault: it says which device lacks
// what.
func (p *Panel) Find(device, name string) (Knob, error) {
	if s, ok := p.knobs[device+"\x00"+name]; ok {
		return s.Knob, nil
	}
	if kind, ok := p.devices[device]; ok {
		return Knob{}, fmt.Errorf("the %s %q has no knob %q on this stand", kind, device, name)
	}
	if device == string(signal.WiFi) || device == string(signal.Cloud) {
		return Knob{}, errors.New("this network has no access point, and the fault needs one")
	}
	return Knob{}, fmt.Errorf("no device %q offers knobs on this stand", device)
}

// Open turns a knob by opening a window with a value, and rejoins all windows that are open on it.
func (p *Panel) Open(at signal.Time, device, name string, value float64) error {
	s, err := p.find(device, name, value)
	if err != nil {
		return err
	}
	s.windows = append(s.windows, value)
	return s.Set(at, s.joined())
}

// Close takes one window with that value away again and rejoins those that remain.
func (p *Panel) Close(at signal.Time, device, name string, value float64) error {
	s, err := p.find(device, name, value)
	if err != nil {
		return err
	}
	i := slices.Index(s.windows, value)
	if i < 0 {
		return notOpen(device, name, value)
	}
	s.windows = slices.Delete(s.windows, i, i+1)
	return s.Set(at, s.joined())
}

// Move changes the value of one open window, and rejoins.
func (p *Panel) Move(at signal.Time, device, name string, from, to float64) error {
	s, err := p.find(device, name, to)
	if err != nil {
		return err
	}
	i := slices.Index(s.windows, from)
	if i < 0 {
		return notOpen(device, name, from)
	}
	s.windows[i] = to
	return s.Set(at, s.joined())
}

func notOpen(device, name string, value float64) error {
	return fmt.Errorf("fault: no window with value %g is open on knob %q of %q", value, name, device)
}

func (p *Panel) find(device, name string, value float64) (*state, error) {
	if _, err := p.Find(device, name); err != nil {
		return nil, err
	}
	s := p.knobs[device+"\x00"+name]
	if !(value >= s.Min && value <= s.Max) {
		return nil, fmt.Errorf("knob %q of %q takes %s to %s, not %s", name, device,
			quantity.Format(s.Min, s.Dim), quantity.Format(s.Max, s.Dim), quantity.Format(value, s.Dim))
	}
	return s, nil
}

// joined is the value that the open windows make together. Sums and products run over the sorted values, so that the
// result does not depend on the order of opening even in the last bit.
func (s *state) joined() float64 {
	if len(s.windows) == 0 {
		return s.Rest
	}
	sorted := append([]float64(nil), s.windows...)
	sort.Float64s(sorted)
	switch s.Join {
	case Largest:
		return sorted[len(sorted)-1]
	case Smallest:
		return sorted[0]
	}
	value := s.Rest
	if s.Join == Replace {
		for _, v := range sorted {
			if math.Abs(v-s.Rest) >= math.Abs(value-s.Rest) {
				value = v
			}
		}
		return value
	}
	for _, v := range sorted {
		if s.Join == Multiply {
			value *= v
		} else {
			value += v - s.Rest
		}
	}
	return math.Min(math.Max(value, s.Min), s.Max)
}
