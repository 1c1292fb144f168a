package controller

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"ullage/harness"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// wiring puts a controller together from its settings and gathers all that is wrong with them.
type wiring struct {
	*Controller
	probes map[string]int // terminals of analogue inputs, by device
	errs   []error
}

// New builds the controller of a site file. terminals are its terminals in the order of the file, the power terminal
// after them. The error names every setting that cannot be carried out.
func New(spec sitefile.Controller, terminals []harness.Terminal, options ...Option) (*Controller, error) {
	c, errs := assemble(spec, terminals)
	if errs != nil {
		return nil, errors.Join(errs...)
	}
	for _, option := range options {
		errs = append(errs, option(c))
	}
	if err := errors.Join(errs...); err != nil {
		return nil, err
	}
	return c, nil
}

// Option changes the controller that New has put together.
type Option func(*Controller) error

// Polling makes the controller look at its terminals at multiples of a time only, as firmware with a main loop does. It
// is a sound variant: power is still watched by hardware.
func Polling(poll signal.Time) Option {
	return func(c *Controller) error {
		if poll <= 0 {
			return errors.New("controller: polling wants a time above 0")
		}
		c.polls = poll
		c.schedule.pace = func(t signal.Time) signal.Time {
			if t == signal.Never {
				return t
			}
			return (t + poll - 1) / poll * poll
		}
		return nil
	}
}

// assemble puts a controller together. It is of no use when there are errors.
func assemble(spec sitefile.Controller, terminals []harness.Terminal) (*Controller, []error) {
	c := &Controller{}
	w := &wiring{Controller: c, probes: map[string]int{}}
	c.record = record{loop: &c.loop}
	c.schedule = schedule{loop: &c.loop}
	c.tally.clock = &c.clock
	c.firmware.watchdog, c.firmware.bitesAfter, c.firmware.bites = true, watchdogAfter, signal.Never
	c.atBoot = func(*output) bool { return c.now < c.firmware.floatsUntil }
	if w.terminals(spec, terminals) {
		w.drivers(spec.Drivers)
		w.settings(spec.Settings)
	}
	c.schedule.use(true)
	return c, w.errs
}

func (w *wiring) refuse(err error) {
	if err != nil {
		w.errs = append(w.errs, err)
	}
}

func (w *wiring) refusef(format string, a ...any) {
	w.refuse(fmt.Errorf("controller: "+format, a...))
}

// terminals sets up the terminals and their input stages, and says whether there are terminals to work with.
func (w *wiring) terminals(spec sitefile.Controller, terminals []harness.Terminal) bool {
	c := w.Controller
	if n := len(terminals); n != len(spec.Terminals)+1 || terminals[n-1].Kind != harness.PowerTerminal {
		w.refusef("%d terminals given, want the %d of the site file and the power terminal after them",
			len(terminals), len(spec.Terminals))
		return false
	}
	b := spec.Board
	if !(b.Rail.SI > 0 && b.Bits > 0 && b.Bits < 31 && b.Low.SI <= b.High.SI) {
		w.refusef("board: want a rail above 0 V, 1 to 30 bits and low not above high; got %g V, %d bits, %g V and %g V",
			b.Rail.SI, b.Bits, b.Low.SI, b.High.SI)
	}
	c.board = board{
		digital:  harness.InputOf(b, harness.ContactTerminal),
		analogue: harness.InputOf(b, harness.AnalogueTerminal),
		feed:     len(terminals) - 1,
	}
	c.outputs = outputs{record: &c.record, board: &c.board}
	for i, t := range terminals {
		if slices.ContainsFunc(terminals[:i], func(other harness.Terminal) bool { return other.Name == t.Name }) {
			w.refusef("%q is on two terminals", t.Name)
		}
		c.board.pins = append(c.board.pins, harness.Open(0, i))
		switch t.Kind {
		case harness.OutputTerminal:
			c.outputs.list = append(c.outputs.list, output{terminal: i, device: t.Name, drive: t.Drive})
		case harness.ContactTerminal, harness.PulseTerminal:
			in := &contact{
				record:   &c.record,
				board:    &c.board,
				terminal: i,
				device:   t.Name,
				normal:   t.Normal,
				kind:     t.Kind,
				crosses:  signal.Never,
			}
			e := c.schedule.add(in)
			e.always = true
			c.contacts = append(c.contacts, sensed{in, e})
		case harness.AnalogueTerminal:
			w.probes[t.Name] = i
		}
	}
	c.power = power{
		loop:        &c.loop,
		board:       &c.board,
		firmware:    &c.firmware,
		resetsBelow: spec.ResetsBelow.SI,
		detector:    true,
		boots:       span(spec.Boots),
		changes:     signal.Never,
	}
	return true
}

