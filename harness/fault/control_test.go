package fault

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"ullage/harness/signal"
)

// What controller, access point and cloud offer.
func init() {
	for kind, offered := range map[string]map[string][2]float64{
		"controller": {"reset": {0, 1}, "clock step": {-7 * 86400, 7 * 86400}, "clock unset": {0, 1},
			"counter": {0, 1 << 32}, "oscillator": {0.5, 2},
			"hang": {0, 1}, "watchdog": {0, 1}, "pins float": {0, 10}, "settings lost": {0, 1}, "settings torn": {0,
				1}, "longest run": {0, 86400},
			"update": {0, 600}},
		"wifi":  {"signal": {0, 1}, "delay": {0, 60}, "loss": {0, 1}, "duplicates": {0, 1}, "half open": {0, 1}},
		"cloud": {"internet": {0, 1}, "broker": {0, 1}, "stops lost": {0, 1}},
	} {
		knobs[kind] = offered
	}
}

// A declared fault is in the catalogue, is marked, and is refused.
func TestDeclaredFaultsDoNotAct(t *testing.T) {
	declared := 0
	for _, e := range Catalogue() {
		if e.Awaits == "" {
			assert.NotNil(t, e.course, "%s neither acts nor is declared", e.ID)
			continue
		}
		declared++
		assert.Nil(t, e.course, "%s is declared and acts all the same", e.ID)
		_, err := Turns(Injection{Fault: e.ID, Target: "wifi"})
		assert.EqualError(t, err, e.ID+" is listed, not yet simulated: it waits for the simulation of "+e.Awaits)
		assert.Contains(t, e.Describe(nil), "listed, not yet simulated")
		assert.Regexp(t, e.ID+`.*listed`, ByTarget())
	}
	assert.NotZero(t, declared)
}

// A network without an access point offers nothing that a fault could act on.
func TestFaultWithoutAnAccessPoint(t *testing.T) {
	for _, device := range []string{string(signal.WiFi), string(signal.Cloud)} {
		_, err := NewPanel().Find(device, "signal")
		assert.EqualError(t, err, "this network has no access point, and the fault needs one")
	}
}
