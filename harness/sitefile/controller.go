package sitefile

import q "ullage/harness/quantity"

// Controller is the board of the controller under test, the wiring of its terminals and its settings. Its supply is
// extra-low voltage, at most 60 V.
type Controller struct {
	Supply      q.VoltageValue  `yaml:"supply" range:"1 V to 60 V"`       // voltage at its power terminal
	ResetsBelow q.VoltageValue  `yaml:"resets-below" range:"0 V to 60 V"` // brown-out level of the supply
	Boots       q.DurationValue `yaml:"boots" range:"0 s to 10 min"`      // from power to the first instruction of the control loop
	Board       Board           `yaml:"board"`                            // its input stage
	Terminals   []Terminal      `yaml:"terminals"`                        // what is wired to its terminals
	Drivers     *Drivers        `yaml:"drivers,omitempty"`                // its outputs, as far as they drive latching and motorised valves
	Settings    Settings        `yaml:"settings"`                         // what is entered when it is set up
}

// Board is the input stage, the same for all inputs of a controller.
type Board struct {
	Rail      q.VoltageValue    `yaml:"rail" range:"1 V to 30 V"`                // supply of the pull-ups and reference of the converter
	PullUp    q.ResistanceValue `yaml:"pull-up" range:"100 ohm to 10 Mohm"`      // of contact and pulse inputs
	Low       q.VoltageValue    `yaml:"low" range:"0 V to 30 V"`                 // a reading below is low
	High      q.VoltageValue    `yaml:"high" range:"0 V to 30 V"`                // a reading above is high
	Bits      int               `yaml:"bits" range:"1 to 24"`                    // resolution of the converter
	Impedance q.ResistanceValue `yaml:"impedance" range:"1 kohm to 100000 Mohm"` // of the analogue input, to ground
}

// Terminal is one terminal with the one device that is wired to it: exactly one of the fields besides Terminal is given.
type Terminal struct {
	Terminal string `yaml:"terminal"`           // as it is printed on the board
	Output   string `yaml:"output,omitempty"`   // a valve or a pump
	Contact  string `yaml:"contact,omitempty"`  // a contact
	Pulse    string `yaml:"pulse,omitempty"`    // a meter
	Analogue string `yaml:"analogue,omitempty"` // a probe
}

// Device is the name of what is wired to the terminal.
func (t Terminal) Device() string { return t.Output + t.Contact + t.Pulse + t.Analogue }

// Settings is what the person who sets up the controller enters. A rule that is left out is not in use.
type Settings struct {
	Clock       string          `yaml:"clock,omitempty"`                           // day of week and time of day when a run begins; default Monday 00:00
	Fill        *Fill           `yaml:"fill,omitempty"`                            // keeps a tank filled
	CutOff      *CutOff         `yaml:"cut-off,omitempty"`                         // shuts outputs when an independent contact operates
	Interlock   *Interlock      `yaml:"interlock,omitempty"`                       // dry-run protection of a pump
	Moisture    *Moisture       `yaml:"moisture,omitempty"`                        // waters a zone by its probe
	Programmes  []Programme     `yaml:"programmes,omitempty"`                      // water zones at times of day
	Remote      *Remote         `yaml:"remote,omitempty"`                          // starts from afar
	FlowAlarms  *FlowAlarms     `yaml:"flow-alarms,omitempty"`                     // flow without a call, call without flow
	Alerts      Alerts          `yaml:"alerts,omitempty"`                          // how often and how many alerts are sent
	ReportEvery q.DurationValue `yaml:"report-every,omitempty" range:"1 s to 7 d"` // reporting interval; no reports when not given
}

// Fill keeps a tank filled: a low contact starts, a high contact stops.
type Fill struct {
	Valve      string          `yaml:"valve"`                           // output that fills the tank
	With       []string        `yaml:"with,omitempty"`                  // further outputs that are on while it runs: master valve, pump
	Low        string          `yaml:"low"`                             // contact that starts a fill
	High       string          `yaml:"high,omitempty"`                  // contact that ends it; without one, release of low ends it
	Debounce   q.DurationValue `yaml:"debounce" range:"0 s to 1 h"`     // a change of a contact counts when it has lasted this long
	LongestRun q.DurationValue `yaml:"longest-run" range:"1 s to 24 h"` // a fill that takes longer is ended as a failed attempt
	Attempts   int             `yaml:"attempts" range:"1 to 100"`       // failed attempts after which filling is locked out until somebody resets it
	Pause      q.DurationValue `yaml:"pause" range:"0 s to 7 d"`        // between a failed attempt and the next
}

