package survey

import (
	"fmt"
	"math"

	"ullage/fakes/pipework"
	"ullage/fakes/water"
	q "ullage/harness/quantity"
	"ullage/harness/sitefile"
)

// model is the network of a draft with the valve to the tank open.
type model struct {
	solver *water.Solver
	supply water.Supply
	main   water.Link
	inlet  water.Outlet
	static float64 // Pa
}

func newModel(d *draft, site *sitefile.Site) (*model, error) {
	plan, err := pipework.New(site)
	if err != nil {
		return nil, err
	}
	solver, err := plan.Network.Compile()
	if err != nil {
		return nil, err
	}
	m := &model{solver: solver, supply: plan.Supplies[mainsName], main: plan.Links[mainPipe],
		static: d.Static}
	for _, at := range []int{d.Filler(), d.Master()} {
		if at >= 0 {
			solver.SetKv(plan.Links[d.Valves[at].Name], d.Valves[at].Kv)
		}
	}
	if d.Filler() >= 0 {
		m.inlet = plan.Outlets[inletName][0]
	}
	return m, nil
}

// supplied is a supply: its static pressure and what is left of it at a flow, Pa and m³/s.
type supplied struct{ static, residual, at float64 }

// fills is the flow into the tank in m³/s for a residual pressure in Pa at a flow in m³/s and for the fittings' loss in
// velocity heads.
func (m *model) fills(residual, at, fittings float64) (float64, error) {
	return m.fillsFrom(supplied{m.static, residual, at}, fittings)
}

// fillsFrom is the same from any supply.
func (m *model) fillsFrom(s supplied, fittings float64) (float64, error) {
	m.solver.SetInflow(m.supply, water.Inflow{Static: pipework.Head(s.static), Residual: pipework.Head(s.residual),
		Flow: s.at})
	m.solver.SetMinor(m.main, fittings)
	if err := m.solver.Solve(); err != nil {
		return 0, fmt.Errorf("a fill could not be computed: %w", err)
	}
	return m.solver.Outflow(m.inlet), nil
}

// fitFill makes the computed fill take as long as was measured. One reading settles one unknown: with the residual
// pressure measured the supply is known, and the loss of the fittings is sought; without it the fittings are taken as
// usual and the residual pressure is sought, and the fittings only where no residual pressure will do: with it at its
// upper limit where the fill is too fast, and as a usual tap has it where something behind the tap makes the fill slow.
func (d *draft) fitFill(m *model) error {
	if d.FillTime == 0 {
		flow, err := m.fills(d.residual, d.at, d.fittings)
		d.fillFlow = flow
		return err
	}
	wanted := d.fillVolume() / d.FillTime
	if !d.Measured {
		residual, err := root(0, supplyKeeps*d.Static, func(p float64) (float64, error) {
			flow, err := m.fills(p, d.at, d.fittings)
			return flow - wanted, err
		})
		if err != nil {
			return err
		}
		if residual > 0 {
			d.residual, d.residualFrom = d.rounded(residual, q.Pressure), fittedToFill
		}
		if residual > 0 && residual < supplyKeeps*d.Static {
			d.fillFlow, err = m.fills(d.residual, d.at, d.fittings)
			return err
		}
	}
	fittings, err := m.fittingsFor(wanted, d.residual, d.at)
	if err != nil {
		return err
	}
	d.fittings, d.fittingsFrom = significant(fittings), fittedToFill
	d.fillFlow, err = m.fills(d.residual, d.at, d.fittings)
	return err
}

const fittedToFill = "fitted to the fill time"

// fittingsFor is the loss of the fittings, in velocity heads, with which a flow in m³/s runs into the tank.
func (m *model) fittingsFor(wanted, residual, at float64) (float64, error) {
	return root(leastFittings, mostFittings, func(k float64) (float64, error) {
		flow, err := m.fills(residual, at, k)
		return wanted - flow, err
	})
}

// root finds where a rising function passes zero between two ends, by halving; where it does not, it is the nearer end.
func root(low, high float64, f func(float64) (float64, error)) (float64, error) {
	if y, err := f(low); err != nil || y >= 0 {
		return low, err
	}
	if y, err := f(high); err != nil || y <= 0 {
		return high, err
	}
	for range 60 {
		middle := (low + high) / 2
		y, err := f(middle)
		if err != nil {
			return 0, err
		}
		if y < 0 {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2, nil
}

// significant is x to five significant digits: as exactly as a loss is written.
func significant(x float64) float64 {
	if x == 0 {
		return 0
	}
	scale := 1.0
	for math.Abs(x)*scale < 1e4 {
		scale *= 10
	}
	return math.Round(x*scale) / scale
}
