package water

import (
	"math"

	"ullage/harness/numeric"
)

// kind is what a part is.
type kind uint8

const (
	hazenWilliams kind = iota
	darcyWeisbach
	valve
	nonReturn
	regulator
	diaphragm
	crest
	pumping
	supplying
	emitting
	spilling // a standpipe
	weir     // an edge
	rated    // an overflow by its rating curve
)

// law is how the loss of head depends on the flow. All laws are odd in the
// flow.
type law uint8

const (
	// squareLaw: loss = square flow |flow|.
	squareLaw law = iota
	// powerLaw adds factor (scale |flow|)^exponent flow to the square law.
	powerLaw
	// frictionLaw adds the friction of Darcy and Weisbach to the square law.
	frictionLaw
	// lesserLaw is whichever of powerLaw's power and the square law's orifice
	// lets less through: a standpipe is a weir until it chokes, a compensated
	// emitter an orifice until it throttles.
	lesserLaw
	// ridingLaw is that of a diaphragm which rides on the flow: its lift, or the square law where that is more, and no
	// more than the square law of the gap that something keeps open.
	ridingLaw
	// ratedLaw takes the loss from a rating curve, at scale times the flow.
	ratedLaw
)

// knee is the loss of head in m below which a law is replaced by its chord.
// Powers have no slope at rest, or an infinite one, and Newton's method needs
// one. Steep outlets, which give much at next to no pressure, have a longer
// chord. Both are far below anything that matters.
const (
	knee      = 1e-9
	steepKnee = 1e-6
)

// part is a link, outlet or supply of a compiled network: one element between
// two heads.
type part struct {
	// What every step reads comes first and together.
	from, to int32 // rows of its ends
	slot     int32 // where the factor keeps the entry of its two rows
	law      law
	kind     kind
	state    State
	// dead says that no supply reaches it; it has no flow then.
	dead bool
	// cut and barred say that it is shut whatever its setting, which is then kept in closed.
	cut, barred, closed bool
	// steep says that the loss grows so fast with the flow that a step too far
	// would take many to come back; such a flow is put right by the heads.
	steep bool
	// doubt counts the steps in a row after which the state of a link or supply
	// looked wrong; of an outlet, how often it closed in the present solve.
	doubt uint8
	// forward and backward are the directions that it lets water run;
	// mayForward and mayBackward take a dry tank at an end into account.
	forward, backward       bool
	mayForward, mayBackward bool

	flow        float64 // m3/s
	loss        float64 // head lost at flow, m
	conductance float64 // 1 / slope of the loss at flow
	predicted   float64 // flow that the last linearisation expects, heads unchanged

	kneeFlow, kneeSlope   float64
	kneeConductance       float64
	square, factor, scale float64
	lift                  float64 // head gained at no flow
	power                 *numeric.Power
	friction              *friction
	rating                *Rating

	before  float64 // flow before a careful step
	setting float64 // of a regulator: head it holds behind it; of a diaphragm: loss that lifts it; of a crest: head of vapour, m
	start   float64 // flow that a cold solve begins with
	size    *size
}

// size holds what a part's setters need besides.
type size struct {
	velocityHead float64 // of a pipe: velocity head of unit flow
	curve        Pump
	speed        float64
	count        float64 // of an emitter: openings
	unit         float64 // of an outlet: flow at 1 m of head and size 1
	unitOrifice  float64 // the same for the orifice of a standpipe
	startHead    float64 // of an outlet: head that a cold solve begins with
	law          law     // of an overflow: its own
	rating       *Rating // the same
	lockUp       *lockUp // of a regulator; nil of one that holds its setting at any flow
}

// evaluate computes the loss and its slope at the present flow.
func (p *part) evaluate() {
	size := math.Abs(p.flow)
	if size <= p.kneeFlow {
		p.loss = float64(p.kneeSlope*p.flow) - p.lift
		p.conductance = p.kneeConductance
		return
	}
	square := float64(p.square * size)
	switch p.law {
	case squareLaw:
		p.loss = float64(square*p.flow) - p.lift
		p.conductance = 0.5 / square
	case powerLaw:
		rest := float64(p.factor * p.power.Of(float64(p.scale*size)))
		p.loss = float64((rest+square)*p.flow) - p.lift
		p.conductance = 1 / (rest + float64(p.power.Exponent()*rest) + float64(2*square))
	case frictionLaw:
		ratio, slope := p.friction.at(size)
		p.loss = float64((ratio + square) * p.flow)
		p.conductance = 1 / (slope + float64(2*square))
	case lesserLaw:
		rest := float64(p.factor * p.power.Of(float64(p.scale*size)))
		if square > rest {
			p.loss = float64(square * p.flow)
			p.conductance = 0.5 / square
		} else {
			p.loss = float64(rest * p.flow)
			p.conductance = 1 / (rest + float64(p.power.Exponent()*rest))
		}
	case ridingLaw:
		p.ride(float64(square * p.flow))
	case ratedLaw:
		head, slope := p.rating.at(float64(p.scale * size))
		p.loss = math.Copysign(head, p.flow)
		p.conductance = 1 / float64(p.scale*slope)
	}
}

// fitKnee places the chord for the present law.
func (p *part) fitKnee() {
	p.kneeFlow = -1 // these laws start with slopes of their own
	if p.law == frictionLaw || p.law == ratedLaw {
		return
	}
	bend := knee
	if p.steep {
		bend = steepKnee
	}
	p.kneeFlow = p.flowAt(bend)
	p.kneeSlope = float64(p.square * p.kneeFlow)
	switch p.law {
	case powerLaw:
		p.kneeSlope += float64(p.factor * p.power.Of(float64(p.scale*p.kneeFlow)))
	case ridingLaw:
		p.kneeFlow = -1 // riding has a slope of its own
		if p.backward {
			p.kneeFlow = math.Sqrt(bend / p.factor)
			p.kneeSlope = float64(p.factor * p.kneeFlow)
		}
	case lesserLaw:
		p.kneeSlope = max(p.kneeSlope, float64(p.factor*p.power.Of(float64(p.scale*p.kneeFlow))))
	}
	p.kneeConductance = 1 / p.kneeSlope
}

// flowAt returns the flow at a loss of head that the strongest term of the law
// alone would take: the flow itself for outlets, valves and pumps, a start for
// pipes.
func (p *part) flowAt(loss float64) float64 {
	flow := math.Inf(1)
	if p.law == ratedLaw {
		return p.rating.Flow(loss) / p.scale
	}
	if p.square > 0 {
		flow = math.Sqrt(loss / p.square)
	}
	switch p.law {
	case frictionLaw:
		flow = math.Min(flow, p.start)
	case powerLaw, lesserLaw:
		flow = math.Min(flow, numeric.Pow(loss*p.scale/p.factor, 1/(1+p.power.Exponent()))/p.scale)
	}
	return flow
}
