package fault

import "ullage/harness/quantity"

// overflowFaults are those of overflow pipes through the wall, and of the drain that an overflow pipe leads to.
var overflowFaults = []Entry{
	{
		ID: "side-outlet.blocked", Name: "side outlet blocked", DeviceKind: "tank", Needs: hasSideOutlet,
		Phrases: []Phrase{
			{Pattern: `the side outlet of {tank} is blocked by {share}`,
				Meaning: "The overflow pipe through the wall passes less by this share than it should at the same level."},
		},
		Mechanism: "Leaves, slime, a spider's web or ice narrow the overflow pipe through the wall, most often at the " +
			"screen or the fitting in the wall.",
		Parameters: []Parameter{
			{Name: "share", Dim: quantity.Fraction, Default: 0.5, Worst: 1, Min: 0, Max: 1,
				Source:      practice,
				WorstSource: "ice, or a screen that is coated over; " + practice},
		},
		Symptoms: []string{"The barrel ran over at the top although it has an overflow pipe in the side.",
			"The overflow hose only drips while water runs down the outside of the tank.",
			"The overflow pipe was full of leaves."},
		Check: "With the inlet shut off, pour a bucket into the tank at the level of the pipe and look whether it leaves " +
			"at the other end as fast.",
		Ask:         "Does the overflow pipe in the side of the tank only drip while water stands above it?",
		BaseRate:    Often,
		LocalEffect: "The side outlet passes only a share of what it should at the same level.",
		EndEffect:   "What the overflow would have carried away runs over the rim.",
		Hazards:     []Hazard{Flood},
		course:      hold("side outlet", func(p func(string) float64) float64 { return 1 - p("share") }),
	},
	{
		ID: "drain.backs-up", Name: "drain of the overflow backs up", DeviceKind: "tank", Needs: hasDrain,
		Phrases: []Phrase{
			{Pattern: `the drain of the overflow of {tank} backs up[ and takes {flow}]`,
				Meaning: "The drain that the overflow pipe leads to takes this flow with water up to the crest, and little " +
					"more when it stands higher: the water rises in the pipe and in the tank."},
		},
		Mechanism: "Roots, fat, silt or a full gully hold back the drain that the overflow pipe is joined to: water " +
			"stands in the pipe and rises in the tank until the drain takes what comes.",
		Parameters: []Parameter{
			{Name: "flow", Dim: quantity.Flow, Default: 5.0 / 60e3, Worst: 0, Min: 0, Max: 0.1,
				Source:      practice,
				WorstSource: "a drain that is shut off or frozen; " + practice},
		},
		Symptoms: []string{"The overflow gurgles and water comes back up.", "The gully at the overflow stands full.",
			"When it rains hard the tank runs over at the top.",
			"The overflow took it all last year, now the tank floods the floor."},
		Check: "With the inlet shut off, pour buckets into the overflow one after the other: a drain that is clear takes " +
			"them all, one that backs up stands full after the first. Water that has come back from a drain is foul: do " +
			"not touch or use it.",
		Ask:         "Does the gully or drain that the overflow leads to stand full, or gurgle?",
		LocalEffect: "Water stands in the overflow pipe, and the level rises until the drain takes what comes.",
		EndEffect:   "What the drain does not take runs over the rim.",
		Hazards:     []Hazard{Flood},
		course:      hold("drain", parameter("flow")),
	},
}
