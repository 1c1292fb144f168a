package sitefile

import (
	"math"

	q "ullage/harness/quantity"
)

// Bed is planted soil, watered evenly over its area, or over the share of it that drip wets.
type Bed struct {
	Name  string        `yaml:"name"`                           // name of the bed
	Area  q.AreaValue   `yaml:"area" range:"0.01 m2 to 100 ha"` // planted area
	Depth q.LengthValue `yaml:"depth" range:"20 mm to 5 m"`     // of the soil, from its surface to its base
	// depth to which roots reach; default the depth of the soil
	Roots q.LengthValue `yaml:"roots,omitempty" range:"10 mm to 5 m"`

	// class of the soil, or peat or coir mix; in its place, soil
	Texture string `yaml:"texture,omitempty" enum:"sand,loamy sand,sandy loam,loam,silt,silt loam,sandy clay loam,clay loam,silty clay loam,sandy clay,silty clay,clay,peat,coir"`

	// the soil by its own figures, in the place of texture
	Soil *Soil `yaml:"soil,omitempty"`
	// seepage: water leaves where the lowest soil is saturated (gravel, fleece, a trough with holes); free-drainage:
	// the soil goes on below; default seepage
	Base string `yaml:"base,omitempty" enum:"seepage,free-drainage"`
	// depth of water that stands on the soil before it runs off; default 5 mm
	Ponds q.LengthValue `yaml:"ponds,omitempty" range:"0 mm to 500 mm"`
	// mean water content by volume of the root zone at the beginning of a run, when the water has settled
	Starts q.FractionValue `yaml:"starts" range:"0 % to 99 %"`
	// of a well-watered bed, mean of a day; it follows the sun from 6 to 18 o'clock
	Evapotranspiration q.DepthValue `yaml:"evapotranspiration,omitempty" range:"0 mm/day to 50 mm/day"`
	// the day's weather, in the place of evapotranspiration
	Weather *Weather `yaml:"weather,omitempty"`
	// share of the ground that plants shade: so much of the evapotranspiration is taken up by roots, the rest leaves
	// from the surface; default 80 %
	Cover q.FractionValue `yaml:"cover,omitempty" range:"0 % to 100 %"`
}

// Soil is a soil by its own figures: the curve of van Genuchten with the conductivity of Mualem.
type Soil struct {
	// water content by volume that never leaves
	Residual q.FractionValue `yaml:"residual" range:"0 % to 60 %"`
	// water content by volume with every pore full
	Saturation q.FractionValue `yaml:"saturation" range:"5 % to 99 %"`
	// suction around which the large pores empty, 1/alpha; at least 20 mm where n is below 1.2, at most 1 m where it is
	// above 3
	AirEntry q.LengthValue `yaml:"air-entry" range:"5 mm to 10 m"`
	// van Genuchten's n: the larger, the more alike the pores; 1.09 is that of clay
	N float64 `yaml:"n" range:"1.09 to 10"`
	// rate at which water soaks through the saturated soil
	Conductivity q.DepthValue `yaml:"conductivity" range:"0.01 mm/h to 20000 mm/h"`
}

// Weather is the weather of a day, from which the evapotranspiration follows. Each day of a run is like it.
type Weather struct {
	DayOfYear int     `yaml:"day-of-year" range:"1 to 366"` // 1 is 1 January
	Latitude  float64 `yaml:"latitude" range:"-90 to 90"`   // degrees, north positive
	// above the sea; default 0 m
	Altitude q.LengthValue `yaml:"altitude,omitempty" range:"-400 m to 6000 m"`
	// highest temperature of the day
	Warmest q.TemperatureValue `yaml:"warmest" range:"-40 C to 60 C"`
	// lowest temperature of the day
	Coldest q.TemperatureValue `yaml:"coldest" range:"-40 C to 60 C"`
	// in its place, humidity; default the lowest temperature
	DewPoint q.TemperatureValue `yaml:"dew-point,omitempty" range:"-60 C to 40 C"`
	// mean relative humidity of the day, in the place of dew-point
	Humidity q.FractionValue `yaml:"humidity,omitempty" range:"0 % to 100 %"`
	// mean speed; default 2 m/s
	Wind q.VelocityValue `yaml:"wind,omitempty" range:"0 m/s to 50 m/s"`
	// height above the ground at which wind was measured; default 2 m
	WindAt q.LengthValue `yaml:"wind-at,omitempty" range:"500 mm to 100 m"`
	// hours of sunshine; in its place, radiation; default from the temperatures
	Sunshine q.DurationValue `yaml:"sunshine,omitempty" range:"0 h to 24 h"`
	// by which the plants' evapotranspiration differs from that of short grass; default 1
	CropCoefficient float64 `yaml:"crop-coefficient,omitempty" range:"0.05 to 2"`
	// MJ/m² of the Sun on that day, in the place of sunshine
	Radiation float64 `yaml:"radiation,omitempty" range:"0.1 to 50"`
}

