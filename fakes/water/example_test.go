package water_test

import (
	"fmt"

	"ullage/fakes/water"
)

// Water from a tank 28 m up runs through 30 m of pipe to a valve and out of a nozzle.
func ExampleNetwork() {
	var n water.Network
	tank := n.Reservoir("tank", 28)
	before, after := n.Junction("before the valve", 0, 0), n.Junction("nozzle", 0, 0)
	pipe := n.Pipe("feed", tank, before, water.Pipe{Length: 30, Bore: 0.0204, HazenWilliams: 140})
	n.Valve("valve", before, after, 3)
	n.Emitter("nozzle", after, water.Emitter{Coefficient: 1e-4, Exponent: 0.5})
	solver, err := n.Compile()
	if err == nil {
		err = solver.Solve()
	}
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f L/min, %.2f bar before the valve\n", solver.Flow(pipe)*60e3, solver.Pressure(before)/1e5)
	// Output: 27.6 L/min, 2.37 bar before the valve
}
