package survey

import (
	"fmt"
	"math"
	"strings"

	q "ullage/harness/quantity"
)

func (d *draft) writeTank(p *page) {
	t := d.Tank
	p.put("", "tanks:")
	p.put("", "  - name: %s", tankName)
	p.figure("    ", "floor", t.Floor, q.Length, d.source("floor")+": above the tap")
	if t.Diameter > 0 {
		from := d.source("tank")
		if t.ByVolume {
			from += ": from litres and height"
		}
		p.level("    ", "diameter", t.Diameter, from)
	} else {
		p.level("    ", "length", t.Length, d.source("tank"))
		p.level("    ", "width", t.Width, d.source("tank"))
	}
	p.level("    ", "rim", t.Rim, d.source("tank"))
	if t.Overflow > 0 {
		p.put(d.source("overflow"), "    %s}", d.overflowEntry())
	}
	p.level("    ", "starts", d.roundly((t.Low+t.High)/2, 1e-3, inch/4), "half way between the floats")
	p.part()

	p.note(
		"",
		"Add the tolerance of each float (560 mm ± 10 mm) and its limits are tried as well. Where it releases is TYPICAL, check.",
	)
	p.put("", "contacts:")
	d.float(p, lowFloat, t.Low, t.Low+d.hysteresis(), "open")
	d.float(p, highFloat, t.High, t.High-d.hysteresis(), "open")
	if t.Spill > 0 {
		d.float(p, spill, t.Spill, t.Spill-d.hysteresis(), "closed")
	}
	p.part()
}

// overflowEntry is the overflow as the file has it, up to the closing brace.
func (d *draft) overflowEntry() string {
	t := d.Tank
	text := fmt.Sprintf("standpipe: {crest: %s, bore: %s", d.level(t.Overflow), d.level(t.OverflowBore))
	switch t.OverflowKind {
	case notch:
		return fmt.Sprintf("weir: {crest: %s, width: %s", d.level(t.Overflow), d.level(t.OverflowBore))
	case sideOutlet:
		text = fmt.Sprintf("side-outlet: {invert: %s, bore: %s", d.level(t.Overflow), d.level(t.OverflowBore))
	}
	if t.OverflowRun > 0 {
		text += fmt.Sprintf(", run: %s", d.exactly(t.OverflowRun, q.Length))
	}
	if t.OverflowFall > 0 {
		text += fmt.Sprintf(", fall: %s", d.level(t.OverflowFall))
	}
	return text
}

// hysteresis is the travel of a float, in m: 30 mm or 1 1/4 in, and less where the floats are close (common practice,
// no source).
func (d *draft) hysteresis() float64 {
	step := d.usually(1e-4, inch/100)
	most := math.Min((d.Tank.High-d.Tank.Low)/3, (d.Tank.Rim-d.Tank.Low)/2)
	return math.Min(d.usually(0.030, 1.25*inch), math.Floor(most/step)*step)
}

func (d *draft) float(p *page, contact string, operates, releases float64, normally string) {
	p.put("", "  - name: %s", contact)
	p.put("", "    in: %s", tankName)
	p.level("    ", "operates", operates, d.source("floats"))
	p.level("    ", "releases", d.roundly(releases, 1e-6, inch/1e4), typical)
	p.put(typical, "    normally: %s", normally)
}

func (d *draft) writeController(p *page) {
	if d.Rated > 0 {
		p.put("read on the label", "power: {rated: %s}", d.exactly(d.Rated, q.Current))
		p.part()
	}
	p.put("", "controller:")
	supply := d.source("volts")
	if supply == measured {
		supply = "as answered"
	}
	if d.Alternate {
		supply += "; alternating current, by its effective value"
	}
	p.put(supply, "  supply: %s", d.exactly(d.Volts, q.Voltage))
	p.put(typical, "  resets-below: %s", d.exactly(tenth(d.Volts*0.7), q.Voltage))
	p.put(typical, "  boots: 1.5 s")
	p.put(typical, "  board: {rail: 3.3 V, pull-up: 10 kohm, low: 0.8 V, high: 2 V, bits: 12, impedance: 1 Mohm}")
	p.put("name them as they are printed on the board", "  terminals:")
	for i, v := range d.Valves {
		p.put("", "    - {terminal: OUT%d, output: %s}", i+1, name(v.Name))
	}
	if d.Filler() >= 0 {
		p.put("", "    - {terminal: IN1, contact: %s}", lowFloat)
		p.put("", "    - {terminal: IN2, contact: %s}", highFloat)
		if d.Tank.Spill > 0 {
			p.put("", "    - {terminal: IN3, contact: %s}", spill)
		}
	}
	if d.Meter.Size != "" {
		p.put("", "    - {terminal: PULSE, pulse: %s}", meterName)
	}
	p.end()
	p.note("  ", "Settings to begin with: TYPICAL, check against what the controller is set to.")
	p.put("", "  settings:")
	p.put("", "    clock: Monday 00:00")
	if d.Filler() >= 0 {
		d.writeFill(p)
	}
	d.writeZones(p)
	p.put("", "    alerts: {repeat-after: 1 h, kept: 16}")
	p.put("", "    report-every: 15 min")
}

