package sitefile

import q "ullage/harness/quantity"

// power demands that supply, coils and outputs fit together.
func (c *checker) power() {
	k := &c.site.Controller
	p := c.site.Power
	if c.known(&p.Capacitor) && !(p.ControllerDraws.Low() > 0) {
		c.wrong(&p.Capacitor, "nothing would ever empty it", "a capacitor together with controller-draws")
	}
	if p.Battery != nil {
		c.less(&p.Battery.Flat, &k.Supply, "a voltage below the controller's supply, which is that of a full battery")
		if c.known(&p.Rated) {
			c.wrong(&p.Rated, "the supply is a battery", "this for an adapter or a transformer only")
		}
	}
	c.less(&p.ControllerDraws, &p.Rated, "a current below that of the adapter")
	if c.known(&k.Boots) && k.Boots.Low() <= 0 {
		c.wrong(
			&k.Boots,
			"the supply may sag when an output comes on, and a controller that boots in no time would never come to rest",
			"more than 0 s",
		)
	}
	if d := k.Drivers; d != nil {
		c.less(&d.ShutsBelow, &k.Supply, "a voltage below the controller's supply")
	}
	for i := range c.site.Valves {
		c.actuator(&c.site.Valves[i])
	}
}

// actuator demands that what is said of a valve's coil suits its drive.
func (c *checker) actuator(v *Valve) {
	ac := v.Current == "ac"
	if c.known(&v.Current) && ac && v.Drive != SpringReturn {
		c.wrong(&v.Current, "the valve is "+string(v.Drive), "dc: only spring-return valves have coils for ac")
		return
	}
	if ac {
		c.alternating(v)
	}
	for _, p := range []amount{&v.Inrush, &v.Holding} {
		if c.known(p) && !ac {
			c.wrong(p, "the valve's current is dc", "this only with current: ac")
		}
	}
	for _, p := range []amount{&v.WarmsTo, &v.WarmsIn} {
		if c.known(p) && v.Drive != SpringReturn {
			c.wrong(p, "the valve is "+string(v.Drive), "this only with drive: spring-return")
		}
	}
	if c.known(&v.Pulse) && v.Drive != Latching {
		c.wrong(&v.Pulse, "the valve is "+string(v.Drive), "this only with drive: latching")
	}
	if c.known(&v.Diode) && v.Diode != "none" && (ac || v.Drive != SpringReturn) {
		c.wrong(&v.Diode, "", "none: a coil that is driven with both polarities has no diode")
	}
	if d := c.site.Controller.Drivers; d != nil && c.wired[v.Name] {
		switch v.Drive {
		case Latching:
			c.less(&v.Pulse, &d.Pulse, "a time below that of the controller's pulses")
		case Motorised:
			c.less(&v.Opens, &d.DrivesFor, "a time below drives-for")
			c.less(&v.Closes, &d.DrivesFor, "a time below drives-for")
		}
	}
	if v.Cable != nil {
		c.cable(v.Cable)
	}
}

// alternating demands that the currents of a coil for alternating current fit each other and its resistance, which is
// less than its impedance at either.
func (c *checker) alternating(v *Valve) {
	if c.known(&v.Inrush, &v.Holding) && v.Inrush.Low() < v.Holding.High() {
		c.wrong(&v.Inrush, "", "a current of at least the holding current (%s)", &v.Holding)
	}
	supply := &c.site.Controller.Supply
	if !c.known(&v.Coil, supply) || c.broken[&v.Inrush] || c.broken[&v.Holding] {
		return
	}
	name, most := "inrush", v.Inrush.High()
	if v.Holding.High() > most {
		name, most = "holding", v.Holding.High()
	}
	if impedance := supply.Low() / most; v.Coil.High() > impedance {
		c.wrong(&v.Coil, "with it the coil could not take its "+name+" of "+format(most, q.Current),
			"what a meter shows across its two wires, at most %s; usually 20 to 60 ohm at 24 V",
			format(impedance, q.Resistance))
	}
}

// cable demands a gauge or a cross-section.
func (c *checker) cable(w *Cable) {
	given := func(p any) bool { return c.known(p) || c.broken[p] }
	switch {
	case given(&w.Gauge) && given(&w.Area):
		c.wrong(&w.Area, "", "either a gauge or an area")
	case !given(&w.Gauge) && !given(&w.Area):
		c.missing(w, "gauge", "the gauge of the wires, e.g. AWG 18, or their area, e.g. 0.75 mm2")
	case c.known(&w.Gauge):
		if _, err := GaugeNumber(w.Gauge); err != nil {
			c.wrong(&w.Gauge, "", "%s", err)
		}
	}
}
