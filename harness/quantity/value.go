package quantity

import (
	"fmt"
	"math"
	"strconv"
)

// Value is a number in the SI unit of its dimension, with the tolerance it was given.
type Value struct {
	SI        float64 // in Unit(dimension)
	Tolerance float64 // half the width of the band around SI, in the same unit; 0 when none was written
}

// Low is the bottom of the tolerance band.
func (v Value) Low() float64 { return v.SI - v.Tolerance }

// High is the top of the tolerance band.
func (v Value) High() float64 { return v.SI + v.Tolerance }

// Write prints a finite value in full, tolerance included: Parse reads it back to the same value within a part in 1e12.
// It is as short as Format where that is exact.
func Write(v Value, dim Dimension) string {
	if v.Tolerance == 0 {
		return full(v.SI, dim)
	}
	return full(v.SI, dim) + " ± " + full(v.Tolerance, dim)
}

func full(si float64, dim Dimension) string {
	short := Format(si, dim)
	if back, err := Parse(short, dim); err == nil && math.Abs(back.SI-si) <= 1e-14*math.Abs(si) {
		return short
	}
	u, n := scaled(si, dim, Metric, unit.fromSI)
	if math.IsInf(n, 0) {
		u, n = unit{symbol: Unit(dim)}, si
	}
	return beside(strconv.FormatFloat(n, 'g', 15, 64), u.symbol)
}

// Of is a Value of one dimension, for the fields of a file: it reads and writes itself as text and knows whether it was
// written at all. The zero Of is unset. It is a plain value, safe to copy.
type Of[K kind] struct {
	Value
	set bool
}

// The quantities that a file can hold. They carry the suffix because the bare words name the dimensions.
type (
	PressureValue    = Of[pressureKind]
	FlowValue        = Of[flowKind]
	LengthValue      = Of[lengthKind]
	AreaValue        = Of[areaKind]
	VolumeValue      = Of[volumeKind]
	DurationValue    = Of[durationKind]
	VoltageValue     = Of[voltageKind]
	CurrentValue     = Of[currentKind]
	ResistanceValue  = Of[resistanceKind]
	TemperatureValue = Of[temperatureKind]
	FractionValue    = Of[fractionKind]
	VelocityValue    = Of[velocityKind]
	DepthValue       = Of[depthKind]
	CapacityValue    = Of[capacityKind]
	FrequencyValue   = Of[frequencyKind]
	ChargeValue      = Of[chargeKind]
	CapacitanceValue = Of[capacitanceKind]
)

// kind ties a type parameter to its dimension.
type kind interface{ dimension() Dimension }

type (
	pressureKind    struct{}
	flowKind        struct{}
	lengthKind      struct{}
	areaKind        struct{}
	volumeKind      struct{}
	durationKind    struct{}
	voltageKind     struct{}
	currentKind     struct{}
	resistanceKind  struct{}
	temperatureKind struct{}
	fractionKind    struct{}
	velocityKind    struct{}
	depthKind       struct{}
	capacityKind    struct{}
	frequencyKind   struct{}
	chargeKind      struct{}
	capacitanceKind struct{}
)

func (pressureKind) dimension() Dimension    { return Pressure }
func (flowKind) dimension() Dimension        { return Flow }
func (lengthKind) dimension() Dimension      { return Length }
func (areaKind) dimension() Dimension        { return Area }
func (volumeKind) dimension() Dimension      { return Volume }
func (durationKind) dimension() Dimension    { return Duration }
func (voltageKind) dimension() Dimension     { return Voltage }
func (currentKind) dimension() Dimension     { return Current }
func (resistanceKind) dimension() Dimension  { return Resistance }
func (temperatureKind) dimension() Dimension { return Temperature }
func (fractionKind) dimension() Dimension    { return Fraction }
func (velocityKind) dimension() Dimension    { return Velocity }
func (depthKind) dimension() Dimension       { return Depth }
func (capacityKind) dimension() Dimension    { return Capacity }
func (frequencyKind) dimension() Dimension   { return Frequency }
func (chargeKind) dimension() Dimension      { return Charge }
func (capacitanceKind) dimension() Dimension { return Capacitance }

// With is the quantity of that SI value and tolerance, set: PressureValue{}.With(2.4e5, 0).
func (Of[K]) With(si, tolerance float64) Of[K] {
	return Of[K]{Value: Value{SI: si, Tolerance: tolerance}, set: true}
}

// Dimension says what the quantity measures, also when it is unset.
func (Of[K]) Dimension() Dimension {
	var k K
	return k.dimension()
}

// IsSet tells a quantity that was written, even as zero, from one that was left out.
func (q Of[K]) IsSet() bool { return q.set }

// IsZero tells encoders that the quantity was left out.
func (q Of[K]) IsZero() bool { return !q.set }

// Or is the value as written, or exactly si when it was left out.
func (q Of[K]) Or(si float64) Value {
	if q.set {
		return q.Value
	}
	return Value{SI: si}
}

// String is the quantity as MarshalText writes it.
func (q Of[K]) String() string {
	if !q.set {
		return ""
	}
	return Write(q.Value, q.Dimension())
}

// MarshalText writes what UnmarshalText reads back to the same value within a part in 1e12; nothing when unset. A value
// that is not finite cannot be written.
func (q Of[K]) MarshalText() ([]byte, error) {
	if finite(q.SI) != nil || finite(q.Tolerance) != nil {
		return nil, fmt.Errorf("a %s of %v ± %v %s cannot be written: it is not finite", Name(q.Dimension()), q.SI,
			q.Tolerance, Unit(q.Dimension()))
	}
	return []byte(q.String()), nil
}

// UnmarshalText reads a quantity as Parse does. On an error the quantity stays as it was.
func (q *Of[K]) UnmarshalText(text []byte) error {
	v, err := Parse(string(text), q.Dimension())
	if err != nil {
		return err
	}
	*q = Of[K]{Value: v, set: true}
	return nil
}