// with is the entry for the master valve, or nothing.
func (d *draft) with() string {
	if m := d.Master(); m >= 0 {
		return fmt.Sprintf(", with: [%s]", name(d.Valves[m].Name))
	}
	return ""
}

func (d *draft) writeFill(p *page) {
	filler := name(d.Valves[d.Filler()].Name)
	shuts := []string{filler}
	p.put("", "    fill:")
	p.put("", "      valve: %s", filler)
	if m := d.Master(); m >= 0 {
		p.put("", "      with: [%s]", name(d.Valves[m].Name))
		shuts = append(shuts, name(d.Valves[m].Name))
	}
	p.put("", "      low: %s", lowFloat)
	p.put("", "      high: %s", highFloat)
	p.put("a float that bobs is no fill", "      debounce: 500 ms")
	p.put("half as much again as the computed fill", "      longest-run: %s", d.exactly(d.longestRun(), q.Duration))
	p.put("", "      attempts: 3")
	p.put("", "      pause: 10 min")
	if d.Tank.Spill > 0 {
		p.put("", "    cut-off: {contact: %s, shuts: [%s]}", spill, strings.Join(shuts, ", "))
	}
}

// writeZones waters the zones one after the other from 06:00, five minutes apart.
func (d *draft) writeZones(p *page) {
	const first, gap, day = 6 * 60, 5, 24 * 60 // min
	at := first
	var zones []string
	for _, v := range d.Valves {
		run := map[Use]int{FeedsDrip: 30, FeedsSprays: 10}[v.Feeds.Use]
		if run == 0 {
			continue
		}
		if zones == nil {
			p.put("drip half an hour, sprays ten minutes, one zone at a time", "    programmes:")
		}
		p.put("", "      - {zone: %s%s, starts: [\"%02d:%02d\"], run: %d min}", name(v.Name), d.with(), at/60, at%60,
			run)
		zones = append(zones, fmt.Sprintf("{zone: %s%s}", name(v.Name), d.with()))
		at = (at + run + gap) % day
	}
	if zones == nil {
		return
	}
	p.put("", "    remote:")
	p.put("", "      zones:")
	for _, z := range zones {
		p.put("", "        - %s", z)
	}
	p.put("the controller ends a remote run after this", "      longest-run: 30 min")
}

// typicals lists the figures that nobody has looked at, as the command line would have taken them.
func (d *draft) typicals() []string {
	var list []string
	for _, one := range d.questions() {
		switch text := one.usual; {
		case !d.blank[one.flag+one.valve]:
		case one.optional:
			list = append(list, fmt.Sprintf("--%s %s", one.flag, one.untaken))
		default:
			if one.valve != "" {
				text = one.valve + ": " + text
			}
			list = append(list, fmt.Sprintf("--%s %q", one.flag, text))
		}
	}
	if d.fittingsFrom == typical {
		list = append(list, fmt.Sprintf("the loss of the fittings from tap to manifold: K %v", d.fittings))
	}
	for _, v := range d.Valves {
		if f := v.Feeds; f.Use != FeedsValves && !f.LengthGiven && !d.direct(f) && !d.blank["feeds"+v.Name] {
			list = append(list, fmt.Sprintf("the pipe behind %q: %s", v.Name, d.exactly(f.Length, q.Length)))
		}
	}
	return append(list, "the capacity (Kv) and strokes of each valve, by its size; what its coil takes, by the voltage",
		"where each float releases, the inputs of the board, every setting of the controller")
}