// drivers sets up what drives latching and motorised valves.
func (w *wiring) drivers(d *sitefile.Drivers) {
	if d == nil {
		d = &sitefile.Drivers{}
	}
	made := *d
	made.FillDefaults()
	c := w.Controller
	c.turning = motorised{outputs: &c.outputs, drivesFor: span(made.DrivesFor)}
	c.latching = latching{
		outputs:     &c.outputs,
		length:      span(made.Pulse),
		shutsOnLoss: made.OnPowerLoss == "shuts",
		pulsing:     -1,
		ready:       signal.Never,
	}
	var latching []int
	for i, o := range c.outputs.list {
		if o.drive == sitefile.Latching {
			latching = append(latching, i)
		}
		c.twoWay = c.twoWay || o.drive == sitefile.Latching || o.drive == sitefile.Motorised
	}
	if latching == nil {
		return
	}
	c.latching.store = store{
		farads:  made.Storage.SI,
		through: made.ChargesThrough.SI,
		bleeds:  made.Bleeds.SI,
		coil:    made.Coil.SI,
	}
	if made.ShutsBelow.SI > 0 {
		c.charge = &keepsCharge{
			board:   &c.board,
			alerts:  &c.alerts,
			below:   made.ShutsBelow.SI,
			ban:     w.ban(latching),
			changes: signal.Never,
		}
		c.schedule.add(c.charge)
	}
}

// settings sets up the rules in the order of cause.
func (w *wiring) settings(s sitefile.Settings) {
	c := w.Controller
	var err error
	c.clock, err = newClock(s.Clock)
	w.refuse(err)
	if s.Alerts.Kept < 0 {
		w.refusef("alerts: kept is %d, want 0 at least", s.Alerts.Kept)
	}
	c.network = newNetwork(&c.loop, max(0, s.Alerts.Kept))
	c.alerts = newAlerts(&c.record, &c.network, span(s.Alerts.RepeatAfter))
	c.network.sent, c.tells = c.alerts.sent, &c.alerts
	w.debounce = signal.FromSeconds(sitefile.DefaultDebounce)
	if s.Fill != nil {
		w.debounce = span(s.Fill.Debounce)
	}
	for _, in := range c.contacts {
		in.filter.on, in.filter.off = w.debounce, w.debounce
	}
	if s.Fill != nil {
		w.fills(*s.Fill)
	}
	if s.Moisture != nil {
		w.waters(*s.Moisture)
	}
	for _, p := range s.Programmes {
		w.programme(p)
	}
	if s.Remote != nil {
		w.remote(*s.Remote)
	}
	if s.CutOff != nil {
		w.cutsOff(*s.CutOff)
	}
	if s.Interlock != nil {
		w.interlocks(*s.Interlock)
	}
	if s.FlowAlarms != nil {
		w.flowAlarms(*s.FlowAlarms)
	}
	if s.ReportEvery.SI > 0 {
		c.reports = &reports{network: &c.network, every: span(s.ReportEvery),
			summary: summary{clock: &c.clock, tally: &c.tally, probe: c.probe, outputs: &c.outputs, fill: c.fill}}
		c.schedule.add(c.reports).always = true
	}
	c.schedule.add(&c.network).always = true
}

