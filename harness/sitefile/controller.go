package sitefile

import q "ullage/harness/quantity"

// Controller is the board of the controller under test, the wiring of its terminals and its settings. Its supply is
// extra-low voltage, at most 60 V.
type Controller struct {
	Supply      q.VoltageValue `yaml:"supply" range:"1 V to 60 V"`       // voltage at its power terminal
	ResetsBelow q.VoltageValue `yaml:"resets-below" range:"0 V to 60 V"` // brown-out level of the supply
	// from power to the first instruction of the control loop
	Boots     q.DurationValue `yaml:"boots" range:"0 s to 10 min"`
	Board     Board           `yaml:"board"`     // its input stage
	Terminals []Terminal      `yaml:"terminals"` // what is wired to its terminals
	// its outputs, as far as they drive latching and motorised valves
	Drivers  *Drivers `yaml:"drivers,omitempty"`
	Reacts   Reacts   `yaml:"reacts,omitempty"` // how quickly its make reacts, and how it repeats itself
	Settings Settings `yaml:"settings"`         // what is entered when it is set up
}

// Board is the input stage, the same for all inputs of a controller.
type Board struct {
	// supply of the pull-ups and reference of the converter
	Rail      q.VoltageValue    `yaml:"rail" range:"1 V to 30 V"`
	PullUp    q.ResistanceValue `yaml:"pull-up" range:"100 ohm to 10 Mohm"`      // of contact and pulse inputs
	Low       q.VoltageValue    `yaml:"low" range:"0 V to 30 V"`                 // a reading below is low
	High      q.VoltageValue    `yaml:"high" range:"0 V to 30 V"`                // a reading above is high
	Bits      int               `yaml:"bits" range:"1 to 24"`                    // resolution of the converter
	Impedance q.ResistanceValue `yaml:"impedance" range:"1 kohm to 100000 Mohm"` // of the analogue input, to ground
}

// Terminal is one terminal with the one device that is wired to it: exactly one of the fields besides Terminal is
// given.
type Terminal struct {
	Terminal string `yaml:"terminal"`           // as it is printed on the board
	Output   string `yaml:"output,omitempty"`   // a valve or a pump
	Contact  string `yaml:"contact,omitempty"`  // a contact
	Pulse    string `yaml:"pulse,omitempty"`    // a meter
	Analogue string `yaml:"analogue,omitempty"` // a probe
}

// Device is the name of what is wired to the terminal.
func (t Terminal) Device() string { return t.Output + t.Contact + t.Pulse + t.Analogue }
