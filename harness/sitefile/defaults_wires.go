package sitefile

// What stands for a value of wires, probes and waves that a site file leaves out.
const (
	DefaultShunt   = 150   // Ω, for 20 mA into a converter of 3.3 V
	DefaultNeeds   = 8.0   // V, of a two-wire transmitter (common practice, no source)
	DefaultSoil    = 20.0  // °C, at which probes are calibrated (common practice, no source)
	DefaultDamping = 0.01  // of the sloshing in a tank, share of the critical (common practice, no source)
	DefaultMains   = 230.0 // V, rms
	// Hz: a grid is never quite at 50; at 50 whoever samples once a second would see one phase for ever
	DefaultHum = 49.98
)

// fillWires gives contacts, probes and the water at contacts what their entries leave out.
func (s *Site) fillWires() {
	for i := range s.Tanks {
		if w := s.Tanks[i].Slosh; w != nil {
			w.Damping.Value = w.Damping.Or(DefaultDamping)
		}
	}
	for i := range s.Contacts {
		if s.Contacts[i].Kind == "" {
			s.Contacts[i].Kind = Mechanical
		}
	}
	for i := range s.Probes {
		p := &s.Probes[i]
		p.Shunt.Value = p.Shunt.Or(DefaultShunt)
		p.Needs.Value = p.Needs.Or(DefaultNeeds)
		p.Temperature.Value = p.Temperature.Or(DefaultSoil)
		if p.Curve == "" {
			p.Curve = LinearCurve
		}
		if p.Output == "" {
			p.Output = VoltsOutput
		}
		if m := p.BesideMains; m != nil {
			m.Volts.Value = m.Volts.Or(DefaultMains)
			m.Frequency.Value = m.Frequency.Or(DefaultHum)
		}
	}
}
