package survey

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"ullage/fakes/pipework"
	"ullage/fakes/water"
	"ullage/harness/numeric"
	q "ullage/harness/quantity"
)

// longestFill is the time in s above which a fill is doubted (common practice, no source).
const longestFill = 16 * 3600

const notMeasured = "not measured"

// agrees is the share by which a computed and a measured time may differ and still be called the same.
const agrees = 0.02

// Standard errors of readings on a site (common practice, no source): a bucket with its mark and its stop watch, a gauge
// of class 2.5 with a range of 4 bar (EN 837-1), the watch at a fill, and a folding rule.
const (
	bucketErrs = 0.03   // of the flow
	gaugeErrs  = 0.05e5 // Pa
	watchErrs  = 1.0    // s
	ruleErrs   = 0.003  // m
	coverage   = 2.0    // standard errors that are put down to the readings (JCGM 100:2008, 6.2.1)
)

// error is the share by which the computed fill may differ from the measured one because of how far the readings may
// err, independently of each other.
func (d *draft) error(m *model) (float64, error) {
	squares := 0.0
	add := func(share float64) { squares += share * share }
	add(watchErrs / d.FillTime)
	for _, length := range []float64{d.Tank.High - d.Tank.Low, d.Tank.High - d.Tank.Low, d.Tank.Length, d.Tank.Width,
		d.Tank.Diameter / 2} {
		if length > 0 {
			add(ruleErrs / length)
		}
	}
	if d.Bucket > 0 && d.fillFlow > 0 {
		changed := []supplied{{d.Static, d.residual, d.at * (1 + bucketErrs)}}
		if d.Measured {
			changed = append(changed,
				supplied{d.Static, math.Min(d.residual+gaugeErrs, supplyKeeps*d.Static), d.at},
				supplied{d.Static + gaugeErrs, d.residual, d.at})
		}
		for _, c := range changed {
			flow, err := m.fillsFrom(c, d.fittings)
			if err != nil {
				return 0, err
			}
			add(flow/d.fillFlow - 1)
		}
	}
	return math.Max(agrees, coverage*math.Sqrt(squares)), nil
}

// computedFill is the time of a fill in s, +Inf when nothing flows.
func (d *draft) computedFill() float64 {
	if d.fillFlow <= 0 {
		return math.Inf(1)
	}
	return d.fillVolume() / d.fillFlow
}

// readings sets what was measured against what the written site gives.
func (d *draft) readings() []Reading {
	const given = "given: the supply begins there"
	list := []Reading{{"static pressure at the tap", d.show(d.Static, q.Pressure), d.show(d.Static, q.Pressure), given}}
	if d.blank["static"] {
		list[0].Measured = notMeasured
	}
	if d.Bucket > 0 {
		r := Reading{"flow into the bucket", d.show(d.Bucket, q.Flow), d.show(d.Bucket, q.Flow),
			"given: the supply passes there"}
		p := Reading{"pressure meanwhile", notMeasured, d.show(d.residual, q.Pressure), d.residualFrom}
		if d.Measured {
			p.Measured, p.Off = d.show(d.Residual, q.Pressure), "given: the supply passes there"
		}
		list = append(list, r, p)
	}
	if d.Filler() >= 0 {
		r := Reading{"fill, low to high", notMeasured, seconds(d.computedFill()), "nothing to compare with"}
		if d.FillTime > 0 {
			r.Measured = q.Format(d.FillTime, q.Duration)
			r.Off = fmt.Sprintf("off by %.1f %%", math.Abs(d.off())*100)
		}
		list = append(list, r)
	}
	return list
}

// seconds shows a computed time to the second.
func seconds(s float64) string {
	if math.IsInf(s, 0) {
		return "never"
	}
	return q.Format(math.Max(1, math.Round(s)), q.Duration)
}

// off is the share by which the computed fill is longer than the measured one.
func (d *draft) off() float64 { return d.computedFill()/d.FillTime - 1 }

// says states how well the site fits, and what that is worth.
func (d *draft) says(m *model) ([]string, error) {
	const unchecked = "the loss of the fittings is a usual one (K 6), and nothing checks it."
	switch {
	case d.Filler() < 0:
		return []string{"There is no tank and so no fill to time: " + unchecked}, nil
	case d.FillTime == 0:
		return []string{"The fill was not timed: " + unchecked +
			" Time a fill from the low float to the high one."}, nil
	}
	within, err := d.error(m)
	switch off := math.Abs(d.off()); {
	case err != nil:
		return nil, err
	case off > within:
		return nil, nil // a doubt says it
	case off > agrees:
		return []string{fmt.Sprintf("The fill time agrees: it is off by %.1f %%, and with the usual errors of a bucket, a "+
			"gauge, a watch and a rule it may be off by %.1f %%.", 100*off, 100*within)}, nil
	}
	if d.fittingsFrom != fittedToFill {
		return []string{
			fmt.Sprintf(
				"The fill time fits by construction: the pressure while the bucket filled was not measured and was adjusted to it. It comes "+
					"to %s; the fittings are usual ones (K %v). Read that pressure, and the fittings can be separated from the mains.",
				d.show(d.residual, q.Pressure),
				d.fittings,
			),
		}, nil
	}
	fast, slow, err := d.ifMisread(m)
	if err != nil {
		return nil, err
	}
	text := fmt.Sprintf(
		"The fill time fits by construction: the loss of the fittings was adjusted to it. They take %s from tap to manifold during a "+
			"fill, K %s",
		d.roughly(d.fittingsLoss(), q.Pressure),
		brief(d.fittings),
	)
	if d.fittings <= likelyFittings {
		// Losses of threaded fittings are those of engineering handbooks (Crane TP 410; from memory).
		text += ", which is likely: an elbow has about 0.9, a stop valve up to 10"
	}
	return []string{text + fmt.Sprintf(". With the fill time misread by 5 %% it would be K %s to %s.", brief(fast),
		brief(slow))}, nil
}