// What soils by their own figures are held to, so that they are soils. Pores of every size (a small n) come with clay,
// which takes no air at a small suction; pores much alike (a large n) come with sand, which does not hold water like a
// ceramic plate.
const (
	clayBelow    = 1.2  // n
	clayAirEntry = 0.02 // m, at least
	sandAbove    = 3.0  // n
	sandAirEntry = 1.0  // m, at most
)

// hour is that of a conductivity in cm/h or mm/h.
const hour = 3600.0

// texture is one class of soil with its figures in trade units: water contents by volume, alpha in 1/cm, n,
// conductivity in cm a day.
type texture struct{ residual, saturation, alpha, n, conductivity float64 }

// textures are those of Carsel and Parrish 1988, Water Resources Research 24(5), 755-769: means of the classes, the
// conductivity as later soil catalogues carry it (verified in public code). The mixes for pots and troughs stand for
// what is sold by these names (common practice, no source): nine tenths pores, of which a quarter to a third of the
// volume empties between 0.1 and 0.5 m of suction, and water runs through within minutes.
var textures = map[string]texture{
	"sand":            {0.045, 0.43, 0.145, 2.68, 712.8},
	"loamy sand":      {0.057, 0.41, 0.124, 2.28, 350.2},
	"sandy loam":      {0.065, 0.41, 0.075, 1.89, 106.1},
	"loam":            {0.078, 0.43, 0.036, 1.56, 24.96},
	"silt":            {0.034, 0.46, 0.016, 1.37, 6.00},
	"silt loam":       {0.067, 0.45, 0.020, 1.41, 10.80},
	"sandy clay loam": {0.100, 0.39, 0.059, 1.48, 31.44},
	"clay loam":       {0.095, 0.41, 0.019, 1.31, 6.24},
	"silty clay loam": {0.089, 0.43, 0.010, 1.23, 1.68},
	"sandy clay":      {0.100, 0.38, 0.027, 1.23, 2.88},
	"silty clay":      {0.070, 0.36, 0.005, 1.09, 0.48},
	"clay":            {0.068, 0.38, 0.008, 1.09, 4.80},
	"peat":            {0.10, 0.88, 0.050, 1.60, 720},
	"coir":            {0.12, 0.92, 0.070, 1.55, 1440},
}

// Ground is the soil of the bed in SI units: its own figures, or those of its texture. Without either it is nothing.
func (b Bed) Ground() Soil {
	if b.Soil != nil {
		return *b.Soil
	}
	t := textures[b.Texture]
	var s Soil
	if t.n == 0 {
		return s
	}
	s.Residual.SI, s.Saturation.SI, s.N = t.residual, t.saturation, t.n
	s.AirEntry.SI, s.Conductivity.SI = 0.01/t.alpha, t.conductivity*0.01/(24*hour)
	return s
}

// fillSoil gives beds and probes what their entries leave out.
func (s *Site) fillSoil() {
	for i := range s.Beds {
		b := &s.Beds[i]
		b.Roots.Value = b.Roots.Or(b.Depth.SI)
		b.Ponds.Value = b.Ponds.Or(DefaultPonds)
		b.Cover.Value = b.Cover.Or(DefaultCover)
		if b.Base == "" {
			b.Base = SeepageBase
		}
		if w := b.Weather; w != nil {
			if w.CropCoefficient == 0 {
				w.CropCoefficient = 1
			}
			w.Wind.Value = w.Wind.Or(DefaultWind)
			w.WindAt.Value = w.WindAt.Or(DefaultWindAt)
		}
	}
	for i := range s.Probes {
		p := &s.Probes[i]
		for _, b := range s.Beds {
			if b.Name == p.In {
				p.Depth.Value = p.Depth.Or(math.Min(b.Roots.SI, b.Depth.SI) / 2)
			}
		}
		if p.Stands == "" {
			p.Stands = "wetted"
		}
		p.Wetting.Value = p.Wetting.Or(1)
	}
	s.fillWetted()
}

// How water leaves a bed at its base.
const (
	SeepageBase  = "seepage"
	FreeDrainage = "free-drainage"
)
