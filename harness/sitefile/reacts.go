package sitefile

import (
	"errors"
	"fmt"
	"math"
	"strings"

	q "ullage/harness/quantity"
)

// Reacts is how a make of controller reacts and repeats itself: the limits within which it is sound, whatever its
// settings. What is not given has a default that most makes keep to. A controller that knows its own says so, as
// programs do in their greeting, and what it says has precedence over the site file.
type Reacts struct {
	// Longest time between two looks at its inputs; default 100 ms (common practice, no source). A change that is
	// shorter may be missed.
	Polls q.DurationValue `yaml:"polls,omitempty" range:"0 s to 1 min"`
	// Longest time from inputs that ask for something, after the debounce, to the first output that changes; default 1
	// s (common practice, no source).
	ActsWithin q.DurationValue `yaml:"acts-within,omitempty" range:"0 s to 10 min"`
	// Longest time from what an alert is about to the message, while there is a connection; default 10 s (common
	// practice, no source).
	AlertsWithin q.DurationValue `yaml:"alerts-within,omitempty" range:"0 s to 1 h"`
	Debounce     DebounceBounds  `yaml:"debounce,omitempty"` // of contacts
	// How long an analogue reading is averaged or filtered; default 5 s (common practice, no source).
	Filter q.DurationValue `yaml:"filter,omitempty" range:"0 s to 1 h"`
	// Longest time between the first and the last of several outputs that are asked for at one moment; default 1 s
	// (common practice, no source).
	Stagger q.DurationValue `yaml:"stagger,omitempty" range:"0 s to 10 min"`
	BackOff BackOff         `yaml:"back-off,omitempty"` // after a connection that was lost or not made
	// Time after which a message that was not acknowledged is sent again; default 10 s (common practice, no source).
	Resends q.DurationValue `yaml:"resends,omitempty" range:"100 ms to 1 h"`
	// A connection on which nothing is answered for so long is given up; default 90 s: one and a half
	// times a keep-alive of 60 s, as MQTT 3.1.1 (3.1.2.10) has it; the 60 s are common practice, no source.
	SilentAfter q.DurationValue `yaml:"silent-after,omitempty" range:"100 ms to 24 h"`
}

// DebounceBounds are the limits of a debounce: a change of a contact that is shorter than from never counts, and one
// that has lasted longer than to always does.
type DebounceBounds struct {
	// Default 20 ms (common practice, no source), or the debounce of the fill rule where that is shorter.
	From q.DurationValue `yaml:"from,omitempty" range:"0 s to 1 h"`
	// Default 5 s (common practice, no source), or the debounce of the fill rule where that is longer.
	To q.DurationValue `yaml:"to,omitempty" range:"0 s to 1 h"`
}

// BackOff is the wait before a connection is tried again.
type BackOff struct {
	Least q.DurationValue `yaml:"least,omitempty" range:"0 s to 1 h"` // default 5 s (common practice, no source)
	Most  q.DurationValue `yaml:"most,omitempty" range:"0 s to 24 h"` // default 5 min (common practice, no source)
}

// What stands for what a file does not say of how a controller reacts, in s (common practice, no source).
const (
	DefaultPolls        = 0.1
	DefaultActsWithin   = 1.0
	DefaultAlertsWithin = 10.0
	DefaultDebounceFrom = 0.02
	DefaultDebounceTo   = 5.0
	DefaultFilter       = 5.0
	DefaultStagger      = 1.0
	DefaultBackOffLeast = 5.0
	DefaultBackOffMost  = 300.0
	DefaultResends      = 10.0
	DefaultSilentAfter  = 90.0
)

// reaction is one value, with its key and what stands for it.
type reaction struct {
	key   string
	value *q.DurationValue
	usual float64
}

func (r *Reacts) all() []reaction {
	return []reaction{{"polls", &r.Polls, DefaultPolls}, {"acts-within", &r.ActsWithin, DefaultActsWithin},
		{"alerts-within", &r.AlertsWithin, DefaultAlertsWithin}, {"debounce/from", &r.Debounce.From,
			DefaultDebounceFrom},
		{"debounce/to", &r.Debounce.To, DefaultDebounceTo}, {"filter", &r.Filter, DefaultFilter}, {"stagger",
			&r.Stagger, DefaultStagger},
		{"back-off/least", &r.BackOff.Least, DefaultBackOffLeast}, {"back-off/most", &r.BackOff.Most,
			DefaultBackOffMost},
		{"resends", &r.Resends, DefaultResends}, {"silent-after", &r.SilentAfter, DefaultSilentAfter}}
}

// FillDefaults gives what is not set its default. fill is the fill rule of the settings, whose debounce lies within the
// limits; nil without one.
func (r *Reacts) FillDefaults(fill *Fill) {
	for _, one := range r.all() {
		one.value.Value = one.value.Or(one.usual)
	}
	if fill != nil {
		r.Debounce.From.Value = r.Debounce.From.Or(min(DefaultDebounceFrom, fill.Debounce.SI))
		r.Debounce.To.Value = r.Debounce.To.Or(max(DefaultDebounceTo, fill.Debounce.SI))
	}
	r.giveWay(r)
}

// Over returns what is set here, and the rest of another.
func (r Reacts) Over(other Reacts) Reacts {
	under := other.all()
	for i, one := range r.all() {
		if one.value.IsSet() {
			*under[i].value = *one.value
		}
	}
	other.giveWay(&r)
	return other
}

// giveWay has the value of a pair that is not set in given follow the other where they contradict each other.
func (r *Reacts) giveWay(given *Reacts) {
	set := given.orders()
	for i, o := range r.orders() {
		switch least, most := set[i].least.IsSet(), set[i].most.IsSet(); {
		case o.least.SI <= o.most.SI || least && most:
		case least:
			o.most.SI = o.least.SI
		default:
			o.least.SI = o.most.SI
		}
	}
}

// Seconds lists the values by key, in s.
func (r Reacts) Seconds() map[string]float64 {
	values := map[string]float64{}
	for _, one := range r.all() {
		values[one.key] = one.value.SI
	}
	return values
}

// String lists the values, those that were not given in brackets.
func (r Reacts) String() string {
	var list []string
	for _, one := range r.all() {
		text := strings.ReplaceAll(one.key, "/", " ") + " " + q.Format(one.value.SI, q.Duration)
		if !one.value.IsSet() {
			text = "(" + text + ")"
		}
		list = append(list, text)
	}
	return strings.Join(list, ", ")
}

// Validate says what is wrong with values that are set: one that is no time, or that contradicts another.
func (r Reacts) Validate() error {
	for _, one := range r.all() {
		if s := one.value.SI; s < 0 || math.IsNaN(s) || math.IsInf(s, 0) {
			return fmt.Errorf("%s is %g s; expected 0 s or more", one.key, s)
		}
	}
	var errs []error
	for _, order := range r.orders() {
		if order.least.IsSet() && order.most.IsSet() && order.least.SI > order.most.SI {
			errs = append(errs, fmt.Errorf("%s is %g s; expected %s, %g s", order.key, order.least.SI, order.expected,
				order.most.SI))
		}
	}
	return errors.Join(errs...)
}

// order is a value that is not above another.
type order struct {
	key         string
	least, most *q.DurationValue
	expected    string
}

func (r *Reacts) orders() []order {
	return []order{
		{"debounce/from", &r.Debounce.From, &r.Debounce.To, "at most debounce/to"},
		{"back-off/least", &r.BackOff.Least, &r.BackOff.Most, "at most back-off/most"},
		{"resends", &r.Resends, &r.SilentAfter, "at most silent-after: nothing would ever be sent again"},
	}
}
