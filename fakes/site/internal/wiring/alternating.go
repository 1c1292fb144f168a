package wiring

import (
	"ullage/fakes/internal/electric"
	"ullage/fakes/site/internal/device"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

const (
	airTemperature = 20.0 // °C, around coils; what warms-to is given for
	heatTolerance  = 0.05 // K, by which the straight lines of the record may miss a coil's temperature
)

// alternating is what a coil for alternating current has besides: more current while its plunger is out, and a
// temperature.
type alternating struct {
	supply, inrush, holding float64 // V, A, A
	heat                    electric.Heat
	course                  electric.FirstOrder
	since, until            signal.Time // of the present piece of its course
	line                    device.Line
}

func openAlternating(bench *device.Bench, supply float64, v sitefile.Valve) *alternating {
	a := &alternating{supply: supply, inrush: v.Inrush.SI, holding: v.Holding.SI, until: signal.Never,
		heat: electric.Heat{Around: airTemperature, Excess: v.WarmsTo.SI - airTemperature, Amps: v.Holding.SI,
			Tau: v.WarmsIn.SI},
		line: bench.Line(signal.Valve(v.Name).Temperature())}
	a.course = a.heat.Course(airTemperature, 0)
	a.line.To(0, airTemperature)
	return a
}

// impedance is that of the coil, Ω.
func (a *alternating) impedance(in bool) float64 {
	if in {
		return a.supply / a.holding
	}
	return a.supply / a.inrush
}

// warms lets the coil warm up or cool down with another current from a moment on.
func (a *alternating) warms(at signal.Time, amps float64) {
	celsius := a.celsius(at)
	a.line.To(at, celsius)
	a.course, a.since, a.until = a.heat.Course(celsius, amps), at, signal.Never
	if !a.course.Settled(heatTolerance) {
		a.until = at + max(1, signal.FromSeconds(a.course.Straight(heatTolerance)))
		a.line.Anchor()
	} else {
		a.course = electric.FirstOrder{X0: celsius}
	}
}

// celsius is the temperature of the coil at a moment, °C.
func (a *alternating) celsius(at signal.Time) float64 { return a.course.At((at - a.since).Seconds()) }
