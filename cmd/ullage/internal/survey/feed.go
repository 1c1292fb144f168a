package survey

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	q "ullage/harness/quantity"
)

const expectedFeed = `"tank", "48 drippers of 2 L/h, 12 m of 16 mm drip pipe", "100 m of 16 mm drip pipe with 2 L/h every 300 mm, in 4 lines", "8 sprays of 2.1 L/min at 2 bar" or "other valves" (a master valve), and the pipe behind it, as ", 12 m of 20 mm PE, rises 0.6 m"`

// What is usual behind a valve (common practice, no source).
const (
	usualDripAt     = 1e5 // Pa, at which the flow of a dripper is given
	usualSprayAt    = 2e5 // Pa, at which the flow of a spray is given
	usualDripPSI    = 15  // the same in the United States
	usualSprayPSI   = 30
	usualLegLength  = 5.0 // m, of the pipe behind a valve
	usualLegFeet    = 15
	compensatingLaw = 0.05 // exponent of a pressure-compensating dripper
)

var (
	openings = regexp.MustCompile(
		`^(\d+) +(?:(compensating|pc) +)?(drippers?|drip emitters?|emitters?|sprays?|spray heads?|sprinkler heads?|nozzles?|sprinklers?|rotors?|heads?)(?: +(?:of|at|with|x|each))? +(.+?)(?: +each)?(?: +(?:at|@) +(.+))?$`,
	)
	legOf     = regexp.MustCompile(`^(.+?)(?: +of +(.+))?$`)
	rising    = regexp.MustCompile(`^(rises|rising|up|falls|falling|down) +(?:by +)?(.+)$`)
	alongPipe = regexp.MustCompile(`^(\d[^,]*?) +of +(.*drip.*?) +(?:with|,)? *(?:drippers? of +|emitters? of +)?([\d.]+ *l/h|[\d.]+ *gph) +(?:every|at every|each) +(.+)$`)
	inLines   = regexp.MustCompile(`^(?:in +)?(\d+) +(?:lines?|rows?)$`)
	regulate  = regexp.MustCompile(`^(?:with +)?(?:a +)?(?:regulator|regulated)(?: +(?:to|at|of))? +(.+)$`)
)

var toTank = map[string]bool{"tank": true, "the tank": true, "fills the tank": true, "fills tank": true,
	"cistern": true, "header tank": true, "sump": true}
var toValves = map[string]bool{"other valves": true, "the other valves": true, "all valves": true, "valves": true,
	"the others": true, "master": true}

// feed reads what lies behind a valve. Pipe is that of the main, which a leg without a pipe of its own has too.
func feed(text string, main Pipe) (Feed, error) {
	f := Feed{Pipe: main}
	list, err := pieces(text)
	if err != nil {
		return f, err
	}
	if len(list) == 0 {
		return f, fmt.Errorf("expected %s", expectedFeed)
	}
	if err := f.use(strings.ToLower(list[0])); err != nil {
		return f, err
	}
	for _, p := range list[1:] {
		if err := f.further(p); err != nil {
			return f, err
		}
	}
	if f.Use == FeedsValves && len(list) > 1 {
		return f, fmt.Errorf("%q: a master valve sits at the manifold; expected nothing behind \"other valves\"",
			list[1])
	}
	if f.Use == FillsTank && f.Regulator > 0 {
		return f, fmt.Errorf("a regulator before a tank is not written by this command; expected none")
	}
	return f, nil
}

// use reads what the valve is for.
func (f *Feed) use(text string) error {
	switch {
	case toTank[text]:
		f.Use = FillsTank
		return nil
	case toValves[text]:
		f.Use = FeedsValves
		return nil
	}
	if m := alongPipe.FindStringSubmatch(text); m != nil {
		return f.dripPipe(m[1], m[2], m[3], m[4])
	}
	m := openings.FindStringSubmatch(text)
	if m == nil {
		return fmt.Errorf("%q; expected %s", shortened(text), expectedFeed)
	}
	f.Use = FeedsSprays
	if strings.HasPrefix(m[3], "drip") || strings.HasPrefix(m[3], "emitter") {
		f.Use, f.Compensating = FeedsDrip, m[2] != ""
	} else if m[2] != "" {
		return fmt.Errorf("%q is said of drippers; expected %s", m[2], expectedFeed)
	}
	var err error
	if f.Count, err = strconv.Atoi(m[1]); err != nil || f.Count < 1 || f.Count > 10000 {
		return fmt.Errorf("%s openings; expected 1 to 10000", m[1])
	}
	if f.Flow, err = openingFlow(m[4]); err != nil {
		return err
	}
	if m[5] != "" {
		f.AtGiven = true
		f.At, err = ranged(restored(m[5]), q.Pressure, 0.1e5, 10e5)
	}
	return err
}

// dripPipe reads drip pipe by its length and the spacing of its drippers.
func (f *Feed) dripPipe(length, pipe, flow, every string) (err error) {
	f.Use, f.Lines = FeedsDrip, 1
	if f.DripLength, err = ranged(restored(length), q.Length, 0.1, 10000); err != nil {
		return err
	}
	if f.Drip, err = ParsePipe(pipe); err != nil {
		return err
	}
	if f.Flow, err = openingFlow(flow); err != nil {
		return err
	}
	spacing, err := ranged(restored(every), q.Length, 0.02, 10)
	if err != nil {
		return err
	}
	f.Spacing, f.Count = spacing, int(f.DripLength/spacing+1e-9)
	if f.Count < 1 || f.Count > 100000 {
		return fmt.Errorf("%d drippers; expected 1 to 100000", f.Count)
	}
	return nil
}

