// Package survey turns what an installer can read off a site in half an hour into a site file: ten questions in the
// words of the trade, a look-up of bores and usual values, and a fit of what nobody can measure, the loss in the mains
// and in the fittings, to the readings.
//
// The way of an answer: a question (question.go) reads its text into Answers (answers.go, read.go, pipe.go); Make lays
// a site out (make.go), fits it (fit.go), judges the readings (judge.go) and writes the file (write.go). Mains-fed
// valves over zones and one tank are what it knows; everything else is added to the file by hand. Nothing here reads
// the clock, and the same answers give the same bytes.
package survey

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Answers are what the ten questions found out, in SI. A zero reading was not taken.
type Answers struct {
	Static    float64 // pressure at the tap with no flow, Pa
	Bucket    float64 // flow into a bucket at the tap wide open, m³/s
	BucketAs  string  // how it was measured: "10 L in 25 s"
	Residual  float64 // pressure at the tap meanwhile, Pa
	Measured  bool    // whether Residual was measured
	Pipe      Pipe    // from the tap to the manifold
	Length    float64 // of that pipe, m
	Rise      float64 // of the manifold above the tap, m
	Preventer Fitting // of backflow, between tap and manifold
	Meter     Fitting
	Filter    Fitting
	Valves    []Valve // at the manifold
	Lifts     float64 // differential that the valves need to open, Pa; 0 where they need none
	FillTime  float64 // from the low float to the high float, s
	Tank      Tank
	Volts     float64 // of the coils and the controller
	Alternate bool    // the supply is alternating current
	Coil      float64 // what a meter shows across a coil, Ω; 0 where nobody measured
	Rated     float64 // current on the label of the adapter or transformer, A; 0 where nobody looked

	blank map[string]bool // questions, by flag, that were answered by their default
}

// Valve is a valve at the manifold.
type Valve struct {
	Name  string
	Size  string  // "3/4 in"
	Kv    float64 // usual for that size, m³/h
	Feeds Feed
}

// Use is what a valve is for.
type Use uint8

// The uses.
const (
	FillsTank   Use = iota + 1
	FeedsDrip       // a number of drippers
	FeedsSprays     // a number of sprays
	FeedsValves     // a master valve before the others
)

// Feed is what lies behind a valve.
type Feed struct {
	Use          Use
	Count        int     // of drippers or sprays
	Flow         float64 // of one, m³/s
	At           float64 // pressure at which Flow is given, Pa
	AtGiven      bool    // whether the pressure was answered, not taken as usual
	Compensating bool    // drippers whose flow hardly follows the pressure
	Regulator    float64 // pressure that a regulator before them holds, Pa; 0 when there is none
	Pipe         Pipe    // behind the valve
	Length       float64 // m
	LengthGiven  bool
	Rise         float64 // of the outlets above the manifold, m; not of a tank
	Drip         Pipe    // drip pipe that the drippers sit in, at equal spacing; its bore is 0 where there is none
	DripLength   float64 // of all of it, m
	Lines        int     // that DripLength is laid in, side by side
	Spacing      float64 // of the drippers along it, m; 0 where it follows from their number
}

// Tank is the tank that a valve fills. Levels are above its floor, in m.
type Tank struct {
	Length, Width, Diameter float64 // inside, m: a box or an upright cylinder
	ByVolume                bool    // Diameter follows from litres and a height
	Rim                     float64
	Overflow                float64 // crest or invert of the overflow; 0 when there is none
	OverflowKind            string  // "standpipe", "side outlet" or "notch"
	OverflowBore            float64 // m; of a notch its width
	OverflowRun             float64 // of the pipe behind it, m; 0 where it was not answered
	OverflowFall            float64 // of that pipe, m
	Inlet                   float64 // of the inlet's mouth
	InletBore               float64 // of the inlet's mouth, m
	Floor                   float64 // above the tap, m
	Low, High, Spill        float64 // where the floats operate; Spill is 0 when there is none
}

// Area is the area of the water, in m².
func (t Tank) Area() float64 {
	if t.Diameter > 0 {
		return math.Pi / 4 * t.Diameter * t.Diameter
	}
	return t.Length * t.Width
}

// Filler is the index of the valve that fills the tank, or -1.
func (a *Answers) Filler() int { return a.uses(FillsTank) }

// Master is the index of the master valve, or -1.
func (a *Answers) Master() int { return a.uses(FeedsValves) }

func (a *Answers) uses(use Use) int {
	for i, v := range a.Valves {
		if v.Feeds.Use == use {
			return i
		}
	}
	return -1
}

// Where a figure of the file comes from, as its comment says.
const (
	measured = "measured"
	typical  = "TYPICAL, check"
)

// Mistake is an answer that cannot be used.
type Mistake struct {
	Flag string // of the question: "pipe"
	Read string // what was answered
	Why  string // what is wrong, and what was expected
}

// Error is one line: --pipe: read "25 mm"; the wall is missing; expected ...
func (m Mistake) Error() string { return fmt.Sprintf("--%s: %s", m.Flag, m.text()) }

func (m Mistake) text() string {
	if m.Read == "" {
		return m.Why
	}
	read := strconv.Quote(shortened(m.Read)) + ": "
	return "read " + read + strings.TrimPrefix(m.Why, read)
}

// shortened is what of a text fits into a message.
func shortened(text string) string {
	const longest = 60
	if r := []rune(text); len(r) > longest {
		return string(r[:longest]) + "…"
	}
	return text
}

// Mistakes are all answers that cannot be used.
type Mistakes []Mistake

// Error lists them, one a line.
func (m Mistakes) Error() string {
	var lines []string
	for _, one := range m {
		lines = append(lines, one.Error())
	}
	return strings.Join(lines, "\n")
}
