package controller

import (
	"slices"

	"ullage/harness"
	"ullage/harness/signal"
)

// alerter publishes alerts for the rules.
type alerter interface {
	raise(name string)
}

// publisher takes messages for the network.
type publisher interface {
	publish(topic, text string)
	waits(alert string) bool // an alert is on its way and has not arrived
}

// alerts spaces the alerts of each kind.
type alerts struct {
	*record
	publisher   publisher
	repeatAfter signal.Time // shortest time between two alerts of one kind; 0: none
	names       []string
	signals     []signal.ID
	spacings    []*spacing // by name
}

// spacing is when an alert may be raised again.
type spacing struct {
	raised signal.Time // not before this since it was raised; forgotten at boot, as are alerts that were not sent
	// not before this since it was sent; kept in flash, or a supply that comes and goes would send one at every boot
	sent signal.Time
}

func newAlerts(r *record, to publisher, repeatAfter signal.Time) alerts {
	names := harness.AlertNames()
	a := alerts{
		record:      r,
		publisher:   to,
		repeatAfter: repeatAfter,
		names:       names,
		signals:     make([]signal.ID, len(names)),
	}
	for range names {
		a.spacings = append(a.spacings, &spacing{})
	}
	return a
}

// boot forgets what was raised and not sent.
func (a *alerts) boot() {
	for _, s := range a.spacings {
		s.raised = 0
	}
}

// raise publishes an alert unless one of its kind was sent a short time ago or has yet to arrive.
func (a *alerts) raise(name string) {
	s := a.spacings[slices.Index(a.names, name)]
	if a.now < max(s.sent, s.raised) || a.publisher.waits(name) {
		return
	}
	s.raised = a.now + a.repeatAfter
	a.publisher.publish(harness.TopicAlert, name)
}

// sent notes that an alert is sent for the first time. Its spacing counts from here, however long it was kept.
func (a *alerts) sent(name string) {
	i := slices.Index(a.names, name)
	a.put(a.signals[i], 1)
	a.spacings[i].sent = a.now + a.repeatAfter
}
