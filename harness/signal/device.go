package signal

import "ullage/harness/quantity"

// Every signal of a run is named in this package and nowhere else: the name of a device is converted to its kind, and a
// method of the kind gives the signal, as in Valve("drip").Disc(). Devices that every run has once are constants:
// Cloud.Report().

// state, event and the others declare a signal by its device, its name and what its values are.
func state(device, name string) Signal {
	return Signal{Device: device, Quantity: name, Dim: quantity.State, Shape: Held}
}

func event(device, name string, dim quantity.Dimension) Signal {
	return Signal{Device: device, Quantity: name, Dim: dim, Shape: Event}
}

func linear(device, name string, dim quantity.Dimension) Signal {
	return Signal{Device: device, Quantity: name, Dim: dim, Shape: Linear}
}

func held(device, name string, dim quantity.Dimension) Signal {
	return Signal{Device: device, Quantity: name, Dim: dim, Shape: Held}
}

func flow(device, name string) Signal   { return linear(device, name, quantity.Flow) }
func volume(device, name string) Signal { return linear(device, name, quantity.Volume) }
func pressure(device string) Signal     { return linear(device, "pressure", quantity.Pressure) }

// Alike reports whether two signals are the same quantity of the same kind, each of its own device.
func (s Signal) Alike(other Signal) bool {
	other.Device = s.Device
	return s == other
}
