package sitefile

import (
	"reflect"

	q "ullage/harness/quantity"
)

// Device is one named thing of a site.
type Device struct {
	Name string
	// "supply", "meter", "backflow preventer", "pipe", "valve", "non-return valve", "filter", "regulator", "throttle",
	// "pump", "tank", "outlet", "lateral", "bed", "contact", "probe"
	Kind string
}

// part is a device with pointers to what its entry says.
type part struct {
	Device
	entry  any // pointer to the entry
	name   *string
	place  *Place         // where its water comes from; nil for what is no part of the pipework
	height *q.LengthValue // of its outlet; nil for what has none
	inlet  *part          // the part that feeds it; nil at a source, and where from is wrong
}

// What the rules ask for.
var (
	bearing = []string{"supply", "meter", "backflow preventer", "pipe", "valve", "non-return valve", "filter",
		"regulator", "throttle", "pump", "tank"}
	driven = []string{"valve", "pump"}
)

// Devices lists everything that has a name, kind by kind in the order of the fields of Site, each kind in the order of
// the file.
func (s *Site) Devices() []Device {
	var list []Device
	for _, p := range s.parts() {
		list = append(list, p.Device)
	}
	return list
}

// Inlet is a device and the part whose outlet feeds it, "" for none.
type Inlet struct{ Name, From string }

// Inlets lists what feeds each device, in the order of Devices.
func (s *Site) Inlets() []Inlet {
	var list []Inlet
	for _, p := range s.parts() {
		inlet := Inlet{Name: p.Name}
		if p.place != nil {
			inlet.From = p.place.From
		}
		list = append(list, inlet)
	}
	return list
}

// parts lists the devices with what the rules need of them. Its pointers stay valid while no list of the site grows.
func (s *Site) parts() []part {
	var list []part
	site := reflect.ValueOf(s).Elem()
	for i := range site.NumField() {
		kind := site.Type().Field(i).Tag.Get("kind")
		for k := 0; kind != "" && k < site.Field(i).Len(); k++ {
			entry := site.Field(i).Index(k)
			p := part{entry: entry.Addr().Interface(), name: entry.FieldByName("Name").Addr().Interface().(*string)}
			p.Device = Device{*p.name, kind}
			if place := entry.FieldByName("Place"); place.IsValid() {
				p.place = place.Addr().Interface().(*Place)
			}
			for _, height := range []string{"Height", "Floor"} {
				if f := entry.FieldByName(height); f.IsValid() {
					p.height = f.Addr().Interface().(*q.LengthValue)
				}
			}
			list = append(list, p)
		}
	}
	link(list)
	return list
}

// link finds what feeds each part.
func link(parts []part) {
	first := map[string]*part{}
	for i := range parts {
		if p := &parts[i]; p.Name != "" && first[p.Name] == nil {
			first[p.Name] = p
		}
	}
	for i := range parts {
		if p := &parts[i]; p.place != nil {
			if from := first[p.place.From]; from != nil && contains(bearing, from.Kind) {
				p.inlet = from
			}
		}
	}
}

// Entry is what the file says of a device, as a pointer to its entry: *Tank, *Valve and so on; nil for a name that no
// device has.
func (s *Site) Entry(name string) any {
	for _, p := range s.parts() {
		if p.Name == name {
			return p.entry
		}
	}
	return nil
}
