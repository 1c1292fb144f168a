package sitefile

import (
	"fmt"
	"reflect"
)

func (c *checker) board() {
	k := &c.site.Controller
	c.less(&k.ResetsBelow, &k.Supply, "a voltage below the supply")
	c.less(&k.Board.Low, &k.Board.High, "a voltage below high")
	c.less(&k.Board.High, &k.Board.Rail, "a voltage below the rail")
}

// terminals demands that each terminal carries one device and each device sits on one terminal.
func (c *checker) terminals() {
	c.wired = map[string]bool{}
	before := len(c.mistakes)
	defer func() { c.wiringKnown = before == len(c.mistakes) }()
	first, device := map[string]*string{}, map[string]*string{}
	for i := range c.site.Controller.Terminals {
		t := &c.site.Controller.Terminals[i]
		if before, taken := first[t.Terminal]; taken && c.known(&t.Terminal) {
			c.wrong(&t.Terminal, fmt.Sprintf("the terminal is listed already%s", c.inLine(before)),
				"each terminal once, with one device")
		} else {
			first[t.Terminal] = &t.Terminal
		}
		count := 0
		for _, w := range []struct {
			name  *string
			kinds []string
		}{{&t.Output, driven}, {&t.Contact, []string{"contact"}}, {&t.Pulse, []string{"meter"}}, {&t.Analogue,
			[]string{"probe"}}} {
			if !c.known(w.name) && !c.broken[w.name] {
				continue
			}
			count++
			c.reference(w.name, w.kinds...)
			if before, taken := device[*w.name]; taken && c.known(w.name) {
				c.wrong(w.name, fmt.Sprintf("it is wired to a terminal already%s", c.inLine(before)),
					"each device on one terminal")
			} else {
				device[*w.name] = w.name
			}
			c.wired[*w.name] = true
			if count == 2 {
				c.wrong(w.name, "this is a second device on the terminal", "one of output, contact, pulse or analogue")
			}
		}
		if count == 0 && !c.broken[t] {
			c.missing(t, "output", "one of output, contact, pulse or analogue")
		}
	}
}

// onTerminal demands that a text names a device of one of the kinds that is wired to a terminal. While the terminals
// themselves have mistakes, nobody knows what is wired.
func (c *checker) onTerminal(p *string, kinds ...string) *part {
	found := c.reference(p, kinds...)
	if found != nil && c.wiringKnown && !c.wired[*p] {
		wired := c.choice(kinds, *p, func(p *part) bool { return c.wired[p.Name] })
		c.wrong(p, "it is not wired to a terminal", "a terminal for it, or %s", wired)
		return nil
	}
	return found
}

// outputs demands wired outputs, each once, and none that is on anyway.
func (c *checker) outputs(list *[]string, already *string) {
	seen := map[string]bool{}
	if already != nil && c.known(already) {
		seen[*already] = true
	}
	for i := range *list {
		p := &(*list)[i]
		c.onTerminal(p, driven...)
		if c.known(p) && seen[*p] {
			c.wrong(p, "it is named already", "each output once")
		}
		seen[*p] = true
	}
}

func (c *checker) zone(zone *string, with *[]string) {
	c.onTerminal(zone, driven...)
	c.outputs(with, zone)
}

func (c *checker) settings() {
	s := &c.site.Controller.Settings
	c.exact(reflect.ValueOf(s).Elem(), "a setting is exact")
	if c.known(&s.Clock) {
		if _, _, err := Clock(s.Clock); err != nil {
			c.wrong(&s.Clock, "", "%s", err)
		}
	}
	if s.Fill != nil {
		c.fill(s.Fill)
	}
	if s.CutOff != nil {
		c.watches(&s.CutOff.Contact, false)
		c.notEmpty(&s.CutOff.Shuts, "the outputs that it shuts")
		c.outputs(&s.CutOff.Shuts, nil)
	}
	if s.Interlock != nil {
		c.interlock(s.Interlock)
	}
	if s.Moisture != nil {
		c.moisture(s.Moisture)
	}
	for i := range s.Programmes {
		c.programme(&s.Programmes[i])
	}
	if s.Remote != nil {
		c.remote(s.Remote)
	}
	if s.FlowAlarms != nil {
		c.flowAlarms(s.FlowAlarms)
	}
}

// watches demands a wired contact that watches for low water, or for high water.
func (c *checker) watches(p *string, low bool) *Contact {
	found := c.onTerminal(p, "contact")
	if found == nil {
		return nil
	}
	contact := found.entry.(*Contact)
	if !c.known(&contact.Operates, &contact.Releases) {
		return nil
	}
	if contact.LowWater() != low {
		water, relation := "high", "above"
		if low {
			water, relation = "low", "below"
		}
		c.wrong(p, fmt.Sprintf("it operates at %s and releases at %s", &contact.Operates, &contact.Releases),
			"a contact for %s water, which operates %s its release level", water, relation)
		return nil
	}
	return contact
}

func (c *checker) fill(f *Fill) {
	valve := c.onTerminal(&f.Valve, driven...)
	c.outputs(&f.With, &f.Valve)
	low, high := c.watches(&f.Low, true), c.watches(&f.High, false)
	c.less(&f.Debounce, &f.LongestRun, "less than the longest run")
	if low != nil && high != nil {
		if c.known(&low.In, &high.In) && low.In != high.In {
			c.wrong(&f.High, fmt.Sprintf("it is in %q", high.In), "a contact in the tank of %q, %q", low.Name, low.In)
		} else if low.Operates.High() >= high.Operates.Low() {
			c.wrong(&f.High, fmt.Sprintf("it operates at %s", &high.Operates), "a contact that operates above %q (%s)",
				low.Name, &low.Operates)
		}
	}
	if valve != nil && low != nil && c.known(&low.In) && !c.fills(valve.Name, low.In) {
		c.wrong(&f.Valve, fmt.Sprintf("no outlet behind it runs into %q, the tank of %q", low.In, low.Name),
			"the output that fills the tank")
	}
}

