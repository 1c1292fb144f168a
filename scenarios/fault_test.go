package scenarios

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// writable is a number in a range as a decimal with a unit gives it.
func writable(t *rapid.T, p fault.Parameter) float64 {
	v := rapid.Float64Range(p.Min, p.Max).Draw(t, p.Name)
	if p.Dim == quantity.Count {
		return math.Round(v)
	}
	read, err := quantity.Parse(quantity.Exact(v, p.Dim), p.Dim)
	require.NoError(t, err)
	return min(max(read.SI, p.Min), p.Max)
}

// Whatever fault is injected wherever with whatever figures, its sentence reads as the same injection to the last bit.
func TestASentenceReadsAsTheInjectionThatItWasWrittenFrom(t *testing.T) {
	for _, e := range fault.Catalogue() {
		if e.Awaits != "" {
			continue
		}
		t.Run(e.ID, func(t *testing.T) {
			t.Parallel()
			targets := 0
			for _, site := range ShippedSites() {
				fitting, _ := e.Targets(site)
				for _, target := range fitting {
					targets++
					for _, severity := range []fault.Severity{fault.Typical, fault.Worst} {
						readsBack(t, site, e.Injection(target, severity))
					}
				}
			}
			require.NotZero(t, targets, "no shipped site has a target for it")
			if e.Parameters == nil {
				return
			}
			site, target := aTarget(e)
			rapid.Check(t, func(t *rapid.T) {
				in := e.Injection(target, fault.Typical)
				for _, p := range e.Parameters {
					in.Params[p.Name] = writable(t, p)
				}
				if !e.WithoutWindow && (e.Phrases[0].Window() || rapid.Bool().Draw(t, "ends")) {
					in.For = signal.Time(rapid.Int64Range(1, int64(signal.Day)).Draw(t, "for"))
				}
				readsBack(t, site, in)
			})
		})
	}
}

func aTarget(e fault.Entry) (*sitefile.Site, string) {
	for _, site := range ShippedSites() {
		if fitting, _ := e.Targets(site); len(fitting) > 0 {
			return site, fitting[0]
		}
	}
	return nil, ""
}

func readsBack(t require.TestingT, site *sitefile.Site, in fault.Injection) {
	step, err := in.Sentence()
	require.NoError(t, err)
	read, err := ReadFault(site, step)
	require.NoError(t, err, step)
	require.Equal(t, in, read, step)
}

// What a fault needs of its target is refused with both named.
func TestRefusalsNameFaultAndTarget(t *testing.T) {
	refused := 0
	for _, site := range ShippedSites() {
		for _, e := range fault.Catalogue() {
			if e.Awaits != "" {
				continue
			}
			_, unfit := e.Targets(site)
			for _, u := range unfit {
				refused++
				step, err := e.Injection(u.Target, fault.Typical).Sentence()
				require.NoError(t, err)
				_, err = ReadFault(site, step)
				var same *fault.UnfitError
				require.True(t, errors.As(err, &same), "%s on %s of %s is not refused", e.ID, u.Target, site.Name)
				assert.Contains(t, err.Error(), e.ID)
				if !e.Single() {
					assert.Contains(t, err.Error(), u.Target)
				}
			}
		}
	}
	assert.Greater(t, refused, 50)
}