// openingFlow reads the flow of one opening.
func openingFlow(text string) (float64, error) {
	return ranged(restored(text), q.Flow, 0.1e-3/3600, 0.1/60)
}

// restored gives units their capitals back, which lower case took.
func restored(text string) string {
	return strings.NewReplacer("mh2o", "mH2O", "kpa", "kPa", "mpa", "MPa").Replace(text)
}

// further reads a length of pipe, a height or a regulator.
func (f *Feed) further(text string) error {
	var err error
	lower := strings.ToLower(text)
	if m := regulate.FindStringSubmatch(lower); m != nil {
		f.Regulator, err = ranged(restored(m[1]), q.Pressure, 0.2e5, 10e5)
		return err
	}
	if m := rising.FindStringSubmatch(lower); m != nil {
		if f.Use == FillsTank {
			return fmt.Errorf(
				"%q: the height of the tank is asked for further down (inlet and floor); expected none here",
				shortened(text),
			)
		}
		f.Rise, err = ranged(m[2], q.Length, 0, 100)
		if strings.HasPrefix(m[1], "f") || m[1] == "down" {
			f.Rise = -f.Rise
		}
		return err
	}
	if m := inLines.FindStringSubmatch(lower); m != nil {
		f.Lines, err = strconv.Atoi(m[1])
		if err == nil && (f.Use != FeedsDrip || f.Lines < 1 || f.Lines > f.Count) {
			err = fmt.Errorf("%q; expected lines of drip pipe with a dripper each at the least", shortened(text))
		}
		return err
	}
	m := legOf.FindStringSubmatch(text)
	if f.Use == FeedsDrip && m[2] != "" {
		if pipe, wrong := ParsePipe(m[2]); wrong == nil && pipe.Drip {
			if f.Drip.Bore > 0 {
				return fmt.Errorf("%q: there is drip pipe already; expected the pipe to it, or nothing", shortened(text))
			}
			f.Drip, f.Lines = pipe, max(1, f.Lines)
			f.DripLength, err = ranged(m[1], q.Length, 0.1, 10000)
			return err
		}
	}
	if f.Length, err = ranged(m[1], q.Length, 1e-3, 2000); err != nil {
		return fmt.Errorf("%w; expected %s", err, expectedFeed)
	}
	f.LengthGiven = true
	if m[2] != "" {
		f.Pipe, err = ParsePipe(m[2])
	}
	return err
}

// feeds takes what the valve at the index feeds, as long as that fits the others.
func (a *Answers) feeds(at int, text string) error {
	f, err := feed(text, a.Pipe)
	if err != nil {
		return err
	}
	for i := range a.Valves[at:] { // answered again, after a step back
		a.Valves[at+i].Feeds = Feed{}
	}
	for _, v := range a.Valves {
		if v.Feeds.Use == f.Use && f.Use == FillsTank {
			return fmt.Errorf("%q fills the tank already; expected one valve that fills it", v.Name)
		}
		if v.Feeds.Use == f.Use && f.Use == FeedsValves {
			return fmt.Errorf("%q is the master valve already; expected one", v.Name)
		}
	}
	if f.Use == FeedsValves && len(a.Valves) == 1 {
		return fmt.Errorf("there is no other valve; expected %s", expectedFeed)
	}
	if f.Use == FeedsDrip || f.Use == FeedsSprays {
		if err := a.reaches(f.Rise, f.Length, a.Rise+f.Rise, "the outlets"); err != nil {
			return err
		}
	}
	if !f.LengthGiven {
		f.Length = a.usualLeg()
	}
	if !f.AtGiven && f.Use == FeedsDrip {
		f.At = a.usually(usualDripAt, usualDripPSI*psi)
	}
	if !f.AtGiven && f.Use == FeedsSprays {
		f.At = a.usually(usualSprayAt, usualSprayPSI*psi)
	}
	a.Valves[at].Feeds = f
	return nil
}

// usualLeg is the length of the pipe behind a valve when it was not answered, m.
func (a *Answers) usualLeg() float64 { return a.usually(usualLegLength, usualLegFeet*foot) }

var fillingName = regexp.MustCompile(`(?i)fill|tank|top|cistern|sump`)

// usualFeed is the answer that stands for a blank one.
func (a *Answers) usualFeed(at int) string {
	name := strings.ToLower(a.Valves[at].Name)
	before := Answers{Valves: a.Valves[:at]}
	switch {
	case fillingName.MatchString(name) && before.Filler() < 0:
		return "tank"
	case strings.Contains(name, "master") && before.Master() < 0 && len(a.Valves) > 1:
		return "other valves"
	case strings.Contains(name, "spray"):
		return a.usual("4 sprays of 2 L/min", "4 sprays of 0.5 gpm")
	}
	return a.usual("20 drippers of 2 L/h", "20 drippers of 0.5 gph")
}
