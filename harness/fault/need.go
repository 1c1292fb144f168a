package fault

import (
	"fmt"
	"strconv"
	"strings"

	"ullage/harness/sitefile"
)

// Need is what a fault needs of the site besides a target of its kind: without it there is nothing that could fail so.
type Need struct {
	met   func(site *sitefile.Site, target string) bool
	lacks string // what is said without it; %q stands for the target
}

// UnfitError is the refusal of a fault on a target that is of the right kind and lacks what the fault needs.
type UnfitError struct {
	Fault, Target string
	Why           string // names the target and what was expected
}

func (e *UnfitError) Error() string { return e.Fault + ": " + e.Why }

// Fits says why a fault cannot happen to a target of a site: nil, or an *UnfitError.
func (e Entry) Fits(site *sitefile.Site, target string) error {
	if e.Needs.met == nil || e.Needs.met(site, target) {
		return nil
	}
	return &UnfitError{e.ID, target, strings.Replace(e.Needs.lacks, "%q", strconv.Quote(target), 1)}
}

// single are the kinds of which every site has one, that bears the name of its kind and stands in no list of the site
// file.
var single = map[string]bool{"power": true, "controller": true, "wifi": true, "cloud": true}

// Single reports whether every site has one target of the entry's kind, called after it.
func (e Entry) Single() bool { return single[e.DeviceKind] }

// Targets are the targets of a site that a fault can happen to, in the order of its file, and the refusals of the
// others of its kind.
func (e Entry) Targets(site *sitefile.Site) (fitting []string, unfit []*UnfitError) {
	names := []string{e.DeviceKind}
	if !e.Single() {
		names = nil
		for _, d := range site.Devices() {
			if d.Kind == e.DeviceKind {
				names = append(names, d.Name)
			}
		}
	}
	for _, name := range names {
		if err, is := e.Fits(site, name).(*UnfitError); is {
			unfit = append(unfit, err)
		} else {
			fitting = append(fitting, name)
		}
	}
	return fitting, unfit
}

// ofDevice is a need of the target itself.
func ofDevice[T any](met func(*T) bool, lacks string) Need {
	return Need{func(site *sitefile.Site, target string) bool {
		device, ok := site.Entry(target).(*T)
		return ok && met(device)
	}, lacks}
}

// What faults need.
var (
	hasStandpipe = ofDevice(func(t *sitefile.Tank) bool { return t.Standpipe.Crest.IsSet() },
		"the tank %q has no overflow pipe; expected one with a standpipe")
	hasSideOutlet = ofDevice(func(t *sitefile.Tank) bool { return t.SideOutlet.Invert.IsSet() },
		"the tank %q has no overflow pipe through its wall; expected one with a side-outlet")
	hasDrain = ofDevice(func(t *sitefile.Tank) bool { return t.Standpipe.Crest.IsSet() || t.SideOutlet.Run.SI > 0 },
		"the tank %q has no overflow pipe that leads to a drain; expected one with a standpipe, or with a side-outlet "+
			"that has a run")
	hasWeir = ofDevice(func(t *sitefile.Tank) bool { return t.Weir.Crest.IsSet() },
		"the tank %q has no overflow notch; expected one with a weir")
	hasInlet = Need{func(s *sitefile.Site, tank string) bool {
		for _, o := range s.Outlets {
			if o.Into == tank {
				return true
			}
		}
		return false
	}, "nothing runs into the tank %q; expected one that an outlet leads into"}
	isPilot = ofDevice(func(v *sitefile.Valve) bool { return v.Operates == sitefile.Pilot },
		"the valve %q is moved by its coil and spring and seats at any pressure; expected one with operates: pilot")
	hasPlunger = ofDevice(
		func(v *sitefile.Valve) bool { return v.Drive != sitefile.Motorised },
		"the valve %q is turned by a motor and has neither pilot nor bleed; expected one with drive: spring-return or latching",
	)
	hasSwitch = ofDevice(
		func(v *sitefile.Valve) bool { return v.Drive != sitefile.Latching },
		"the valve %q is moved by pulses and has no output that stays on; expected one with drive: spring-return or motorised",
	)
	hasNozzles = ofDevice(func(o *sitefile.Outlet) bool { return !o.Dips.IsSet() },
		"the outlet %q is an open pipe end that dips into a tank, and does not clog; expected one without dips")
	hasTransmitter = ofDevice(func(p *sitefile.Probe) bool { return p.Output == sitefile.LoopOutput },
		"the probe %q puts out volts and has no transmitter; expected one with output: 4-20 mA")
	hasNeighbour = Need{func(s *sitefile.Site, _ string) bool { return len(s.Contacts) > 1 },
		"the contact %q is the only one of the site; expected one with a second contact"}
	hasSecondValve = Need{func(s *sitefile.Site, _ string) bool { return len(s.Valves) > 1 },
		"the valve %q is the only one of the site; expected one with a second valve"}
	hasBattery = Need{func(s *sitefile.Site, _ string) bool { return s.Power != nil && s.Power.Battery != nil },
		"the supply of the site is no battery; expected one with power: battery"}
	hasFillRule = Need{func(s *sitefile.Site, _ string) bool { return s.Controller.Settings.Fill != nil },
		"the site has no fill rule, so that no fill can begin"}
)

// unknown says that an ID is none of the catalogue.
func unknown(id string) error { return fmt.Errorf("there is no fault %q in the catalogue", id) }
