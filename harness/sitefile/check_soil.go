package sitefile

import q "ullage/harness/quantity"

func (c *checker) soil() {
	for i := range c.site.Beds {
		c.bed(&c.site.Beds[i])
	}
	for i := range c.site.Probes {
		p := &c.site.Probes[i]
		in := c.reference(&p.In, "bed")
		c.less(&p.Dry.Moisture, &p.Wet.Moisture, "less moisture than at the wet end")
		if c.known(&p.Dry.Volts, &p.Wet.Volts) && p.Dry.Volts.Low() <= p.Wet.Volts.High() &&
			p.Wet.Volts.Low() <= p.Dry.Volts.High() {
			c.wrong(&p.Wet.Volts, "", "a voltage apart from that of the dry end (%s)", &p.Dry.Volts)
		}
		if in != nil {
			c.within(&p.Depth, &in.entry.(*Bed).Depth, "at most the depth of the bed")
		}
	}
}

func (c *checker) bed(b *Bed) {
	switch given := b.Soil != nil || c.broken[&b.Soil]; {
	case c.broken[b] || c.broken[&b.Texture]:
	case given && b.Texture != "":
		c.wrong(&b.Texture, "soil is given", "either texture or soil")
	case !given && b.Texture == "":
		c.missing(b, "texture", "a texture, or a soil by its own figures")
	}
	if s := b.Soil; s != nil {
		c.less(&s.Residual, &s.Saturation, "less water than at saturation")
		c.less(&b.Starts, &s.Saturation, "a water content below saturation")
		c.less(&s.Residual, &b.Starts, "less water than the bed starts with")
		switch {
		case !c.known(&s.AirEntry) || s.N == 0:
		case s.N < clayBelow && s.AirEntry.Low() < clayAirEntry:
			c.wrong(&s.AirEntry, "n is below 1.2, as in clay", "at least 20 mm, as clay takes no air at less suction")
		case s.N > sandAbove && s.AirEntry.High() > sandAirEntry:
			c.wrong(&s.AirEntry, "n is above 3, as in sand",
				"at most 1 m, as sand holds its water against no more suction")
		}
	} else if ground := b.Ground(); ground.N > 0 && c.known(&b.Starts) {
		if !(b.Starts.Low() > ground.Residual.SI && b.Starts.High() < ground.Saturation.SI) {
			c.wrong(&b.Starts, "", "a water content between those of %s, %s and %s", b.Texture,
				q.Format(ground.Residual.SI, q.Fraction), q.Format(ground.Saturation.SI, q.Fraction))
		}
	}
	c.within(&b.Roots, &b.Depth, "at most the depth of the bed")
	switch w := b.Weather; {
	case w != nil:
		c.weather(b, w)
	case !b.Evapotranspiration.IsSet() && !c.broken[&b.Evapotranspiration] && !c.broken[&b.Weather] && !c.broken[b]:
		c.missing(b, "evapotranspiration", "an evapotranspiration, or the weather of a day")
	}
}

func (c *checker) weather(b *Bed, w *Weather) {
	if b.Evapotranspiration.IsSet() {
		c.wrong(&b.Evapotranspiration, "the weather is given", "either evapotranspiration or weather")
	}
	c.less(&w.Coldest, &w.Warmest, "a temperature below the highest of the day")
	if w.DewPoint.IsSet() && w.Humidity.IsSet() {
		c.wrong(&w.Humidity, "the dew point is given", "either dew-point or humidity")
	}
	if w.Sunshine.IsSet() && w.Radiation != 0 {
		c.wrong(&w.Radiation, "the sunshine is given", "either sunshine or radiation")
	}
}

// within demands that one quantity is no greater than another.
func (c *checker) within(p, most amount, expected string) {
	if c.known(p, most) && !(p.High() <= most.Low()) {
		c.wrong(p, "", "%s (%s)", expected, most)
	}
}
