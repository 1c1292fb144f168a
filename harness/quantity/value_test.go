package quantity

import (
	"encoding"
	"encoding/json"
	"errors"
	"math"
	"regexp"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// quantityField is what the quantities of a file have in common.
type quantityField interface {
	encoding.TextUnmarshaler
	encoding.TextMarshaler
	Dimension() Dimension
	IsSet() bool
}

func TestFields(t *testing.T) {
	for _, c := range []struct {
		field quantityField
		dim   Dimension
		text  string
	}{
		{new(PressureValue), Pressure, "2.4 bar"}, {new(FlowValue), Flow, "2 L/h"}, {new(LengthValue), Length,
			"560 mm ± 10 mm"},
		{new(AreaValue), Area, "12 m²"}, {new(VolumeValue), Volume, "400 L"}, {new(DurationValue), Duration,
			"6 min 5 s"},
		{new(VoltageValue), Voltage, "3.3 V"}, {new(CurrentValue), Current, "350 mA"}, {new(ResistanceValue),
			Resistance, "10 kΩ"},
		{new(TemperatureValue), Temperature, "20 °C"}, {new(FractionValue), Fraction, "18 %"}, {new(VelocityValue),
			Velocity, "1.5 m/s"},
		{new(DepthValue), Depth, "4 mm/day"}, {new(CapacityValue), Capacity, "2.5 m³/h"}, {new(FrequencyValue),
			Frequency, "50 Hz"},
		{new(ChargeValue), Charge, "2.2 Ah"}, {new(CapacitanceValue), Capacitance, "2200 µF"},
	} {
		assert.Equal(t, c.dim, c.field.Dimension())
		assert.False(t, c.field.IsSet(), "%s before it is read", c.text)
		require.Error(t, c.field.UnmarshalText([]byte("7 furlongs")))
		assert.False(t, c.field.IsSet(), "%s after an error", c.text)
		require.NoError(t, c.field.UnmarshalText([]byte(c.text)))
		assert.True(t, c.field.IsSet(), c.text)
		text, err := c.field.MarshalText()
		require.NoError(t, err)
		assert.Equal(t, c.text, string(text))
	}
}

func TestUnsetField(t *testing.T) {
	var unset LengthValue
	assert.Equal(t, Value{SI: 0.3}, unset.Or(0.3))
	text, err := unset.MarshalText()
	require.NoError(t, err)
	assert.Empty(t, text)
	zero := unset.With(0, 0.01)
	assert.True(t, zero.IsSet(), "a length of 0 was written")
	assert.Equal(t, Value{Tolerance: 0.01}, zero.Or(0.3))
	_, err = unset.With(math.Inf(1), 0).MarshalText()
	assert.ErrorContains(t, err, "not finite")
	out, err := json.Marshal(struct {
		Rim LengthValue `json:"rim,omitzero"`
		Cap LengthValue `json:"cap"`
	}{Cap: zero})
	require.NoError(t, err)
	assert.Equal(t, `{"cap":"0 mm ± 10 mm"}`, string(out))
}

type tank struct {
	Rim   LengthValue   `yaml:"rim"`
	Inlet LengthValue   `yaml:"inlet"`
	Fill  FlowValue     `yaml:"fill"`
	Delay DurationValue `yaml:"delay"`
}

func decode(text string, into any) error {
	return yaml.NewDecoder(strings.NewReader(text), yaml.Strict()).Decode(into)
}

func TestYAML(t *testing.T) {
	var got tank
	require.NoError(t, decode("rim: 560 mm ± 10 mm # inside\ninlet: 1 1/2\"\nfill: '2 L/h'\n", &got))
	assert.Equal(t, Value{SI: 0.56, Tolerance: 0.01}, got.Rim.Value)
	assert.InDelta(t, 0.0381, got.Inlet.SI, 1e-15)
	assert.InDelta(t, 2e-3/3600, got.Fill.SI, 1e-20)
	assert.False(t, got.Delay.IsSet())
	for text, says := range map[string]string{
		"rim: 560":      "a number without a unit",
		"rim: 5.60":     "a number without a unit",
		"rim: 0x10":     "without a unit",
		"rim: true":     "no number",
		"rim: 3 bar":    "bar measures a pressure",
		"rim: [560 mm]": "Unmarshaler",
		"rim: ''":       "nothing is written",
		"rmi: 560 mm":   "unknown field",
	} {
		assert.ErrorContains(t, decode(text, new(tank)), says, text)
	}
}

// placed shows how a reader keeps the position of a wrong quantity: goccy passes on the error of a TextUnmarshaler
// bare, but hands a NodeUnmarshaler the node, whose token knows line and column.
type placed struct {
	LengthValue
	node ast.Node
	err  error
}

func (p *placed) UnmarshalYAML(node ast.Node) error {
	p.node = node
	p.err = p.UnmarshalText([]byte(node.GetToken().Value))
	return nil
}

func TestYAMLPosition(t *testing.T) {
	err := decode("tank:\n  rim: 3 bar\n", new(struct {
		Tank tank `yaml:"tank"`
	}))
	var located yaml.Error
	require.Error(t, err)
	assert.False(t, errors.As(err, &located),
		"goccy now places the error of a TextUnmarshaler: the site file may rely on it")

	var got struct {
		Rim   placed `yaml:"rim"`
		Inlet placed `yaml:"inlet"`
		Base  placed `yaml:"base"`
	}
	require.NoError(t, decode("rim: 3 bar\ninlet: 5\nbase: \"20 mm\"\n", &got))
	assert.ErrorContains(t, got.Rim.err, "measures a pressure")
	assert.Equal(t, "1:6", position(got.Rim.node))
	assert.ErrorContains(t, got.Inlet.err, `"5": a number without a unit`)
	assert.Equal(t, "2:8", position(got.Inlet.node))
	assert.NoError(t, got.Base.err)
	assert.Equal(t, 0.02, got.Base.SI)
}

func position(n ast.Node) string {
	p := n.GetToken().Position
	return strings.Join([]string{digits(float64(p.Line)), digits(float64(p.Column))}, ":")
}

// The schema must not refuse what Parse reads, nor let through what has no unit or another dimension's.
func TestPattern(t *testing.T) {
	for d := Fraction; int(d) < len(abouts); d++ {
		pattern := regexp.MustCompile(Pattern(d))
		for _, u := range units {
			for _, s := range append([]string{u.symbol, typed(u)}, u.spellings...) {
				for _, text := range []string{"2.5 " + s, "2.5" + s, " -1e3 " + s + " ± 2 " + s, "3 ± .5 " + s,
					"1 1/2 " + s, "½ " + s, "1 " + s + " +- 2 %"} {
					_, err := Parse(text, d)
					assert.Equal(t, err == nil, pattern.MatchString(text), "%s as a %s: %v", text, Name(d), err)
				}
			}
		}
		for _, text := range []string{"", "5", "bar", "2,4 bar", "5 furlongs", "1 000 L"} {
			assert.False(t, pattern.MatchString(text), "%s as a %s", text, Name(d))
		}
		assert.Contains(t, Description(d), Examples(d))
	}
	duration := regexp.MustCompile(Pattern(Duration))
	assert.True(t, duration.MatchString("2 h 30 min"))
	assert.True(t, regexp.MustCompile(Pattern(Length)).MatchString(`5' 6 1/2"`))
	count := regexp.MustCompile(Pattern(Count))
	assert.True(t, count.MatchString("3"))
	assert.False(t, count.MatchString("3 mm"))
	assert.Equal(t, "A length, e.g. 560 mm, 28 m or 3/4 in. Units: mm, cm, m, in, ft, dm, km, um, yd.",
		Description(Length))
}
