package signal

import "ullage/harness/quantity"

// Supply is a water supply of the site, by its name.
type Supply string

// Flow is what the supply gives, m³/s; negative while water runs back into it.
func (s Supply) Flow() Signal { return flow(string(s), "flow") }

// Pressure is the gauge pressure where the supply enters the site, Pa.
func (s Supply) Pressure() Signal { return pressure(string(s)) }

// Return is what runs back into the supply, m³/s; 0 while it gives.
func (s Supply) Return() Signal { return flow(string(s), "return") }

// Returned is all that has run back into the supply, m³.
func (s Supply) Returned() Signal { return volume(string(s), "returned") }

// ReturnOf is what runs back while the worst water that reaches the pipes is of a fluid category ("category 4"), m³/s.
func (s Supply) ReturnOf(category string) Signal { return flow(string(s), "return "+category) }

// ReturnedOf is the running total of ReturnOf, m³.
func (s Supply) ReturnedOf(category string) Signal { return volume(string(s), "returned "+category) }

// Tank is an open tank, by its name.
type Tank string

// Level is the mean height of the water above the floor, m.
func (t Tank) Level() Signal { return linear(string(t), "level", quantity.Length) }

// Rain is what flows in from outside the pipework, m³/s.
func (t Tank) Rain() Signal { return flow(string(t), "rain") }

// Draw is what is taken from the tank by its users, m³/s.
func (t Tank) Draw() Signal { return flow(string(t), "draw") }

// Spill is what runs over the rim, m³/s.
func (t Tank) Spill() Signal { return flow(string(t), "spill") }

// Spilled is all that has run over the rim, m³.
func (t Tank) Spilled() Signal { return volume(string(t), "spilled") }

// Overflow is what its standpipe, side outlet and weir carry away, m³/s; only where it has one of them.
func (t Tank) Overflow() Signal { return flow(string(t), "overflow") }

// Overflowed is the running total of Overflow, m³.
func (t Tank) Overflowed() Signal { return volume(string(t), "overflowed") }

// Leak is what escapes by a hole in the tank, m³/s.
func (t Tank) Leak() Signal { return Part(t).Leak() }

// Leaked is the running total of Leak, m³.
func (t Tank) Leaked() Signal { return Part(t).Leaked() }

// BackSiphonage is what is drawn back out of the tank through submerged outlets, m³/s; only where an outlet dips in.
func (t Tank) BackSiphonage() Signal { return flow(string(t), "back-siphonage") }

// BackSiphoned is the running total of BackSiphonage, m³.
func (t Tank) BackSiphoned() Signal { return volume(string(t), "back-siphoned") }

// Part is any part of the pipework by its name: a pipe, filter, regulator, throttle, outlet or drip line.
type Part string

// Flow is what passes the part or leaves by it, m³/s. Pipes, regulators and throttles do not record theirs.
func (p Part) Flow() Signal { return flow(string(p), "flow") }

// Pressure is the gauge pressure behind the part, of an outlet that before it, Pa.
func (p Part) Pressure() Signal { return pressure(string(p)) }

// Leak is what escapes by a hole in a pipe, drip line or tank, m³/s.
func (p Part) Leak() Signal { return flow(string(p), "leak") }

// Leaked is the running total of Leak, m³.
func (p Part) Leaked() Signal { return volume(string(p), "leaked") }

// Vapour reports whether the water has broken off at the end of a high pipe, or before a pump, as its pressure there
// has come down to that of its vapour: a siphon that is too high, a pump that draws too deep. Only of those where it may.
func (p Part) Vapour() Signal { return state(string(p), "vapour") }

// Air is the air that stands in the pipes behind a supply, tank, valve, pump or preventer, up to the next of them, m³;
// only where those pipes hold water. At 0 they are full.
func (p Part) Air() Signal { return volume(string(p), "air") }

// Outlet is an outlet by its name: sprinklers, nozzles, an open end.
type Outlet string

// Flow is what leaves by the outlet, m³/s; negative while it draws.
func (o Outlet) Flow() Signal { return Part(o).Flow() }

// Weak reports whether water leaves with less than the working pressure of the outlet; only where the site file gives
// it.
func (o Outlet) Weak() Signal { return state(string(o), "weak") }

// Filter is a filter by its name. It records Part.Pressure besides.
type Filter string

// Loading is the blocked share of the passage, 0 to 1.
func (f Filter) Loading() Signal { return linear(string(f), "loading", quantity.Fraction) }

// Flow is what passes, m³/s; only of a filter that loads up by itself.
func (f Filter) Flow() Signal { return Part(f).Flow() }

// Volume is all that has passed, m³; only of a filter that loads up by itself.
func (f Filter) Volume() Signal { return volume(string(f), "volume") }

// Meter is a water meter with a pulse contact, by its name.
type Meter string

// Flow is what passes the meter, m³/s, positive either way.
func (m Meter) Flow() Signal { return flow(string(m), "flow") }

// Volume is all that has passed the meter either way, m³.
func (m Meter) Volume() Signal { return volume(string(m), "volume") }

// Closed reports whether the pulse contact is closed: during the second half of every pulse volume.
func (m Meter) Closed() Signal { return state(string(m), "closed") }

// Bed is a planted bed, by its name.
type Bed string

// Moisture is the mean water content of the root zone by volume, 0 to 1.
func (b Bed) Moisture() Signal { return linear(string(b), "moisture", quantity.Fraction) }

// Water is the water in the soil of the bed, m³.
func (b Bed) Water() Signal { return volume(string(b), "water") }

// Lost is all that has run off the bed or drained below its roots, m³.
func (b Bed) Lost() Signal { return volume(string(b), "lost") }

// Evaporated is all that soil and plants have given to the air, m³.
func (b Bed) Evaporated() Signal { return volume(string(b), "evaporated") }

// Rain is what falls on the bed as rain, m³/s.
func (b Bed) Rain() Signal { return flow(string(b), "rain") }

// SiteDevice is the site as a whole.
type SiteDevice string

// Site is the device of the signals of the site as a whole.
const Site SiteDevice = "site"

// Lost is all the water that the site has lost, m³: spilled, overflowed, leaked, run off, and drained below the roots.
func (s SiteDevice) Lost() Signal { return volume(string(s), "lost") }
