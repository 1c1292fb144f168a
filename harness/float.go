package harness

import (
	"fmt"
	"math"

	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// contact is how far a contact was from making a rule act: what its longest change fell short of the debounce, by how
// much its voltage stayed on its side of the threshold, or how far the water stayed from the float.
func (a approach) contact(c sitefile.Contact, r *Rule) distance {
	terminal, level := signal.Terminal(c.Name).Voltage(), levelAt(a.run, c)
	in := InputOf(a.site.Controller.Board, ContactTerminal)
	change := differing(readingsOf(a.run, c, in), readingsOf(a.twin, c, in), a.run.End)
	if change.lasts > 0 {
		limit := debounce(a.site.Controller.Settings, r, change.operated)
		margin := limit - change.lasts.Seconds()
		return distance{margin > 0, margin, limit, quantity.Duration, change.from, terminal,
			fmt.Sprintf("a change of the contact %q short of the debounce, %s", c.Name,
				quantity.Format(limit, quantity.Duration))}
	}
	if signalsDiffer(a.run, a.twin, []string{terminal.Name()}, closely(0)) {
		return a.above(terminal, in.clearance, in.Rail, quantity.Voltage,
			fmt.Sprintf("the voltage of the contact %q short of the threshold", c.Name))
	}
	return a.above(level, func(level float64) float64 { return away(c, level) }, c.Operates.SI, quantity.Length,
		fmt.Sprintf("the level short of operating %q at %s", c.Name, quantity.Format(c.Operates.SI, quantity.Length)))
}

// clearance is how far a voltage is from the threshold beyond which it would be read as the other level, V.
func (in Input) clearance(volts float64) float64 {
	if volts < in.Low {
		return in.High - volts
	}
	return volts - in.Low
}

// debounce is how long a change of a contact must last before a rule goes by it, to operated or back, s.
func debounce(s sitefile.Settings, r *Rule, operated bool) float64 {
	switch {
	case r.Name == "cut-off" && operated:
		return 0
	case r.Name == "interlock" && operated:
		return s.Interlock.Debounce.SI
	case s.Fill == nil:
		return sitefile.DefaultDebounce
	}
	return s.Fill.Debounce.SI
}

// levelAt is the signal of the water at a float.
func levelAt(run *Run, c sitefile.Contact) signal.Signal {
	own := signal.Contact(c.Name).Level()
	if _, sloshes := run.Trace.Find(own.Name()); sloshes {
		return own
	}
	return signal.Tank(c.In).Level()
}

// away is how far a level is from operating a float, m; negative beyond.
func away(c sitefile.Contact, level float64) float64 {
	if c.LowWater() {
		return level - c.Operates.SI
	}
	return c.Operates.SI - level
}

// nearer reports whether the water came nearer to operating a float in a run than in its twin.
func nearer(run, twin *Run, c sitefile.Contact) bool {
	s, of := levelAt(run, c), func(level float64) float64 { return away(c, level) }
	here, _ := run.least(s, of)
	there, _ := twin.least(s, of)
	return here < there && !math.IsInf(there, 0)
}

// contactReading is what is read of a contact from a moment on.
type contactReading struct {
	at       signal.Time
	operated bool
}

// readingsOf lists the changes of what an input stage reads of a contact in a run.
func readingsOf(run *Run, c sitefile.Contact, in Input) []contactReading {
	var list []contactReading
	closed := c.Normally == "closed" // at rest
	high := !closed
	for at, volts := range run.view(signal.Terminal(c.Name).Voltage()).All() {
		high = in.IsHigh(Pin{Volts: volts}, at, high)
		if operated := high == closed; len(list) == 0 || list[len(list)-1].operated != operated {
			list = append(list, contactReading{at, operated})
		}
	}
	return list
}

// change is a stretch during which a contact is read otherwise than in a twin.
type change struct {
	from, lasts signal.Time
	operated    bool // in the run
}

// differing is the longest stretch during which two records of a contact differ; the zero value is none.
func differing(a, b []contactReading, end signal.Time) change {
	var longest change
	var here, there bool
	for since := signal.Time(0); since < end; {
		next := end
		for ; len(a) > 0 && a[0].at <= since; a = a[1:] {
			here = a[0].operated
		}
		for ; len(b) > 0 && b[0].at <= since; b = b[1:] {
			there = b[0].operated
		}
		if len(a) > 0 {
			next = min(next, a[0].at)
		}
		if len(b) > 0 {
			next = min(next, b[0].at)
		}
		if here != there && next-since > longest.lasts {
			longest = change{since, next - since, here}
		}
		since = next
	}
	return longest
}
