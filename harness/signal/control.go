package signal

import (
	"strings"

	"ullage/harness/quantity"
)

// ControllerDevice is the controller. It records its own signals, except for Received; a real one may record none.
type ControllerDevice string

// Controller is the device of the signals of the controller.
const Controller ControllerDevice = "controller"

// Powered reports whether the processor has enough voltage to run.
func (c ControllerDevice) Powered() Signal { return state(string(c), "powered") }

// Filling reports whether the fill rule is filling.
func (c ControllerDevice) Filling() Signal { return state(string(c), "filling") }

// LockedOut reports whether the fill rule is locked out until somebody resets it.
func (c ControllerDevice) LockedOut() Signal { return state(string(c), "locked out") }

// Moisture is the water content that the controller makes of the reading of its probe, 0 to 1.
func (c ControllerDevice) Moisture() Signal { return held(string(c), "moisture", quantity.Fraction) }

// ContactOperated reports whether the controller takes a contact for operated, after its filter.
func (c ControllerDevice) ContactOperated(contact string) Signal {
	return state(string(c), contact+" operated")
}

// Alert is the event that the controller sends an alert for the first time.
func (c ControllerDevice) Alert(name string) Signal {
	return event(string(c), alertPrefix+name, quantity.None)
}

// Received is the event that a frame from the network reaches the controller; its figure is the kind of the frame. The
// stand records it.
func (c ControllerDevice) Received() Signal { return event(string(c), "received", quantity.None) }

// InternalFault is the event that a fault inside the controller meets one of its rules: a counter wraps within a limit,
// a clock moves a start. Nothing at the terminals need show it.
func (c ControllerDevice) InternalFault() Signal {
	return event(string(c), "internal fault", quantity.None)
}

// WiFiDevice is the access point.
type WiFiDevice string

// WiFi is the device of the signals of the access point.
const WiFi WiFiDevice = "wifi"

// Up reports whether the access point answers.
func (w WiFiDevice) Up() Signal { return state(string(w), "up") }

// Session reports whether the session of the controller with the cloud is open.
func (w WiFiDevice) Session() Signal { return state(string(w), "session") }

// Attempt is the event that the controller tries to connect, whether the access point answers or not.
func (w WiFiDevice) Attempt() Signal { return event(string(w), "attempt", quantity.None) }

// CloudDevice is the service that the controller reports to.
type CloudDevice string

// Cloud is the device of the signals of the service.
const Cloud CloudDevice = "cloud"

// Away reports whether the internet or the broker is down.
func (c CloudDevice) Away() Signal { return state(string(c), "away") }

// Alert is the event that an alert arrives.
func (c CloudDevice) Alert(name string) Signal {
	return event(string(c), alertPrefix+name, quantity.None)
}

// Alerts is how many alerts have arrived.
func (c CloudDevice) Alerts() Signal { return held(string(c), "alerts", quantity.Count) }

// Report is the event that a report arrives.
func (c CloudDevice) Report() Signal { return event(string(c), "report", quantity.None) }

// alertPrefix begins the quantity of an alert.
const alertPrefix = "alert "

// CutAlert returns the alert that a signal is the event of, and whether it is that of an alert, sent or arrived.
func (s Signal) CutAlert() (alert string, ok bool) { return strings.CutPrefix(s.Quantity, alertPrefix) }

// ScriptDevice is the script of the scenario.
type ScriptDevice string

// Script is the device of the marks of the script.
const Script ScriptDevice = "script"

// Begins is the event that the Givens of the scenario are done and its outcomes are observed.
func (s ScriptDevice) Begins() Signal { return s.Mark("begins") }

// Mark is the event that an act of the script begins.
func (s ScriptDevice) Mark(name string) Signal { return event(string(s), name, quantity.None) }

// CutMark returns the mark that a "device.quantity" name is the event of, and whether it is that of a mark.
func (s ScriptDevice) CutMark(name string) (mark string, ok bool) {
	return strings.CutPrefix(name, s.Mark("").Name())
}
