package site

import (
	"math"

	"ullage/fakes/water"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// filter is a filter that loads up: each litre of dirty water blocks as much of its passage as the one before, so that its
// capacity falls in proportion to the volume that has passed (the law of complete blocking: Hermia, 1982, from memory).
type filter struct {
	spec   sitefile.Filter
	link   water.Link
	passed *total  // nil when it does not load up by itself
	loaded float64 // share of its passage that is blocked besides
	turned float64 // knob: what that is to be
	kv     float64 // m³/h, that the solver has
	curve  curve   // share of its passage that is blocked
}

// mostLoaded is the share of its passage that a filter can have blocked: some water always gets through (common practice,
// no source).
const mostLoaded = 0.99

func (s *Site) openFilters(panel *fault.Panel) {
	for _, spec := range s.spec.Filters {
		f := &filter{spec: spec, link: s.plan.Links[spec.Name], kv: spec.Capacity.SI,
			curve: newCurve(s.record, spec.Name, "loading", quantity.Fraction)}
		if spec.BlocksAfter.SI > 0 {
			f.passed = s.volume(spec.Name, "volume", s.flow(spec.Name, "flow", s.through(f.link)), false)
		}
		f.curve.to(0, 0)
		s.filters = append(s.filters, f)
		s.offer(panel, fault.Knob{Device: spec.Name, Kind: "filter", Name: "loading", Dim: quantity.Fraction, Max: 1, Join: fault.Largest},
			&f.turned, func() { s.jump = true })
	}
}

// loads tells whether its loading changes in the present step.
func (f *filter) loads() bool {
	return f.passed != nil && (f.passed.flow.start != 0 || f.passed.flow.end != 0)
}

// jump takes over what the knob wants, at the beginning of a step.
func (f *filter) jump(at signal.Time) {
	f.loaded = f.turned
	f.curve.to(at, f.loading(0))
}

// miss is by how much the loading at the end of the present step misses what the flow has really brought, as a multiple of
// what it may: the flow of the beginning stands for that of the whole step.
func (f *filter) miss(dt float64) float64 {
	if f.passed == nil || f.loading(0) >= mostLoaded {
		return 0
	}
	return math.Abs(f.passed.flow.end-f.passed.flow.start) * dt / 2 / f.spec.BlocksAfter.SI / loadingTolerance
}

// loading is the share of the passage that is blocked so many seconds after the beginning of the present step.
func (f *filter) loading(seconds float64) float64 {
	loading := f.loaded
	if f.passed != nil {
		loading += (f.passed.sum + float64(f.passed.flow.start*seconds)) / f.spec.BlocksAfter.SI
	}
	return math.Min(math.Max(loading, 0), mostLoaded)
}

func (f *filter) set(s *Site, seconds float64) {
	kv := f.spec.Capacity.SI
	if loading := f.loading(seconds); loading > 0 {
		kv *= 1 - loading
	}
	if kv != f.kv {
		f.kv = kv
		s.solver.SetKv(f.link, kv)
	}
}
