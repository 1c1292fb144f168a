package hydraulics

import "ullage/harness/signal"

// The roles that a device may have in a step. A device has the methods of its roles and no others.
type (
	// A changer works out what it is like from the beginning of a step on, and reports whether flows jump by that.
	changer interface {
		change(at signal.Time) (jump bool)
	}
	// A reviewer sees the network as it has settled at a moment, and reports whether it has changed it by that.
	reviewer interface {
		review(at signal.Time) (changed bool)
	}
	// A mover goes on changing within a step: it sets its parameters of the network as they are at a moment, and tells
	// whether it stays as it is in the step that begins, in which no disc moves.
	mover interface {
		set(at signal.Time)
		still() bool
	}
	// A limiter knows when the step that begins must end at the latest.
	limiter interface{ ends() signal.Time }
	// A decider finds what follows from the changes of all devices at the beginning of a step, if need be by solving the
	// network otherwise than it is.
	decider interface{ decide(at signal.Time) error }
	// A settler sees the flows and pressures with which a step begins, and reports whether its disc moves in it.
	settler interface {
		settled(at signal.Time) (moving bool)
	}
	// A bounder sees the course of the step that begins at a moment, and may shorten it.
	bounder interface{ bound(at signal.Time) }
	// An approximation says by how much it misses the truth in the step, as a multiple of what it may.
	approximation interface{ miss() float64 }
	// A recorder has a line of its own: cut brings it to a moment, and anchor marks where it begins to run.
	recorder interface {
		cut(at signal.Time)
		anchor()
	}
)

// A Follower follows the water: when a step has begun, its flows and levels are known until it ends.
type Follower interface{ Follow(at signal.Time) }

// A Counter takes its share of the flows until a moment at which the present step is about to be cut.
type Counter interface{ Count(at signal.Time) }

// roles are the devices by their roles, in the order in which they were opened.
type roles struct {
	changers       []changer
	reviewers      []reviewer
	movers         []mover
	limiters       []limiter
	deciders       []decider
	settlers       []settler
	bounders       []bounder
	approximations []approximation
	recorders      []recorder
	followers      []Follower
	counters       []Counter
}

// Add has a device take part in the steps, in every role that it has methods for.
func (r *roles) Add(d any) {
	add(&r.changers, d)
	add(&r.reviewers, d)
	add(&r.movers, d)
	add(&r.limiters, d)
	add(&r.deciders, d)
	add(&r.settlers, d)
	add(&r.bounders, d)
	add(&r.approximations, d)
	add(&r.recorders, d)
	add(&r.followers, d)
	add(&r.counters, d)
}

func add[Role any](list *[]Role, d any) {
	if r, ok := d.(Role); ok {
		if *list == nil {
			*list = make([]Role, 0, 16) // as many as most sites have
		}
		*list = append(*list, r)
	}
}
