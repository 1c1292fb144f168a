package fault

import (
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// connectionFaults are on the way to the cloud as it is seen from messages: they are carried or not, late, or twice.
var connectionFaults = []Entry{
	{
		ID: "wifi.nightly-restart", Name: "access point restarts every night", DeviceKind: "wifi", Event: true,
		Phrases: []Phrase{
			{Pattern: `the access point restarts every night and is down for {down}`,
				Formerly: []string{`the access point restarts every night and is away for {down}`},
				Meaning:  "It stops answering for so long, and again after every 24 h."},
		},
		Mechanism: "The access point restarts by itself at a fixed time, to update or because its maker found no " +
			"better way.",
		Parameters: []Parameter{
			{Name: "down", Dim: quantity.Duration, Default: 90, Worst: 600, Min: 1, Max: 3600, Source: practice},
		},
		Symptoms: []string{
			"At three o'clock every night it is offline for a while.",
			"The alert of that night never came.",
			"Every night at the same hour the router reboots and the app loses it.",
		},
		Check: "Write down the times at which it goes offline: the same time every night is a restart on a " +
			"timer.",
		Ask:         "Does it go offline at the same time every night?",
		LocalEffect: "No frame gets through for as long as the access point takes; the session is lost once a day.",
		EndEffect:   "What happens just then is not reported, unless it is kept and sent again.",
		Hazards:     []Hazard{SilentFailure, AlarmFlood},
		course: func(p func(string) float64, length signal.Time) []Turn {
			var turns []Turn
			for from := signal.Time(0); from < min(length, 30*signal.Day); from += signal.Day {
				turns = append(turns, Turn{Knob: "signal", From: from, Until: min(from+signal.FromSeconds(p("down")),
					length)})
			}
			return turns
		},
	},
	{
		ID: "internet.down", Name: "internet down, Wi-Fi up", DeviceKind: "cloud", Lasts: Window{Typical: signal.Hour},
		Phrases: []Phrase{
			{Pattern: `the internet is down`, Formerly: []string{`the internet is away`},
				Meaning: "The access point answers, and nothing lies behind it: messages vanish, a connection that " +
					"is tried gets no answer."},
		},
		Mechanism: "The provider's line is down, or the modem hangs: the access point answers and nothing lies " +
			"behind it.",
		Symptoms: []string{
			"The Wi-Fi is fine and the app says offline.",
			"It never told me, and the network was there.",
			"Our internet was out and I could not reach it from work.",
			"The provider had an outage, no remote access.",
			"The broadband was down for two days, no notifications came.",
			"No internet at home, it watered but I could not see anything.",
			"The line to our house was cut and we had no internet for two days, I could not see or control it from away.",
			"The router's internet lamp is red.",
			"Watering went on but no alerts and no app while the provider was down.",
		},
		Check:       "Open a web page over the same Wi-Fi. The controller's own light for Wi-Fi stays on.",
		Ask:         "Does no web page open over the same Wi-Fi?",
		LocalEffect: "Messages vanish behind the access point; a connection that is tried gets no answer at all.",
		EndEffect:   "As Wi-Fi lost, but a firmware that looks at the Wi-Fi alone believes that it is connected.",
		Hazards:     []Hazard{SilentFailure, WaterWasted, Flood},
		course:      hold("internet", always(0)),
	},
	{
		ID: "broker.down", Name: "broker down or refusing", DeviceKind: "cloud", Lasts: Window{Typical: signal.Hour},
		Phrases: []Phrase{
			{Pattern: `the broker refuses connections`,
				Meaning: "The session ends at once, and every connection that is tried is refused."},
		},
		Mechanism: "The maker's server is restarted or overloaded, or no longer wants this device: sessions end and " +
			"new ones are refused.",
		Symptoms: []string{
			"All controllers of this make are offline.",
			"It is online for a second and gone again.",
			"The server of the maker seems to be down, everybody in the forum is offline.",
			"Is there a problem at your end, all of them went off at the same moment.",
			"The cloud service does not answer, my internet works.",
			"The app says service unavailable.",
			"Telly and phone work, only your app is down, my friends' too.",
			"Everybody's went offline at nine.",
			"Is your server down?",
		},
		Check:       "Ask others with the same make, and look at the maker's page of outages.",
		Ask:         "Are other owners of the same make offline at the same time, with their internet working?",
		LocalEffect: "The session ends at once; every connection is refused at once.",
		EndEffect:   "A firmware that tries again without a pause does nothing else; alerts wait or are lost.",
		Hazards:     []Hazard{SilentFailure, Flood, AlarmFlood},
		course:      hold("broker", always(0)),
	},
	{
		ID: "network.delay", Name: "messages delayed", DeviceKind: "wifi", Lasts: Window{Typical: signal.Hour},
		Phrases: []Phrase{
			{Pattern: `the network delays every message by {delay}`,
				Meaning: "Each message and each acknowledgement arrives so much later, in the order in which they " +
					"were sent."},
		},
		Mechanism: "A slow or crowded line, retransmissions, a queue in the modem: whatever is sent arrives late, " +
			"each way.",
		Parameters: []Parameter{
			{Name: "delay", Dim: quantity.Duration, Default: 2, Worst: 60, Min: 0.01, Max: 60,
				Source: "one way; " + practice},
		},
		Symptoms: []string{
			"I press start and it begins half a minute later.",
			"Alerts come twice.",
			"The notification came hours after it happened.",
			"The alert was late, the history shows that it noticed long before.",
			"Warnings arrive with a long delay.",
			"Everything from the app takes forever to happen.",
			"The warning reached me three hours after it happened.",
			"The message came far too late to be of use.",
			"The alarm turned up on Thursday, the flood was on Wednesday.",
			"It told me a day later.",
		},
		Check:       "Measure the time from pressing start to the click of the valve, a few times.",
		Ask:         "Do messages arrive, every one of them late?",
		LocalEffect: "Messages and acknowledgements arrive late, in their order.",
		EndEffect: "What waits for an acknowledgement sends again before it comes; a start or stop comes when " +
			"nobody expects it any more.",
		Hazards: []Hazard{AlarmFlood, WaterWasted, SilentFailure},
		course:  hold("delay", parameter("delay")),
	},
	{
		ID: "network.loss", Name: "messages lost", DeviceKind: "wifi", Lasts: Window{Typical: signal.Hour},
		Phrases: []Phrase{
			{Pattern: `{share} of the messages are not delivered`,
				Formerly: []string{`{share} of the messages are lost`},
				Meaning:  "Each message and each acknowledgement, either way, is lost with this likelihood."},
		},
		Mechanism: "A share of the messages never arrives, and no alert arrives: a gateway that drops them, or a link " +
			"that gives up.",
		Parameters: []Parameter{
			{Name: "share", Dim: quantity.Fraction, Default: 0.2, Worst: 0.9, Min: 0.01, Max: 1, Source: practice},
		},
		Symptoms: []string{
			"Sometimes the start from the phone does nothing.",
			"Now and then an alert is missing.",
			"Some notifications never reach me.",
			"Every second command gets lost.",
			"I have to press start several times.",
			"Of ten presses three do something.",
		},
		Check:       "Send twenty starts from the phone and count the clicks of the valve.",
		Ask:         "Do some commands or alerts never arrive while others do?",
		LocalEffect: "Each message and each acknowledgement is lost with this likelihood, whatever it carries.",
		EndEffect:   "An alert that is sent once never arrives; a start or a stop is missing.",
		Hazards:     []Hazard{SilentFailure, WaterWasted, AlarmFlood},
		course:      hold("loss", parameter("share")),
	},
	{
		ID: "network.duplicates", Name: "messages arrive twice", DeviceKind: "wifi",
		Lasts: Window{Typical: signal.Hour},
		Phrases: []Phrase{
			{Pattern: `{share} of the messages arrive twice`,
				Meaning: "Each message, either way, is delivered again a round trip later with this likelihood."},
		},
		Mechanism: "Delivery at least once: where an acknowledgement is late or lost the same message is delivered " +
			"again.",
		Parameters: []Parameter{
			{Name: "share", Dim: quantity.Fraction, Default: 0.5, Worst: 1, Min: 0.01, Max: 1,
				Source: "MQTT 3.1.1, quality of service 1, allows it; share: " + practice},
		},
		Symptoms: []string{
			"I get the same message twice.",
			"I asked for ten minutes and it ran for twenty.",
			"The same notification comes dozens of times with the same time on it.",
			"Thirty messages all saying the same, one after another.",
			"Every alert arrives double.",
			"I got the same alert forty times in one night.",
			"Dozens of identical messages, all with one time.",
			"It sends tank low, tank low, tank low, over and over.",
		},
		Check: "Compare the numbers of messages that look the same: one number twice is a delivery, two " +
			"numbers are two messages.",
		Ask:         "Do the repeated messages carry the same time or number?",
		LocalEffect: "A message, also a remote start or stop, arrives a second time a round trip later.",
		EndEffect:   "A firmware that adds up starts runs for longer than anybody asked.",
		Hazards:     []Hazard{WaterWasted, AlarmFlood},
		course:      hold("duplicates", parameter("share")),
	},
	{
		ID: "network.half-open", Name: "connection half open", DeviceKind: "wifi", Event: true, WithoutWindow: true,
		Phrases: []Phrase{
			{Pattern: `the connection is half open`, Formerly: []string{`the connection hangs half open`},
				Meaning: "What is sent in the present session vanishes, both ways, and neither end notices. A new " +
					"connection is a good one."},
		},
		Mechanism: "A router on the way forgets the connection, or the server restarts: neither end notices, and " +
			"each believes that it stands.",
		Symptoms: []string{
			"It says online and does not react.",
			"Everything was green, and no alert came.",
			"It shows connected but the commands do nothing.",
			"Online with a green light, but no new readings since the router restarted.",
			"It is stuck online, an hour later it reconnects and works again.",
			"Online and green in the app, but press start or stop and nothing; after an hour it reconnects.",
			"It looks connected but is dead to commands since the router rebooted.",
			"For days the app said all OK though it had been dead since Friday; the last reading is days old.",
		},
		Check: "Look when the last report came: a device that is online and has not reported for several " +
			"intervals is half open.",
		Ask:         "Does it say online although no reading has come for a long time?",
		LocalEffect: "What is sent in that session vanishes, both ways, until one end gives it up and connects anew.",
		EndEffect:   "Alerts and commands are lost for as long as nobody notices.",
		Hazards:     []Hazard{SilentFailure, WaterWasted},
		course:      strike("half open", 1),
	},
	{
		ID: "command.stop-lost", Name: "stop lost after a remote start", DeviceKind: "cloud",
		Phrases: []Phrase{
			{Pattern: `remote stops are not delivered`, Formerly: []string{`stops from afar are lost`},
				Meaning: "The message that should end a run never arrives; starts do."},
		},
		Mechanism: "The remote start arrived; the message that should end the run does not.",
		Symptoms: []string{
			"I pressed stop and it ran on all night.",
			"Stop in the app does nothing, start works.",
			"I switched it off on the phone but it kept watering.",
		},
		Check:       "Look in the app whether the stop was acknowledged, and when the valve shut.",
		Ask:         "Was a stop sent, and is it missing from the controller's log?",
		LocalEffect: "The controller never hears that it should stop.",
		EndEffect:   "Where the end of a run is held in the cloud alone the water runs until somebody comes.",
		Hazards:     []Hazard{WaterWasted, Flood},
		course:      hold("stops lost", always(1)),
	},
}
