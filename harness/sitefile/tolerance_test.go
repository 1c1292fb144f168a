package sitefile

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	q "ullage/harness/quantity"
)

func TestTolerances(t *testing.T) {
	var paths []string
	for _, tol := range mustRead(t, "tern-lane.yaml").Tolerances() {
		paths = append(paths, tol.Path)
	}
	assert.Equal(t, []string{"contacts/tank-low/operates", "contacts/tank-high/operates",
		"contacts/tank-spill/operates"}, paths)
}

func TestCorner(t *testing.T) {
	site := mustRead(t, "tern-lane.yaml")
	before := leaves(site)
	corner := AtCorner(site, -1, +1)
	assert.InDelta(t, 0.24, corner.Contacts[0].Operates.SI, 1e-12)
	assert.InDelta(t, 0.73, corner.Contacts[1].Operates.SI, 1e-12)
	assert.InDelta(t, 0.77, corner.Contacts[2].Operates.SI, 1e-12, "a sign that is left out is 0")
	assert.Empty(t, corner.Tolerances(), "a corner is exact")
	assert.NoError(t, corner.Check())
	assert.Equal(t, before, leaves(site), "the site itself has changed")
}

// The height of a part that has none of its own follows its inlet into the corner.
func TestCornerMovesInheritedHeights(t *testing.T) {
	site := mustRead(t, "tern-lane.yaml")
	require.NoError(t, Setting{Path: "pipes/riser/height", Text: "2.6 m ± 40 mm"}.Apply(site))
	require.NoError(t, site.Check())
	require.Equal(t, "pipes/riser/height", site.Tolerances()[0].Path)
	assert.InDelta(t, 2.64, AtCorner(site, 1).Outlets[1].Height.SI, 1e-12)
	assert.InDelta(t, 2.60, site.Outlets[1].Height.SI, 1e-12)
}

// Whatever tolerances a site has: when it makes sense as a whole, it makes sense at each of its corners, so that a run
// there can be made.
func TestCornersOfASensibleSiteAreSensible(t *testing.T) {
	sites := []*Site{mustRead(t, "small.yaml"), mustRead(t, "tern-lane.yaml"), mustRead(t, "rooftop-planters.yaml"),
		mustRead(t, "fish-house-sump.yaml")}
	sensible := 0
	rapid.Check(t, func(t *rapid.T) {
		site := rapid.SampledFrom(sites).Draw(t, "site").Copy()
		var given []*q.Value
		walk(reflect.ValueOf(site).Elem(), field{}, "", func(v reflect.Value, _ field, path string) {
			if a, ok := v.Addr().Interface().(amount); ok && a.IsSet() &&
				!strings.HasPrefix(path, "controller/settings") {
				given = append(given, v.FieldByName("Value").Addr().Interface().(*q.Value))
			}
		})
		for range rapid.IntRange(1, 3).Draw(t, "tolerances") {
			v := rapid.SampledFrom(given).Draw(t, "value")
			v.Tolerance = math.Abs(v.SI) * rapid.SampledFrom([]float64{1e-3, 0.02, 0.2}).Draw(t, "share")
		}
		if site.Check() != nil {
			return
		}
		sensible++
		for _, corner := range site.Corners() {
			require.NoError(t, AtCorner(site, corner.Signs...).Check(), corner.Text)
		}
	})
	assert.Greater(t, sensible, 5, "no site was looked at in its corners")
}

func TestCopySharesNothing(t *testing.T) {
	site := mustRead(t, "tern-lane.yaml")
	before := leaves(site)
	made := site.Copy()
	assert.Equal(t, before, leaves(made))
	made.Tanks[0].Starts.SI = 0.1
	made.Controller.Settings.Fill.Attempts = 9
	made.Controller.Settings.Fill.With[0] = "sprays"
	made.Controller.Settings.Remote.Zones[0].With[0] = "pump"
	made.Pumps[0].Curve[1].Head.SI = 1
	assert.Equal(t, before, leaves(site))
}
