package sitefile

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	q "ullage/harness/quantity"
)

func span(s float64) q.DurationValue { return q.DurationValue{}.With(s, 0) }

func TestReactsDefaults(t *testing.T) {
	for _, test := range []struct {
		name  string
		given Reacts
		fill  *Fill
		want  map[string]float64 // besides the defaults
	}{
		{"nothing given", Reacts{}, nil, nil},
		{"a value that is given stays", Reacts{Polls: span(0)}, nil, map[string]float64{"polls": 0}},
		{"the debounce of a fill lies within", Reacts{}, &Fill{Debounce: span(8)},
			map[string]float64{"debounce/to": 8}},
		{"also one that is none", Reacts{}, &Fill{Debounce: span(0)}, map[string]float64{"debounce/from": 0}},
		{"a default gives way to the other end", Reacts{Debounce: DebounceBounds{To: span(0.01)}}, nil,
			map[string]float64{"debounce/from": 0.01, "debounce/to": 0.01}},
		{"and the other way round", Reacts{BackOff: BackOff{Least: span(600)}}, nil,
			map[string]float64{"back-off/least": 600, "back-off/most": 600}},
	} {
		test.given.FillDefaults(test.fill)
		want := map[string]float64{"polls": 0.1, "acts-within": 1, "alerts-within": 10, "debounce/from": 0.02,
			"debounce/to": 5,
			"filter":      5, "stagger": 1, "back-off/least": 5, "back-off/most": 300, "resends": 10, "silent-after": 90}
		for key, value := range test.want {
			want[key] = value
		}
		assert.Equal(t, want, test.given.Seconds(), test.name)
		assert.NoError(t, test.given.Validate(), test.name)
	}
}

// What a controller says of itself has precedence, and what it leaves out is that of the site file.
func TestReactsOver(t *testing.T) {
	file := Reacts{Polls: span(1), Debounce: DebounceBounds{To: span(0.2)}}
	file.FillDefaults(nil)
	own := Reacts{Polls: span(0.01), Debounce: DebounceBounds{From: span(0.3)}}
	got := own.Over(file)
	assert.Equal(t, 0.01, got.Polls.SI)
	assert.Equal(t, 0.3, got.Debounce.From.SI)
	assert.Equal(t, 0.3, got.Debounce.To.SI, "the file's value gives way where the two contradict each other")
	assert.Equal(t, 5.0, got.Filter.SI)
	assert.Equal(t, 1.0, file.Polls.SI, "the file's values are changed")
}

func TestReactsValidate(t *testing.T) {
	for want, r := range map[string]Reacts{
		"polls is -1 s; expected 0 s or more": {Polls: span(-1)},
		"debounce/from is 2 s; expected at most debounce/to, 1 s": {Debounce: DebounceBounds{From: span(2),
			To: span(1)}},
		"resends is 60 s; expected at most silent-after": {Resends: span(60), SilentAfter: span(30)},
	} {
		require.ErrorContains(t, r.Validate(), want)
	}
}
