package sitefile

import q "ullage/harness/quantity"

// Outlet is a number of equal openings at one place: nozzles, emitters, an open pipe end. Their flow is given at a
// pressure and follows pressure^Exponent; or Bore gives an open end. Water goes onto a bed, into a tank through an air
// gap, into a tank below its water (which can be drawn back from there), or away.
type Outlet struct {
	Name        string `yaml:"name"` // name of the outlet
	Place       `yaml:",inline"`
	Count       int             `yaml:"count,omitempty" range:"1 to 100000"`             // number of openings; default 1
	Flow        q.FlowValue     `yaml:"flow,omitempty" range:"0.001 L/h to 10000 L/min"` // of one opening, at the pressure "at"
	At          q.PressureValue `yaml:"at,omitempty" range:"0.01 bar to 25 bar"`         // pressure at which the flow is given
	Exponent    float64         `yaml:"exponent,omitempty" range:"0.04 to 1"`            // flow follows pressure to this power; default 0.5, of compensating openings 0.05
	Compensates Compensation    `yaml:"compensates,omitempty"`                           // range in which the flow hardly depends on the pressure; none when not given
	WorksAbove  q.PressureValue `yaml:"works-above,omitempty" range:"0 bar to 25 bar"`   // least pressure at which it waters as it should; none when not given
	ShutsBelow  q.PressureValue `yaml:"shuts-below,omitempty" range:"0 bar to 5 bar"`    // its own check valve holds this much back, so that nothing drips; default 0 bar
	Bore        q.LengthValue   `yaml:"bore,omitempty" range:"0.1 mm to 2 m"`            // inner diameter of an open pipe end, in the place of flow and at
	Onto        string          `yaml:"onto,omitempty"`                                  // a bed
	Into        string          `yaml:"into,omitempty"`                                  // a tank
	AirGap      q.LengthValue   `yaml:"air-gap,omitempty" range:"1 mm to 5 m"`           // height over the tank's rim; required with into unless dips is given
	Dips        q.LengthValue   `yaml:"dips,omitempty" range:"1 mm to 20 m"`             // level of the openings above the tank's floor, in the place of an air gap: water above them can be drawn back
}

// Lateral is a number of equal drip lines side by side, each with emitters at equal spacing.
type Lateral struct {
	Name        string `yaml:"name"` // name of the drip lines
	Place       `yaml:",inline"`
	Lines       int             `yaml:"lines" range:"1 to 10000"`                     // lines side by side
	Emitters    int             `yaml:"emitters" range:"1 to 10000"`                  // emitters on each line
	Spacing     q.LengthValue   `yaml:"spacing" range:"10 mm to 100 m"`               // from emitter to emitter
	Bore        q.LengthValue   `yaml:"bore" range:"2 mm to 1 m"`                     // inner diameter of a line
	Flow        q.FlowValue     `yaml:"flow" range:"0.001 L/h to 1000 L/min"`         // of one emitter, at the pressure "at"
	At          q.PressureValue `yaml:"at" range:"0.01 bar to 25 bar"`                // pressure at which the flow is given
	Exponent    float64         `yaml:"exponent,omitempty" range:"0.04 to 1"`         // flow follows pressure to this power; default 0.5, of compensating emitters 0.05
	Compensates Compensation    `yaml:"compensates,omitempty"`                        // range in which the flow hardly depends on the pressure; none when not given
	ShutsBelow  q.PressureValue `yaml:"shuts-below,omitempty" range:"0 bar to 5 bar"` // the emitters' own check valves hold this much back, so that nothing drips; default 0 bar
	Onto        string          `yaml:"onto,omitempty"`                               // a bed
}

// Compensation is the range of pressure in which a compensating emitter gives nearly the same flow. Below it the emitter is
// an orifice.
type Compensation struct {
	From q.PressureValue `yaml:"from" range:"0.05 bar to 10 bar"` // pressure at which it begins to compensate
	To   q.PressureValue `yaml:"to" range:"0.1 bar to 25 bar"`    // greatest pressure that it is made for
}
