package water

import "math"

// lockUp is what a regulator holds over its setting as its flow falls to nothing: rise at no flow, less in proportion
// to the flow, nothing from the flow below on. Its seat shuts with it.
type lockUp struct {
	rise    float64 // m
	below   float64 // m3/s
	setting float64 // head that it holds while water runs
	// of the search: what it holds over the setting at most and at least, and by how much that was too much there
	low, high         float64
	lowOver, highOver float64
}

// Of the search for the pressures that regulators hold.
const (
	mostSweeps      = 20
	mostLockUps     = 40
	lockUpTolerance = 1e-6 // m
)

// solveLockUps finds the flow, and with it what regulators hold at their flow, one after the other until all suit.
func (s *Solver) solveLockUps() error {
	if err := s.settle(); err != nil {
		return err
	}
	for range mostSweeps {
		moved := false
		for _, i := range s.lockUps {
			this, err := s.lockUp(&s.parts[i])
			if err != nil {
				return err
			}
			moved = moved || this
		}
		if !moved {
			break
		}
	}
	return nil
}

// lockUp finds what a regulator holds while the others hold what they do, and reports whether that was something else.
// It is one pressure, for at more the regulator passes more, and at more flow it holds less.
func (s *Solver) lockUp(p *part) (moved bool, err error) {
	l := p.size.lockUp
	l.low, l.high = 0, l.rise
	l.lowOver, l.highOver = 0, 0
	for try := 0; try < mostLockUps && p.holdMore(try); try++ {
		moved, s.changed = true, true
		if err := s.settle(); err != nil {
			return true, err
		}
	}
	return moved, nil
}

// holdMore moves what a regulator holds towards what suits its flow, and reports whether it did.
func (p *part) holdMore(try int) bool {
	l := p.size.lockUp
	holds := p.setting - l.setting
	suits := float64(l.rise * max(0, 1-math.Abs(p.flow)/l.below))
	over := holds - suits
	if p.state == Shut || math.Abs(over) <= lockUpTolerance {
		return false
	}
	if over > 0 {
		l.high, l.highOver = holds, over
	} else {
		l.low, l.lowOver = holds, over
	}
	next := suits
	switch {
	case try < 2:
	case try%3 != 2 && l.highOver > 0 && l.lowOver < 0: // between both on a straight line
		next = l.high - float64((l.high-l.low)*l.highOver)/(l.highOver-l.lowOver)
	default:
		next = (l.low + l.high) / 2
	}
	next = min(max(next, l.low), l.high)
	p.setting = l.setting + next
	return true
}
