package sitefile

import q "ullage/harness/quantity"

// What stands for a value that a site file leaves out.
const (
	DefaultRoughness = 0.007e-3       // m, smooth plastic pipe (common practice, no source)
	DefaultExponent  = 0.5            // of outlets and emitters: the orifice
	DefaultSource    = 1e3            // Ω, output of a probe (common practice, no source)
	DefaultJoins     = 2.0            // s, to join the access point and open a session (common practice, no source)
	DefaultLossSeen  = 6.0            // s, until a dead access point is noticed (common practice, no source)
	DefaultRoundTrip = 0.080          // s, to the cloud and back (common practice, no source)
	DefaultClock     = "Monday 00:00" // when a run begins
)

// FillDefaults gives every value that the file left out the one that stands for it, and every part without a height the
// height of its inlet. A quantity that is filled in has its SI value and still says that it is not set, so that filling
// again after a change follows the change. Read does it; call it after changing a site.
func (s *Site) FillDefaults() {
	for i := range s.Pipes {
		s.Pipes[i].Roughness.Value = s.Pipes[i].Roughness.Or(DefaultRoughness)
	}
	for i := range s.Valves {
		if s.Valves[i].Characteristic == "" {
			s.Valves[i].Characteristic = LinearCharacteristic
		}
		s.Valves[i].Actuator.fill()
	}
	for i := range s.Outlets {
		o := &s.Outlets[i]
		if o.Count == 0 {
			o.Count = 1
		}
		if o.Exponent == 0 {
			o.Exponent = DefaultExponent
		}
	}
	for i := range s.Laterals {
		if s.Laterals[i].Exponent == 0 {
			s.Laterals[i].Exponent = DefaultExponent
		}
	}
	for i := range s.Probes {
		s.Probes[i].Source.Value = s.Probes[i].Source.Or(DefaultSource)
	}
	s.WiFi.Joins.Value = s.WiFi.Joins.Or(DefaultJoins)
	s.WiFi.LossSeen.Value = s.WiFi.LossSeen.Or(DefaultLossSeen)
	s.WiFi.RoundTrip.Value = s.WiFi.RoundTrip.Or(DefaultRoundTrip)
	if s.Power != nil && s.Power.Battery != nil {
		s.Power.Battery.Starts.Value = s.Power.Battery.Starts.Or(1)
	}
	if s.Controller.Drivers != nil {
		s.Controller.Drivers.FillDefaults()
	}
	if s.Controller.Settings.Clock == "" {
		s.Controller.Settings.Clock = DefaultClock
	}
	s.inheritHeights()
}

// inheritHeights gives every part without a height of its own the height of what feeds it. Parts that feed each other in
// a circle stay at the datum.
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
