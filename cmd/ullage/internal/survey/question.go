package survey

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"ullage/fakes/pipework"
	q "ullage/harness/quantity"
)

// question is one line that is asked, or one flag.
type question struct {
	number   int
	flag     string
	valve    string // the valve that it asks about, where there is one question a valve
	ask      string
	write    string // how to answer
	usual    string // what a blank answer stands for; "" where it stands for a reading that was not taken
	untaken  string // what happens without the reading, where usual is empty
	take     func(text string) error
	optional bool // a blank answer, which take then gets, means that the reading was not taken
}

// Flag is a question as a command line knows it.
type Flag struct {
	Name, Usage string
	Repeats     bool // one for each valve
}

// Flags are the questions that may be answered on a command line, in their order.
func Flags() []Flag {
	full := &Answers{Valves: []Valve{{Name: "top-up", Feeds: Feed{Use: FillsTank}}}, Tank: Tank{Rim: 1, Diameter: 1}}
	var list []Flag
	for _, one := range full.questions() {
		usage := fmt.Sprintf("%d. %s, as %s", one.number, lowerFirst(one.ask), one.write)
		if one.flag == "feeds" {
			usage = fmt.Sprintf("%d. what a valve feeds, by its name, once for each valve, as \"top-up: tank, 4 m\"",
				one.number)
		}
		list = append(list, Flag{one.flag, usage, one.flag == "feeds"})
	}
	return list
}

func lowerFirst(text string) string { return strings.ToLower(text[:1]) + text[1:] }

// questions lists what is to be asked, as far as it follows from the answers so far: answers only change what comes
// after them.
func (a *Answers) questions() []question {
	list := slices.Concat(a.aboutMains(), a.aboutFittings(), a.aboutPipe())
	list = append(list, question{number: 5, flag: "valves",
		ask:   "Valves at the manifold and the size of their connections",
		write: "top-up 3/4 in, sprays 1 in", usual: "top-up 3/4 in",
		take: func(text string) (err error) { a.Valves, err = valves(text); return }},
		question{number: 5, flag: "lifts",
			ask:   "Least difference of pressure that the valves need to open, from their sheet (0 for direct-acting ones)",
			write: a.usual("0.3 bar", "5 psi"), usual: a.usual("0.3 bar", "5 psi"), take: a.takeLifts})
	for i, v := range a.Valves {
		list = append(list, question{number: 6, flag: "feeds", valve: v.Name,
			ask: fmt.Sprintf("What does %q feed, and by how much pipe", v.Name),
			write: a.usual(
				"tank, 4 m | 48 drippers of 2 L/h, 12 m of 16 mm drip pipe | 8 sprays of 2.1 L/min at 2 bar, 6 m | other valves",
				"tank, 12 ft | 48 drippers of 0.5 gph, 40 ft of 1/2 in drip pipe | 8 sprays of 0.6 gpm at 30 psi, 20 ft | other valves",
			), usual: a.usualFeed(i),
			take: func(text string) error { return a.feeds(i, text) }})
	}
	if a.Filler() >= 0 {
		list = append(list, a.aboutTank()...)
	}
	return append(list, question{number: 10, flag: "volts", ask: "Voltage of the coils and of the controller's supply",
		write: "12 V or 24 V AC",
		usual: "12 V", take: func(text string) (err error) { a.Volts, a.Alternate, err = volts(text); return }},
		question{number: 10, flag: "coil", ask: "What an ohmmeter shows across a coil that is unplugged, supply off",
			write: "38 ohm", optional: true, untaken: "not measured: a usual coil is taken",
			take: func(text string) (err error) {
				a.Coil, err = untakenOr(text, func(text string) (float64, error) {
					return ranged(text, q.Resistance, 1, 1000)
				})
				return
			}},
		question{number: 10, flag: "rated", ask: "Current on the label of the adapter or transformer",
			write: "1 A or 830 mA", optional: true, untaken: "not read: one of usual size is taken",
			take: func(text string) (err error) {
				a.Rated, err = untakenOr(text, func(text string) (float64, error) {
					return ranged(text, q.Current, 0.01, 100)
				})
				return
			}})
}

// takeLifts takes the differential of the valves; 0 are direct-acting ones.
func (a *Answers) takeLifts(text string) (err error) {
	if text == "0" {
		text = "0 bar"
	}
	a.Lifts, err = ranged(text, q.Pressure, 0, 2e5)
	if err == nil && a.Lifts > 0 && a.Lifts < 0.01e5 {
		err = errors.New("expected 0, or 10 mbar to 2 bar")
	}
	return err
}

