package flows

import (
	"fmt"

	"ullage/fakes/pipework"
	"ullage/harness/sitefile"
)

// Switching is a pump that its pressure switch turns on and off while water is drawn: figures are those in the middle
// between the two pressures, and its flow is the mean over its runs and stops.
type Switching struct {
	CutIn  Pressure `json:"on_at_bar"`
	CutOut Pressure `json:"off_at_bar"`
}

// governed tells a pump that has a pressure switch.
func governed(p sitefile.Pump) bool { return p.PressureSwitch.CutOut.SI > 0 }

// keepPressure sets the pressure in the vessel of a pump that is on: where it runs for good, what it gives is drawn at
// once; where it would come to its cut-out pressure it cycles, and stands in the middle of its pressures at the mean
// flow. It gives the mean in the place of the flow that it has while it runs, as if it turned more slowly, so that all
// other flows are means.
func (m *model) keepPressure(p sitefile.Pump) error {
	const halvings = 40
	set, node, link := p.PressureSwitch, m.plan.Nodes[p.Name], m.plan.Links[p.Name]
	gains := func(pascal, speed float64) (bool, error) {
		m.solver.Hold(node, pipework.Head(pascal))
		m.solver.SetSpeed(link, speed)
		if err := m.solver.Solve(); err != nil {
			return false, fmt.Errorf("site %q with %v open, %s at %.2f bar: %w", m.site.Name, m.opens, p.Name,
				pascal/1e5, err)
		}
		return m.solver.NetInflow(node) >= 0, nil
	}
	fills, err := gains(set.CutOut.SI, 1)
	if err != nil {
		return err
	}
	m.switching[p.Name] = fills
	low, high := 0.0, 1.0 // shares of the speed or of the cut-out pressure
	for range halvings {
		middle := (low + high) / 2
		pressure, speed := middle*set.CutOut.SI, 1.0
		if fills {
			pressure, speed = (set.CutIn.SI+set.CutOut.SI)/2, middle
		}
		more, err := gains(pressure, speed)
		switch {
		case err != nil:
			return err
		case more == fills:
			high = middle
		default:
			low = middle
		}
	}
	return nil
}
