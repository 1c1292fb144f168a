package controller

import (
	"slices"

	"ullage/harness"
	"ullage/harness/signal"
)

// How the connection is kept: common practice, no source.
const (
	firstRetry   = 5 * signal.Second  // wait after a lost or refused connection, doubled each time
	longestRetry = 5 * signal.Minute  // ... up to this
	answerWithin = 30 * signal.Second // a connection that is neither made nor refused has failed
	ackWithin    = 10 * signal.Second // a publish that is not acknowledged is sent again
	silence      = 30 * signal.Second // a connection on which nothing has been answered for so long is given up
	unanswered   = 8                  // publishes that may wait for an acknowledgement beyond those kept offline
)

// link is the state of the connection.
type link uint8

const (
	down link = iota
	joining
	up
)

// network holds the connection and what is to be published. No rule ever waits for it.
type network struct {
	*loop
	keeps     int               // messages kept without a connection
	holds     int               // messages that may wait for an acknowledgement
	silentFor signal.Time       // a connection that answers nothing for so long is given up
	sent      func(name string) // an alert is sent for the first time

	link  link
	next  signal.Time // down: when to connect; joining: when to stop waiting
	retry signal.Time // wait before the next attempt
	asked signal.Time // up: when it first sent something after it last heard something; 0: it waits for nothing
	queue []publish   // not acknowledged, oldest first
	count uint64      // number of the last publish; kept in flash
	out   []harness.Frame
}

// publish is one message on its way.
type publish struct {
	frame harness.Frame
	sent  bool
	due   signal.Time // when to send it, again or for the first time
}

func newNetwork(l *loop, kept int) network {
	return network{
		loop:      l,
		keeps:     kept,
		holds:     kept + unanswered,
		silentFor: silence,
		queue:     make([]publish, 0, kept+unanswered),
	}
}

func (n *network) reset(now signal.Time) {
	n.link, n.next, n.retry, n.asked = down, now, firstRetry, 0
	n.queue = n.queue[:0]
}

func (n *network) wake() signal.Time {
	if n.link != up {
		return n.next
	}
	next := signal.Never
	for i := range n.queue {
		next = min(next, n.queue[i].due)
	}
	return next
}

func (n *network) step(now signal.Time) {
	switch {
	case n.link == up:
		n.send(now)
	case now < n.next:
	case n.link == down:
		n.link, n.next = joining, now+answerWithin
		n.out = append(n.out, harness.Frame{At: now, Kind: harness.Connect})
	case n.link == joining:
		n.lose(now)
	}
}

// send sends what is due, in order.
func (n *network) send(now signal.Time) {
	for i := range n.queue {
		p := &n.queue[i]
		if now < p.due {
			continue
		}
		if n.asked > 0 && now >= n.asked+n.silentFor {
			n.lose(now)
			return
		}
		if n.asked == 0 {
			n.asked = now
		}
		p.due = now + ackWithin
		p.frame.At = now
		n.out = append(n.out, p.frame)
		if !p.sent && p.frame.Topic == harness.TopicAlert {
			n.sent(p.frame.Text)
		}
		p.sent = true
	}
}

// expects reports whether the radio module has something to pass on: an answer to the attempt that is under way, or
// what comes in the session that is open. What was meant for the controller before it booted, or before it gave an
// attempt up, reaches nobody.
func (n *network) expects(kind harness.FrameKind) bool {
	switch kind {
	case harness.Connected, harness.Refused:
		return n.link == joining
	}
	return n.link == up
}

// hear takes an answer of the network.
func (n *network) hear(now signal.Time, f harness.Frame) {
	if f.Kind == harness.Command {
		return
	}
	n.asked = 0
	switch f.Kind {
	case harness.Connected:
		n.link, n.retry = up, firstRetry
		for i := range n.queue {
			n.queue[i].due = now
		}
	case harness.Refused, harness.Lost:
		n.lose(now)
	case harness.Acknowledged:
		n.queue = slices.DeleteFunc(n.queue, func(p publish) bool { return p.frame.Number == f.Number })
	}
}

// lose waits for the next attempt, and keeps of the queue what may be kept without a connection.
func (n *network) lose(now signal.Time) {
	n.asked = 0
	n.link, n.next = down, now+n.retry
	n.retry = min(2*n.retry, longestRetry)
	n.queue = slices.DeleteFunc(n.queue, func(p publish) bool { return p.frame.Topic == harness.TopicReport })
	n.shorten(n.room())
}

// publish puts a message into the queue. Without a connection only alerts are kept, the latest of them.
func (n *network) publish(topic, text string) {
	room := n.room()
	if room == 0 || n.link != up && topic == harness.TopicReport {
		return
	}
	n.changed = true
	n.shorten(room - 1)
	n.count++
	n.queue = append(
		n.queue,
		publish{due: n.now, frame: harness.Frame{Kind: harness.Publish, Topic: topic, Text: text, Number: n.count}},
	)
}

// waits says whether an alert is in the queue and has not arrived.
func (n *network) waits(alert string) bool {
	return slices.ContainsFunc(n.queue, func(p publish) bool { return p.frame.Text == alert })
}

// room is how many messages may be in the queue.
func (n *network) room() int {
	if n.link == up {
		return n.holds
	}
	return n.keeps
}

// shorten drops the oldest messages beyond a number.
func (n *network) shorten(to int) {
	if extra := len(n.queue) - to; extra > 0 {
		n.queue = slices.Delete(n.queue, 0, extra)
	}
}
