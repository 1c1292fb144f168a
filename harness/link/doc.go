// Package link is for controllers that are not simulated in this process. Exec runs a program as the controller:
// firmware compiled for the host, an emulator, or a model in any language. This comment is the protocol; whoever
// implements it needs nothing else.
//
// # The conversation
//
// The program reads lines from standard input and writes lines to standard output. Each line is one JSON object in
// UTF-8. The harness writes one line, the program answers with one line and flushes it, and so on; nobody speaks out of
// turn. There are two messages, "hello" once and "run" from then on. At the end of its input the program ends with
// status 0. Standard error is free for the program's own log; its end is shown when something goes wrong.
//
// Time is virtual: whole nanoseconds since the run began, below 2^53 (about 104 days), so that a double holds them
// exactly. The program has no other clock. It never sleeps and never asks the host for the time.
//
// # hello
//
// The harness says what is wired to the program and how it is set up; the program answers with its name and with what
// it is able to do. "> " marks a line to the program and "< " its answer; they are broken here, in one piece on the
// wire.
//
//	> {"do":"hello","version":1,
//	   "terminals":[
//	     {"name":"top-up","kind":"output"},
//	     {"name":"pump","kind":"output"},
//	     {"name":"tank-low","kind":"contact","normal":"open"},
//	     {"name":"tank-spill","kind":"contact","normal":"closed"},
//	     {"name":"meter","kind":"pulse","normal":"open"},
//	     {"name":"probe","kind":"analogue"},
//	     {"name":"power","kind":"power"}],
//	   "controller":{
//	     "supply_v":12,"resets_below_v":9,"boots_s":0.5,
//	     "board":{"rail_v":3.3,"pull_up_ohm":10000,"low_v":0.8,"high_v":2,"bits":12,"impedance_ohm":10000000},
//	     "settings":{
//	       "clock":"Monday 06:00",
//	       "fill":{"valve":"top-up","low":"tank-low","debounce_s":0.25,"longest_run_s":600,"attempts":3,"pause_s":60},
//	       "cut_off":{"contact":"tank-spill","shuts":["top-up"]},
//	       "alerts":{"kept":20}}}}
//	< {"name":"example","can":["fill rule","longest run","cut-off","alerts","debounce"],"band":4,
//	   "reacts":{"polls_s":0.01,"acts_within_s":0.05,"debounce":{"from_s":0.25,"to_s":0.27}}}
//
// Terminals are named by the device that is wired to them. Settings and board have the keys of the site file with _ for
// -, values in SI units with the unit at the end of the key: _s seconds, _v volts, _ohm ohms, _f farads, _fraction 0 to
// 1. A rule that is not in use is not there; a program leaves aside what it does not know.
//
// A program that does not know the version, or cannot carry out the settings, answers {"error":"why"}. It passes over
// keys that it does not know.
//
// "can" holds what the program does of: "fill rule", "longest run", "lock-out", "cut-off", "interlock", "moisture
// rule", "cycle limit", "timed programme", "remote start", "run limit", "flow alarms", "alerts", "alert spacing",
// "reports", "safe outputs at boot", "probe checks", "offline memory", "debounce", "both polarities", "charge kept to
// shut"; harness.Ability says what each means. A scenario that needs something else is not run, and says so. "band" may
// be left out; see below.
//
// "reacts" says how the program reacts and repeats itself, as far as it knows: the block "reacts" of a site file, with
// _ for - and the unit at the end of each key: "polls_s", "acts_within_s", "alerts_within_s", "debounce" with "from_s"
// and "to_s", "filter_s", "stagger_s", "back_off" with "least_s" and "most_s", "resends_s", "silent_after_s";
// sitefile.Reacts says what each means. What it says has precedence over the site file; what it leaves out, or all of
// it, is that of the site file. It promises nothing else: nothing in the conversation depends on it.
//
// # run
//
//	> {"do":"run","from":500000000,"to":2000000000,"boot":true,
//	   "in":[
//	     {"terminal":"tank-low","level":"high","volts":0,"slope":0,"ohms":null},
//	     {"terminal":"tank-spill","level":"low","volts":0,"slope":0,"ohms":2},
//	     {"terminal":"meter","level":"high","volts":0,"slope":0,"ohms":null},
//	     {"terminal":"probe","counts":1861,"volts":1.5,"slope":-0.001,"ohms":1000},
//	     {"terminal":"power","volts":12,"slope":0,"ohms":0.1}]}
//	< {"at":500000000,"send":[{"kind":"connect"}]}
//
// "in" is what has changed at the terminals, and "got" what has arrived from the network, both at the moment "from".
// The program takes that in and then runs everything of its own that is due from "from" on and before "to". What is due
// at "to" itself belongs to the next message, which brings what changes at that moment. It stops at the first moment at
// which it changes an output or sends something and answers "at", that moment, with what it did; when there is nothing,
// "at" is "to". How often it looks at its inputs in between is its own affair: a program that polls every 10 ms polls
// as often as there is time, in one message.
//
//	> {"do":"run","from":500000000,"to":2000000000}
//	< {"at":2000000000}
//	> {"do":"run","from":2000000000,"to":3463864469,
//	   "in":[{"terminal":"tank-low","level":"low","volts":0,"slope":0,"ohms":2}],
//	   "got":[{"kind":"connected"}]}
//	< {"at":2250000000,"out":[{"terminal":"top-up","on":true}],"send":[{"kind":"publish","number":1,"topic":"report","text":"filling"}]}
//
// An answer before "to" with neither "out" nor "send" is allowed as long as "at" is after "from". Outputs that are
// named without a change of "on" have not changed.
//
// # Terminals
//
// A contact or pulse terminal has a pull-up: a closed contact reads "low", an open one, or a broken wire, "high".
// "normal" is its state at rest; it is operated when it is in the other one. A meter's contact closes once for each
// pulse. An analogue terminal reads "counts", 0 to 2^bits - 1.
//
// "level" and "counts" are what the board's input stage makes of the wiring, so that the program needs no electricity.
// Who wants more finds the source behind the terminal: "volts" at "from", rising by "slope" volts a second, behind
// "ohms"; null ohms are an open circuit. A terminal may be named without any change of its reading; that must change
// nothing.
//
// A voltage with a slope crosses thresholds by itself. The harness ends a run at the moment at which a level changes,
// or at which counts are "band" or more away from those last sent, and sends the new ones with the next message. A band
// of 1, the default, sends every count; a greater one saves messages.
//
//	> {"do":"run","from":2250000000,"to":3463864469}
//	< {"at":3463864469}
//	> {"do":"run","from":3463864469,"to":3900000000,"in":[{"terminal":"probe","counts":1857,"volts":1.497036135531,"slope":-0.001,"ohms":1000}]}
//	< {"at":3900000000}
//
// Mains wiring beside a lead couples an alternating current into it. Then the terminal has "hum_v", the amplitude in V
// that this makes at the input, and "hum_hz"; without them there is none. Volts and counts are those without it. A
// program that samples at t seconds since the run began adds hum_v x sin(2 pi hum_hz t) to the volts at the input, at
// the moment at which its converter samples, or passes over it.
//
//	> {"do":"run","from":3900000000,"to":4000000000,
//	   "in":[{"terminal":"probe","counts":0,"volts":0,"slope":0,"ohms":null,"hum_v":1.25,"hum_hz":49.98}]}
//	< {"at":4000000000}
//
// An output that is on is connected to the supply, one that is off is open. With "reverse":true it is connected the
// other way round: {"terminal":"rows","on":true,"reverse":true}. A valve whose terminal has a "drive" in the greeting
// needs both polarities: a "latching" one opens on a pulse of the plain polarity, shuts on one of the reverse, and
// stays as it is in between; a "motorised" one turns while the output is on. The pulse comes from the supply as it is.
//
// # Power
//
// When the voltage at the power terminal is below resets_below_v, or the terminal is open, the controller is off: the
// harness opens every output and sends nothing. When power is back and boots_s have passed, the next message has
// "boot":true and names every input. At "boot" the program forgets what a microcontroller's memory would forget, keeps
// what its flash would keep, has all outputs off and no session, and begins again. The first boot is nothing special. A
// reset is sent in the same way.
//
// # Network
//
// The program sends {"kind":"connect"} to open its session. The answer comes in "got" later: {"kind":"connected"} or
// {"kind":"refused"}. A connect ends the session or the attempt before it, of which nothing is heard any more; what the
// network meant for the program before a boot does not reach it either. {"kind":"lost"} says that the session has
// ended. With a session it publishes: "number" is 1 or more, rises with each publish, stays the same when one is
// repeated, and may begin again after a boot. "topic" is "report", with any text, or "alert", with one of the texts
// "fill too long", "fill locked out", "spill", "no flow", "flow without call", "probe fault", "still dry", "dry run
// prevented", "restarted", "run limit reached", "low battery", "settings lost", "clock not set"; the constants at
// harness.AlertFillTooLong say what each means.
// {"kind":"acknowledged","number":1} says that it arrived. Somebody's wish comes as a command:
//
//	> {"do":"run","from":4000000000,"to":5000000000,
//	   "got":[{"kind":"acknowledged","number":1},{"kind":"command","topic":"start","text":"top-up","value":300}]}
//	< {"at":4250000000,"out":[{"terminal":"top-up","on":false}],"send":[{"kind":"publish","number":2,"topic":"alert","text":"fill too long"}]}
//
// "topic" is "start", with the run time asked for in seconds as "value", or "stop"; "text" is the zone.
//
// # What ends a scenario
//
// No answer within the deadline (10 s of wall-clock time, unless set otherwise), an end without being asked, a line
// that is not such an object or has other keys, an "at" before "from" or after "to", an unknown terminal, alert or
// ability: the program is ended with its process group, and the error shows the last lines and the end of standard
// error. What it has started in a session or group of its own it must end itself. When the harness is killed, the
// program reads the end of its input; on Linux the kernel then kills it too, but nothing that it has started. A program
// that cannot go on says {"error":"why"}.
package link
