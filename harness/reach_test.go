package harness

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"ullage/harness/outcome"
	"ullage/harness/signal"
)

// Which rules of a site decide what an outcome looks at.
func TestWhatRulesDecide(t *testing.T) {
	site := ternLane(t)
	r, rules := newReach(site), Rules(site)
	decide := func(s signal.Signal, is outcome.Comparison) []string {
		var names []string
		for i := range rules {
			if n := len(names); r.decides(&rules[i], s, is) && (n == 0 || names[n-1] != rules[i].Name) {
				names = append(names, rules[i].Name)
			}
		}
		return names
	}
	for _, c := range []struct {
		name string
		s    signal.Signal
		is   outcome.Comparison
		want []string
	}{
		{"a valve is decided by its own rules", signal.Valve("sprays").Open(), outcome.On,
			[]string{"moisture", "remote", "flow alarms"}},
		{"a shared master valve by the rules of all that it is with", signal.Valve("master").Open(), outcome.On,
			[]string{"fill", "cut-off", "moisture", "remote", "flow alarms"}},
		{"a tank is filled by its valve, and not by what else the master lets through",
			signal.Tank("header-tank").Level(), outcome.AtMost, []string{"fill", "cut-off", "flow alarms"}},
		{"a tank is emptied by what draws from it", signal.Tank("header-tank").Level(), outcome.AtLeast,
			[]string{"fill", "cut-off", "interlock", "programme", "remote", "flow alarms"}},
		{"a bed is watered by its zone, and not if the pump is kept off", signal.Bed("stock-bed").Moisture(),
			outcome.AtLeast, []string{"interlock", "programme", "remote"}},
		{"the bed behind a master valve that the cut-off shuts", signal.Bed("bed").Moisture(), outcome.AtLeast,
			[]string{"cut-off", "moisture", "remote", "flow alarms"}},
		{"an alert is raised by its rule and carried by the messages", signal.Cloud.Alert(AlertSpill), outcome.On,
			[]string{"cut-off", "messages"}},
		{"reports are messages", signal.Cloud.Report(), outcome.On, []string{"messages"}},
	} {
		assert.Equal(t, c.want, decide(c.s, c.is), c.name)
	}
}
