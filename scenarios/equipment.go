package scenarios

import (
	"slices"

	"ullage/harness/sitefile"
)

// What a fault needs of the site besides a device of its kind: without it the stand could not play the fault, which is said
// here with the line of the step.

// needPower demands a supply with something behind it that can grow weak.
func (c *compiler) needPower() bool {
	if c.site != nil && c.site.Power == nil {
		c.fail("the site does not say what its supply is, and nothing pulls it down; expected one with power")
	}
	return c.site != nil && c.site.Power != nil
}

// needBattery demands a supply that is a battery.
func (c *compiler) needBattery() bool {
	has := c.site != nil && c.site.Power != nil && c.site.Power.Battery != nil
	if c.site != nil && !has {
		c.fail("the supply of the site is no battery; expected one with power: battery")
	}
	return has
}

// needStandpipe demands a tank with an overflow pipe, and needWeir one with a notch in its wall.
func (c *compiler) needStandpipe(tank string) bool {
	t := c.tank(tank)
	if t != nil && !t.Standpipe.Crest.IsSet() {
		c.fail("the tank %q has no overflow pipe; expected one with a standpipe", tank)
	}
	return t != nil && t.Standpipe.Crest.IsSet()
}

func (c *compiler) needWeir(tank string) bool {
	t := c.tank(tank)
	if t != nil && !t.Weir.Crest.IsSet() {
		c.fail("the tank %q has no overflow notch; expected one with a weir", tank)
	}
	return t != nil && t.Weir.Crest.IsSet()
}

// needInlet demands a tank that water runs into, which is what makes it swing.
func (c *compiler) needInlet(tank string) bool {
	if c.tank(tank) == nil {
		return false
	}
	has := slices.ContainsFunc(c.site.Outlets, func(o sitefile.Outlet) bool { return o.Into == tank })
	if !has {
		c.fail("nothing runs into the tank %q; expected one that an outlet leads into", tank)
	}
	return has
}

// needLoop demands a probe with a transmitter.
func (c *compiler) needLoop(probe string) bool {
	if c.site == nil {
		return false
	}
	i := slices.IndexFunc(c.site.Probes, func(p sitefile.Probe) bool { return p.Name == probe })
	if i < 0 {
		return false
	}
	has := c.site.Probes[i].Output == sitefile.LoopOutput
	if !has {
		c.fail("the probe %q puts out volts and has no transmitter; expected one with output: 4-20 mA", probe)
	}
	return has
}

// needNextContact demands a second contact to exchange leads with.
func (c *compiler) needNextContact(contact string) bool {
	has := c.site != nil && len(c.site.Contacts) > 1
	if c.site != nil && !has {
		c.fail("the contact %q is the only one of the site; expected one with a second contact", contact)
	}
	return has
}

// needPlunger demands a valve that is opened by the plunger of a coil, with a bleed beside it.
func (c *compiler) needPlunger(valve string) bool {
	v := c.valve(valve)
	if v != nil && v.Drive == sitefile.Motorised {
		c.fail("the valve %q is turned by a motor and has neither pilot nor bleed; expected one with drive: spring-return or latching", valve)
	}
	return v != nil && v.Drive != sitefile.Motorised
}

// needSwitch demands a valve whose output is switched on for as long as it runs.
func (c *compiler) needSwitch(valve string) bool {
	v := c.valve(valve)
	if v != nil && v.Drive == sitefile.Latching {
		c.fail("the valve %q is moved by pulses and has no output that stays on; expected one with drive: spring-return or motorised", valve)
	}
	return v != nil && v.Drive != sitefile.Latching
}

// needNozzles demands an outlet that can clog.
func (c *compiler) needNozzles(outlet string) bool {
	if c.site == nil {
		return false
	}
	i := slices.IndexFunc(c.site.Outlets, func(o sitefile.Outlet) bool { return o.Name == outlet })
	if i < 0 {
		return false
	}
	dips := c.site.Outlets[i].Dips.IsSet()
	if dips {
		c.fail("the outlet %q is an open pipe end that dips into a tank, and does not clog; expected one without dips", outlet)
	}
	return !dips
}
