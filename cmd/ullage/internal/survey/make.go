package survey

import (
	"fmt"
	"math"
	"slices"

	q "ullage/harness/quantity"
	"ullage/harness/sitefile"
)

// Made is a site file and what is to be said about it.
type Made struct {
	Text     []byte         // of the site file
	Site     *sitefile.Site // as it is read
	Readings []Reading      // measured against computed, with the file as it is written
	Says     []string       // how well it fits, in plain words
	Doubts   []string       // readings that contradict each other or the trade, and which to repeat
	Typical  []string       // figures that nobody has looked at

	system q.System // that the person measures in
	lifts  float64  // m, by which a fill of the longest run lifts the water
}

// Reading is one reading beside what the written site gives.
type Reading struct {
	What               string
	Measured, Computed string
	Off                string
}

// What stands for readings that were not taken (common practice, no source).
const (
	usualAt        = 30e-3 / 60 // m³/s, drawn from a usual connection
	usualGPM       = 8.0        // the same in the United States
	usualResidual  = 0.65       // share of the static pressure that is then left
	usualTapKv     = 2.0        // m³/h, a half-inch tap wide open
	usualFittings  = 6.0        // velocity heads: stop valve, strainer, four elbows
	leastFittings  = 0.5        // velocity heads: the sharp entry of the pipe alone
	mostFittings   = 1000.0     // velocity heads, what a site file holds
	likelyFittings = 40.0       // velocity heads, above which something throttles
	tapLeaves      = 0.9        // share of the static pressure that a tap may need and still be a usual one
	supplyKeeps    = 0.98       // share of the static pressure that a connection keeps at the most
	runMargin      = 1.5        // longest run over the time of a fill
)

// draft is a site on its way to the file: the answers and what follows from them.
type draft struct {
	*Answers
	title        string
	residual, at float64 // of the supply, Pa and m³/s
	residualFrom string
	atFrom       string
	fittings     float64 // velocity heads
	fittingsFrom string
	fillFlow     float64 // m³/s, as computed; 0 before
	fit          []string
}

// Make lays the site out, fits it to the readings and writes the file. Title is the name of the site. An error lists
// what the rules of site files say against the answers.
func Make(a *Answers, title string) (*Made, error) {
	d := &draft{Answers: a, title: title}
	d.supply()
	d.fittings, d.fittingsFrom = usualFittings, typical
	site, err := sitefile.Read(title, d.write())
	if err != nil {
		return nil, fmt.Errorf("the answers make no site: %w", err)
	}
	m, err := newModel(d, site)
	if err != nil {
		return nil, err
	}
	made := &Made{system: a.system()}
	if a.Filler() >= 0 {
		if err := d.fitFill(m); err != nil {
			return nil, err
		}
	}
	made.Doubts = append(d.doubtSupply(), d.doubtFill(m)...)
	made.Doubts = slices.Concat(made.Doubts, d.doubtDrip(), d.doubtBackflow(), d.doubtTank())
	made.Readings = d.readings()
	if a.Filler() >= 0 {
		made.lifts = d.longestRun() * d.fillFlow / a.Tank.Area()
	}
	if made.Says, err = d.says(m); err != nil {
		return nil, err
	}
	for _, r := range made.Readings {
		was := "measured " + r.Measured
		if r.Measured == notMeasured {
			was = notMeasured
		}
		d.fit = append(d.fit, fmt.Sprintf("%s: %s, computed %s (%s)", r.What, was, r.Computed, r.Off))
	}
	d.fit = append(d.fit, made.Says...)
	d.fit = append(d.fit, made.Doubts...)
	made.Typical = d.typicals()
	made.Text = d.write()
	made.Site, err = sitefile.Read(title, made.Text)
	if err != nil {
		return nil, fmt.Errorf("the answers make no site: %w", err)
	}
	return made, nil
}

// supply is the mains, before it is fitted.
func (d *draft) supply() {
	if d.Bucket == 0 {
		d.at, d.atFrom = d.usually(usualAt, usualGPM*gpm), typical
		d.residual, d.residualFrom = d.rounded(usualResidual*d.Static, q.Pressure), typical
		return
	}
	d.at, d.atFrom = d.rounded(d.Bucket, q.Flow), measured+": "+d.BucketAs
	if d.Measured {
		d.residual, d.residualFrom = d.Residual, measured+" while the bucket filled"
		return
	}
	perHour := d.Bucket * 3600
	d.residual = d.rounded(math.Min(tapLeaves*d.Static, 1e5*(perHour/usualTapKv)*(perHour/usualTapKv)), q.Pressure)
	d.residualFrom = typical + ": what a tap of Kv 2 m3/h needs at that flow"
}

// rounded is a computed value as it is written.
func (d *draft) rounded(si float64, dim q.Dimension) float64 {
	v, err := q.Parse(q.FormatIn(si, dim, d.system()), dim)
	if err != nil {
		return si
	}
	return v.SI
}

// longestRun is the time of a fill with its margin, to the next half minute.
func (d *draft) longestRun() float64 {
	const most = 24 * 3600
	seconds := 600.0
	if d.fillFlow > 0 {
		seconds = d.fillVolume() / d.fillFlow * runMargin
	}
	return math.Min(most, math.Max(60, math.Ceil(seconds/30)*30))
}

func (a *Answers) fillVolume() float64 { return a.Tank.Area() * (a.Tank.High - a.Tank.Low) }
