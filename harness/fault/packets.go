package fault

import "ullage/harness/quantity"

// packets is what the faults of the network that are listed only wait for.
const packets = "packets"

const (
	reasonCodes = "IEEE 802.11, table of reason codes, as listed by secondary sources"
	leaseTimes  = "RFC 2131, section 4.4.5: renewing after half of the lease, rebinding after 7/8; range: " + practice
)

// packetFaults happen between frames on the air and packets on the wire. They are listed, so that a worksheet can name
// them and a customer's words find them; they act once packets are simulated.
var packetFaults = []Entry{
	{
		ID: "wifi.weak", Name: "Wi-Fi weak", DeviceKind: "wifi", Awaits: packets,
		Phrases: []Phrase{
			{Pattern: `the Wi-Fi is weak`},
		},
		Mechanism: "Distance, foliage that has grown or a wet wall: frames are repeated many times, rates fall, " +
			"some never get through.",
		Parameters: []Parameter{
			{Name: "frames lost", Dim: quantity.Fraction, Default: 0.3, Worst: 0.9, Min: 0.01, Max: 0.99,
				Source: practice},
		},
		Symptoms: []string{
			"In summer it is often offline.",
			"It works when I stand beside it with the phone.",
			"The signal is too weak at the end of the garden, one bar.",
			"It keeps dropping off; nearer to the house it stays connected.",
			"The shed is too far from the router.",
			"When the leaves are out it loses the Wi-Fi.",
			"The metal box blocks the reception.",
			"Only one bar of signal where the box hangs.",
			"It works in the kitchen and drops out at the bottom of the garden.",
			"The reception at the greenhouse is poor.",
		},
		Check: "Read the signal strength at the controller's place, with its lid shut, and once more after " +
			"rain.",
		Ask:         "Does it hold the connection when it, or the access point, is brought nearer?",
		BaseRate:    Often,
		LocalEffect: "Frames are retransmitted; joining takes several tries; the radio draws more current for longer.",
		EndEffect:   "Alerts come late or never; a battery empties early.",
		Hazards:     []Hazard{SilentFailure, AlarmFlood},
	},
	{
		ID: "wifi.deauthenticated", Name: "deauthenticated by the access point", DeviceKind: "wifi", Awaits: packets,
		Phrases: []Phrase{
			{Pattern: `the access point deauthenticates the controller`,
				Formerly: []string{`the access point throws the controller out`}},
		},
		Mechanism: "The access point ends the association with a frame that says why: inactivity, too many " +
			"stations, a handshake that timed out.",
		Parameters: []Parameter{
			{Name: "reason", Dim: quantity.Count, Default: 4, Worst: 4, Min: 1, Max: 38, Source: reasonCodes},
		},
		Symptoms: []string{
			"It drops out every few minutes, and the others do not.",
			"The router kicks it off while the phones stay on.",
			"Too many devices on the network, it gets thrown out.",
		},
		Check: "Read the reason in the access point's log: 4 is inactivity, 5 too many stations, 15 a " +
			"handshake that timed out.",
		Ask:         "Does the access point's log name a reason for throwing it out?",
		LocalEffect: "The station is out at once; for some reasons it may come back at once, for others never.",
		EndEffect:   "A firmware that answers all reasons alike hammers the access point or gives up for good.",
		Hazards:     []Hazard{SilentFailure},
	},
	{
		ID: "wifi.credentials-changed", Name: "Wi-Fi password changed", DeviceKind: "wifi", Awaits: packets,
		Phrases: []Phrase{
			{Pattern: `the password of the Wi-Fi is changed`},
		},
		Mechanism: "Somebody has set another password, or bought another access point with the same name.",
		Symptoms: []string{
			"Since we have the new router it is offline.",
			"We changed the Wi-Fi password and now it is offline forever.",
			"New internet box with another network name, it does not join.",
			"It does not take the new network, its light just blinks; 5 GHz only?",
			"Since the provider swapped the router it cannot connect.",
			"New router from the phone company, and the gadget does not connect any more.",
			"We have a new password and it shows offline since.",
			"The network has another name now and it keeps searching.",
		},
		Check:    "Join with a phone, with the name and the password that the controller was given.",
		Ask:      "Was the Wi-Fi's name, password or router changed before it went offline?",
		BaseRate: Often,
		LocalEffect: "The handshake fails each time; it looks like a weak signal to a firmware that does not read " +
			"the reason.",
		EndEffect: "It is offline until somebody comes and sets it up.",
		Hazards:   []Hazard{SilentFailure},
	},
	{
		ID: "network.captive-portal", Name: "captive portal", DeviceKind: "wifi", Awaits: packets,
		Phrases: []Phrase{
			{Pattern: `a captive portal answers in the place of the internet`},
		},
		Mechanism: "The network answers every request with a page that asks for a login, as guest networks do.",
		Symptoms: []string{
			"On the guest network it is connected and offline.",
			"The campsite Wi-Fi wants a login.",
			"The guest Wi-Fi shows a page with terms that must be accepted.",
			"A hotel or club network where one has to log in on a web page.",
		},
		Check:       "Join with a phone: a login page appears.",
		Ask:         "Does a login page appear on that Wi-Fi?",
		BaseRate:    Seldom,
		LocalEffect: "Names resolve, connections open, and what answers is not the server.",
		EndEffect:   "A firmware without a check of certificates takes the page for its server.",
		Hazards:     []Hazard{SilentFailure},
	},
	{
		ID: "network.address-conflict", Name: "address given twice", DeviceKind: "wifi", Awaits: packets,
		Phrases: []Phrase{
			{Pattern: `another device takes the address of the controller`},
		},
		Mechanism: "Somebody has given a printer the same address by hand, or two servers give addresses.",
		Symptoms: []string{
			"It comes and goes as the printer is switched on and off.",
			"Two devices have the same IP address.",
			"When the television is on the controller drops out.",
			"The printer and the controller fight over one address.",
		},
		Check:       "Switch the controller off and ping its address: an answer comes from the other one.",
		Ask:         "Does its address answer a ping while it is switched off?",
		LocalEffect: "Packets go to the one or the other, as the tables of the network change.",
		EndEffect:   "Sessions break for no visible reason.",
		Hazards:     []Hazard{SilentFailure, AlarmFlood},
	},
	{
		ID: "network.lease-lost", Name: "lease of the address lost", DeviceKind: "wifi", Awaits: packets,
		Phrases: []Phrase{
			{Pattern: `the lease of the controller's address is not renewed`},
		},
		Mechanism: "The server of addresses does not renew the lease: the address is no longer the controller's.",
		Parameters: []Parameter{
			{Name: "lease", Dim: quantity.Duration, Default: 86400, Worst: 60, Min: 60, Max: 30 * 86400,
				Source: leaseTimes},
		},
		Symptoms: []string{
			"Exactly one day after each start it is offline.",
			"It loses its IP address every day and must be restarted.",
		},
		Check: "Compare the time from its last start to the outage with the lease in the access point's " +
			"settings.",
		Ask: "Does the outage come a fixed time after each start?",
		LocalEffect: "At the end of the lease everything that is open must stop; a firmware that goes on uses an " +
			"address of others.",
		EndEffect: "It is offline until it restarts.",
		Hazards:   []Hazard{SilentFailure},
	},
	{
		ID: "network.names-unresolved", Name: "names not resolved", DeviceKind: "wifi", Awaits: packets,
		Phrases: []Phrase{
			{Pattern: `names are not resolved`},
		},
		Mechanism: "The name server does not answer, or answers with an address of yesterday.",
		Parameters: []Parameter{
			{Name: "timeout", Dim: quantity.Duration, Default: 5, Worst: 30, Min: 1, Max: 30,
				Source:      "resolv.conf(5): 5 s and 2 attempts a server, at most 30 s",
				WorstSource: "resolv.conf(5), its longest"},
		},
		Symptoms: []string{
			"Web pages take ages, and the controller is offline.",
			"The log says host not found, DNS error.",
			"Since the ad blocker was installed on the network it cannot find the server.",
			"It has an address and answers ping but does not find the server by name.",
			"It has Wi-Fi and an address but says cannot resolve or unknown host.",
			"Since somebody put in a filter or blocker on the network it is offline.",
		},
		Check:       "Resolve the server's name from a computer on the same network; try another name server.",
		Ask:         "Can a computer on the same network not find the server's name either?",
		LocalEffect: "The look-up waits for seconds, and for some firmware everything else with it.",
		EndEffect:   "No connection; a look-up that blocks keeps the cut-off waiting.",
		Hazards:     []Hazard{SilentFailure, Flood, DryRunning},
	},
	{
		ID: "certificate.expired", Name: "certificate expired", DeviceKind: "cloud", Awaits: packets,
		Phrases: []Phrase{
			{Pattern: `the certificate of the broker has expired`},
		},
		Mechanism: "The server's certificate, or the root that the firmware carries, is past its date; or the " +
			"controller's clock is far off.",
		Symptoms: []string{
			"Since New Year all of them are offline.",
			"The secure connection is refused, certificate expired.",
			"An old unit joins the Wi-Fi but never comes online, TLS error.",
			"The log says SSL handshake failed.",
			"The log says certificate not valid, it joins Wi-Fi but not the server.",
			"It lay in a drawer for years and cannot log in securely any more.",
		},
		Check: "Look at the dates of the server's certificate and of the root that the firmware has, and at " +
			"the controller's clock.",
		Ask:         "Does its log say that a secure connection or a certificate was refused?",
		LocalEffect: "The handshake is refused by the controller; nothing on the network is wrong.",
		EndEffect:   "All controllers of a make go offline on the same day, and an update cannot reach them.",
		Hazards:     []Hazard{SilentFailure},
	},
}
