// Package wifi models the access point and the cloud behind it at the level of messages: sessions that open, are lost
// and are refused, publishes that arrive, late or twice or not, commands that somebody sends. Packets are not modelled.
package wifi

import (
	"context"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// Device names under which the network offers knobs.
const (
	Device = string(signal.WiFi)
	Cloud  = string(signal.Cloud)
)

// WiFi is an access point with a way to the cloud. It implements harness.Network.
type WiFi struct {
	joins, lossSeen, roundTrip signal.Time
	zones                      []string // that may be started remotely

	now       signal.Time
	up        bool // the access point answers
	session   bool
	lapses    signal.Time     // when a session without an access point ends; Never while there is none
	pending   []harness.Frame // to the controller, in order of time
	arriving  []harness.Frame // to the cloud
	record    signal.Recorder
	upID      signal.ID
	sessionID signal.ID
	attempts  signal.ID
	alerts    map[string]signal.ID
	reports   signal.ID
	count     signal.ID
	received  float64
	got       []harness.Frame
	trouble
}

var _ harness.Network = (*WiFi)(nil)

// New returns the network of a site; zones are those that can be started remotely.
func New(spec sitefile.WiFi, zones []string) *WiFi {
	return &WiFi{
		joins:     signal.FromSeconds(spec.Joins.Or(2).SI),
		lossSeen:  signal.FromSeconds(spec.LossSeen.Or(6).SI),
		roundTrip: signal.FromSeconds(spec.RoundTrip.Or(0.08).SI),
		zones:     zones,
		up:        true,
		lapses:    signal.Never,
	}
}

// Open declares the signals of network and cloud and offers their knobs: the access point's signal, and for each zone a
// remote start and a remote stop.
func (w *WiFi) Open(ctx context.Context, record signal.Recorder, panel *fault.Panel, draw harness.Draw) error {
	w.record = record
	w.upID = record.Declare(signal.WiFi.Up())
	w.sessionID = record.Declare(signal.WiFi.Session())
	w.attempts = record.Declare(signal.WiFi.Attempt())
	w.alerts = map[string]signal.ID{}
	for _, name := range harness.AlertNames() {
		w.alerts[name] = record.Declare(signal.Cloud.Alert(name))
	}
	w.count = record.Declare(signal.Cloud.Alerts())
	w.reports = record.Declare(signal.Cloud.Report())
	record.Put(signal.Change{ID: w.upID, Value: 1})
	record.Put(signal.Change{ID: w.sessionID, Value: 0})
	record.Put(signal.Change{ID: w.count, Value: 0})
	panel.Offer(fault.Knob{Device: Device, Kind: "wifi", Name: "signal", Dim: quantity.State, Max: 1, Rest: 1,
		Join: fault.Smallest, Set: w.setSignal})
	for _, zone := range w.zones {
		panel.Offer(fault.Knob{Device: Cloud, Kind: "cloud", Name: "start " + zone, Dim: quantity.Duration,
			Max: harness.LongestStart.Seconds(), Join: fault.Largest, Set: w.command(zone)})
	}
	w.openTrouble(panel, draw)
	return nil
}

func (w *WiFi) setSignal(at signal.Time, value float64) error {
	up := value > 0
	if up == w.up {
		return nil
	}
	w.up = up
	w.record.Put(signal.Change{At: at, ID: w.upID, Value: state(up)})
	if up && w.noInternet && w.session {
		w.lapses = at + keepAlive
	} else {
		w.lapses = signal.Never
	}
	if !up && w.session { // what is on its way is lost; the session outlives a gap that nobody has noticed
		w.dropMessages()
		w.lapses = at + w.lossSeen
	}
	return nil
}

// lapse ends a session whose access point has been away for so long that the controller notices.
func (w *WiFi) lapse(at signal.Time) {
	w.lapses = signal.Never
	w.setSession(at, false)
	w.send(harness.Frame{At: at, Kind: harness.Lost})
}

func (w *WiFi) setSession(at signal.Time, on bool) {
	w.session = on
	w.record.Put(signal.Change{At: at, ID: w.sessionID, Value: state(on)})
}

// state is what a held signal of on and off is recorded as.
func state(on bool) float64 {
	if on {
		return 1
	}
	return 0
}

// command sends a start of a zone when its knob is turned up, not when it is let down again; without a session it is
// lost, as a command to a device that is not there.
func (w *WiFi) command(zone string) func(signal.Time, float64) error {
	before := 0.0
	return func(at signal.Time, seconds float64) error {
		up := seconds > before
		before = seconds
		if up {
			w.commands(harness.Frame{At: at, Kind: harness.Command, Topic: harness.TopicStart, Text: zone,
				Value: seconds})
		}
		return nil
	}
}

// send queues a frame to the controller behind those that are due at the same moment or before.
func (w *WiFi) send(f harness.Frame) { w.pending = insert(w.pending, f) }

func insert(queue []harness.Frame, f harness.Frame) []harness.Frame {
	i := len(queue)
	for i > 0 && queue[i-1].At > f.At {
		i--
	}
	queue = append(queue, f)
	copy(queue[i+1:], queue[i:])
	queue[i] = f
	return queue
}

// Next is when a frame arrives, at the controller or at the cloud.
func (w *WiFi) Next() signal.Time {
	next := w.lapses
	if len(w.pending) > 0 {
		next = min(next, w.pending[0].At)
	}
	if len(w.arriving) > 0 {
		next = min(next, w.arriving[0].At)
	}
	return next
}

// Advance takes what the controller sent and returns what arrives there.
func (w *WiFi) Advance(ctx context.Context, to signal.Time, sent []harness.Frame) ([]harness.Frame, error) {
	w.now = to
	for _, f := range sent {
		switch {
		case f.Kind == harness.Connect:
			w.record.Put(signal.Change{At: to, ID: w.attempts, Value: 1})
			w.connect(to)
		case f.Kind == harness.Publish && w.carries():
			w.accept(to, f)
		}
	}
	if w.lapses <= to {
		w.lapse(w.lapses)
	}
	for len(w.arriving) > 0 && w.arriving[0].At <= to {
		w.arrive(w.arriving[0])
		w.arriving = w.arriving[1:]
	}
	w.got = w.got[:0]
	for len(w.pending) > 0 && w.pending[0].At <= to {
		f := w.pending[0]
		w.pending = w.pending[1:]
		if f.Kind == harness.Connected {
			if !w.up || w.noBroker {
				f.Kind = harness.Refused
			} else if w.noInternet {
				continue
			} else if !w.session {
				w.setSession(to, true)
			}
		}
		w.got = append(w.got, f)
	}
	return w.got, nil
}

// connect begins a session. One that was open ends, and what was on its way in it is not delivered, nor the answer to an
// attempt before this one: whoever connects has forgotten both, as after a restart, of which the network sees nothing
// else.
func (w *WiFi) connect(at signal.Time) {
	w.pending = w.pending[:0]
	if w.session {
		w.setSession(at, false)
		w.lapses = signal.Never
	}
	answer := harness.Frame{At: at + w.joins + 2*w.delay, Kind: harness.Connected}
	switch {
	case !w.up || w.noBroker && !w.noInternet:
		answer.Kind = harness.Refused
	case w.noInternet:
		return
	}
	w.send(answer)
}

// arrive is a publish at the cloud: it is recorded and acknowledged.
func (w *WiFi) arrive(f harness.Frame) {
	switch f.Topic {
	case harness.TopicAlert:
		if id, ok := w.alerts[f.Text]; ok {
			w.received++
			w.record.Put(signal.Change{At: f.At, ID: id, Value: 1})
			w.record.Put(signal.Change{At: f.At, ID: w.count, Value: w.received})
		}
	case harness.TopicReport:
		w.record.Put(signal.Change{At: f.At, ID: w.reports, Value: 1})
	}
	w.deliver(f.At, harness.Frame{Kind: harness.Acknowledged, Number: f.Number})
}

// Close lets go; there is nothing to make safe.
func (w *WiFi) Close() error { return nil }
