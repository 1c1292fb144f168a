package sitefile

import q "ullage/harness/quantity"

// Settings is what the person who sets up the controller enters. A rule that is left out is not in use.
//
// A rule calls for its zone and for the outputs that the setting with names beside it. An output is on while any rule
// calls for it and no rule forbids it; the cut-off, the interlock and the driver's shuts-below forbid. What is
// forbidden ends no call: run times, limits and soaks go on counting, it is no failed attempt and raises no alert by
// itself, and when it is forbidden no longer the output is on again at once for what is left of the call. Outputs under
// with follow their zone: they are off while it is forbidden, unless another zone that is not forbidden needs them. The
// zone does not follow its with outputs: name the valve as the zone and the pump under with, so that no pump runs
// against a valve that is kept shut.
//
// A restart (loss of power, brown-out, reset, watchdog, update) ends every call, and every output is off until the boot
// is over. Kept are the lock-out and the count of failed fills, the count of moisture cycles and the rest, which starts
// of a programme have run, when each kind of alert was last sent, and the time of day. Forgotten are runs, pauses, the
// wait of the interlock, what was debounced, and alerts that were not sent. Contacts are then read as if they had just
// changed to what they are. Durations are counted by a counter of the controller's own: a clock that is set changes
// none of them. A limit that is changed holds for a run under way, from where the run began. Without settings (they are
// lost) nothing runs, commands are ignored and the alert "settings lost" is raised at each boot. No rule ever waits for
// the network.
type Settings struct {
	// Day of week and time of day when a run begins; default Monday 00:00. The clock keeps time through a loss of
	// power. While nobody has set it, no programme starts.
	Clock      string      `yaml:"clock,omitempty"`
	Fill       *Fill       `yaml:"fill,omitempty"`        // keeps a tank filled
	CutOff     *CutOff     `yaml:"cut-off,omitempty"`     // shuts outputs when an independent contact operates
	Interlock  *Interlock  `yaml:"interlock,omitempty"`   // dry-run protection of a pump
	Moisture   *Moisture   `yaml:"moisture,omitempty"`    // waters a zone by its probe
	Programmes []Programme `yaml:"programmes,omitempty"`  // water zones at times of day
	Remote     *Remote     `yaml:"remote,omitempty"`      // starts a zone on command
	FlowAlarms *FlowAlarms `yaml:"flow-alarms,omitempty"` // flow without a call, call without flow
	Alerts     Alerts      `yaml:"alerts,omitempty"`      // how often and how many alerts are sent
	// Reporting interval, counted from the boot; no reports when not given. A report that is due without a connection
	// is left out, and one that is not acknowledged when the connection is lost is not sent again.
	ReportEvery q.DurationValue `yaml:"report-every,omitempty" range:"1 s to 7 d"`
}

// Fill keeps a tank filled: a low contact starts a fill, a high contact ends it. It goes by the state of the contacts,
// not by their edges: a fill begins while low is operated and high is not, no pause is under way and filling is not
// locked out, also right after a boot. While both are operated nothing is filled. The release of low does not end a
// fill that has a high contact. A fill that the contacts end is a success and clears the count of failed attempts.
//
// A failed attempt is a fill that reaches the longest run (alert "fill too long") or that the flow alarm ends. A fill
// that the cut-off forbids goes on counting and fails at its longest run. One that a restart ends is neither failed nor
// a success, and the fill that begins after the boot has a longest run of its own.
//
// The failed attempt that makes attempts in a row locks filling out (alert "fill locked out"), over restarts, until a
// person resets it: a start command for the valve, whether it may be started remotely or not. That clears the count and
// ends the pause as well. It opens nothing by itself; the contacts still decide.
type Fill struct {
	Valve string   `yaml:"valve"`          // output that fills the tank
	With  []string `yaml:"with,omitempty"` // further outputs that are on while it runs: master valve, pump
	Low   string   `yaml:"low"`            // contact that starts a fill
	High  string   `yaml:"high,omitempty"` // contact that ends it; without one, release of low ends it
	// A change of a contact counts when it has lasted this long. It holds for operating and for releasing, for both
	// contacts of the fill, for the release of the cut-off and for that of the interlock; they take 500 ms where there
	// is no fill.
	Debounce q.DurationValue `yaml:"debounce" range:"0 s to 1 h"`
	// A fill that takes longer is ended as a failed attempt. It counts from the moment at which the valve was called
	// for.
	LongestRun q.DurationValue `yaml:"longest-run" range:"1 s to 24 h"`
	// failed attempts after which filling is locked out until somebody resets it
	Attempts int `yaml:"attempts" range:"1 to 100"`
	// Between a failed attempt and the next. It counts from the end of the failed attempt, and a restart ends it.
	Pause q.DurationValue `yaml:"pause" range:"0 s to 7 d"`
}

