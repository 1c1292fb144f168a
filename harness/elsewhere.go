package harness

import (
	"fmt"
	"strings"

	"ullage/harness/signal"
)

// elsewhere says why nothing exercises an outcome: what differs, and why that does not count.
func (j *judge) elsewhere(i int, causes []*cause) string {
	var looked []string
	for _, name := range j.script.Outcomes[i].Property.Signals() {
		if _, ofScript := signal.Script.CutMark(name); !ofScript {
			looked = append(looked, name)
		}
	}
	at := strings.Join(looked, " and ")
	var parts []string
	for _, c := range causes {
		switch {
		case c.setting != nil || j.run.Site == nil:
			parts = append(parts, fmt.Sprintf("without %s %s is the same", c.without, at))
		case len(c.inputs) > 0:
			parts = append(parts, fmt.Sprintf("without %s %s differed, but no rule of the settings with %s decides %s, which is the same",
				c.without, j.names(c.inputs), itOrThem(c.inputs), at))
		default:
			parts = append(parts, fmt.Sprintf("without %s nothing differs at the controller's inputs or at %s", c.without, at))
		}
	}
	return strings.Join(parts, "; ")
}

func itOrThem(list []string) string {
	if len(list) == 1 {
		return "it"
	}
	return "them"
}

// names puts inputs into words.
func (j *judge) names(inputs []string) string {
	var list []string
	for _, name := range inputs {
		list = append(list, j.name(name))
	}
	return strings.Join(list, ", ")
}

func (j *judge) name(input string) string {
	switch input {
	case PowerName:
		return "the controller's supply"
	case NetworkInput:
		return "what it received from the network"
	case ClockInput:
		return "its clock"
	case LongestRunInput:
		return "the longest run of a fill"
	case FirmwareInput:
		return "what happened inside it"
	}
	if j.run.Site != nil {
		for _, t := range j.run.Site.Controller.Terminals {
			switch input {
			case t.Contact:
				return fmt.Sprintf("the contact %q", input)
			case t.Pulse:
				return fmt.Sprintf("the meter %q", input)
			case t.Analogue:
				return fmt.Sprintf("the probe %q", input)
			}
		}
	}
	return fmt.Sprintf("%q", input)
}
