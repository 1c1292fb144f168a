package sweep

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"ullage/harness"
	"ullage/harness/sitefile"
)

// Limits are what the standing outcomes allow where the site file does not say. All of them are common practice,
// without a source.
type Limits struct {
	// m³ of water that ends neither in a root zone nor in a tank, besides what the sequence loses without a fault
	Lost    float64
	Dry     float64 // s that a pump may run dry in all
	Alert   float64 // s from the cut-off contact operating to its alert
	Surge   float64 // Pa at a valve that shuts; 0: what the wall of the pipe before it stands
	Coil    float64 // °C of a coil for alternating current
	Overrun float64 // s that water may run on after its longest run, besides the stroke of the valve
}

// UsualLimits are the limits that are used when none are given.
func UsualLimits() Limits {
	return Limits{Lost: 0.1, Dry: 10, Alert: 30, Coil: 130, Overrun: 15}
}

// standing are the outcomes that a site asks for whatever happens, most of which stand in its file: rims, longest runs,
// pumps, mains. Some name what the site may not have, as a pipe with a wall; the compiler refuses those. The second
// list counts from an event that a good day does not have.
func standing(spec *sitefile.Site, l Limits) (always, asked []string) {
	add := func(format string, a ...any) { always = append(always, fmt.Sprintf(format, a...)) }
	for _, t := range spec.Tanks {
		add("no water goes over the rim of %q", t.Name)
	}
	for _, v := range spec.Valves {
		if longest := longestRun(spec.Controller.Settings, v.Name); longest > 0 {
			add("water runs through the valve %q for at most %s at a stretch", v.Name,
				seconds(math.Ceil(longest+v.Closes.SI+l.Overrun)))
		}
	}
	for _, p := range spec.Pumps {
		if longest := longestRun(spec.Controller.Settings, p.Name); longest > 0 {
			add("the pump %q never runs longer than %s at a stretch", p.Name, seconds(math.Ceil(longest+l.Overrun)))
		}
		add("the pump %q runs dry for at most %s in all", p.Name, seconds(l.Dry))
	}
	always = append(always, lostOutcome(l.Lost))
	for _, s := range spec.Supplies {
		add("no water flows back into the supply %q", s.Name)
	}
	for _, v := range spec.Valves {
		add("the surge at %q stays below %s", v.Name, bars(surgeLimit(spec, v, l)))
		add("the coil of %q stays below %g °C", v.Name, l.Coil)
	}
	if c := spec.Controller.Settings.CutOff; c != nil {
		asked = append(asked, fmt.Sprintf("the alert %q arrives within %s of %q operating", harness.AlertSpill,
			seconds(l.Alert), c.Contact))
	}
	return always, asked
}

// lostOutcome is the outcome about the water that ends nowhere.
func lostOutcome(m3 float64) string { return fmt.Sprintf("at most %s are lost", litres(m3)) }

func litres(m3 float64) string { return fmt.Sprintf("%g L", math.Ceil(m3*1e3-1e-6)) }
func bars(pa float64) string   { return fmt.Sprintf("%g bar", math.Round(pa/1e4)/10) }

// longestRun is the longest that the settings let an output run at a stretch, s; 0 for one that no rule runs. An output
// that runs with others, as a master valve or a pump does, may be handed from one to the next: their longest runs add
// up.
func longestRun(s sitefile.Settings, output string) float64 {
	runs := map[string]float64{} // of what the output runs for
	note := func(of string, with []string, longest float64) {
		if of == output || slices.Contains(with, output) {
			runs[of] = math.Max(runs[of], longest)
		}
	}
	if f := s.Fill; f != nil {
		note(f.Valve, f.With, f.LongestRun.SI)
	}
	if m := s.Moisture; m != nil {
		note(m.Zone, m.With, m.Cycle.SI)
	}
	for _, p := range s.Programmes {
		note(p.Zone, p.With, p.Run.SI)
	}
	if r := s.Remote; r != nil {
		for _, z := range r.Zones {
			note(z.Zone, z.With, r.LongestRun.SI)
		}
	}
	sum := 0.0
	for _, of := range slices.Sorted(maps.Keys(runs)) {
		sum += runs[of]
	}
	return sum
}

// stress is what the wall of a pipe may be loaded with for good, Pa: of plastics the minimum required strength over the
// coefficient of ISO 12162 (PE 80: 8 over 1.25, PVC-U: 25 over 2.5, PE-X: as PE 80), of metals a cautious figure for
// thin tube. From memory.
var stress = map[sitefile.Material]float64{
	sitefile.Polyethylene: 6.4e6, sitefile.LowDensityPolyethylene: 2.5e6, sitefile.CrossLinkedPolyethylene: 6.4e6, sitefile.PVC: 10e6,
	sitefile.Copper: 35e6, sitefile.Steel: 100e6,
}

// nominalPressure is the pressure that a pipe is made for, Pa: 2 σ e / (d - e) with its outer diameter d and wall e,
// the formula of ISO 161-1 (from memory).
func nominalPressure(p sitefile.Pipe) float64 {
	outer := p.Bore.SI + float64(2*p.Wall.SI)
	return 2 * stress[p.Material] * p.Wall.SI / (outer - p.Wall.SI)
}

// usualSurge is the pressure that is allowed at a valve without a pipe of known wall before it, Pa: fittings of PN 10.
const usualSurge = 10e5

// surgeLimit is the pressure that is allowed at a valve that shuts: what was asked for, or the pressure that the
// weakest pipe of a known wall on the way to it is made for.
func surgeLimit(spec *sitefile.Site, v sitefile.Valve, l Limits) float64 {
	if l.Surge > 0 {
		return l.Surge
	}
	limit := math.Inf(1)
	for from, steps := v.From, 0; from != "" && steps < 100; steps++ {
		next := ""
		for _, d := range spec.Inlets() {
			if d.Name == from {
				next = d.From
			}
		}
		for _, p := range spec.Pipes {
			if p.Name == from && p.Material != "" {
				limit = math.Min(limit, nominalPressure(p))
			}
		}
		from = next
	}
	if math.IsInf(limit, 1) {
		return usualSurge
	}
	return limit
}
