package hydraulics

import (
	"math"

	"ullage/fakes/site/internal/device"
	"ullage/fakes/water"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// filter is a filter that loads up: each litre of dirty water blocks as much of its passage as the one before, so that
// its capacity falls in proportion to the volume that has passed (the law of complete blocking: Hermia, 1982, from
// memory).
type filter struct {
	step   *Step
	spec   sitefile.Filter
	link   water.Link
	passed *device.Total // nil when it does not load up by itself
	loaded float64       // share of its passage that is blocked besides
	wanted float64       // knob: what that is to be
	kv     float64       // m³/h, that the solver has
	line   device.Line   // share of its passage that is blocked
}

const (
	// mostLoaded is the share of its passage that a filter can have blocked: some water always gets through (common
	// practice, no source).
	mostLoaded = 0.99
	// loadingTolerance is the error of the loading over one step, as a share of the passage.
	loadingTolerance = 1e-5
)

func openFilter(s *Step, spec sitefile.Filter) {
	name := signal.Filter(spec.Name)
	f := &filter{step: s, spec: spec, link: s.plan.Links[spec.Name], kv: spec.Capacity.SI, line: s.Line(name.Loading())}
	if spec.BlocksAfter.SI > 0 {
		f.passed = s.Volume(name.Volume(), s.Flow(name.Flow(), s.Through(f.link)))
	}
	f.line.To(0, 0)
	s.Add(f)
	s.Knobs(spec.Name, "filter", s.jumps)(fault.Knob{Name: "loading", Dim: quantity.Fraction, Max: 1,
		Join: fault.Largest}, &f.wanted)
}

// loads reports whether its loading changes in the present step.
func (f *filter) loads() bool { return f.passed != nil && f.passed.Flow.Runs() }

// change takes over what the knob wants.
func (f *filter) change(at signal.Time) (jump bool) {
	if f.loaded == f.wanted {
		return false
	}
	f.loaded = f.wanted
	f.line.To(at, f.loading(0))
	return true
}

// miss compares the loading at the end of the present step with what the flow has really brought: the flow of the
// beginning stands for that of the whole step.
func (f *filter) miss() float64 {
	if f.passed == nil || f.loading(0) >= mostLoaded {
		return 0
	}
	return math.Abs(f.passed.Flow.End-f.passed.Flow.Start) * f.step.dt / 2 / f.spec.BlocksAfter.SI / loadingTolerance
}

// loading is the share of the passage that is blocked so many seconds after the beginning of the present step.
func (f *filter) loading(seconds float64) float64 {
	loading := f.loaded
	if f.passed != nil {
		loading += (f.passed.Sum + float64(f.passed.Flow.Start*seconds)) / f.spec.BlocksAfter.SI
	}
	return math.Min(math.Max(loading, 0), mostLoaded)
}

func (f *filter) set(at signal.Time) {
	kv := f.spec.Capacity.SI
	if loading := f.loading((at - f.step.t0).Seconds()); loading > 0 {
		kv *= 1 - loading
	}
	if kv != f.kv {
		f.kv = kv
		f.step.solver.SetKv(f.link, kv)
	}
}

func (f *filter) still() bool { return !f.loads() }

// cut records the loading; its total has come to the moment already.
func (f *filter) cut(at signal.Time) { f.line.To(at, f.loading(0)) }

func (f *filter) anchor() {
	if f.loads() {
		f.line.Anchor()
	}
}
