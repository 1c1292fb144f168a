package survey

import (
	"fmt"
	"regexp"
	"strconv"

	q "ullage/harness/quantity"
	"ullage/harness/sitefile"
)

// Names that the file gives to what nobody named.
const (
	mainsName = "mains"
	mainPipe  = "main pipe"
	tankName  = "tank"
	inletName = "inlet"
	lowFloat  = "tank-low"
	highFloat = "tank-high"
	spill     = "tank-spill"
)

// write writes the site file.
func (d *draft) write() []byte {
	p := &page{system: d.system()}
	p.note("", "Written from the answers to ten questions. Behind each figure stands where it comes from:")
	p.put("", "#   measured        read on the site")
	p.put("", "#   trade table     looked up by the trade size that was answered")
	p.put("", "#   fitted          computed, so that the site gives the readings")
	p.put("", "#   TYPICAL, check  usual in the trade, and looked at by nobody (common practice, no source)")
	if len(d.fit) > 0 {
		p.put("", "#")
		p.note("", "How well it fits")
		for _, line := range d.fit {
			p.note("", "- "+line)
		}
	}
	p.part()
	p.put("", "site: %s", strconv.Quote(d.title))
	p.put("", "about: Heights are above the tap at which the pressure was read.")
	p.part()
	d.writeWater(p)
	if d.Filler() >= 0 {
		d.writeTank(p)
	}
	d.writeController(p)
	return p.bytes()
}

var (
	plainScalar = regexp.MustCompile(`^\p{L}[\p{L}\p{N} _-]*$`)
	notAName    = regexp.MustCompile(`(?i)^(?:true|false|null|yes|no|on|off|y|n|nan|inf)$`)
)

// name writes a name as YAML, in quotes where it could be taken for something else.
func name(text string) string {
	if plainScalar.MatchString(text) && !notAName.MatchString(text) {
		return text
	}
	return strconv.Quote(text)
}

// figure is a key with a quantity.
func (p *page) figure(indent, key string, si float64, dim q.Dimension, comment string) {
	p.put(comment, "%s%s: %s", indent, key, exactly(si, dim, p.system))
}

// level is a key with a length that is measured with a folding rule.
func (p *page) level(indent, key string, si float64, comment string) {
	p.put(comment, "%s%s: %s", indent, key, level(si, p.system))
}

// source is the comment on an answer: where it comes from.
func (d *draft) source(key string) string {
	if d.blank[key] {
		return typical
	}
	return measured
}

func (d *draft) writeWater(p *page) {
	if d.Preventer.Size == "" {
		p.note("", "There is no backflow preventer. One of the category that the use asks for belongs between tap and valves "+
			"(EN 1717). Local codes and the water supplier decide.")
	}
	p.put("", "supplies:")
	p.put("", "  - name: %s", mainsName)
	p.figure("    ", "static", d.Static, q.Pressure, d.source("static"))
	p.figure("    ", "residual", d.residual, q.Pressure, d.residualFrom)
	p.figure("    ", "at", d.at, q.Flow, d.atFrom)
	p.part()
	d.writeFittings(p)

	p.put("", "pipes:")
	pipeFrom := typical
	if !d.blank["pipe"] {
		pipeFrom = "trade table"
	}
	p.put("", "  - name: %s", mainPipe)
	p.put("", "    from: %s", d.tapEnd())
	p.figure("    ", "length", d.Length, q.Length, d.source("length"))
	d.bore(p, d.Pipe, pipeFrom)
	p.put(d.fittingsFrom+": fittings from the tap to the manifold, in velocity heads", "    fittings: %v", d.fittings)
	p.figure("    ", "height", d.Rise, q.Length, d.source("rise")+": manifold above the tap")
	for _, v := range d.Valves {
		d.leg(p, v)
	}
	p.part()
	d.writeValves(p)
	d.writeOutlets(p)
}

