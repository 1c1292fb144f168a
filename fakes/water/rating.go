package water

import (
	"math"
	"sort"

	"ullage/harness/numeric"
)

// Rating is the rating curve of an overflow: the head over its crest by the flow. Between its points it is a cubic that
// rises wherever they do (F. N. Fritsch and R. E. Carlson, 1980), with the slope of the power law through its
// neighbours at each; below the first point and beyond the last it is straight.
type Rating struct {
	flow, head, slope []float64
}

// NewRating draws the curve through points whose flow (m3/s) and head (m) both rise from above 0. There must be two at
// least.
func NewRating(points []Point) *Rating {
	r := &Rating{slope: make([]float64, len(points))}
	for _, p := range points {
		r.flow, r.head = append(r.flow, p.Flow), append(r.head, p.Head)
	}
	last := len(points) - 1
	for i := range points {
		a, b := max(i-1, 0), min(i, last-1)
		before, behind := numeric.Log(r.flow[a+1]/r.flow[a]), numeric.Log(r.flow[b+1]/r.flow[b])
		exponent := (float64(behind*r.exponent(a)) + float64(before*r.exponent(b))) / (before + behind)
		r.slope[i] = math.Min(exponent*r.head[i]/r.flow[i], 3*math.Min(r.secant(a), r.secant(b)))
	}
	return r
}

// secant is the mean slope between a point and the next.
func (r *Rating) secant(i int) float64 { return (r.head[i+1] - r.head[i]) / (r.flow[i+1] - r.flow[i]) }

// exponent is that of the power law through a point and the next.
func (r *Rating) exponent(i int) float64 {
	return numeric.Log(r.head[i+1]/r.head[i]) / numeric.Log(r.flow[i+1]/r.flow[i])
}

// at returns the head that a flow needs, and the slope of the curve there.
func (r *Rating) at(flow float64) (head, slope float64) {
	last := len(r.flow) - 1
	switch {
	case flow <= r.flow[0]:
		slope = r.head[0] / r.flow[0]
		return float64(slope * flow), slope
	case flow >= r.flow[last]:
		return r.head[last] + float64(r.slope[last]*(flow-r.flow[last])), r.slope[last]
	}
	i := sort.SearchFloat64s(r.flow, flow) - 1
	wide := r.flow[i+1] - r.flow[i]
	t := (flow - r.flow[i]) / wide
	rise := r.head[i+1] - r.head[i]
	// rise t + t (1-t) (a (1-t) - b t), with the slopes in excess of the secant's
	a, b := float64(r.slope[i]*wide)-rise, float64(r.slope[i+1]*wide)-rise
	u := 1 - t
	tu := float64(t * u)
	head = r.head[i] + float64(rise*t) + float64(tu*(float64(a*u)-float64(b*t)))
	slope = (rise + float64((1-2*t)*(float64(a*u)-float64(b*t))) - float64(tu*(a+b))) / wide
	return head, math.Max(slope, 1e-6*rise/wide)
}

// Flow returns the flow at a head over the crest, in m3/s; none below it.
func (r *Rating) Flow(head float64) float64 {
	last := len(r.flow) - 1
	switch {
	case head <= r.head[0]:
		return max(0, head) * r.flow[0] / r.head[0]
	case head >= r.head[last]:
		return r.flow[last] + (head-r.head[last])/r.slope[last]
	}
	const halvings = 60
	i := sort.SearchFloat64s(r.head, head) - 1
	low, high := r.flow[i], r.flow[i+1]
	for range halvings {
		middle := (low + high) / 2
		if h, _ := r.at(middle); h < head {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}
