package sitefile

import q "ullage/harness/quantity"

// Outlet is a number of equal openings at one place: nozzles, emitters, an open pipe end. Their flow is given at a
// pressure and follows pressure^Exponent; or Bore gives an open end. Water goes onto a bed, into a tank through an air
// gap, into a tank below its water (which can be drawn back from there), or away.
type Outlet struct {
	Name  string `yaml:"name"` // name of the outlet
	Place `yaml:",inline"`
	// number of openings; default 1
	Count int `yaml:"count,omitempty" range:"1 to 100000"`
	// of one opening, at the pressure "at"
	Flow q.FlowValue `yaml:"flow,omitempty" range:"0.001 L/h to 10000 L/min"`
	// pressure at which the flow is given
	At q.PressureValue `yaml:"at,omitempty" range:"0.01 bar to 25 bar"`
	// flow follows pressure to this power; default 0.5, of compensating openings 0.05
	Exponent float64 `yaml:"exponent,omitempty" range:"0.04 to 1"`
	// range in which the flow hardly depends on the pressure; none when not given
	Compensates Compensation `yaml:"compensates,omitempty"`
	// least pressure at which it waters as it should; none when not given
	WorksAbove q.PressureValue `yaml:"works-above,omitempty" range:"0 bar to 25 bar"`
	// its own check valve holds this much back, so that nothing drips; default 0 bar
	ShutsBelow q.PressureValue `yaml:"shuts-below,omitempty" range:"0 bar to 5 bar"`
	// onto a bed: share of its area that the water falls on; default 100 %
	Wets q.FractionValue `yaml:"wets,omitempty" range:"1 % to 100 %"`
	// inner diameter of an open pipe end, in the place of flow and at
	Bore q.LengthValue `yaml:"bore,omitempty" range:"0.1 mm to 2 m"`
	Onto string        `yaml:"onto,omitempty"` // a bed
	Into string        `yaml:"into,omitempty"` // a tank
	// height over the tank's rim; required with into unless dips is given
	AirGap q.LengthValue `yaml:"air-gap,omitempty" range:"1 mm to 5 m"`
	// level of the openings above the tank's floor, in the place of an air gap: water above them can be drawn back
	Dips q.LengthValue `yaml:"dips,omitempty" range:"1 mm to 20 m"`
}

// Lateral is a number of equal drip lines side by side, each with emitters at equal spacing.
type Lateral struct {
	Name     string `yaml:"name"` // name of the drip lines
	Place    `yaml:",inline"`
	Lines    int           `yaml:"lines" range:"1 to 10000"`       // lines side by side
	Emitters int           `yaml:"emitters" range:"1 to 10000"`    // emitters on each line
	Spacing  q.LengthValue `yaml:"spacing" range:"10 mm to 100 m"` // from emitter to emitter
	Bore     q.LengthValue `yaml:"bore" range:"2 mm to 1 m"`       // inner diameter of a line
	// of one emitter, at the pressure "at"
	Flow q.FlowValue `yaml:"flow" range:"0.001 L/h to 1000 L/min"`
	// pressure at which the flow is given
	At q.PressureValue `yaml:"at" range:"0.01 bar to 25 bar"`
	// flow follows pressure to this power; default 0.5, of compensating emitters 0.05
	Exponent float64 `yaml:"exponent,omitempty" range:"0.04 to 1"`
	// range in which the flow hardly depends on the pressure; none when not given
	Compensates Compensation `yaml:"compensates,omitempty"`
	// the emitters' own check valves hold this much back, so that nothing drips; default 0 bar
	ShutsBelow q.PressureValue `yaml:"shuts-below,omitempty" range:"0 bar to 5 bar"`
	Onto       string          `yaml:"onto,omitempty"` // a bed
	// share of the bed that the water falls on; default by the spacing, and by how far the water of an hour spreads in
	// the soil
	Wets q.FractionValue `yaml:"wets,omitempty" range:"1 % to 100 %"`
}

// Compensation is the range of pressure in which a compensating emitter gives nearly the same flow. Below it the
// emitter is an orifice.
type Compensation struct {
	From q.PressureValue `yaml:"from" range:"0.05 bar to 10 bar"` // pressure at which it begins to compensate
	To   q.PressureValue `yaml:"to" range:"0.1 bar to 25 bar"`    // greatest pressure that it is made for
}
