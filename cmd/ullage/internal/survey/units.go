package survey

import (
	"math"
	"strconv"

	q "ullage/harness/quantity"
)

// system is US where the gauge was read in psi: its figure is a round one there, and not in bar.
func (a *Answers) system() q.System {
	if exactly(a.Static, q.Pressure, q.Metric) == q.FormatIn(a.Static, q.Pressure, q.US) {
		return q.US
	}
	return q.Metric
}

// usual is what stands for a blank answer, in the units that the person uses.
func (a *Answers) usual(metric, us string) string {
	if a.system() == q.US {
		return us
	}
	return metric
}

// usually is a usual value in SI, round in the units that the person uses.
func (a *Answers) usually(metric, us float64) float64 {
	if a.system() == q.US {
		return us
	}
	return metric
}

// upTo is the least round length that is not below a length, by steps of a size in either system.
func (a *Answers) upTo(length, metric, us float64) float64 {
	step := a.usually(metric, us)
	return math.Ceil(length/step-1e-6) * step
}

// roundly rounds a length to a step of either system.
func (a *Answers) roundly(length, metric, us float64) float64 {
	step := a.usually(metric, us)
	return math.Round(length/step) * step
}

// exactly writes a value so that it reads back the same, in the unit it was most likely answered in; of two that would
// do, in that of the first system.
func exactly(si float64, dim q.Dimension, first q.System) string {
	texts := []string{q.FormatIn(si, dim, first), q.FormatIn(si, dim, q.Metric), q.FormatIn(si, dim, q.US)}
	if first == q.US && dim == q.Length {
		texts = []string{texts[0], inches(si), texts[1]}
	}
	for _, text := range texts {
		if readsBack(text, si, dim) {
			return text
		}
	}
	return q.Write(q.Value{SI: si}, dim)
}

// level writes a length that is measured with a folding rule: US ones in inches however long they are.
func level(si float64, system q.System) string {
	if text := inches(si); system == q.US && readsBack(text, si, q.Length) {
		return text
	}
	return exactly(si, q.Length, system)
}

// inches writes a length in inches, to a ten-thousandth.
func inches(si float64) string {
	return strconv.FormatFloat(math.Round(si/inch*1e4)/1e4, 'f', -1, 64) + " in"
}

func readsBack(text string, si float64, dim q.Dimension) bool {
	v, err := q.Parse(text, dim)
	return err == nil && near(v.SI, si, 1e-12)
}

// exactly writes a value in the units that the person uses.
func (a *Answers) exactly(si float64, dim q.Dimension) string { return exactly(si, dim, a.system()) }

// level writes a level or a bore in the units that the person uses.
func (a *Answers) level(si float64) string { return level(si, a.system()) }

// show writes a value that need not read back, in the units that the person uses.
func (a *Answers) show(si float64, dim q.Dimension) string { return q.FormatIn(si, dim, a.system()) }

func near(a, b, share float64) bool { return math.Abs(a-b) <= share*math.Abs(b) }