// roughly shows a value to two digits.
func (d *draft) roughly(si float64, dim q.Dimension) string {
	text := d.show(si, dim)
	number, unit, _ := strings.Cut(text, " ")
	if x, err := strconv.ParseFloat(number, 64); err == nil {
		digits := max(0, 2-len(strconv.Itoa(int(math.Abs(x)))))
		if x != 0 && math.Abs(x) < 1 {
			digits = 2
		}
		return strconv.FormatFloat(x, 'f', digits, 64) + " " + unit
	}
	return text
}

// fittingsLoss is the pressure that the fittings of the main pipe take during a fill, in Pa.
func (d *draft) fittingsLoss() float64 {
	v := d.fillFlow / (math.Pi / 4 * d.Pipe.Bore * d.Pipe.Bore)
	return d.fittings * water.Standard().Density * v * v / 2
}

// ifMisread is the loss that a fill time 5 % shorter, and one 5 % longer, would have been fitted with.
func (d *draft) ifMisread(m *model) (fast, slow float64, err error) {
	if fast, err = m.fittingsFor(d.fillVolume()/(d.FillTime*0.95), d.residual, d.at); err != nil {
		return 0, 0, err
	}
	slow, err = m.fittingsFor(d.fillVolume()/(d.FillTime*1.05), d.residual, d.at)
	return fast, slow, err
}

// brief shows a loss in velocity heads to three digits, and never as a power of ten.
func brief(k float64) string {
	if k >= 100 {
		return strconv.FormatFloat(math.Round(k), 'f', 0, 64)
	}
	return fmt.Sprintf("%.3g", k)
}

// doubtSupply holds the bucket against the tap.
func (d *draft) doubtSupply() []string {
	if d.Bucket == 0 || d.Measured {
		return nil
	}
	perHour := d.Bucket * 3600
	if needs := 1e5 * (perHour / usualTapKv) * (perHour / usualTapKv); needs > tapLeaves*d.Static {
		return []string{
			fmt.Sprintf(
				"CONTRADICTION: %s into the bucket would need %s at a usual half-inch tap, and the static pressure is %s. Repeat the "+
					"bucket, and read the pressure meanwhile; a larger tap would explain it.",
				d.show(d.Bucket,
					q.Flow),
				d.show(needs, q.Pressure),
				d.show(d.Static, q.Pressure),
			),
		}
	}
	return nil
}

// doubtFill holds the fill time against what mains and pipe can give.
func (d *draft) doubtFill(m *model) []string {
	within := agrees
	if d.Filler() >= 0 && d.FillTime > 0 {
		if err, failed := d.error(m); failed == nil {
			within = err
		}
	}
	switch {
	case d.Filler() < 0:
		return nil
	case d.FillTime == 0 && d.computedFill() > longestFill:
		return []string{
			fmt.Sprintf(
				"DOUBT: a fill would take %s. Look at the trade sizes of the pipes, the sizes of the tank, the bucket, and the heights.",
				seconds(d.computedFill()),
			),
		}
	case d.FillTime == 0:
		return nil
	case d.off() < -within:
		return []string{
			fmt.Sprintf(
				"CONTRADICTION: the fill took %s, and even with the fittings nearly shut (K 1000) it would take %s. Repeat the fill time; look at "+
					"the sizes of the tank and the levels of the floats.",
				q.Format(d.FillTime,
					q.Duration),
				seconds(d.computedFill()),
			),
		}
	case d.off() > within:
		return []string{d.tooFast(m)}
	case d.fittings > likelyFittings:
		return []string{
			fmt.Sprintf(
				"DOUBT: the fittings would have to lose %s during a fill (K %s), more than fittings do. Something throttles: a stop valve half shut, "+
					"a clogged strainer, a kinked pipe, an inlet or a pipe smaller than answered. Look for it, or repeat the fill time.",
				d.roughly(d.fittingsLoss(), q.Pressure),
				brief(d.fittings),
			),
		}
	}
	return nil
}

