package water

import "math"

// flat is the share of its lift by which the loss of a riding diaphragm grows until its disc is as high as it may be.
// Newton's method needs a slope, and a spring that is pressed together gives one; as small as this it matters to no
// flow, and with a tenth of it some networks take too many steps.
const flat = 1e-5

// setOpening places the law of a diaphragm whose disc rides between two flow coefficients.
func (p *part) setOpening(least, most float64, constants Constants) {
	p.square = squareOf(most, constants)
	p.factor = 0
	if p.backward = least > 0; p.backward {
		p.factor = squareOf(math.Min(least, most), constants)
	}
	p.start = math.Sqrt(math.Max(p.setting, 0.1) / p.square)
	p.fitRide()
}

// fitRide places the slope of riding. A diaphragm that nothing keeps open lets nothing through before it lifts.
func (p *part) fitRide() {
	p.scale = float64(float64(flat*p.setting) / math.Sqrt(p.setting/p.square))
	p.lift = 0
	if p.factor == 0 {
		p.lift = -p.setting
	}
	p.fitKnee()
	p.evaluate()
}

// ride computes the loss of a diaphragm and its slope at the present flow, with the loss where its disc is as high as
// it may be. Its parts grow with the flow, and so does the least or greatest of them; backwards nothing rides.
func (p *part) ride(high float64) {
	size := math.Abs(p.flow)
	rides := p.setting + float64(p.scale*p.flow)
	gap := float64(p.factor * size)
	switch low := float64(gap * p.flow); {
	case p.flow > 0 && high >= rides:
		p.loss, p.conductance = high, 0.5/float64(p.square*size)
	case p.factor > 0 && low < rides:
		p.loss, p.conductance = low, 0.5/gap
	default:
		p.loss, p.conductance = rides, 1/p.scale
	}
}
