package survey

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	q "ullage/harness/quantity"
	"ullage/harness/sitefile"
)

// Fitting is a backflow preventer, a meter or a filter between the tap and the manifold.
type Fitting struct {
	Type     string  // of a preventer: "BA"
	Size     string  // "3/4 in"; "" where there is none
	Kv       float64 // usual for that size, m³/h
	PerPulse float64 // of a meter with pulses, m³; 0 where it gives none
}

// Usual capacities by connection size, Kv in m³/h. Meters lose 0.63 bar at their permanent flow Q3 (ISO 4064-1, pressure
// loss class 63), which is 2.5, 4 and 6.3 m³/h for these sizes; the others are common practice, no source.
var (
	meterKvs     = map[string]float64{"1/2 in": 3.15, "3/4 in": 5.04, "1 in": 7.94}
	filterKvs    = map[string]float64{"1/2 in": 4, "3/4 in": 6, "1 in": 10}
	preventerKvs = map[string]float64{"1/2 in": 2.5, "3/4 in": 4, "1 in": 7}
)

func isNone(text string) bool {
	return slices.Contains([]string{"none", "no", "nothing", ""}, strings.ToLower(text))
}

// sizedFitting reads a connection size, and gives it the usual capacity.
func sizedFitting(text string, kvs map[string]float64) (Fitting, error) {
	size, known := connection(text)
	if !known {
		return Fitting{}, fmt.Errorf("%q is no connection size; expected 1/2, 3/4 or 1 in", shortened(text))
	}
	return Fitting{Size: size, Kv: kvs[size]}, nil
}

// preventer reads "BA 3/4 in" or "none".
func preventer(text string) (Fitting, error) {
	if isNone(text) {
		return Fitting{}, nil
	}
	const expected = "the type of EN 1717 that stands on it and its size, as BA 3/4 in (EA, EB, EC, CA, GA, BA or DC), or none"
	kind, size, _ := strings.Cut(strings.TrimSpace(text), " ")
	if kind = strings.ToUpper(kind); sitefile.Protects[kind] == 0 {
		return Fitting{}, fmt.Errorf("%q is no type; expected %s", shortened(kind), expected)
	}
	f, err := sizedFitting(size, preventerKvs)
	if err != nil {
		return f, fmt.Errorf("%w; expected %s", err, expected)
	}
	f.Type = kind
	return f, nil
}

// filter reads "3/4 in" or "none".
func filter(text string) (Fitting, error) {
	if isNone(text) {
		return Fitting{}, nil
	}
	return sizedFitting(text, filterKvs)
}

// meter reads "3/4 in, 1 L a pulse", "3/4 in" or "none".
func meter(text string) (Fitting, error) {
	if isNone(text) {
		return Fitting{}, nil
	}
	list, err := pieces(text)
	if err != nil {
		return Fitting{}, err
	}
	const expected = "its size, and the water from pulse to pulse where it gives pulses, as 3/4 in, 1 L a pulse"
	if len(list) == 0 || len(list) > 2 {
		return Fitting{}, errors.New("expected " + expected)
	}
	f, err := sizedFitting(list[0], meterKvs)
	if err != nil || len(list) == 1 {
		return f, err
	}
	water := list[1]
	for _, words := range []string{"a pulse", "per pulse", "/pulse", "each pulse"} {
		water = strings.TrimSuffix(water, words)
	}
	if f.PerPulse, err = ranged(strings.TrimSpace(water), q.Volume, 1e-6, 1); err != nil {
		return f, fmt.Errorf("%w; expected %s", err, expected)
	}
	return f, nil
}

// aboutFittings asks what the water passes between the tap and the manifold.
func (a *Answers) aboutFittings() []question {
	return []question{
		{number: 3, flag: "preventer", ask: "Backflow preventer between the tap and the manifold, by its type and size",
			write: "BA 3/4 in or none", usual: "none",
			take: func(text string) (err error) { a.Preventer, err = preventer(text); return }},
		{number: 3, flag: "meter", ask: "Water meter that the controller reads, by its size, and litres a pulse",
			write: "3/4 in, 1 L a pulse or none", usual: "none",
			take: func(text string) (err error) {
				if a.Meter, err = meter(text); err == nil && a.Meter.Size != "" && a.Meter.PerPulse == 0 {
					err = errors.New("the water from pulse to pulse is missing; expected 3/4 in, 1 L a pulse, or none for a " +
						"meter that the controller does not read")
				}
				return
			}},
		{number: 3, flag: "filter", ask: "Filter or strainer, by its size", write: "3/4 in or none", usual: "none",
			take: func(text string) (err error) { a.Filter, err = filter(text); return }},
	}
}

// Names of the fittings in the file.
const (
	preventerName = "preventer"
	meterName     = "meter"
	filterName    = "filter"
)

// writeFittings draws the fittings from the supply to the main pipe.
func (d *draft) writeFittings(p *page) {
	from := mainsName
	if d.Meter.Size != "" {
		p.put("", "meters:")
		p.put("as answered; "+typical+": capacity of a meter of "+d.Meter.Size,
			"  - {name: %s, from: %s, capacity: %s, per-pulse: %s}", meterName, from, d.exactly(d.Meter.Kv, q.Capacity),
			d.exactly(d.Meter.PerPulse, q.Volume))
		p.part()
		from = meterName
	}
	if d.Preventer.Size != "" {
		p.note("", "Category is the highest that this type protects against (EN 1717). The use may ask for more: water that "+
			"lies on soil with fertiliser or dung counts as category 4 or 5 in many places. Local codes and the water "+
			"supplier decide; preventers are set up and tested by licensed people.")
		p.put("", "backflow-preventers:")
		p.put("as answered; "+typical+": capacity", "  - {name: %s, from: %s, type: %s, category: %d, capacity: %s}",
			preventerName, from, d.Preventer.Type, sitefile.Protects[d.Preventer.Type], d.exactly(d.Preventer.Kv, q.Capacity))
		p.part()
		from = preventerName
	}
	if d.Filter.Size != "" {
		p.put("", "filters:")
		p.put("as answered; "+typical+": capacity, clean", "  - {name: %s, from: %s, capacity: %s}", filterName, from,
			d.exactly(d.Filter.Kv, q.Capacity))
		p.part()
	}
}

// tapEnd is the part that the main pipe comes from.
func (d *draft) tapEnd() string {
	switch {
	case d.Filter.Size != "":
		return filterName
	case d.Preventer.Size != "":
		return preventerName
	case d.Meter.Size != "":
		return meterName
	}
	return mainsName
}