func (d *draft) bore(p *page, pipe Pipe, from string) {
	p.level("    ", "bore", pipe.Bore, fmt.Sprintf("%s: %s, %s", from, pipe.Name, pipe.Source))
	if pipe.Roughness != sitefile.DefaultRoughness {
		p.figure("    ", "roughness", pipe.Roughness, q.Length, "of this material, handbook")
	}
}

// leg is the pipe behind a valve.
func (d *draft) leg(p *page, v Valve) {
	f := v.Feeds
	if f.Use == FeedsValves || d.direct(f) {
		return
	}
	from := behind(v)
	lengthFrom, pipeFrom := typical, "trade table"
	if f.LengthGiven {
		lengthFrom = measured
	}
	if f.Pipe == d.Pipe && d.blank["pipe"] {
		pipeFrom = typical
	}
	p.put("", "  - name: %s", name(v.Name+" pipe"))
	p.put("", "    from: %s", name(from))
	p.figure("    ", "length", f.Length, q.Length, lengthFrom)
	d.bore(p, f.Pipe, pipeFrom)
	height, comment := d.Rise+f.Rise, "manifold and rise to the outlets"
	if f.Use == FillsTank {
		height, comment = d.Tank.Floor+d.Tank.Inlet, d.source("inlet")+": mouth of the inlet, and floor of the tank"
	}
	p.figure("    ", "height", height, q.Length, comment)
}

// direct tells drip pipe that begins at its valve or regulator.
func (d *draft) direct(f Feed) bool { return f.Drip.Bore > 0 && !f.LengthGiven }

// behind is the part that what a valve feeds hangs on.
func behind(v Valve) string {
	if v.Feeds.Regulator > 0 {
		return v.Name + " regulator"
	}
	return v.Name
}

func (d *draft) writeValves(p *page) {
	p.note(
		"",
		"Solenoid diaphragm valves, spring-return. Capacity (Kv), stroke times and coil are usual ones for the size and the voltage: TYPICAL, check.",
	)
	p.put("", "valves:")
	feeder := mainPipe
	if m := d.Master(); m >= 0 {
		d.valve(p, d.Valves[m], mainPipe)
		feeder = d.Valves[m].Name
	}
	for _, v := range d.Valves {
		if v.Feeds.Use != FeedsValves {
			d.valve(p, v, feeder)
		}
	}
	p.part()
	regulated := false
	for _, v := range d.Valves {
		if v.Feeds.Regulator > 0 && !regulated {
			p.put("", "regulators:")
			regulated = true
		}
		if v.Feeds.Regulator > 0 {
			p.put("", "  - name: %s", name(v.Name+" regulator"))
			p.put("", "    from: %s", name(v.Name))
			p.figure("    ", "sets", v.Feeds.Regulator, q.Pressure, "as answered")
			p.put(typical, "    capacity: 2.5 m3/h")
		}
	}
	if regulated {
		p.part()
	}
}

func (d *draft) valve(p *page, v Valve, from string) {
	p.put("", "  - name: %s", name(v.Name))
	p.put("", "    from: %s", name(from))
	p.put(typical+": of a valve of "+v.Size, "    capacity: %s", d.exactly(v.Kv, q.Capacity))
	p.put(typical, "    opens: 500 ms")
	p.put(typical, "    closes: 1.6 s")
	p.put("", "    characteristic: diaphragm")
	if d.Lifts > 0 {
		p.put("its pilot opens it by the difference of pressure", "    operates: pilot")
		p.figure("    ", "opens-at", d.Lifts, q.Pressure, d.source("lifts"))
		p.figure("    ", "seats-at", d.Lifts, q.Pressure, typical)
	} else {
		p.put("as answered", "    operates: direct")
	}
	if d.Alternate {
		p.put("", "    current: ac")
	}
	p.put(typical+": about two thirds of the voltage", "    pull-in: %s", d.exactly(tenth(d.Volts*0.65), q.Voltage))
	p.put(typical+": a quarter of the voltage", "    drop-out: %s", d.exactly(tenth(d.Volts*0.25), q.Voltage))
	switch {
	case d.Coil > 0:
		p.put(measured+" across its leads", "    coil: %s", d.exactly(d.Coil, q.Resistance))
	case d.Alternate:
		const usual = 30 // Ω at 24 V; 20 to 60 are what meters show (common practice, no source)
		p.put(typical+": what a meter shows", "    coil: %s", d.exactly(tenth(usual*d.Volts/24*d.Volts/24), q.Resistance))
	default:
		p.put(typical+": a coil of 4 W", "    coil: %s", d.exactly(tenth(d.Volts*d.Volts/4), q.Resistance))
	}
}

