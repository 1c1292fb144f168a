package fault

// Caution stands at the end of whatever sends somebody to a site: it is one line, and holds for every check.
const Caution = "Caution: isolate power and water, relieve pressure, touch no live terminal; mains and preventers: " +
	"licensed people."

// cautions are what can hurt at the check of a fault, by the kind of device that it happens to; common practice, no
// source. Local codes and licensed practice come first.
var cautions = map[string]string{
	"contact": "Switch off and unplug before a lead is touched. Water that stood warm: breathe no spray, wash your hands.",
	"valve":   "Isolate power and water, relieve the pressure before opening; a coil may be hot; touch no live terminal.",
	"pump":    "Isolate it at its switch. Casing and water may be hot, vessels are under air; wiring: an electrician.",
	"tank":    "Breathe no fog of water that stood warm (legionella), do not drink it, keep the air gap.",
	"supply":  "Mains, meter, preventer: licensed people. Water that looks or smells odd: do not drink, call the supplier.",
	"power":   "Extra-low voltage only: mains wiring, sockets and fuses are for an electrician. Touch no live terminal.",
	"probe":   "Switch off and unplug before a lead is touched; mind cables when you dig.",
	"pipe":    "Isolate the water and relieve the pressure before anything is opened; mind cables when you dig.",
	"outlet":  "Shut the water off before a part is taken out; breathe no fog of water that stood warm (legionella).",
	"wifi":    "Nothing need be opened. If you must: isolate power and water, relieve the pressure, no live terminal.",
}

// cautionOf leads the kinds of devices that have no line of their own to the one that has the same dangers.
var cautionOf = map[string]string{"backflow preventer": "supply", "non-return valve": "pump", "controller": "power",
	"bed": "probe", "lateral": "outlet", "filter": "pipe", "throttle": "pipe", "regulator": "pipe", "meter": "pipe"}

// Caution is the line that stands under the check of an entry.
func (e Entry) Caution() string {
	kind := e.DeviceKind
	if same, ok := cautionOf[kind]; ok {
		kind = same
	}
	if line, ok := cautions[kind]; ok {
		return "Caution: " + line
	}
	return "Caution: " + cautions["wifi"]
}
