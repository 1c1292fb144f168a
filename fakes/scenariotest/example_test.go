package scenariotest_test

import (
	"testing"

	"ullage/fakes/scenariotest"
)

// In a firmware team's own package this function is called TestNight.
func ExampleRun() {
	_ = func(t *testing.T) {
		scenariotest.Run(t, "night.feature", newController)
	}
}