// CutOff shuts outputs at the moment an independent contact operates, whatever else is going on, and keeps them shut
// until it has been released for the debounce of the fill rule. Operating is not debounced, releasing is: each further
// operation begins the debounce anew. It binds every rule and every command. A contact that is operated at the boot
// shuts at once, and a broken lead of a normally closed contact counts as operated. The alert "spill" is raised each
// time that it begins to shut, whether anything was open or not, and not again while it lasts. It ends no call (see
// Settings) and is no lock-out: when it lets go, a fill that the contacts ask for goes on.
type CutOff struct {
	Contact string   `yaml:"contact"` // contact that operates at high water
	Shuts   []string `yaml:"shuts"`   // outputs that it shuts
}

// Interlock keeps a pump off while a contact is operated (dry-run protection), whoever calls for it. A pump that stands
// does not start while the contact is operated, at once and without a debounce, and until it has been released for the
// debounce of the fill rule. The zone that the pump is on with stays open. The alert "dry run prevented" is raised when
// the interlock stops the pump, and when a pump is called for that it keeps off: once for each time that this begins.
type Interlock struct {
	Pump      string `yaml:"pump"`       // pump that is protected
	BlockedBy string `yaml:"blocked-by"` // contact that is operated at low water
	// Before a running pump stops; default 0 s. The contact must be operated for all of it.
	Debounce q.DurationValue `yaml:"debounce,omitempty" range:"0 s to 10 min"`
	// Shortest time between a stop by the interlock and the next start; default 0 s. It counts from the stop, not from
	// the release; a stop for another reason has none, and a restart ends it.
	RestartIn q.DurationValue `yaml:"restart-in,omitempty" range:"0 s to 24 h"`
}

// Moisture waters a zone between two thresholds of the calibrated probe, in cycles with soaks between them. A cycle
// begins at a reading below starts-below. It ends at its run time, at a reading of stops-at, at a fault of the probe,
// when the flow alarm ends it, or at a restart; however it ends, it counts, and a soak of full length follows. Nothing
// begins in a soak.
//
// At the end of a soak the row of cycles is over, and its count cleared, if a reading at the end of the cycle or in the
// soak was at stops-at and the last is not below starts-below. Otherwise the next cycle begins, or, when attempts
// cycles have run in a row, it gives up: the alert "still dry" is due then, at the end of the soak after the last
// cycle, and nothing begins for rest-after. The rest ends at the same moment whether the controller restarts or not,
// and clears the count. A restart in a row of cycles begins a soak.
//
// A reading that cannot be true raises the alert "probe fault", again at each reading as far as the spacing of alerts
// lets it, and nothing begins until readings have been plausible for a minute (common practice, no source), also no
// "still dry". Readings less far outside count as 0 % and 100 %. A remote run of the zone is no cycle.
type Moisture struct {
	Zone string `yaml:"zone"` // output that waters the zone
	// further outputs that are on while it runs: master valve, pump
	With        []string        `yaml:"with,omitempty"`
	Probe       string          `yaml:"probe"`                             // probe that stands in the zone
	DryCount    int             `yaml:"dry-count" range:"0 to 16777215"`   // converter reading that means 0 %
	WetCount    int             `yaml:"wet-count" range:"0 to 16777215"`   // converter reading that means 100 %
	StartsBelow q.FractionValue `yaml:"starts-below" range:"0 % to 100 %"` // of the calibrated range
	StopsAt     q.FractionValue `yaml:"stops-at" range:"0 % to 100 %"`     // of the calibrated range
	Cycle       q.DurationValue `yaml:"cycle" range:"1 s to 24 h"`         // watering time of one cycle
	Soak        q.DurationValue `yaml:"soak" range:"0 s to 24 h"`          // wait between cycles
	// cycles in a row without reaching stops-at before it gives up
	Attempts  int             `yaml:"attempts" range:"1 to 100"`
	RestAfter q.DurationValue `yaml:"rest-after" range:"0 s to 30 d"` // how long it gives up
	Reads     q.DurationValue `yaml:"reads" range:"1 ms to 1 h"`      // sampling interval of the probe
	// a reading further than this outside 0 to 100 % is a fault of the probe
	Plausible q.FractionValue `yaml:"plausible" range:"0 % to 100 %"`
}

