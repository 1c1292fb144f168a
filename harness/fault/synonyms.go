package fault

import "strings"

// synonyms are rows of words that customers use for much the same thing; the first stands for all. A row is a topic as
// it shows in complaints and no dictionary: "icy" and "minus" both speak of frost.
var synonyms = synonymTable(`
	tank: barrel butt trough cistern sump reservoir container vat bowser ibc pond pool basin bucket loft
	alert: alarm warning warn notification notify notified message push sms text mail email notice alarmed pinged buzzer
	phone: mobile smartphone cell handset iphone android
	app: application
	display: screen lcd panel readout
	wifi: wlan wireless router hotspot hub ssid network
	internet: broadband fibre provider isp dsl modem web
	cloud: server broker service backend
	offline: disconnected unreachable disconnect unavailable disconnects vanished greyed
	online: connected reconnects reconnect reconnected
	password: passphrase credential wpa
	valve: solenoid cylinder
	coil: winding
	tap: faucet spigot hydrant
	stopcock: stopvalve stoptap
	zone: bed circuit station lawn border sector plot plant flower rose tomato lettuce herb vegetable cucumber courgette
		strawberry basil shrub hedge crop seedling veg greenhouse pepper bean pea berry raspberry orchid fern channel
		grass turf patch pots pot planter allotment garden chilli chillies dahlia peony apple tree orchard vine
	sprinkler: spray sprayer rotor popup pop-up jet head mister misting
	dripper: emitter dripline drips
	nozzle: orifice
	probe: hygrometer
	moisture: humidity wetness damp
	soil: earth ground compost dirt peat coir sand
	float: level ball bobber stalk flapper
	controller: box unit device gadget machine computer brain timer hub module
	programme: program schedule timetable calendar agenda planner
	battery: batteries accumulator aa lithium
	adapter: transformer brick charger psu supply-unit wallwart powerpack
	power: electricity electric electrical juice
	outage: blackout powercut
	restart: reboot reset rebooting resets restarts
	frost: frozen froze freeze ice icy frosty subzero minus thaw thawed winter
	hang: hung freezes frozenscreen unresponsive lock locks locked crashed crash crashes stuckscreen
	crack: split rupture burst fracture ruptured cracked
	leak: seep ooze trickle weep dribble drip dripping puddle
	fountain: geyser gush gushing spurt squirt shoot shoots flood-jet spout
	overflow: overfill spill flood brim overflew overran excess rim edge
	block: clog plug choke gunge bung obstruct bunged choked blocked packed furred
	dirt: grit debris sludge silt mud grain muck gunk slime algae weed sediment leaf leaves crud
	lime: limescale scale calcium crust chalk hardwater
	soak: soggy boggy bog swamp sodden waterlog marsh squelchy drenched saturated mush drown drowned soaking
	dry: wilt dusty thirsty parch shrivel wither bone-dry drie dust desert crisp drought
	bang: thud knock thump clunk crash shudder shake boom jolt
	whack: mallet tapping hit kick screwdriver
	hum: buzz whirr drone
	scream: screech roar loud noisy howl whine squeal
	chatter: rattle flicker flutter stutter
	wrong: incorrect false bogus nonsense
	swap: swop mix interchange exchange transpose crossed muddled mixed
	reverse: opposite backward upside invert versa inverted reversed backwards
	jam: stuck seize stick wedge snag tangle caught catch trapped seized sticks
	cut: chop sever spade digger dig gnaw chew nibble severed trench shovel
	animal: dog cat mouse mice rat rabbit fox squirrel horse cow sheep cattle pony goat chicken pup puppy labrador
	corrode: corrosion rust rusty furry oxidise verdigris corroded oxidised rotten
	short: shorted overcurrent
	ohm: resistance ohms continuity multimeter
	weak: feeble faint poor pathetic pitiful puny oomph force feebly weaker weakly sluggish
	pressure: bar psi
	regulator: reducer reducing
	shut: close closes closed shuts
	stop: cease halt finish end
	run: ran running
	fill: refill topup filler filling
	empty: drain emptied
	erratic: jump jumpy spike fluctuate unsteady jitter wild crazy haywire leap
	late: delay overdue
	twice: double duplicate doubled
	repeat: over-and-over dozens hundreds countless
	hour: oclock
	rain: rainy downpour drizzle shower raining rained
	sun: sunny sunshine heatwave
	hot: warm heat burn burnt scald boiling scorch blister
	house: home indoors kitchen bathroom sink
	drink: drinking drank
	taste: smell smelt stink smelly taste tasted odour foul brown green cloudy
	filter: strainer mesh sieve gauze
	pipe: tube piping hose tubing
	nothing: none nada
	update: upgrade firmware ota
	forget: forgot forgotten forgets
	lose: lost loss
	neighbour: neighbor neighbours farm street village everybody
	holiday: vacation away
	mute: silent silence silenced
	lightning: thunderstorm thunder storm strike
	wire: cable lead wiring cord flex
	joint: connector splice junction terminal coupling fitting joiner connection
	water: watering watered irrigate irrigation irrigating irrigated sprinkle
	bubble: froth foam airy gurgle
	bill: invoice consumption usage cubic
	child: children kid kids boy girl son daughter toddler teenager grandson
	worker: gardener builder plumber electrician fencer digger installer landscaper mechanic lad
	reading: value figure number reads percentage percent
	graph: curve chart plot
	button: key press pressed tapped
	blink: flash flashing blinking
	old: age aged worn tired ancient
	light: lamp lamps led
	flicker: flickered dip dips dipped blip dim dims dimmed
	creep: crawl crawled creeping crept
	litre: liter gallon litres gallons
	counter: meter metre
	gauge: manometer
	suction: suck sucks sucked intake inlet
	minute: minutes min mins
	second: seconds sec secs
	gone: vanished disappeared wiped erased deleted blank
	night: overnight nights nightly
	default: factory scratch new-again
	prime: primed priming
`)

// synonymTable leads each word of the rows, and its stem, to the first of its row.
func synonymTable(rows string) map[string]string {
	table := map[string]string{}
	head := ""
	for _, row := range strings.Split(strings.TrimSpace(rows), "\n") {
		first, rest, isHead := strings.Cut(row, ":")
		if isHead {
			head = strings.TrimSpace(first)
		} else {
			rest = row
		}
		for _, w := range append(strings.Fields(rest), head) {
			for _, form := range []string{w, stem(w)} {
				if _, taken := table[form]; !taken {
					table[form] = head
				}
			}
		}
	}
	return table
}
