package signal

import "ullage/harness/quantity"

// Output is what an output of the controller drives, a valve or a pump, by its name.
type Output string

// Command reports whether the controller calls for the output; the controller records it, and a real one may not.
func (o Output) Command() Signal { return state(string(o), "command") }

// Coil reports whether the coil has pulled in; of a latching valve, whether its last effective pulse was one to open.
func (o Output) Coil() Signal { return state(string(o), "coil") }

// Current is what the coil of the valve or of the pump's contactor draws, A; only where the site file describes
// the power supply.
func (o Output) Current() Signal { return held(string(o), "current", quantity.Current) }

// Valve is a valve that the controller operates, by its name.
type Valve string

// Command is Output.Command of the valve.
func (v Valve) Command() Signal { return Output(v).Command() }

// Coil is Output.Coil of the valve.
func (v Valve) Coil() Signal { return Output(v).Coil() }

// Temperature is that of the coil, °C; only of a spring-return valve.
func (v Valve) Temperature() Signal { return linear(string(v), "temperature", quantity.Temperature) }

// Open reports whether the disc is off its seat.
func (v Valve) Open() Signal { return state(string(v), "open") }

// Disc is the lift of the disc as a share of its stroke, 0 seated to 1.
func (v Valve) Disc() Signal { return linear(string(v), "disc", quantity.Fraction) }

// Flow is what passes the seat, m³/s; negative backwards.
func (v Valve) Flow() Signal { return flow(string(v), "flow") }

// Pressure is the gauge pressure before the valve, Pa.
func (v Valve) Pressure() Signal { return pressure(string(v)) }

// Differential is the pressure before the valve less that behind it, Pa; only of a pilot-operated one.
func (v Valve) Differential() Signal { return linear(string(v), "differential", quantity.Pressure) }

// Surge is the highest pressure before the valve, Pa, each time that it or another valve on the same pipes shuts, a pump
// before them stops, or a surge comes from the street: an event at its end; only behind pipes with a known wall.
func (v Valve) Surge() Signal { return event(string(v), "surge", quantity.Pressure) }

// Parted is the event that the water column parts in a surge; recorded where Surge is.
func (v Valve) Parted() Signal { return event(string(v), "parted", quantity.State) }

// SurgeMissed is the event that a wave runs to the valve that is not computed; its figure is one of the reasons below.
// Recorded where Surge is.
func (v Valve) SurgeMissed() Signal { return event(string(v), "surge-missed", quantity.Count) }

// Why a surge is not computed.
const (
	PumpStopUnknown float64 = 1 + iota // nothing says how a pump runs down, or how its non-return valve shuts
	FlowJumped                         // the flow changed at once, as by a burst, a tap or ice
)

// Pump is a pump by its name. It records Part.Vapour besides.
type Pump string

// Command is Output.Command of the pump.
func (p Pump) Command() Signal { return Output(p).Command() }

// Coil is Output.Coil of the pump's contactor.
func (p Pump) Coil() Signal { return Output(p).Coil() }

// Running reports whether the motor runs.
func (p Pump) Running() Signal { return state(string(p), "running") }

// Dry reports whether the pump runs with air in it.
func (p Pump) Dry() Signal { return state(string(p), "dry") }

// Primed reports whether the pump is full of water.
func (p Pump) Primed() Signal { return state(string(p), "primed") }

// Flow is what the pump delivers, m³/s.
func (p Pump) Flow() Signal { return flow(string(p), "flow") }

// Pressure is the gauge pressure behind the pump, Pa.
func (p Pump) Pressure() Signal { return pressure(string(p)) }

// Stored is the water in the pressure vessel, m³; only of a pump with a pressure switch.
func (p Pump) Stored() Signal { return volume(string(p), "stored") }

// Contact is a float switch or other contact, by its name.
type Contact string

// Operated reports whether the float has operated the contact, whatever the wire says.
func (c Contact) Operated() Signal { return state(string(c), "operated") }

// Closed reports whether the contact is closed.
func (c Contact) Closed() Signal { return state(string(c), "closed") }

// Level is that of the water at the float, m; only where the water of its tank sloshes.
func (c Contact) Level() Signal { return linear(string(c), "level", quantity.Length) }

// Probe is a soil-moisture probe, by its name.
type Probe string

// Moisture is the water content of the soil around the probe by volume, 0 to 1; what it reads of it is at its terminal.
func (p Probe) Moisture() Signal { return linear(string(p), "moisture", quantity.Fraction) }

// Terminal is a terminal of the controller, by the name of the device that is wired to it.
type Terminal string

// Voltage is that of a contact, pulse, output or power terminal, V: of an output and of the power terminal in open
// circuit, else what the input stage sees.
func (t Terminal) Voltage() Signal { return held(string(t), "terminal", quantity.Voltage) }

// AnalogueTerminal is an analogue input of the controller, by the name of the probe that is wired to it.
type AnalogueTerminal string

// Voltage is what the input stage sees, V, without hum and noise.
func (t AnalogueTerminal) Voltage() Signal { return linear(string(t), "terminal", quantity.Voltage) }

// Hum is the amplitude of the hum at the input, V.
func (t AnalogueTerminal) Hum() Signal { return held(string(t), "hum", quantity.Voltage) }

// Noise is the root mean square of the noise at the input, V.
func (t AnalogueTerminal) Noise() Signal { return held(string(t), "noise", quantity.Voltage) }

// AtTerminal reports whether a signal is one of what stands at a terminal: its voltage, hum or noise.
func (s Signal) AtTerminal() bool {
	return s.Alike(Terminal("").Voltage()) || s.Alike(AnalogueTerminal("").Voltage()) ||
		s.Alike(AnalogueTerminal("").Hum()) || s.Alike(AnalogueTerminal("").Noise())
}

// PowerDevice is the power supply of the controller.
type PowerDevice string

// Power is the device of the signals of the power supply.
const Power PowerDevice = "power"

// Voltage is the open-circuit voltage at the power terminal of the controller, V.
func (p PowerDevice) Voltage() Signal { return Terminal(p).Voltage() }

// Charge is what is left in the battery as a share of its capacity; only where the supply is one.
func (p PowerDevice) Charge() Signal { return linear(string(p), "charge", quantity.Fraction) }
