package controller

import (
	"slices"

	"ullage/harness"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// alerts keeps apart what is said too often.
type alerts struct {
	names       []string
	signals     []signal.ID
	repeatAfter signal.Time   // shortest time between two alerts of one kind; 0: none
	raised      []signal.Time // by alert: not raised again before; forgotten at boot, as are alerts that were not sent
}

func newAlerts(c *Controller, s sitefile.Alerts) alerts {
	names := harness.AlertNames()
	c.flash.quiet = make([]signal.Time, len(names))
	return alerts{names: names, signals: make([]signal.ID, len(names)), raised: make([]signal.Time, len(names)), repeatAfter: span(s.RepeatAfter)}
}

// alert publishes an alert unless one of its kind went out a short time ago or has yet to arrive.
func (c *Controller) alert(name string) {
	i := slices.Index(c.alerts.names, name)
	if c.has(spacingShared) {
		i = 0
	}
	if c.has(flowSpacingShared) && name == harness.AlertFlowWithoutCall {
		i = slices.Index(c.alerts.names, harness.AlertNoFlow)
	}
	if (c.now < max(c.flash.quiet[i], c.alerts.raised[i]) || c.network.waits(name)) && !c.has(noAlertSpacing) {
		return
	}
	if c.alerts.raised[i] = c.now + c.alerts.repeatAfter; c.has(alertOnce) {
		c.alerts.raised[i] = signal.Never
	}
	c.network.publish(harness.TopicAlert, name)
}

// alertSent notes that an alert goes out for the first time. Its spacing counts from here, however long it was kept.
func (c *Controller) alertSent(name string) {
	i := slices.Index(c.alerts.names, name)
	c.put(c.alerts.signals[i], 1)
	c.flash.quiet[i] = c.now + c.alerts.repeatAfter
}
