package sitefile

import q "ullage/harness/quantity"

// Bed is planted soil, as one root zone: what it holds between wilting point, field capacity and saturation.
type Bed struct {
	Name               string          `yaml:"name"`                                             // name of the bed
	Area               q.AreaValue     `yaml:"area" range:"0.01 m2 to 100 ha"`                   // planted area
	Depth              q.LengthValue   `yaml:"depth" range:"10 mm to 5 m"`                       // of the root zone
	Saturation         q.FractionValue `yaml:"saturation" range:"1 % to 99 %"`                   // water content by volume with every pore full
	FieldCapacity      q.FractionValue `yaml:"field-capacity" range:"1 % to 99 %"`               // water content by volume that drainage leaves
	WiltingPoint       q.FractionValue `yaml:"wilting-point" range:"0 % to 99 %"`                // water content by volume that plants cannot take up
	Starts             q.FractionValue `yaml:"starts" range:"0 % to 99 %"`                       // water content by volume at the beginning of a run
	Evapotranspiration q.DepthValue    `yaml:"evapotranspiration" range:"0 mm/day to 50 mm/day"` // of a well-watered bed, daily mean
	Drains             q.DurationValue `yaml:"drains" range:"1 min to 100 d"`                    // time constant of drainage above field capacity
}