// Programme runs a zone at times of day on days of the week. A start that falls into a run of the same programme
// prolongs it: it ends one run time after the later start. A start that was missed (no power, a boot, settings lost, a
// clock that nobody has set or that was put forward over it) is not made up for, and a run that a restart ends is not
// taken up again. A clock that is put back runs no start again that has run within 12 h (common practice, no source),
// and no change of the clock changes a run that is under way. The flow alarm ends a run; the next start comes as usual.
// A remote stop does not end it. Without a time of day the alert "clock not set" is raised, at the loss and at each
// boot.
type Programme struct {
	Zone string `yaml:"zone"` // output that waters the zone
	// further outputs that are on while it runs: master valve, pump
	With   []string        `yaml:"with,omitempty"`
	Starts []string        `yaml:"starts"`                  // times of day, each as "06:30"
	Days   []string        `yaml:"days,omitempty"`          // days of the week, each as Monday; every day when left out
	Run    q.DurationValue `yaml:"run" range:"1 s to 24 h"` // run time
}

// Remote lets somebody start a zone by command. A start asks for a run time, counted from the start, or for none: then
// it runs until it is stopped or reaches the limit. A further start during the run puts another end in the place of the
// one before, sooner or later, but the limit counts from the first start. A stop ends the run at once, timed or not,
// and ends nothing but the remote run of that zone: not a fill, a programme or a moisture cycle. A run that ends when
// it was asked to raises no alert; one that the limit ends raises "run limit reached". The run ends by itself without a
// network as with one. The flow alarm and a restart end it, and it is not taken up again. A command for a zone that is
// not listed is ignored; a start of the fill's valve resets its lock-out in any case.
type Remote struct {
	Zones      []RemoteZone    `yaml:"zones"`                           // zones that may be started remotely
	LongestRun q.DurationValue `yaml:"longest-run" range:"1 s to 24 h"` // the controller ends a remote run after this
}

// RemoteZone is a zone that may be started remotely.
type RemoteZone struct {
	Zone string   `yaml:"zone"`           // output that waters the zone
	With []string `yaml:"with,omitempty"` // further outputs that are on while it runs: master valve, pump
}

// FlowAlarms compares the meter with what is on. It goes by the outputs, not by the calls: one that is forbidden is
// off.
//
// While any of the outputs is on and no pulse comes for no-flow-after, counted from the last pulse or from the moment
// at which the first of them went on, the alert "no flow" is raised, and every call ends that has one of the outputs,
// as its zone or under with. A further output that goes on does not begin the time anew. For the fill this is a failed
// attempt, for a moisture cycle its end, with a soak; a programme and a remote run end.
//
// While none is on, pulses within settles of the last that went off, or of the boot, do not count. Of the rest, so many
// pulses within the time raise "flow without call"; the count then begins anew, as it does when an output goes on. This
// alarm shuts nothing.
type FlowAlarms struct {
	Meter  string   `yaml:"meter"`  // meter that is watched
	Counts []string `yaml:"counts"` // outputs whose water passes the meter
	// a call without a pulse for this long is an alarm and ends the call
	NoFlowAfter q.DurationValue `yaml:"no-flow-after" range:"1 s to 24 h"`
	// after the last call ends, pulses are not yet counted
	Settles q.DurationValue `yaml:"settles" range:"0 s to 1 h"`
	Pulses  int             `yaml:"pulses" range:"1 to 1000000"` // pulses without a call that raise the alarm
	Within  q.DurationValue `yaml:"within" range:"1 s to 24 h"`  // time in which they must come
}

// Alerts limits how often and how many alerts are sent. Kinds do not keep each other back. A message that is not
// acknowledged is sent again with the same number, and the connection is made anew when it is lost; see Reacts for the
// times. An alert "restarted" is raised at each boot but the first.
type Alerts struct {
	// Shortest time between two alerts of one kind; default 0 s. It counts from the moment at which the one before was
	// first sent, over restarts as well. An alert that is raised sooner, or while one of its kind waits to arrive, is
	// dropped and not made up for.
	RepeatAfter q.DurationValue `yaml:"repeat-after,omitempty" range:"0 s to 30 d"`
	// Alerts kept while the network is away; default none. Of more, the latest are kept; they are sent in their order
	// as soon as there is a connection, and a restart forgets them.
	Kept int `yaml:"kept,omitempty" range:"0 to 100000"`
}
