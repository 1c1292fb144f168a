package sitefile

import (
	"math"

	q "ullage/harness/quantity"
)

// What stands for a value that a site file leaves out.
const (
	DefaultRoughness   = 0.007e-3       // m, smooth plastic pipe (common practice, no source)
	DefaultExponent    = 0.5            // of outlets and emitters: the orifice
	DefaultDebounce    = 0.5            // s, of contacts where no fill rule gives one: common practice, no source
	DefaultSource      = 1e3            // Ω, output of a probe (common practice, no source)
	DefaultJoins       = 2.0            // s, to join the access point and open a session (common practice, no source)
	DefaultLossSeen    = 6.0            // s, until a dead access point is noticed (common practice, no source)
	DefaultRoundTrip   = 0.080          // s, to the cloud and back (common practice, no source)
	DefaultPonds       = 5e-3           // m, of water on the soil before it runs off (common practice, no source)
	DefaultCover       = 0.8            // of the ground in the shade of plants (common practice, no source)
	DefaultWind        = 2.0            // m/s, mean of many places (FAO-56)
	DefaultWindAt      = 2.0            // m, standard height (FAO-56)
	DefaultClock       = "Monday 00:00" // when a run begins
	DefaultCompensated = 0.05           // exponent of compensating openings in their range (common practice, no source)
	DefaultRunoff      = 0.9            // of rain on a roof (common practice, no source)
	DefaultLockUp      = 1.2            // of what a regulator sets: its pressure at rest (common practice, no source)
	DefaultCategory    = 5              // fluid category of the water in an open tank (common practice, no source)
	// °C, of the water (common practice, no source)
	DefaultWaterTemperature = 20.0
	// of the cut-in pressure: the air of a pressure vessel (common practice, no source)
	DefaultCharge = 0.9
	// m above its dry level at which a pump has water again (common practice, no source)
	DefaultFloods = 0.010
)

// FillDefaults gives every value that the file left out the one that stands for it, and every part without a height the
// height of its inlet. A quantity that is filled in has its SI value and still says that it is not set, so that filling
// again after a change follows the change. Read does it; call it after changing a site.
func (s *Site) FillDefaults() {
	s.WaterTemperature.Value = s.WaterTemperature.Or(DefaultWaterTemperature)
	for i := range s.Pipes {
		s.Pipes[i].Roughness.Value = s.Pipes[i].Roughness.Or(DefaultRoughness)
	}
	for i := range s.Valves {
		if s.Valves[i].Characteristic == "" {
			s.Valves[i].Characteristic = LinearCharacteristic
		}
		s.Valves[i].Operation.fillDefaults()
		s.Valves[i].Actuator.fill(s.Valves[i].Coil.SI, s.Controller.Supply.SI)
	}
	for i := range s.Meters {
		m := &s.Meters[i]
		m.StartsAt.Value = m.StartsAt.Or(startsAt(m.Capacity.SI))
	}
	for i := range s.Regulators {
		r := &s.Regulators[i]
		r.LocksUpAt.Value = r.LocksUpAt.Or(DefaultLockUp * r.Sets.SI)
	}
	for i := range s.Outlets {
		o := &s.Outlets[i]
		if o.Count == 0 {
			o.Count = 1
		}
		o.Exponent = usualExponent(o.Exponent, o.Compensates)
	}
	for i := range s.Laterals {
		l := &s.Laterals[i]
		l.Exponent = usualExponent(l.Exponent, l.Compensates)
	}
	for i := range s.BackflowPreventers {
		p := &s.BackflowPreventers[i]
		p.OpensAt.Value = p.OpensAt.Or(opensAt[p.Type])
	}
	for i := range s.Tanks {
		t := &s.Tanks[i]
		t.Runoff.Value = t.Runoff.Or(DefaultRunoff)
		if pipe := &t.Standpipe; pipe.Crest.IsSet() {
			falls := pipe.Crest.SI
			if pipe.Run.IsSet() {
				falls = min(falls, pipe.Run.SI)
			}
			pipe.Fall.Value = pipe.Fall.Or(falls)
		}
		if t.Category == 0 {
			t.Category = DefaultCategory
		}
	}
	for i := range s.Pumps {
		p := &s.Pumps[i]
		if p.Priming == "" {
			p.Priming = FloodedSuction
		}
		p.PressureSwitch.Charge.Value = p.PressureSwitch.Charge.Or(DefaultCharge * p.PressureSwitch.CutIn.SI)
		p.PressureSwitch.Air.Value = p.PressureSwitch.Air.Or(1)
		p.FloodsAbove.Value = p.FloodsAbove.Or(p.DryBelow.SI + DefaultFloods)
	}
	for i := range s.Probes {
		s.Probes[i].Source.Value = s.Probes[i].Source.Or(DefaultSource)
	}
	s.fillSoil()
	s.fillWires()
	s.WiFi.Joins.Value = s.WiFi.Joins.Or(DefaultJoins)
	s.WiFi.LossSeen.Value = s.WiFi.LossSeen.Or(DefaultLossSeen)
	s.WiFi.RoundTrip.Value = s.WiFi.RoundTrip.Or(DefaultRoundTrip)
	s.fillPower()
	if s.Controller.Drivers != nil {
		s.Controller.Drivers.FillDefaults()
	}
	s.Controller.Reacts.FillDefaults(s.Controller.Settings.Fill)
	if s.Controller.Settings.Clock == "" {
		s.Controller.Settings.Clock = DefaultClock
	}
	s.inheritHeights()
}

// opensAt is the pressure in Pa that the springs of a backflow preventer take at any flow, by its type. A BA holds its
// relief valve shut with the difference before its first check valve, of which it needs 0.14 bar at the least (EN
// 12729, from memory), and loses more than half a bar as made; the rest is common practice without a source.
var opensAt = map[string]float64{"EA": 0.03e5, "EB": 0.03e5, "EC": 0.06e5, "CA": 0.3e5, "GA": 0.3e5, "BA": 0.55e5,
	"DC": 0.02e5}

// startsAt is the flow in m³/s with which the impeller of a meter begins to turn, by its capacity Kv in m³/h. At its
// permanent flow Q3 a meter may lose 0.63 bar (ISO 4064, from memory), which makes Q3 of the capacity; one of DN 15 has a
// Q3 of 2.5 m³/h and counts right from Q1 = Q3/100 on, and makers' sheets let it start at some 10 L/h, Q3/250 (from
// memory; Q3 and Q1 of that size verified on a maker's page).
func startsAt(capacity float64) float64 {
	const lossAtQ3, share, hour = 0.63, 1.0 / 250, 3600 // bar
	return float64(capacity*math.Sqrt(lossAtQ3)) * share / hour
}

// usualExponent is the exponent of an opening where the file gives none.
func usualExponent(given float64, c Compensation) float64 {
	switch {
	case given != 0:
		return given
	case c.From.IsSet():
		return DefaultCompensated
	}
	return DefaultExponent
}

// inheritHeights gives every part without a height of its own the height of what feeds it. Parts that feed each other
// in a circle stay at the datum.
func (s *Site) inheritHeights() {
	parts := s.parts()
	for i := range parts {
		p := &parts[i]
		if p.place == nil || p.height.IsSet() {
			continue
		}
		from := p.inlet
		for range parts {
			if from == nil || from.place == nil || from.height.IsSet() {
				break
			}
			from = from.inlet
		}
		p.height.Value = q.Value{}
		if from != nil {
			p.height.SI = from.height.SI
		}
	}
}
