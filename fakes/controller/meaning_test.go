package controller

import (
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness/sitefile"
)

// What the doc comments of the settings (harness/sitefile) say, a sentence a row, where no transcript or test of its
// own says it. A line of a story is a setting ("with: fill, cut-off", "fill/pause: 2 min"), what happens at a time, or,
// after "=", what then holds of outputs and of how many alerts have been sent.
func TestWhatSettingsMean(t *testing.T) {
	for _, test := range []struct{ sentence, story string }{
		// Settings.
		{"outputs under with follow a zone that is forbidden", `
			with: programme, cut-off
			shuts: drip
			06:00:01 = drip on, pump on
			06:05:00 tank-spill operates
			06:05:01 = drip off, pump off
			06:06:00 tank-spill releases
			06:06:01 = drip on, pump on
			06:19:59 = drip on, pump on
			06:20:01 = drip off, pump off`},
		{"... unless another zone that is not forbidden needs them", `
			with: moisture, fill, cut-off
			shuts: sprays, drip
			00:00:10 probe 20
			00:00:20 tank-low operates
			00:01:00 = sprays on, top-up on, master on
			00:01:10 tank-spill operates
			00:01:11 = sprays off, top-up on, master on
			00:01:20 tank-high operates
			00:01:21 = sprays off, top-up off, master off`},
		{"a zone does not follow the outputs that are on with it", `
			with: programme, interlock
			05:00:00 tank-low operates
			06:00:01 = drip on, pump off`},
		{"a call that is forbidden goes on counting, and is no failed attempt by itself", `
			with: fill, cut-off
			00:01:00 tank-low operates
			00:02:00 tank-spill operates
			00:20:00 = top-up off, fill too long 0
			00:26:01 = top-up off, fill too long 1`},
		{"a command for water that is forbidden begins a run that counts", `
			with: remote, cut-off
			shuts: sprays
			00:01:00 tank-spill operates
			00:02:00 start sprays 600
			00:02:01 = sprays off, master off
			00:10:00 tank-spill releases
			00:10:01 = sprays on
			00:12:01 = sprays off, run limit reached 0`},
		{"without settings nothing runs, and commands are ignored", `
			with: remote, fill, programme
			00:01:00 turn settings-lost 1
			00:02:00 start sprays 600
			00:02:10 tank-low operates
			06:00:01 = sprays off, top-up off, drip off, settings lost 1`},

		// Fill.
		{"a fill goes by the state of its contacts, also right after a boot", `
			with: fill
			00:00:00 tank-low operates
			00:00:01.9 = top-up off
			00:00:02.1 = top-up on`},
		{"while both contacts are operated nothing is filled", `
			with: fill
			00:01:00 tank-high operates
			00:01:10 tank-low operates
			00:10:00 = top-up off`},
		{"the release of the low contact does not end a fill that has a high contact", `
			with: fill
			00:01:00 tank-low operates
			00:02:00 tank-low releases
			00:10:00 = top-up on`},
		{"without a high contact it does, and is a success", `
			with: fill
			fill/high:
			fill/attempts: 1
			00:01:00 tank-low operates
			00:02:00 tank-low releases
			00:02:01 = top-up off
			00:03:00 tank-low operates
			00:03:01 = top-up on, fill locked out 0`},
		{"a run without flow is a failed attempt", `
			with: fill, flow alarms
			fill/attempts: 1
			00:01:00 tank-low operates
			00:02:02 = top-up off, no flow 1, fill locked out 1`},
		{"a fill that a restart ends is no failed attempt, and the next has a longest run of its own", `
			with: fill
			fill/attempts: 1
			00:01:00 tank-low operates
			00:20:00 power 0
			00:20:10 power 12
			00:40:00 = top-up on, fill too long 0, fill locked out 0
			00:45:13 = top-up off, fill too long 1, fill locked out 1`},
		{"a restart clears no count of failed attempts", `
			with: fill
			fill/attempts: 2
			00:01:00 tank-low operates
			00:26:01 = fill too long 1, fill locked out 0
			00:27:00 power 0
			00:27:10 power 12
			00:53:00 = top-up off, fill locked out 1`},
		{"the pause counts from the end of the failed attempt", `
			with: fill
			00:01:00 tank-low operates
			00:36:00 = top-up off
			00:36:01 = top-up on`},
		{"a restart ends the pause", `
			with: fill
			00:01:00 tank-low operates
			00:27:00 = top-up off
			00:27:01 reset
			00:27:04 = top-up on`},
		{"a start command for the valve resets the lock-out and opens nothing by itself", `
			with: fill
			fill/attempts: 1
			00:01:00 tank-low operates
			00:26:01 = top-up off, fill locked out 1
			00:30:00 tank-low releases
			00:31:00 start top-up 600
			00:31:01 = top-up off
			00:32:00 tank-low operates
			00:32:01 = top-up on`},
		{"it ends the pause as well", `
			with: fill
			00:01:00 tank-low operates
			00:27:00 = top-up off
			00:27:01 start top-up
			00:27:02 = top-up on`},

		// Cut-off.
		{"operating is not debounced, releasing is, and a further operation begins it anew", `
			with: fill, cut-off
			00:01:00 tank-low operates
			00:02:00 tank-spill operates
			00:02:00.01 = top-up off
			00:02:00.1 tank-spill releases
			00:02:00.5 tank-spill operates
			00:02:00.51 tank-spill releases
			00:02:01 = top-up off
			00:02:01.02 = top-up on`},
		{"a contact that is operated at the boot shuts at once, and says so", `
			with: fill, cut-off
			00:00:00 tank-spill operates
			00:00:00 tank-low operates
			00:10:00 = top-up off, spill 1`},
		{"the alert comes once while the contact is operated, and whether anything was open or not", `
			with: cut-off
			alerts/repeat-after: 0 s
			00:01:00 tank-spill operates
			00:10:00 = spill 1
			00:11:00 tank-spill releases
			00:12:00 tank-spill operates
			00:12:10 = spill 2`},

		// Interlock.
		{"a standing pump is kept off without a debounce, and until the release has lasted", `
			with: programme, interlock
			05:59:59.9 tank-low operates
			06:00:01 = pump off
			06:00:10 tank-low releases
			06:00:10.4 = pump off
			06:00:10.6 = pump on`},
		{"a running pump stops only when its contact was operated for all of the debounce", `
			with: programme, interlock
			06:01:00 tank-low operates
			06:01:00.9 tank-low releases
			06:01:05 = pump on
			06:02:00 tank-low operates
			06:02:00.9 = pump on
			06:02:01.1 = pump off`},
		{"restart-in counts from the stop, and not from the release", `
			with: programme, interlock
			06:02:00 tank-low operates
			06:02:01.1 = pump off
			06:02:50 tank-low releases
			06:03:00.9 = pump off
			06:03:01.1 = pump on`},
		{"a stop for another reason has no restart-in", `
			with: remote, interlock
			00:01:00 start drip 60
			00:02:01 = pump off
			00:02:02 start drip 60
			00:02:03 = pump on`},
		{"a restart ends restart-in", `
			with: remote, interlock
			interlock/restart-in: 1 h
			00:01:00 start drip 600
			00:02:00 tank-low operates
			00:02:02 tank-low releases
			00:03:00 reset
			00:03:10 start drip 600
			00:03:11 = pump on`},
		{"the alert comes once for each time that a wanted pump is kept off", `
			with: remote, interlock
			alerts/repeat-after: 0 s
			00:01:00 tank-low operates
			00:02:00 = dry run prevented 0
			00:03:00 start drip 60
			00:03:59 = dry run prevented 1
			00:05:00 start drip 60
			00:05:01 = dry run prevented 2`},

		// Moisture.
		{"still dry is due at the end of the soak after the last cycle", `
			with: moisture
			moisture/attempts: 1
			00:01:00 probe 20
			00:07:01 = sprays off, still dry 0
			00:27:00 = still dry 0
			00:27:02 = sprays off, still dry 1`},
		{"it is not due while the probe is at fault", `
			with: moisture
			moisture/attempts: 1
			00:01:00 probe 20
			00:20:00 probe unplugged
			01:00:00 = still dry 0, probe fault 1
			01:00:01 probe 20
			01:01:00 = still dry 0
			01:01:05 = still dry 1`},
		{"a forbidden cycle counts", `
			with: moisture, cut-off
			moisture/attempts: 1
			shuts: sprays
			00:00:50 tank-spill operates
			00:01:00 probe 20
			00:02:00 = sprays off
			00:27:02 = still dry 1`},
		{"a rest ends at the same moment whether the controller restarts or not, and clears the count", `
			with: moisture
			moisture/attempts: 1
			moisture/rest-after: 1 h
			00:01:00 probe 20
			00:50:00 reset
			01:26:58 = sprays off
			01:27:03 = sprays on`},
		{"a remote run of the zone is no cycle", `
			with: moisture, remote
			moisture/attempts: 1
			00:01:00 start sprays 60
			00:05:00 probe 20
			00:05:02 = sprays on, still dry 0`},

		// Programme.
		{"a start that falls into the run prolongs it", `
			with: programme
			starts: 06:00, 06:10
			06:29:59 = drip on
			06:30:01 = drip off`},
		{"a run that a restart ends is not taken up again", `
			with: programme
			06:05:00 reset
			06:05:10 = drip off
			06:19:00 = drip off`},
		{"a clock that is changed does not change a run under way", `
			with: programme
			06:05:00 turn clock-step 7200
			06:19:59 = drip on
			06:20:01 = drip off`},
		{"a remote stop does not end it", `
			with: programme, remote
			06:05:00 stop drip
			06:05:01 = drip on`},
		{"the flow alarm ends a run, and the next start comes as usual", `
			with: programme, flow alarms
			counts: drip
			06:01:01 = drip off, no flow 1
			18:00:01 = drip on`},

		// Remote.
		{"a further start puts another end in the place of the one before, later or sooner", `
			with: remote
			00:01:00 start sprays 600
			00:05:00 start sprays 60
			00:05:59 = sprays on
			00:06:01 = sprays off, run limit reached 0
			00:10:00 start sprays 60
			00:10:30 start sprays 600
			00:20:29 = sprays on
			00:20:31 = sprays off, run limit reached 0`},
		{"the limit counts from the first start, and is alerted", `
			with: remote
			00:01:00 start sprays 600
			00:08:00 start sprays 600
			00:15:59 = sprays on
			00:16:01 = sprays off, run limit reached 1`},
		{"a run that ends when it was asked to raises no alert", `
			with: remote
			00:01:00 start sprays 900
			00:16:01 = sprays off, run limit reached 0`},
		{"a start without a time runs until it is stopped", `
			with: remote
			00:01:00 start sprays
			00:05:00 = sprays on
			00:05:01 stop sprays
			00:05:02 = sprays off, run limit reached 0`},
		{"a stop ends a timed run", `
			with: remote
			00:01:00 start sprays 600
			00:02:00 stop sprays
			00:02:01 = sprays off`},
		{"a stop ends no fill and no moisture cycle", `
			with: remote, fill, moisture
			00:01:00 tank-low operates
			00:01:00 probe 20
			00:02:00 stop top-up
			00:02:00 stop sprays
			00:02:01 = top-up on, sprays on`},
		{"a restart ends a run, and it is not taken up again", `
			with: remote
			00:01:00 start sprays 600
			00:02:00 reset
			00:05:00 = sprays off`},
		{"a command for a zone that is not listed is ignored", `
			with: remote, fill
			00:01:00 start top-up 600
			00:01:01 = top-up off`},

		// Flow alarms.
		{"an output that is forbidden is off, and has no alarm", `
			with: fill, cut-off, flow alarms
			00:01:00 tank-spill operates
			00:02:00 tank-low operates
			00:10:00 = no flow 0`},
		{"a further output does not begin the time anew", `
			with: fill, remote, flow alarms
			00:01:00 tank-low operates
			00:01:50 start sprays 600
			00:02:00 = no flow 0
			00:02:01 = no flow 1, top-up off, sprays off`},
		{"pulses right after the boot do not count", `
			with: flow alarms
			00:00:02 meter 10 pulses in 10 s
			00:01:00 = flow without call 0
			00:01:10 meter 5 pulses in 10 s
			00:01:30 = flow without call 1`},
		{"a call begins the count of pulses anew", `
			with: remote, flow alarms
			00:01:00 meter 4 pulses in 10 s
			00:02:00 start sprays 30
			00:04:00 meter 4 pulses in 10 s
			00:05:00 = flow without call 0`},
		{"flow without a call shuts nothing", `
			with: remote, flow alarms
			00:01:00 start drip 600
			00:02:00 meter 6 pulses in 10 s
			00:02:20 = flow without call 1, drip on`},

		// Alerts.
		{"an alert that comes too soon is dropped and not made up for", `
			with: cut-off
			00:01:00 tank-spill operates
			00:02:00 tank-spill releases
			00:03:00 tank-spill operates
			05:00:00 = spill 1`},
		{"kinds do not keep each other back", `
			with: cut-off, remote, interlock
			00:01:00 tank-spill operates
			00:01:01 tank-low operates
			00:01:02 start drip 60
			00:01:10 = spill 1, dry run prevented 1`},
		{"the spacing counts over restarts", `
			with: cut-off
			00:01:00 tank-spill operates
			00:02:00 reset
			00:10:00 = spill 1, restarted 1
			00:20:00 reset
			00:30:00 = spill 1, restarted 1`},
	} {
		t.Run(test.sentence, func(t *testing.T) {
			spec, terminals := ternLane()
			var rig *rig
			for line := range strings.Lines(strings.TrimSpace(test.story)) {
				line = strings.TrimSpace(line)
				if key, value, is := strings.Cut(line, ": "); is || strings.HasSuffix(line, ":") {
					require.Nil(t, rig, "settings come first")
					setUp(t, &spec, strings.TrimSuffix(key, ":"), value)
					continue
				}
				if rig == nil {
					rig = newRig(t, spec, terminals)
				}
				at, act, _ := strings.Cut(line, " ")
				rig.until(moment(t, at))
				if holds, is := strings.CutPrefix(act, "= "); is {
					rig.holds(holds, line)
				} else {
					rig.happen(act)
				}
			}
		})
	}
}

// setUp changes a setting: the rules in use, a list, or one value by its path.
func setUp(t *testing.T, spec *sitefile.Controller, key, value string) {
	s, list := &spec.Settings, strings.Split(value, ", ")
	switch key {
	case "with":
		only(s, list...)
	case "shuts":
		s.CutOff.Shuts = list
	case "counts":
		s.FlowAlarms.Counts = list
	case "starts":
		s.Programmes[0].Starts = list
	default:
		site := &sitefile.Site{Controller: *spec}
		require.NoError(t, sitefile.Setting{Path: "controller/settings/" + key, Text: value}.Apply(site))
		*spec = site.Controller
	}
}

// holds compares outputs and counts of alerts with "top-up off, spill 1".
func (r *rig) holds(all, line string) {
	for text := range strings.SplitSeq(all, ", ") {
		at := strings.LastIndex(text, " ")
		name, want := text[:at], text[at+1:]
		if want == "on" || want == "off" {
			assert.Equal(r.t, want == "on", r.isOn(name), "%s, at %q", text, line)
			continue
		}
		n, err := strconv.Atoi(want)
		require.NoError(r.t, err, line)
		assert.Equal(r.t, n, r.alerted(name), "%s, at %q", text, line)
	}
}