// tenth rounds to a tenth.
func tenth(x float64) float64 { return float64(int(x*10+0.5)) / 10 }

func (d *draft) writeOutlets(p *page) {
	some := false
	for _, v := range d.Valves {
		if f := v.Feeds; !some && f.Use != FeedsValves && f.Drip.Bore == 0 {
			some = true
			p.put("", "outlets:")
		}
		f := v.Feeds
		switch f.Use {
		case FillsTank:
			p.put("", "  - name: %s", inletName)
			p.put("", "    from: %s", name(v.Name+" pipe"))
			p.level("    ", "bore", d.inletBore(), d.source("inlet-bore"))
			p.put("", "    into: %s", tankName)
			if d.Tank.Inlet > d.Tank.Rim+1e-9 {
				p.level("    ", "air-gap", d.Tank.Inlet-d.Tank.Rim, d.source("inlet")+": inlet less rim")
			} else {
				p.level("    ", "dips", d.Tank.Inlet, d.source("inlet")+": the inlet is not above the rim")
			}
		case FeedsDrip, FeedsSprays:
			if f.Drip.Bore == 0 {
				d.openings(p, v)
			}
		}
	}
	if some {
		p.part()
	}
	laterals := false
	for _, v := range d.Valves {
		if v.Feeds.Drip.Bore == 0 {
			continue
		}
		if !laterals {
			p.put("", "laterals:")
		}
		laterals = true
		d.lateral(p, v)
	}
	if laterals {
		p.part()
	}
}

// lateral is drip pipe with its drippers along it.
func (d *draft) lateral(p *page, v Valve) {
	f := v.Feeds
	from := v.Name + " pipe"
	if d.direct(f) {
		from = behind(v)
	}
	emitters := max(1, f.Count/f.Lines)
	p.put("", "  - name: %s", name(v.Name+" outlets"))
	p.put("", "    from: %s", name(from))
	p.put("as answered", "    lines: %d", f.Lines)
	p.put("as answered", "    emitters: %d", emitters)
	if f.Spacing > 0 {
		p.level("    ", "spacing", f.Spacing, "as answered")
	} else {
		spacing := f.DripLength / float64(f.Lines) / float64(emitters)
		p.level("    ", "spacing", d.roundly(spacing, 1e-4, inch/100), "length of a line over its drippers")
	}
	p.level("    ", "bore", f.Drip.Bore, fmt.Sprintf("trade table: %s, %s", f.Drip.Name, f.Drip.Source))
	p.figure("    ", "flow", f.Flow, q.Flow, "as answered")
	d.ratedAt(p, f)
	if d.direct(f) {
		p.figure("    ", "height", d.Rise+f.Rise, q.Length, "manifold and rise to the drippers")
	}
}

func (d *draft) openings(p *page, v Valve) {
	f, from := v.Feeds, "as answered"
	if d.blank["feeds"+v.Name] {
		from = typical
	}
	p.put("", "  - name: %s", name(v.Name+" outlets"))
	p.put("", "    from: %s", name(v.Name+" pipe"))
	p.put(from, "    count: %d", f.Count)
	p.figure("    ", "flow", f.Flow, q.Flow, from)
	d.ratedAt(p, f)
}

// ratedAt is the pressure at which the flow of openings is given, and how it follows the pressure.
func (d *draft) ratedAt(p *page, f Feed) {
	at := typical
	if f.AtGiven {
		at = "as answered"
	}
	p.figure("    ", "at", f.At, q.Pressure, at)
	if f.Compensating {
		p.put(typical+": pressure-compensating", "    exponent: %v", compensatingLaw)
	}
}
