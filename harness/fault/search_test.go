package fault

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A complaint leads to the fault that a person who knows the trade would look at first, or at least among the first
// three.
func TestCausesOfComplaints(t *testing.T) {
	for complaint, cause := range map[string]string{
		"tank overflowed overnight":                         "valve.stuck-open",
		"the cistern spilled over":                          "overflow.blocked",
		"Our plants are dry but it says it watered":         "valve.stuck-closed",
		"I get the same alarm again and again":              "wifi.flapping",
		"the pump was running with the barrel empty":        "contact.jammed-released",
		"valve CHATTERS":                                    "contact.bounce",
		"says 100 % wet although the soil is dusty":         "probe.unplugged",
		"it restarts when the pump comes on":                "power.brown-out",
		"only works when the weather is dry":                "contact.corroded",
		"water came over the edge although overflow fitted": "overflow.blocked",
		"tank overflowed over night, float hanging down":    "contact.jammed-released",
		"plants dried out while on holiday":                 "supply.off",
		"valve buzzes and is hot":                           "coil.plunger-jammed",
		"app says watering but nothing is wet":              "output.failed-off",
		"pump keeps running with nothing in the tank":       "pump.runs-on",
		"pipes bang at night":                               "supply.surge",
		"one zone never comes on":                           "coil.open",
		"green water from the kitchen tap":                  "supply.back-siphonage",
		"moisture reading jumps about":                      "probe.spikes",
		"nothing comes on a frosty morning":                 "pipe.frozen",
		"the valve will not shut off since we fitted it":    "valve.backwards",
		"drippers at the end of the line give nothing":      "filter.loaded",
		"float works by hand but it does not react":         "contact.broken-lead",
		"pump runs but no water comes":                      "pump.air-locked",
		"since the new float it does the opposite":          "contact.inverted",
		"it fills every hour although nobody takes water":   "tank.leak",
		"water bill is twice what it was":                   "pipe.leak",
		"it waters in the rain":                             "probe.shorted-to-supply",
		"controller keeps restarting":                       "controller.reboot-loop",
		"I got two hundred messages last night":             "power.cycling",
		"water comes out of the drippers when off":          "valve.weeps",
		"the pump is screaming and hot":                     "pump.air-locked",
		"sprinkler head flew off and there is a fountain":   "emitter.off",
		"valve does not close":                              "valve.stuck-open",
		"soil reading always the same":                      "probe.stuck",
		"gushing water in the garden, pipe broken":          "pipe.burst",
		"clock is wrong, waters at night":                   "clock.forward",
		"settings gone after update":                        "controller.settings-lost",
		"the drinking water tastes of garden":               "supply.back-siphonage",
	} {
		causes := Search(complaint)
		require.NotEmpty(t, causes, complaint)
		var first []string
		for _, c := range causes[:min(3, len(causes))] {
			first = append(first, c.ID)
		}
		assert.Contains(t, first, cause, "%q should lead to %s among the first three", complaint, cause)
	}
	assert.Empty(t, Search("xyzzy"), "nothing in the catalogue is like that")
	assert.Empty(t, Search("it was the"), "words that mean nothing")
}

func TestListingsNameEveryFault(t *testing.T) {
	for _, e := range Catalogue() {
		assert.Contains(t, ByTarget(), e.ID)
		assert.GreaterOrEqual(t, strings.Count(ByHazard(), "  "+e.ID+" "), len(e.Hazards),
			"%s must stand under each of its hazards", e.ID)
		text := e.Describe(nil)
		for _, part := range append([]string{e.Mechanism, e.Check}, e.Symptoms...) {
			assert.Contains(t, text, part)
		}
		for _, p := range e.Parameters {
			assert.Contains(t, text, p.Source, "a figure without its source")
		}
	}
}

func TestParametersAreWrittenWithTheirUnit(t *testing.T) {
	e, _ := Find("contact.bounce")
	out, err := json.Marshal(e)
	require.NoError(t, err)
	assert.Contains(t, string(out), `{"name":"bounce time","unit":"s","default":0.0062,"worst":0.157,`)
}
