package scenariotest_test

import (
	"os"
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/controller"
	"ullage/fakes/scenariotest"
	"ullage/harness"
	"ullage/harness/sitefile"
)

func newController(spec sitefile.Controller, terminals []harness.Terminal) (harness.Controller, error) {
	return controller.New(spec, terminals)
}

// unable is a controller that is able to do nothing.
type unable struct{ harness.Controller }

func (unable) Can() harness.Abilities { return nil }

func TestNight(t *testing.T) {
	scenariotest.Run(t, "testdata/night.feature", newController)
}

// The tests below are run by the test binary as a process of its own: they fail on purpose.
func TestInside(t *testing.T) {
	switch os.Getenv("SCENARIOTEST_INSIDE") {
	case "careless":
		scenariotest.Run(t, "testdata/night.feature", func(spec sitefile.Controller,
			terminals []harness.Terminal) (harness.Controller, error) {
			spec.Settings.CutOff = nil
			return controller.New(spec, terminals)
		})
	case "unable":
		scenariotest.Run(t, "testdata/night.feature", func(spec sitefile.Controller,
			terminals []harness.Terminal) (harness.Controller, error) {
			c, err := controller.New(spec, terminals)
			return unable{c}, err
		})
	case "nowhere":
		scenariotest.Run(t, "testdata/nowhere.feature", newController)
	default:
		t.Skip("fails on purpose; TestFailures runs it")
	}
}

func TestFailures(t *testing.T) {
	for inside, want := range map[string][]string{
		"careless": {"--- FAIL: TestInside/The_high_float_hangs_down",
			"testdata/night.feature:3: the valve \"top-up\" closes within 3 s of \"tank-spill\" operating: failed, margin -"},
		"unable":  {"none of 1 scenarios was run, so nothing is shown", "not run: this controller does not offer: "},
		"nowhere": {"nowhere.feature", "expected a feature file"},
	} {
		t.Run(inside, func(t *testing.T) {
			t.Parallel()
			c := exec.Command(os.Args[0], "-test.run", "TestInside", "-test.v")
			c.Env = append(os.Environ(), "SCENARIOTEST_INSIDE="+inside)
			out, err := c.CombinedOutput()
			require.Error(t, err, "the test passes: %s", out)
			for _, w := range want {
				assert.Contains(t, string(out), w)
			}
			assert.NotContains(t, strings.ToLower(string(out)), "panic")
		})
	}
}