func (a *Answers) aboutMains() []question {
	return []question{
		{number: 1, flag: "static", ask: "Static pressure at the tap, with nothing running", write: "3.6 bar or 52 psi",
			usual: "3 bar",
			take:  func(text string) (err error) { a.Static, err = ranged(text, q.Pressure, 0.2e5, 20e5); return }},
		{number: 2, flag: "bucket", ask: "Tap wide open into a bucket: how much in what time",
			write:    "10 L in 25 s, 24 L/min or 6 gpm",
			optional: true, untaken: "not measured: a usual mains connection is taken",
			take: func(text string) (err error) {
				a.BucketAs = strings.Join(strings.Fields(text), " ")
				a.Bucket, err = untakenOr(text, bucket)
				return
			}},
		{number: 2, flag: "residual", ask: "Pressure at the tap while the bucket filled", write: "2.1 bar",
			optional: true,
			untaken:  "not measured: a usual tap is taken", take: a.takeResidual},
		{number: 3, flag: "pipe", ask: "Pipe from the tap to the manifold, by trade size and wall",
			write: "25 mm SDR 11, 3/4 in PVC schedule 40, 1/2 in copper type L", usual: a.usual("25 mm SDR 11",
				"3/4 in PVC schedule 40"),
			take: func(text string) (err error) { a.Pipe, err = ParsePipe(text); return }},
	}
}

func (a *Answers) aboutPipe() []question {
	return []question{
		{number: 4, flag: "length", ask: "Length of that pipe", write: "28 m or 90 ft", usual: a.usual("20 m", "60 ft"),
			take: func(text string) (err error) { a.Length, err = ranged(text, q.Length, 0.01, 2000); return }},
		{number: 4, flag: "rise", ask: "Height of the manifold above the tap (minus when it is below)",
			write: "0.6 m or -2 ft", usual: a.usual("0 m", "0 ft"),
			take: a.takeRise},
	}
}

func (a *Answers) takeRise(text string) error {
	rise, err := ranged(text, q.Length, -50, 100)
	if err == nil {
		err = a.reaches(rise, a.Length, rise, "the manifold")
	}
	if err == nil {
		a.Rise = rise
	}
	return err
}

// reaches reports whether a pipe is long enough for the height between its ends, and the static pressure enough for the
// height of its far end above the tap.
func (a *Answers) reaches(between, length, above float64, what string) error {
	switch {
	case length > 0 && math.Abs(between) > length:
		return fmt.Errorf("a pipe of %s has no ends %s apart in height: read lengths and heights again",
			a.show(length, q.Length), a.show(math.Abs(between), q.Length))
	case a.Static > 0 && above >= pipework.Head(a.Static):
		return fmt.Errorf(
			"%s would be %s above the tap, and the static pressure of %s lifts water %s: read the gauge and the heights again",
			what,
			a.show(above, q.Length),
			a.exactly(a.Static, q.Pressure),
			a.show(pipework.Head(a.Static), q.Length),
		)
	}
	return nil
}

// untakenOr is the reading, or nothing for a blank answer.
func untakenOr(text string, read func(string) (float64, error)) (float64, error) {
	if text == "" {
		return 0, nil
	}
	return read(text)
}

func (a *Answers) takeResidual(text string) error {
	a.Residual, a.Measured = 0, false
	if text == "" {
		return nil
	}
	p, err := ranged(text, q.Pressure, 0, 20e5)
	switch {
	case err != nil:
		return err
	case a.Bucket == 0:
		return errors.New("it means nothing without the flow into the bucket; expected an answer to that question too")
	case a.Static > 0 && p >= a.Static:
		return fmt.Errorf("it is not below the static pressure, %s: read both gauges again",
			a.exactly(a.Static, q.Pressure))
	}
	a.Residual, a.Measured = p, true
	return nil
}

