package controller

import (
	"fmt"
	"slices"

	"ullage/harness"
)

// defects are all lists.
var defects = slices.Concat(firstList, secondList, thirdList)

// Defects lists what the controller can be built with: the first list, which grew together with the suite, then the
// second and the third.
func Defects() []Defect { return slices.Clone(defects) }

// Seeded builds the controller with a defect.
func Seeded(id string) Option {
	return func(c *Controller) error {
		i := slices.IndexFunc(defects, func(d Defect) bool { return d.ID == id })
		if i < 0 {
			return fmt.Errorf("controller: there is no defect %q to be built with", id)
		}
		defects[i].weave(c)
		return nil
	}
}

// Protections lists the defects that leave a protection out whole.
func Protections() []Defect {
	return slices.DeleteFunc(Defects(), func(d Defect) bool { return d.Takes == "" })
}

// Without takes protections out.
func Without(protections ...harness.Ability) Option {
	return func(c *Controller) error {
		for _, a := range protections {
			i := slices.IndexFunc(defects, func(d Defect) bool { return d.Takes == a && a != "" })
			if i < 0 {
				return fmt.Errorf("controller: %q is not a protection that can be taken out", a)
			}
			defects[i].weave(c)
		}
		return nil
	}
}
