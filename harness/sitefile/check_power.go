package sitefile

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
		if !c.known(&v.Inrush) && !c.broken[&v.Inrush] {
			c.missing(v, "inrush", "the current while the plunger is out, e.g. 400 mA")
		}
		if !c.known(&v.Holding) && !c.broken[&v.Holding] {
			c.missing(v, "holding", "the current once the plunger is in, e.g. 230 mA")
		}
		if c.known(&v.Inrush, &v.Holding) && v.Inrush.Low() < v.Holding.High() {
			c.wrong(&v.Inrush, "", "a current of at least the holding current (%s)", &v.Holding)
		}
	}
	for _, p := range []amount{&v.Inrush, &v.Holding, &v.WarmsTo, &v.WarmsIn} {
		if c.known(p) && !ac {
			c.wrong(p, "the valve's current is dc", "this only with current: ac")
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
