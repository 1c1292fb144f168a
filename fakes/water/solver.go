package water

import (
	"fmt"
	"strings"
)

// State is what a part does about the flow.
type State uint8

const (
	// Open lets water through.
	Open State = iota
	// Active is a regulator that holds the pressure behind it, or a crest where there is vapour.
	Active
	// Closed is a part that the flow itself has closed: a non-return valve
	// against reverse flow, an outlet without pressure.
	Closed
	// Shut is a part that is shut by its setting.
	Shut
)

// String returns the state in words.
func (s State) String() string { return [...]string{"open", "active", "closed", "shut"}[s] }

// Steps of Newton's method: a sound network needs about 8. After boldSteps, in
// which parts switch as soon as their state looks wrong, steps are taken with a
// line search and parts switch one at a time, each time that the flow has
// settled.
//
// States may contradict each other, as that of a regulator which feeds itself
// through a bypass; no flow suits them, and none settles. After patience steps
// a part switches all the same.
const (
	boldSteps = 30
	patience  = 25
	mostSteps = 500
)

// Solver computes the flows of one network. Settings change it; Solve brings
// the readings up to date. It begins with default flows and later starts from
// the last solution.
type Solver struct {
	constants Constants
	names     []string // of parts, in the order of parts
	nodeNames []string

	parts    []part
	links    int     // parts before this are links, then come supplies, then outlets
	supplies int     // number of supplies
	rowOf    []int32 // row of each node
	free     int     // rows below this are equations, the others fixed heads
	real     []int32 // entry of each part in the factor when both ends are free

	elevation []float64 // by row; of a reservoir its head
	head      []float64
	draw      []float64
	excess    []float64 // of inflow over outflow at each row; then the change of head
	pinned    []bool    // rows whose head is given
	lost      []bool    // rows that no supply reaches
	shutIn    []bool    // those of them that no opening is joined with
	ways      []int32   // open parts at each row, without dead ends
	tanks     []tankState
	tankOf    []int32 // by row: index of the tank, or -1

	touching    []int32 // parts at each row, in the order of parts
	touches     []int32 // row r has touching[touches[r]:touches[r+1]]
	catches     []catch // outlets whose water a tank catches
	lockUps     []int32 // regulators that hold more at less flow
	live        []int32 // parts that are not dead, in order
	deadEnds    []int32 // parts that lead nowhere
	watch       []int32 // parts that change state by themselves
	firstOutlet int     // where in watch the outlets begin
	factor      *factor
	queue       []int32 // for the survey
	pins        []int32 // free rows whose head is given

	changed    bool // states changed, so that a survey is due
	rerouted   bool // states changed since the dead ends were found
	unbalanced bool // flows may not balance at the nodes
	iterations int
	unsettled  int32 // a part that missed its tolerance last, or -1
}

// tankState is a tank and what its level is to do.
type tankState struct {
	vessel  Vessel
	row     int32
	curved  bool // its area is not the same at all levels
	filling bool
	dry     bool
	level   float64 // held
	volume0 float64
	inflow0 float64
	half    float64
}

type catch struct {
	part, row int32
}

// UnsettledError says that a solve found no steady flow, and where.
type UnsettledError struct {
	Parts []string // names of parts that did not settle
}

// Error names the parts.
func (e *UnsettledError) Error() string {
	return fmt.Sprintf("water: the flow did not settle in %d steps at %s: check the settings of these parts, "+
		"and whether two of them switch each other", mostSteps, strings.Join(e.Parts, ", "))
}

// Solve computes the steady flow for the present settings. It starts from the
// last solution and, should that fail, once more from default flows. An error
// is an *UnsettledError; readings are then not to be used.
func (s *Solver) Solve() error {
	if len(s.lockUps) > 0 {
		return s.solveLockUps()
	}
	return s.settle()
}

// settle finds the flow with the pressures that regulators hold now.
func (s *Solver) settle() error {
	settled := s.iterate()
	if !settled {
		warm := s.iterations
		s.startOver()
		settled = s.iterate()
		s.iterations += warm
	}
	if settled {
		s.stopDeadEnds()
		return nil
	}
	err := &UnsettledError{Parts: s.unsettledParts()}
	s.startOver()
	return err
}

// startOver is Reset after a failed solve, whose given heads may be wrong too.
func (s *Solver) startOver() {
	s.changed = true
	s.Reset()
}

// Reset forgets the last solution, so that the next solve is a cold one.
func (s *Solver) Reset() {
	for i := range s.parts {
		p := &s.parts[i]
		begin := p.state
		switch {
		case p.state == Shut:
			continue
		case p.kind == regulator:
			begin = Active
		case p.state == Closed:
			begin = Open
		}
		s.changed = s.changed || begin != p.state
		p.state, p.doubt, p.flow = begin, 0, p.start
		if p.dead {
			p.flow = 0
		}
		if p.friction != nil {
			p.friction.last = p.friction.first
		}
		p.evaluate()
	}
	for row := range s.free {
		if !s.pinned[row] && !s.lost[row] {
			s.head[row] = s.elevation[row]
		}
	}
}

func (s *Solver) iterate() bool {
	s.unsettled = -1
	for _, i := range s.watch {
		s.parts[i].doubt = 0
	}
	for s.iterations = 1; s.iterations <= boldSteps; s.iterations++ {
		s.linearise()
		if s.closeSucking() {
			continue
		}
		settled := s.advance()
		switched := s.review(settled)
		if settled && !switched && !s.changed {
			return true
		}
	}
	s.unbalanced = true
	for steps := 1; s.iterations <= mostSteps; s.iterations++ {
		s.linearise()
		settled := s.advanceCarefully()
		if steps++; !settled && steps <= patience {
			continue
		}
		if !s.switchOne() && !s.changed && settled {
			return true
		}
		s.unbalanced, steps = true, 1
	}
	return false
}

// linearise finds the changes of head of the next step.
func (s *Solver) linearise() {
	if s.changed {
		s.survey()
	}
	s.assemble()
	s.factor.solve(s.excess)
}

// unsettledParts names the parts that keep a solve from settling.
func (s *Solver) unsettledParts() []string {
	before := make([]State, len(s.parts))
	for i := range s.parts {
		before[i] = s.parts[i].state
	}
	s.changed = true
	s.linearise()
	s.review(s.advance())
	var names []string
	for i := range s.parts {
		if s.parts[i].state != before[i] || int32(i) == s.unsettled {
			names = append(names, s.names[i])
		}
	}
	if len(names) == 0 {
		names = append(names, "no single part")
	}
	return names
}