func (w *wiring) fills(s sitefile.Fill) {
	w.fill = &fill{
		record: &w.record,
		call:   w.call("fill", s.Valve, s.With),
		valve:  s.Valve,
		low:    w.contact("fill", s.Low, harness.ContactTerminal),
		longestRun: span(
			s.LongestRun,
		),
		limit:    w.limit(span(s.LongestRun)),
		attempts: s.Attempts,
		pause:    span(s.Pause),
		alerts:   &w.alerts,
		tally:    &w.tally,
	}
	if s.High != "" {
		w.fill.high = w.contact("fill", s.High, harness.ContactTerminal)
	}
	w.schedule.add(w.fill)
}

func (w *wiring) waters(s sitefile.Moisture) {
	const name = "moisture rule"
	w.probe = &probe{
		record:   &w.record,
		board:    &w.board,
		alerts:   &w.alerts,
		terminal: w.analogue(name, s.Probe),
		dry:      float64(s.DryCount),
		wet:      float64(s.WetCount),
		least:    -s.Plausible.SI,
		most:     1 + s.Plausible.SI,
		every:    w.positive(name, "reads", s.Reads),
		distrust: distrust,
	}
	w.moisture = &moisture{
		call:        w.call(name, s.Zone, s.With),
		probe:       w.probe,
		alerts:      &w.alerts,
		tally:       &w.tally,
		startsBelow: s.StartsBelow.SI,
		stopsAt:     s.StopsAt.SI,
		cycle:       w.positive(name, "cycle", s.Cycle),
		soak:        span(s.Soak),
		attempts:    s.Attempts,
		restAfter:   span(s.RestAfter),
	}
	if s.DryCount == s.WetCount {
		w.refusef("%s: dry-count and wet-count are both %d; the probe is not calibrated", name, s.DryCount)
	}
	w.schedule.add(w.probe)
	w.schedule.add(w.moisture)
}

func (w *wiring) programme(s sitefile.Programme) {
	name := "programme of " + s.Zone
	p := &programme{
		call:     w.call(name, s.Zone, s.With),
		clock:    &w.clock,
		run:      w.positive(name, "run", s.Run),
		notTwice: notTwice,
	}
	for _, day := range w.days(name, s.Days) {
		for _, start := range s.Starts {
			at, err := sitefile.TimeOfDay(start)
			if err != nil {
				w.refusef("%s: starts has %q, want %w", name, start, err)
			}
			p.starts, p.ran = append(p.starts, timeOfWeek(day, at)), append(p.ran, -1)
		}
	}
	w.programmes = append(w.programmes, p)
	w.schedule.add(p)
}

// days reads days of the week; none given are all.
func (w *wiring) days(rule string, names []string) []time.Weekday {
	if len(names) == 0 {
		return []time.Weekday{0, 1, 2, 3, 4, 5, 6}
	}
	var list []time.Weekday
	for _, name := range names {
		day, err := sitefile.Weekday(name)
		if err != nil {
			w.refusef("%s: days has %q, want %w", rule, name, err)
		}
		list = append(list, day)
	}
	return list
}

func (w *wiring) remote(s sitefile.Remote) {
	longest := w.positive("remote", "longest-run", s.LongestRun)
	for _, zone := range s.Zones {
		z := &remoteZone{
			call:   w.call("remote", zone.Zone, zone.With),
			zone:   zone.Zone,
			limit:  w.limit(longest),
			alerts: &w.alerts,
		}
		w.zones = append(w.zones, z)
		w.schedule.add(z)
	}
}

func (w *wiring) cutsOff(s sitefile.CutOff) {
	w.cutOff = &cutOff{
		contact: w.contact("cut-off", s.Contact, harness.ContactTerminal),
		ban:     w.ban(w.named("cut-off", s.Shuts)),
		alerts:  &w.alerts,
	}
	w.cutOff.filter.off = w.debounce
	w.schedule.add(w.cutOff)
}

