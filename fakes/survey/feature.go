package survey

import (
	"fmt"
	"math"
	"strings"

	q "ullage/harness/quantity"
)

// Feature is a first scenario on the site, which scenarios call by that name: the high float hangs down during a fill, or,
// without a tank, somebody starts a zone and forgets it.
func (m *Made) Feature(site string) string {
	s := m.Site.Controller.Settings
	lines := []string{"Feature: First look at " + m.Site.Name}
	if s.Fill == nil {
		zone := s.Remote.Zones[0].Zone
		lines = append(lines,
			"  Scenario: A zone is started from afar and forgotten",
			fmt.Sprintf("    Given the site %q", site),
			fmt.Sprintf("    When %q is started from afar for 4 h", zone),
			"    And 5 hours pass",
			fmt.Sprintf("    Then the valve %q is never open longer than %s at a stretch", zone, exactly(s.Remote.LongestRun.SI+strokes, q.Duration, q.Metric)))
		return strings.Join(lines, "\n") + "\n"
	}
	run := s.Fill.LongestRun.SI
	lines = append(lines,
		"  Scenario: The high float hangs down during a fill",
		fmt.Sprintf("    Given the site %q", site),
		fmt.Sprintf("    And the level in %q is %s", tankName, exactly(math.Floor(m.level(lowFloat)*0.98*1e4)/1e4, q.Length, q.Metric)),
		fmt.Sprintf("    When the float of %q jams released", highFloat),
		fmt.Sprintf("    And %s pass", exactly(math.Ceil(run/1800)*1800+1800, q.Duration, q.Metric)))
	if s.CutOff != nil && m.level(spill)-m.level(lowFloat) < 0.9*runMargin*(m.level(highFloat)-m.level(lowFloat)) {
		lines = append(lines,
			fmt.Sprintf("    Then the valve %q closes within 5 s of %q operating", s.Fill.Valve, spill),
			fmt.Sprintf("    And no water goes over the rim of %q", tankName))
	} else {
		lines = append(lines, fmt.Sprintf("    Then the valve %q is never open longer than %s at a stretch", s.Fill.Valve, exactly(run+strokes, q.Duration, q.Metric)))
	}
	return strings.Join(lines, "\n") + "\n"
}

// strokes is what a run may last beyond its time: the valve's strokes, in s.
const strokes = 5

// level is where a float operates, in m.
func (m *Made) level(name string) float64 {
	for _, c := range m.Site.Contacts {
		if c.Name == name {
			return c.Operates.SI
		}
	}
	return 0
}