// tooFast says of a fill that is faster than the site can make it what stands in its way.
func (d *draft) tooFast(m *model) string {
	wanted := d.fillVolume() / d.FillTime
	text := fmt.Sprintf("CONTRADICTION: the fill took %s, which is %s into the tank; ",
		q.Format(d.FillTime, q.Duration), d.show(wanted, q.Flow))
	mains := d.mainsAlone()
	pipe, err := m.fills(supplyKeeps*d.Static, 10*wanted, leastFittings)
	switch {
	case wanted > mains && d.Measured:
		return text + fmt.Sprintf(
			"the mains, by the bucket and the pressure meanwhile, gives %s at the height of the inlet with no pipe at all. Repeat the bucket with its "+
				"pressure first; then the fill time, and look at the sizes of the tank and the levels of the floats.",
			d.show(mains, q.Flow),
		)
	case err == nil && wanted > pipe:
		return text + fmt.Sprintf(
			"the pipes (%s over %s, then %s over %s) pass %s even at the full static pressure. Look at the trade sizes of the pipes first; then "+
				"repeat the fill time, and look at the sizes of the tank and the levels of the floats.",
			d.Pipe.Name,
			d.show(d.Length, q.Length),
			d.Valves[d.Filler()].Feeds.Pipe.Name,
			d.show(d.Valves[d.Filler()].Feeds.Length, q.Length),
			d.show(pipe,
				q.Flow),
		)
	}
	return text + fmt.Sprintf(
		"mains and pipes together, without a single fitting, give %s. Repeat the bucket with its pressure and the fill time, nothing else running.",
		d.show(d.fillFlow, q.Flow),
	)
}

// mainsAlone is the flow of the mains at the height of the inlet, without pipe and valve, in m³/s.
func (d *draft) mainsAlone() float64 {
	left := d.Static - (d.Tank.Floor+d.Tank.Inlet)*pipework.PerMetre
	const exponent = 0.54 // NFPA 291, as the supplies of a site file
	return d.at * numeric.Pow(left/(d.Static-d.residual), exponent)
}

// doubtDrip looks for drippers that get the pressure of the mains.
func (d *draft) doubtDrip() []string {
	const most = 2e5 // Pa, that drippers are sold for without a regulator (common practice, no source)
	var list []string
	for _, v := range d.Valves {
		f := v.Feeds
		if at := d.Static - (d.Rise+f.Rise)*pipework.PerMetre; f.Use == FeedsDrip && f.Regulator == 0 && at > most {
			list = append(
				list,
				fmt.Sprintf(
					"DOUBT: up to %s stands at the drippers of %q. A regulator usually holds %s before them: when there is one, "+
						"answer it too: regulator %s.",
					d.roughly(at, q.Pressure),
					v.Name,
					d.usual("1 to 1.5 bar",
						"15 to 25 psi"),
					d.usual("1.5 bar", "20 psi"),
				),
			)
		}
	}
	return list
}

// doubtBackflow looks for what keeps water from coming back into the mains.
func (d *draft) doubtBackflow() []string {
	if d.Preventer.Size != "" {
		return nil
	}
	return []string{"DANGER: no backflow preventer between the tap and the valves: when the pressure in the street fails, water " +
		"of beds and lines is drawn back into the mains. Have a licensed person put in one of the category that the use asks " +
		"for (EN 1717); local codes and the water supplier decide."}
}

// doubtTank looks at how the levels stand to each other.
func (d *draft) doubtTank() []string {
	if d.Filler() < 0 {
		return nil
	}
	var list []string
	t := d.Tank
	switch {
	case t.Overflow == 0:
		list = append(list, "DANGER: the tank has no overflow: when a fill does not end, water goes over the rim.")
	case t.High >= t.Overflow:
		list = append(
			list,
			fmt.Sprintf(
				"DOUBT: the high float, at %s, is not below the overflow, at %s: every fill runs away before it ends. Measure both again.",
				d.level(t.High),
				d.level(t.Overflow),
			),
		)
	case t.Spill >= t.Overflow:
		list = append(
			list,
			fmt.Sprintf(
				"DOUBT: the spill float, at %s, is not below the overflow, at %s: it sees water only when the overflow cannot carry it. Measure both again.",
				d.level(t.Spill),
				d.level(t.Overflow),
			),
		)
	}
	if gap := airGap(d.inletBore()); t.Inlet < t.Rim+gap-1e-9 {
		list = append(list, fmt.Sprintf("DANGER: the inlet's mouth, at %s, is less than %s (20 mm, and twice its bore) above the "+
			"rim, at %s: water of the tank may be drawn back into the mains. Until it hangs at %s or more, treat the water of "+
			"the tap as unfit to drink when the pressure has failed; local codes and the water supplier decide.",
			d.level(t.Inlet), d.show(gap, q.Length), d.level(t.Rim), d.level(d.usualInlet())))
	}
	if t.Spill == 0 {
		list = append(
			list,
			"DANGER: no spill float: nothing but the longest run ends a fill that the high float does not end.",
		)
	}
	return list
}