func (w *wiring) interlocks(s sitefile.Interlock) {
	w.interlock = &interlock{
		contact:   w.contact("interlock", s.BlockedBy, harness.ContactTerminal),
		pump:      w.outputs.find(s.Pump),
		outputs:   &w.outputs,
		demand:    &w.demand,
		ban:       w.ban(w.named("interlock", []string{s.Pump})),
		alerts:    &w.alerts,
		restartIn: span(s.RestartIn),
	}
	w.interlock.stops.on = span(s.Debounce)
	w.interlock.keeps.off = w.debounce
	w.schedule.add(w.interlock)
}

func (w *wiring) flowAlarms(s sitefile.FlowAlarms) {
	const name = "flow alarms"
	f := &flow{
		meter:   w.contact(name, s.Meter, harness.PulseTerminal),
		outputs: &w.outputs,
		counts:  w.named(name, s.Counts),
		alerts:  &w.alerts,
		noFlowAfter: w.positive(
			name,
			"no-flow-after",
			s.NoFlowAfter,
		),
		settles: span(s.Settles),
		within:  span(s.Within),
		stray:   make([]signal.Time, max(1, s.Pulses)),
	}
	if s.Pulses < 1 {
		w.refusef("%s: pulses is %d, want 1 at least", name, s.Pulses)
	}
	for _, k := range w.demand.calls {
		if slices.ContainsFunc(k.outputs, func(i int) bool { return slices.Contains(f.counts, i) }) {
			f.calls = append(f.calls, k)
		}
	}
	w.flow = f
	e := w.schedule.add(f)
	f.meter.onPulse = func() { w.schedule.rouse(e) }
}

// call is the wish of one rule for its outputs. It names the rule in messages.
func (w *wiring) call(rule, zone string, with []string) *call {
	k := &call{loop: &w.loop, outputs: w.named(rule, append([]string{zone}, with...))}
	w.demand.calls = append(w.demand.calls, k)
	return k
}

func (w *wiring) ban(outputs []int) *ban {
	b := &ban{loop: &w.loop, outputs: outputs}
	w.demand.bans = append(w.demand.bans, b)
	return b
}

func (w *wiring) limit(most signal.Time) limit {
	return &runLimit{most: most, counter: &w.counter, meets: w.disturb}
}

// named finds the outputs of devices.
func (w *wiring) named(rule string, devices []string) []int {
	var list []int
	for _, name := range devices {
		if i := w.outputs.find(name); i >= 0 {
			list = append(list, i)
		} else {
			w.refusef("%s: no output terminal has %q on it", rule, name)
		}
	}
	return list
}

// contact finds the contact (or, for a meter, the pulse input) of a rule. It is never nil.
func (w *wiring) contact(rule, name string, kind harness.TerminalKind) *contact {
	for _, in := range w.contacts {
		if in.device == name && in.kind == kind {
			return in.contact
		}
	}
	w.refusef("%s: no %s terminal has %q on it", rule, kind, name)
	return &contact{}
}

// analogue finds the terminal of a probe.
func (w *wiring) analogue(rule, name string) int {
	terminal, found := w.probes[name]
	if !found {
		w.refusef("%s: no analogue terminal has %q on it", rule, name)
	}
	return terminal
}

// positive refuses a duration that has to be above 0.
func (w *wiring) positive(rule, setting string, d quantity.DurationValue) signal.Time {
	if !(d.SI > 0) {
		w.refusef("%s: %s is %g s, want more than 0 s", rule, setting, d.SI)
	}
	return span(d)
}

// span is a duration of the settings in nanoseconds.
func span(d quantity.DurationValue) signal.Time {
	return signal.Time(math.Round(d.SI * 1e9))
}