// fills reports whether an outlet into the tank is fed through the part, as far as is known: pipes that close loops may
// feed every part, and the ways to outlets may have mistakes of their own.
func (c *checker) fills(through, tank string) bool {
	for i := range c.site.Pipes {
		if c.site.Pipes[i].Joins != "" {
			return true
		}
	}
	for i := range c.site.Outlets {
		o := &c.site.Outlets[i]
		if c.broken[&o.Into] || source(c.named[o.Name]) == nil || o.Into == tank && passes(c.named[o.Name], through) {
			return true
		}
	}
	return false
}

func (c *checker) interlock(k *Interlock) {
	pump, contact := c.onTerminal(&k.Pump, "pump"), c.watches(&k.BlockedBy, true)
	if pump == nil || contact == nil || !c.known(&contact.In) {
		return
	}
	if from := source(pump); from != nil && from.Name != contact.In {
		c.wrong(&k.BlockedBy, fmt.Sprintf("it is in %q, and the pump draws from %q", contact.In, from.Name),
			"a contact where the pump draws its water")
	}
}

func (c *checker) moisture(m *Moisture) {
	c.zone(&m.Zone, &m.With)
	probe := c.onTerminal(&m.Probe, "probe")
	c.less(&m.StartsBelow, &m.StopsAt, "less than stops-at")
	if bits := c.site.Controller.Board.Bits; c.known(&c.site.Controller.Board.Bits) && bits > 0 && bits <= 24 {
		full := 1<<bits - 1
		for _, count := range []*int{&m.DryCount, &m.WetCount} {
			if c.known(count) && *count > full {
				c.wrong(count, fmt.Sprintf("a converter of %d bits", bits), "0 to %d", full)
			}
		}
	}
	switch {
	case !c.known(&m.DryCount, &m.WetCount) || probe == nil:
	case m.DryCount == m.WetCount:
		c.wrong(&m.DryCount, "", "a reading apart from wet-count (%d)", m.WetCount)
	default:
		c.countsOf(m, probe.entry.(*Probe))
	}
}

// countsOf demands that the readings go the way that the probe's voltage goes.
func (c *checker) countsOf(m *Moisture, p *Probe) {
	if c.broken[&p.Output] || !c.known(&p.Dry.Volts, &p.Wet.Volts) {
		return
	}
	switch falls := p.Wet.Volts.SI < p.Dry.Volts.SI; {
	case falls && m.DryCount < m.WetCount:
		c.wrong(&m.DryCount, "", "a reading above wet-count (%d): the probe's voltage falls as the soil gets wet",
			m.WetCount)
	case !falls && m.DryCount > m.WetCount:
		c.wrong(&m.DryCount, "", "a reading below wet-count (%d): the probe's voltage rises as the soil gets wet",
			m.WetCount)
	}
}

func (c *checker) programme(p *Programme) {
	c.zone(&p.Zone, &p.With)
	c.notEmpty(&p.Starts, `at least one time of day, each as "06:30"`)
	seen := map[string]bool{}
	for i := range p.Starts {
		text := &p.Starts[i]
		if !c.known(text) {
			continue
		}
		if _, err := TimeOfDay(*text); err != nil {
			c.wrong(text, "", "%s", err)
		} else if seen[*text] {
			c.wrong(text, "it is listed already", "each time once")
		}
		seen[*text] = true
	}
	seen = map[string]bool{}
	for i := range p.Days {
		text := &p.Days[i]
		if !c.known(text) {
			continue
		}
		if _, err := Weekday(*text); err != nil {
			c.wrong(text, "", "%s", err)
		} else if seen[*text] {
			c.wrong(text, "it is listed already", "each day once")
		}
		seen[*text] = true
	}
}

func (c *checker) remote(r *Remote) {
	c.notEmpty(&r.Zones, "at least one zone")
	seen := map[string]bool{}
	for i := range r.Zones {
		z := &r.Zones[i]
		c.zone(&z.Zone, &z.With)
		if c.known(&z.Zone) && seen[z.Zone] {
			c.wrong(&z.Zone, "it is listed already", "each zone once")
		}
		seen[z.Zone] = true
	}
}

func (c *checker) flowAlarms(f *FlowAlarms) {
	meter := c.onTerminal(&f.Meter, "meter")
	c.notEmpty(&f.Counts, "the outputs whose water passes the meter")
	c.outputs(&f.Counts, nil)
	for i := range f.Counts {
		p := &f.Counts[i]
		if out := c.named[*p]; meter != nil && out != nil && c.known(p) && source(out) != nil &&
			!passes(out, meter.Name) {
			c.wrong(p, fmt.Sprintf("its water does not pass %q", meter.Name), "%s",
				c.choice(driven, *p, func(p *part) bool { return c.wired[p.Name] && passes(p, meter.Name) }))
		}
	}
}

// notEmpty demands at least one entry.
func (c *checker) notEmpty(list any, expected string) {
	if c.known(list) && reflect.ValueOf(list).Elem().Len() == 0 {
		c.wrong(list, "it is empty", "%s", expected)
	}
}

// reacts demands that no value that is given contradicts another.
func (c *checker) reacts() {
	r := &c.site.Controller.Reacts
	c.exact(reflect.ValueOf(r).Elem(), "how a controller reacts is exact")
	for _, o := range r.orders() {
		if c.known(o.least, o.most) && o.least.SI > o.most.SI {
			c.wrong(o.least, "", "%s (%s)", o.expected, o.most)
		}
	}
}
