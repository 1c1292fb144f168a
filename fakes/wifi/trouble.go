package wifi

import (
	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// keepAlive is how long a session stands whose other end does not answer any more: one and a half times a keep-alive of
// 60 s, after which MQTT 3.1.1 (3.1.2.10) has the server end it; the controller's own stack is taken to be as patient.
// The 60 s are common practice, no source.
const keepAlive = 90 * signal.Second

// trouble is what goes wrong with messages between the access point and the cloud.
type trouble struct {
	noInternet, noBroker bool
	stopsLost            bool
	delay                signal.Time // one way
	loss, twice          float64     // likelihoods
	draw                 harness.Draw
	drawn                uint64 // how many messages have met a likelihood
	// when the last message arrives, at the cloud and at the controller: later ones do not overtake it
	upward, downward signal.Time
	awayID           signal.ID
	away             bool
}

// openTrouble declares whether the cloud is out of reach, and offers the knobs of what lies behind the access point.
func (w *WiFi) openTrouble(panel *fault.Panel, draw harness.Draw) {
	w.draw = draw
	w.awayID = w.record.Declare(signal.Cloud.Away())
	w.record.Put(signal.Change{ID: w.awayID, Value: 0})
	state := func(device, kind, name string, rest float64, set func(at signal.Time, on bool)) {
		join := fault.Largest
		if rest == 1 {
			join = fault.Smallest
		}
		panel.Offer(fault.Knob{Device: device, Kind: kind, Name: name, Dim: quantity.State, Max: 1, Rest: rest,
			Join: join,
			Set: func(at signal.Time, v float64) error {
				set(at, v > 0)
				return nil
			}})
	}
	value := func(name string, dim quantity.Dimension, max float64, join fault.Join, set func(v float64)) {
		panel.Offer(fault.Knob{Device: Device, Kind: "wifi", Name: name, Dim: dim, Max: max, Join: join,
			Set: func(_ signal.Time, v float64) error {
				set(v)
				return nil
			}})
	}
	state(Cloud, "cloud", "internet", 1, w.setInternet)
	state(Cloud, "cloud", "broker", 1, w.setBroker)
	state(Cloud, "cloud", "stops lost", 0, func(_ signal.Time, on bool) { w.stopsLost = on })
	for _, zone := range w.zones {
		state(Cloud, "cloud", "stop "+zone, 0, func(at signal.Time, on bool) {
			if on && !w.stopsLost {
				w.commands(harness.Frame{At: at, Kind: harness.Command, Topic: harness.TopicStop, Text: zone})
			}
		})
	}
	value("delay", quantity.Duration, 60, fault.Add, func(v float64) { w.delay = signal.FromSeconds(v) })
	value("loss", quantity.Fraction, 1, fault.Largest, func(v float64) { w.loss = v })
	value("duplicates", quantity.Fraction, 1, fault.Largest, func(v float64) { w.twice = v })
	state(Device, "wifi", "half open", 0, func(at signal.Time, on bool) {
		if on && w.session {
			w.dropMessages()
			w.lapses = signal.Never
			w.setSession(at, false)
		}
	})
}

// setInternet: what is on its way is lost with it, and the session when somebody notices.
func (w *WiFi) setInternet(at signal.Time, on bool) {
	if on == !w.noInternet {
		return
	}
	w.noInternet = !on
	w.recordAway(at)
	if on && w.up {
		w.lapses = signal.Never
	}
	if on && w.noBroker && w.carries() {
		w.lapse(at)
	}
	if !on && w.session {
		w.dropMessages()
		w.lapses = min(w.lapses, at+keepAlive)
	}
}

// setBroker: the session ends at once.
func (w *WiFi) setBroker(at signal.Time, on bool) {
	if on == !w.noBroker {
		return
	}
	w.noBroker = !on
	w.recordAway(at)
	if !on && w.carries() {
		w.dropMessages()
		w.lapse(at)
	}
}

func (w *WiFi) recordAway(at signal.Time) {
	if away := w.noInternet || w.noBroker; away != w.away {
		w.away = away
		w.record.Put(signal.Change{At: at, ID: w.awayID, Value: state(away)})
	}
}

// dropMessages loses what is on its way.
func (w *WiFi) dropMessages() { w.arriving, w.pending = w.arriving[:0], w.pending[:0] }

// carries reports whether messages of the session get through.
func (w *WiFi) carries() bool { return w.session && w.up && !w.noInternet }

// commands sends a command to the controller. Without a session it is lost, as one to a device that is not there.
func (w *WiFi) commands(f harness.Frame) {
	if w.carries() {
		w.deliver(f.At, f)
	}
}

// deliver sends a message to the controller, and accept takes one to the cloud: half a round trip and the delay later,
// lost or twice as it may be.
func (w *WiFi) deliver(at signal.Time, f harness.Frame) {
	for range w.copies() {
		w.downward = max(w.downward, at+w.roundTrip/2+w.delay)
		f.At = w.downward
		w.send(f)
		at += w.roundTrip
	}
}

func (w *WiFi) accept(at signal.Time, f harness.Frame) {
	for range w.copies() {
		w.upward = max(w.upward, at+w.roundTrip/2+w.delay)
		f.At = w.upward
		w.arriving = insert(w.arriving, f)
		at += w.roundTrip
	}
}

// copies is how many of a message arrive: none, one or two.
func (w *WiFi) copies() int {
	if w.loss == 0 && w.twice == 0 {
		return 1
	}
	w.drawn++
	switch {
	case w.draw.Uniform(Device, "loss", w.drawn) < w.loss:
		return 0
	case w.draw.Uniform(Device, "duplicates", w.drawn) < w.twice:
		return 2
	}
	return 1
}
