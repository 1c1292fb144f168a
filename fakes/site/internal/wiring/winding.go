package wiring

import (
	"ullage/fakes/internal/electric"
	"ullage/fakes/site/internal/device"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

const (
	airTemperature = 20.0 // °C, around coils; what coil and warms-to are given for
	heatTolerance  = 0.02 // K, by which the straight lines of the record may miss a coil's temperature
)

// winding is the copper of the coil of a spring-return valve. It warms up by its own current and resists more then; one
// for alternating current has a reactance besides, which is less while its plunger is out.
type winding struct {
	ohms         float64 // Ω, at 20 °C
	alternates   bool    // it is made for alternating current
	out, in      float64 // Ω, reactance with the plunger out and in; 0 for direct current
	heat         electric.Heat
	course       electric.FirstOrder
	since, until signal.Time // of the present piece of its course
	line         device.Line
}

func openWinding(bench *device.Bench, supply float64, v sitefile.Valve) *winding {
	w := &winding{ohms: v.Coil.SI, until: signal.Never, line: bench.Line(signal.Valve(v.Name).Temperature()),
		heat: electric.Heat{Around: airTemperature, Excess: v.WarmsTo.SI - airTemperature, Tau: v.WarmsIn.SI,
			Amps: supply / (v.Coil.SI * electric.Warm(v.WarmsTo.SI))}}
	if w.alternates = v.Current == "ac"; w.alternates {
		w.heat.Amps = v.Holding.SI
		w.out = electric.Reactance(supply, v.Inrush.SI, v.Coil.SI)
		w.in = electric.Reactance(supply, v.Holding.SI, v.Coil.SI)
	}
	w.course = w.heat.Course(airTemperature, 0)
	w.line.To(0, airTemperature)
	return w
}

// reactance is that with the plunger in or out, Ω.
func (w *winding) reactance(in bool) float64 {
	if in {
		return w.in
	}
	return w.out
}

// resistance is that of the copper at a moment, Ω.
func (w *winding) resistance(at signal.Time) float64 { return w.ohms * electric.Warm(w.celsius(at)) }

// warms lets the coil warm up or cool down with another current from a moment on.
func (w *winding) warms(at signal.Time, amps float64) {
	celsius := w.celsius(at)
	w.line.To(at, celsius)
	w.course, w.since, w.until = w.heat.Course(celsius, amps), at, signal.Never
	if !w.course.Settled(heatTolerance) {
		w.until = at + max(1, signal.FromSeconds(w.course.Straight(heatTolerance)))
		w.line.Anchor()
	} else {
		w.course = electric.FirstOrder{X0: celsius}
	}
}

// celsius is the temperature of the coil at a moment, °C.
func (w *winding) celsius(at signal.Time) float64 { return w.course.At((at - w.since).Seconds()) }
