package survey

import (
	"fmt"
	"math"
	"strings"

	q "ullage/harness/quantity"
)

// Feature is a first scenario on the site, which scenarios call by that name: the high float hangs down during a fill;
// a fill alone, where the water never comes so high; or, without a tank, a zone that somebody starts and forgets.
func (m *Made) Feature(site string) string {
	s := m.Site.Controller.Settings
	if s.Fill == nil {
		zone := s.Remote.Zones[0].Zone
		return m.story("A zone is started remotely and forgotten",
			fmt.Sprintf("Given the site %q", site),
			fmt.Sprintf("When %q is started remotely for 4 h", zone),
			"And 5 hours pass",
			fmt.Sprintf("Then the valve %q is never open longer than %s at a stretch", zone,
				atLongest(s.Remote.LongestRun.SI)))
	}
	run := s.Fill.LongestRun.SI
	ends := fmt.Sprintf("Then the valve %q is never open longer than %s at a stretch", s.Fill.Valve, atLongest(run))
	begins := []string{fmt.Sprintf("Given the site %q", site),
		fmt.Sprintf("And the level in %q is %s", tankName, level(m.begins(), m.system))}
	passes := exactly(math.Ceil(run/1800)*1800+1800, q.Duration, q.Metric) + " pass"
	if !m.comesTo(highFloat) {
		return m.story("A fill that does not reach the high float", append(begins, "When "+passes, ends)...)
	}
	begins = append(begins, fmt.Sprintf("And the float of %q jams released", highFloat), "When "+passes)
	if s.CutOff != nil && m.comesTo(spill) {
		begins = append(begins, fmt.Sprintf("Then the valve %q closes within 5 s of %q operating", s.Fill.Valve, spill))
		ends = fmt.Sprintf("And no water goes over the rim of %q", tankName)
	}
	return m.story("The high float hangs down during a fill", append(begins, ends)...)
}

// story is a feature of one scenario.
func (m *Made) story(name string, steps ...string) string {
	return fmt.Sprintf("Feature: First look at %s\n  Scenario: %s\n    %s\n", m.Site.Name, name,
		strings.Join(steps, "\n    "))
}

// atLongest is a run with the strokes of its valve, as a scenario writes it.
func atLongest(run float64) string {
	const day, strokes = 86400, 5
	if run >= day {
		return exactly(run+60, q.Duration, q.Metric)
	}
	return exactly(run+strokes, q.Duration, q.Metric)
}

// comesTo reports whether a fill of the longest run lifts the water to a float, if nothing but an overflow holds it
// back.
func (m *Made) comesTo(float string) bool {
	crest := m.Site.Tanks[0].Standpipe.Crest
	if crest.IsSet() && m.level(float) >= crest.SI {
		return false
	}
	const surely = 0.9
	return m.level(float)-m.begins() < surely*m.lifts
}

// begins is a level just below the low float: a millimetre or a sixteenth of an inch, or half of what there is.
func (m *Made) begins() float64 {
	low, below, step := m.level(lowFloat), 1e-3, 1e-4
	if m.system == q.US {
		below, step = inch/16, inch/1e4
	}
	return math.Round(math.Max(low-below, low/2)/step) * step
}

// level is where a float operates, in m.
func (m *Made) level(name string) float64 {
	for _, c := range m.Site.Contacts {
		if c.Name == name {
			return c.Operates.SI
		}
	}
	return 0
}
