package harness_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/signal"
)

// openable is a controller whose inside can be turned.
type openable struct {
	*tinyController
	knobs  []harness.ControllerKnob
	turned map[harness.ControllerKnob]float64
}

func (o openable) Knobs() []harness.ControllerKnob { return o.knobs }

func (o openable) Turn(_ signal.Time, knob harness.ControllerKnob, value float64) error {
	o.turned[knob] = value
	return nil
}

// What a controller says that faults may turn is offered on the panel, within its range, and reaches the controller.
func TestKnobsOfControllers(t *testing.T) {
	o := openable{newTiny().controller, harness.ControllerKnobs(), map[harness.ControllerKnob]float64{}}
	panel := fault.NewPanel()
	require.NoError(t, harness.OpenController(context.Background(), o, signal.NewTrace(), panel, harness.Draw{}))
	for _, k := range harness.ControllerKnobs() {
		least, most, rest, err := k.Range()
		require.NoError(t, err)
		assert.True(t, least <= rest && rest <= most && least < most, "the knob %s rests at %g and takes %g to %g", k,
			rest, least, most)
		value := least
		if least == rest {
			value = most
		}
		require.NoError(t, panel.Open(0, "controller", string(k), value))
		assert.Equal(t, value, o.turned[k], "turning %s does not reach the controller", k)
		require.NoError(t, panel.Close(0, "controller", string(k), value))
		assert.Equal(t, rest, o.turned[k], "%s is not released", k)
		assert.Error(t, panel.Open(0, "controller", string(k), most+1), "%s can be turned beyond its range", k)
	}
}

// A knob that harness does not know is a mistake of the controller, said when it is opened.
func TestUnknownKnobOfAController(t *testing.T) {
	o := openable{newTiny().controller, []harness.ControllerKnob{"mood"}, nil}
	err := harness.OpenController(context.Background(), o, signal.NewTrace(), fault.NewPanel(), harness.Draw{})
	assert.ErrorContains(t, err, `controller: "mood" is no knob of controllers; they are ["reset" "hang"`)
}