func (a *Answers) aboutTank() []question {
	list := []question{
		{
			number:   7,
			flag:     "fill-time",
			ask:      "How long does a fill take, from the low float to the high float, nothing else running",
			write:    "8 min",
			optional: true,
			untaken:  "not measured: usual fittings are taken",
			take: func(text string) (err error) {
				a.FillTime, err = untakenOr(text, func(text string) (float64,
					error) {
					return ranged(text, q.Duration, 5, 12*3600)
				})
				return
			},
		},
		{number: 8, flag: "tank", ask: "Inside of the tank, up to the rim",
			write: a.usual("1000 x 500 x 880 mm, diameter 1.1 m x 1.25 m or 400 L, 880 mm high",
				"40 x 20 x 35 in, diameter 43 in x 49 in or 100 gal, 35 in high"),
			usual: a.usual("1000 x 500 x 800 mm", "40 x 20 x 32 in"), take: func(text string) error {
				t, err := tank(text)
				if err == nil {
					a.Tank = t
				}
				if t.ByVolume {
					a.Tank.Diameter = a.roundly(t.Diameter, 1e-4, inch/100)
				}
				return err
			}},
	}
	if a.Tank.Rim == 0 {
		return list
	}
	t := &a.Tank
	return append(list,
		question{number: 8, flag: "overflow",
			ask: "Overflow: standpipe, side outlet or notch, its height over the floor, and its true bore",
			write: a.usual("standpipe 800 mm, 40 mm bore | side outlet 780 mm, 36 mm bore, 2 m, falls 100 mm | notch 800 mm, 100 mm wide",
				"standpipe 32 in, 1 1/2 in bore | side outlet 31 in, 1 3/8 in bore, 6 ft, falls 4 in | notch 32 in, 4 in wide"),
			usual: "none", take: func(text string) error { return t.overflow(text, a.system()) }},
		question{number: 8, flag: "inlet-bore", ask: "Bore of the inlet's mouth, at its narrowest",
			write: "13 mm", usual: a.usualMouth(), take: func(text string) (err error) {
				t.InletBore, err = ranged(text, q.Length, 1e-3, 2)
				return
			}},
		question{number: 8, flag: "inlet", ask: "Height of the inlet's mouth over the floor",
			write: a.level(a.usualInlet()),
			usual: a.level(a.usualInlet()), take: a.takeInlet},
		question{number: 8, flag: "floor", ask: "Height of the tank's floor above the tap (minus when it is below)",
			write: "1.6 m or -2 ft", usual: a.usual("0 m", "0 ft"),
			take: a.takeFloor},
		question{number: 9, flag: "floats", ask: "Where the floats operate, over the floor",
			write: a.usual("low 250 mm, high 720 mm, spill 770 mm", "low 10 in, high 28 in, spill 30 in"),
			usual: a.usualFloats(), take: func(text string) error { return t.floats(text, a.system()) }},
	)
}

// airGap is the least height of an inlet over the rim, EN 1717 types AA and AB: 20 mm, and twice the bore (from
// memory).
func airGap(bore float64) float64 { return math.Max(leastAirGap, 2*bore) }

const leastAirGap = 0.020 // m

// usualMouth is as wide as the pipe to it; 20 mm where that has a mistake.
func (a *Answers) usualMouth() string {
	if bore := a.Valves[a.Filler()].Feeds.Pipe.Bore; bore > 0 {
		return a.level(bore)
	}
	return "20 mm"
}

// inletBore is the bore of the inlet's mouth: that of its pipe where nobody measured it.
func (a *Answers) inletBore() float64 {
	if a.Tank.InletBore > 0 {
		return a.Tank.InletBore
	}
	return a.Valves[a.Filler()].Feeds.Pipe.Bore
}

// usualInlet is the least that keeps the air gap, to the next 5 mm or quarter of an inch.
func (a *Answers) usualInlet() float64 {
	return a.upTo(a.Tank.Rim+airGap(a.inletBore()), 0.005, inch/4)
}

func (a *Answers) takeInlet(text string) error {
	height, err := ranged(text, q.Length, 0.01, 50)
	if err == nil {
		a.Tank.Inlet = height
	}
	return err
}

// takeFloor takes the height of the tank. The pipe to it, where its length was not answered, is taken long enough.
func (a *Answers) takeFloor(text string) error {
	floor, err := ranged(text, q.Length, -50, 200)
	if err != nil {
		return err
	}
	f := &a.Valves[a.Filler()].Feeds
	if a.Tank.Inlet == 0 { // the inlet has a mistake
		return nil
	}
	mouth := floor + a.Tank.Inlet
	if !f.LengthGiven {
		f.Length = math.Max(a.usualLeg(), a.upTo(math.Abs(mouth-a.Rise), 1, 3*foot)+a.usually(1, 3*foot))
	}
	if err := a.reaches(mouth-a.Rise, f.Length, mouth, "the inlet"); err != nil {
		return err
	}
	a.Tank.Floor = floor
	return nil
}

// usualFloats are at three tenths and nine tenths of what the tank holds, to a millimetre or a quarter of an inch.
func (a *Answers) usualFloats() string {
	full := a.Tank.Rim
	if a.Tank.Overflow > 0 {
		full = a.Tank.Overflow
	}
	at := func(share float64) string {
		if a.system() == q.US {
			return a.level(math.Round(full*share/(inch/4)) * (inch / 4))
		}
		return q.Format(math.Round(full*share*1000)/1000, q.Length)
	}
	return fmt.Sprintf("low %s, high %s", at(0.3), at(0.9))
}
