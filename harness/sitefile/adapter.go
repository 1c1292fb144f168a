package sitefile

import q "ullage/harness/quantity"

// The adapter that is assumed where a site file says nothing else (common practice, no source). Adapters limit their
// current somewhere between 110 % and 150 % of their label; small transformers lose 10 % to 20 % of their voltage at
// their rated current.
const (
	DefaultRated            = 1.0  // A, of an adapter for direct current
	DefaultTransformerRated = 0.8  // A: 20 VA at 24 V
	DefaultDraws            = 0.1  // A, of the controller with its radio
	AdapterLimit            = 1.1  // of the rated current, beyond which the voltage of an adapter falls
	TransformerRegulation   = 0.12 // of the voltage, lost at the rated current
)

// Alternating reports whether the supply is one of alternating current: whether a coil is made for it.
func (s *Site) Alternating() bool {
	for i := range s.Valves {
		if s.Valves[i].Current == "ac" {
			return true
		}
	}
	return false
}

// fillPower gives the supply what the file leaves out of it.
func (s *Site) fillPower() {
	if s.Power == nil {
		s.Power = new(Power)
	}
	p := s.Power
	rated, ohms := 0.0, 0.0 // a regulated adapter holds its voltage
	if !p.InternalResistance.IsSet() && p.Battery == nil {
		rated = DefaultRated
		if s.Alternating() {
			rated = DefaultTransformerRated
		}
	}
	p.Rated.Value = p.Rated.Or(rated)
	if p.Rated.SI > 0 && s.Alternating() {
		ohms = TransformerRegulation * s.Controller.Supply.SI / p.Rated.SI
	}
	p.InternalResistance.Value = p.InternalResistance.Or(ohms)
	p.ControllerDraws.Value = p.ControllerDraws.Or(DefaultDraws)
	if p.Battery != nil {
		p.Battery.Starts.Value = p.Battery.Starts.Or(1)
	}
}

// Assumed names what the site file leaves out of supply, coils and drip lines and what stands for it, each with the key that
// replaces it; nothing where the file says it all. Fill in the defaults before.
func (s *Site) Assumed() (list []string) {
	p := s.Power
	if p.Rated.SI > 0 && !p.Rated.IsSet() {
		volts, rated := format(s.Controller.Supply.SI, q.Voltage), format(p.Rated.SI, q.Current)
		if s.Alternating() {
			list = append(list, "a transformer of "+volts+" AC, "+rated+" (power: rated)")
		} else {
			list = append(list, "an adapter of "+volts+", "+rated+", which gives at most "+
				format(AdapterLimit*p.Rated.SI, q.Current)+" (power: rated)")
		}
	}
	if !p.ControllerDraws.IsSet() {
		list = append(list, "a controller that draws "+format(p.ControllerDraws.SI, q.Current)+
			" (power: controller-draws)")
	}
	for i := range s.Laterals {
		if l := &s.Laterals[i]; l.Onto != "" && !l.Wets.IsSet() {
			list = append(list, l.Name+" that wet "+format(l.Wets.SI, q.Fraction)+" of "+l.Onto+
				", by their spacing and the soil (wets)")
		}
	}
	for i := range s.Valves {
		v := &s.Valves[i]
		if v.Current == "ac" && !(v.Inrush.IsSet() && v.Holding.IsSet()) {
			list = append(list, "a coil of "+v.Name+" that takes "+format(v.Inrush.SI, q.Current)+" at inrush and "+
				format(v.Holding.SI, q.Current)+" held (inrush, holding)")
		}
		if volts := s.Controller.Supply.SI; v.Current == "dc" && v.Drive == SpringReturn &&
			volts >= usuallyAlternating && volts/v.Coil.SI > DefaultInrush/volts {
			list = append(list, "a coil of "+v.Name+" for direct current, "+format(volts/v.Coil.SI, q.Current)+
				" (current: dc, or ac)")
		}
	}
	return list
}

// usuallyAlternating is the supply in V from which on valves usually have coils for alternating current (common
// practice, no source).
const usuallyAlternating = 20.0