// CutOff shuts outputs at the moment an independent contact operates, whatever else is going on, and keeps them shut until
// it has been released for the debounce of the fill rule.
type CutOff struct {
	Contact string   `yaml:"contact"` // contact that operates at high water
	Shuts   []string `yaml:"shuts"`   // outputs that it shuts
}

// Interlock keeps a pump off while a contact is operated (dry-run protection).
type Interlock struct {
	Pump      string          `yaml:"pump"`                                     // pump that is protected
	BlockedBy string          `yaml:"blocked-by"`                               // contact that is operated at low water
	Debounce  q.DurationValue `yaml:"debounce,omitempty" range:"0 s to 10 min"` // before a running pump stops; default 0 s
	RestartIn q.DurationValue `yaml:"restart-in,omitempty" range:"0 s to 24 h"` // shortest time between a stop by the interlock and the next start; default 0 s
}

// Moisture waters a zone between two thresholds of the calibrated probe, in cycles with soaks between them.
type Moisture struct {
	Zone        string          `yaml:"zone"`                              // output that waters the zone
	With        []string        `yaml:"with,omitempty"`                    // further outputs that are on while it runs: master valve, pump
	Probe       string          `yaml:"probe"`                             // probe that stands in the zone
	DryCount    int             `yaml:"dry-count" range:"0 to 16777215"`   // converter reading that means 0 %
	WetCount    int             `yaml:"wet-count" range:"0 to 16777215"`   // converter reading that means 100 %
	StartsBelow q.FractionValue `yaml:"starts-below" range:"0 % to 100 %"` // of the calibrated range
	StopsAt     q.FractionValue `yaml:"stops-at" range:"0 % to 100 %"`     // of the calibrated range
	Cycle       q.DurationValue `yaml:"cycle" range:"1 s to 24 h"`         // watering time of one cycle
	Soak        q.DurationValue `yaml:"soak" range:"0 s to 24 h"`          // wait between cycles
	Attempts    int             `yaml:"attempts" range:"1 to 100"`         // cycles in a row without reaching stops-at before it gives up
	RestAfter   q.DurationValue `yaml:"rest-after" range:"0 s to 30 d"`    // how long it gives up
	Reads       q.DurationValue `yaml:"reads" range:"1 ms to 1 h"`         // sampling interval of the probe
	Plausible   q.FractionValue `yaml:"plausible" range:"0 % to 100 %"`    // a reading further than this outside 0 to 100 % is a fault of the probe
}

// Programme runs a zone at times of day on days of the week.
type Programme struct {
	Zone   string          `yaml:"zone"`                    // output that waters the zone
	With   []string        `yaml:"with,omitempty"`          // further outputs that are on while it runs: master valve, pump
	Starts []string        `yaml:"starts"`                  // times of day, each as "06:30"
	Days   []string        `yaml:"days,omitempty"`          // days of the week, each as Monday; every day when left out
	Run    q.DurationValue `yaml:"run" range:"1 s to 24 h"` // run time
}

// Remote lets somebody start a zone from afar. The run limit is held in the controller.
type Remote struct {
	Zones      []RemoteZone    `yaml:"zones"`                           // zones that may be started from afar
	LongestRun q.DurationValue `yaml:"longest-run" range:"1 s to 24 h"` // the controller ends a remote run after this
}

// RemoteZone is a zone that may be started from afar.
type RemoteZone struct {
	Zone string   `yaml:"zone"`           // output that waters the zone
	With []string `yaml:"with,omitempty"` // further outputs that are on while it runs: master valve, pump
}

// FlowAlarms compares the meter with what is called for.
type FlowAlarms struct {
	Meter       string          `yaml:"meter"`                             // meter that is watched
	Counts      []string        `yaml:"counts"`                            // outputs whose water passes the meter
	NoFlowAfter q.DurationValue `yaml:"no-flow-after" range:"1 s to 24 h"` // a call without a pulse for this long is an alarm and ends the call
	Settles     q.DurationValue `yaml:"settles" range:"0 s to 1 h"`        // after the last call ends, pulses are not yet counted
	Pulses      int             `yaml:"pulses" range:"1 to 1000000"`       // pulses without a call that raise the alarm
	Within      q.DurationValue `yaml:"within" range:"1 s to 24 h"`        // time in which they must come
}

// Alerts limits how often and how many alerts are sent.
type Alerts struct {
	RepeatAfter q.DurationValue `yaml:"repeat-after,omitempty" range:"0 s to 30 d"` // shortest time between two alerts of one kind; default 0 s
	Kept        int             `yaml:"kept,omitempty" range:"0 to 100000"`         // alerts kept while the network is away; default none
}
