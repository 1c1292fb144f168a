package fault

import (
	"slices"
	"strings"
	"unicode"

	"ullage/harness/spelling"
)

// A term is a word as the search compares it: in lower case, without its ending, and in the place of its synonyms.

// stopWords say nothing of a fault.
var stopWords = wordSet(`a about above actually after   along already also although always am an and any anyway are around as at
	away  be because been before being below beside between both bought but by came can cannot come comes coming could day
	days did do does doing done each either else end ever   exactly few find first for found from gave get gets
	getting give go goes going  good got had happen happened happens has have having he hear heard her here him his how i if
	in inside into is isn it its  just keep keeps kind know last like  ll long look looked looks lot made make makes
	man many maybe me mean might mine more most much must my myself near need needed needs new next now of often oh ok old on
	once  ones  onto or   our out   part people perfect place please properly put quite rather re
	really  round said  saw say saying says see seem seems seen she should show shows side since so some somebody
	someone something sometimes soon sort still stuff such sure take taken takes tell than that the their them  then
	there these they thing things think this those though thought three through time times to today together told too took
	tried try two under until up us use used uses using usual ve later very want wanted was way we   well went were what
	when whenever where which while who whole why wife will with within    would yes yesterday yet you your
	yours im ive id thats theres dont hi hello thanks sir madam please help idea bit simply sunday monday tuesday wednesday
	thursday friday saturday     noon midnight `)

// synonyms are rows of words that customers use for the same thing; the first stands for all.
var synonyms = synonymTable(`
	tank: barrel butt trough cistern sump reservoir container vat bowser ibc pond pool basin
	alert: alarm warning warn notification notify message push sms text mail email notice
	phone: mobile smartphone cell handset
	app: application screen
	wifi: wi-fi wlan wireless router hotspot hub ssid
	internet: broadband fibre provider isp dsl modem online-service
	cloud: server broker service
	offline: disconnected unreachable disconnect unavailable
	password: passphrase credential key
	valve: solenoid
	coil: winding
	tap: faucet spigot stopcock stopvalve
	zone: bed circuit station lawn border sector plot plant flower rose tomato lettuce herb vegetable cucumber courgette
		strawberry basil shrub hedge crop seedling veg greenhouse pepper bean pea berry raspberry orchid fern
	sprinkler: spray sprayer sprinkl rotor popup pop-up
	dripper: emitter dripline
	probe: sensor hygrometer
	moisture: humidity
	soil: earth ground compost dirt
	float: level ball bobber
	controller: box unit device gadget machine computer brain
	programme: program schedule timetable calendar
	battery: accumulator cell
	adapter: transformer brick charger
	power: electricity electric electrical
	outage: blackout
	restart: reboot reset
	freeze: frozen froze frost ice icy frosty subzero
	hang: hung unresponsive
	crack: split rupture burst crackd fracture
	leak: seep ooze trickle weep dribble drip
	overflow: overfill spill flood brim overflew overran
	block: clog plug choke gunge bung obstruct
	dirt: grit sand debris sludge silt mud grain
	lime: limescale scale calcium crust chalk
	soak: soggy boggy bog swamp sodden waterlog marsh puddle
	dry: wilt brown dusty thirsty parch shrivel wither bone-dry drie
	bang: thud knock thump hammer clunk
	hum: buzz whirr drone
	chatter: rattle flicker flutter
	wrong: incorrect false
	swap: swop mix interchange exchange transpose
	reverse: opposite backward upside invert vice versa
	jam: stuck seize stick wedge snag tangle caught catch
	cut: chop sever spade dig dug digger gnaw chew nibble
	corrode: corrosion rust rusty furry oxidise verdigris
	short: shorted overcurrent
	ohm: resistance
	weak: feeble faint poor
	pressure: bar psi
	shut: close
	stop: cease halt finish
	open: opened
	run: ran running
	fill: refill top-up topup
	empty: drain
	jump: jumpy erratic spike fluctuate
	late: delay
	twice: double duplicate
	hour: oclock
	rain: rainy downpour drizzle shower
	sun: sunny sunshine
	hot: warm heat
	house: home indoors
	drink: drinking
	smell: smelt stink taste tasted
	filter: strainer mesh
	pipe: tube piping
	nothing: none
	update: upgrade firmware
	forget: forgot forgotten forgets
	lose: lost loss
	neighbour: neighbor
	holiday: vacation
	mute: silent silence
	lightning: thunderstorm thunder storm
	wire: cable lead wiring cord
	connector: splice junction terminal
	water: watering watered`)

// irregular are forms that no ending gives away.
var irregular = map[string]string{"ran": "run", "froze": "freeze", "broke": "break", "broken": "break", "lost": "lose", "blew": "blow",
	"blown": "blow", "burnt": "burn", "dug": "dig", "bitten": "bite", "shook": "shake", "came": "come", "went": "go", "won": "win",
	"kept": "keep", "left": "leave", "children": "child", "dried": "dry", "dries": "dry", "drier": "dry", "died": "die",
	"tied": "tie", "leaves": "leaf", "mice": "mouse", "fell": "fall", "fallen": "fall", "swollen": "swell", "stood": "stand",
	"froz": "freeze", "sank": "sink", "sunk": "sink", "drew": "draw", "drawn": "draw", "torn": "tear", "tore": "tear", "worn": "wear",
	"rang": "ring", "forgot": "forget", "forgotten": "forget", "wet": "wet", "bust": "burst", "half": "half", "swapped": "swap"}

// terms are those of a text, in its order.
func terms(text string) []string {
	text = strings.NewReplacer("n't", " not", "n’t", " not", "'s", "", "’s", "", "'d", "", "’d", "",
		"'ve", "", "’ve", "", "'re", "", "'ll", "", "'m", "", "wi-fi", "wifi", "top up", "topup",
		"tops up", "topup", "topping up", "topup", "topped up", "topup", "themselves", "itself", "power cut", "outage", "cant ", "can not ", "wont ", "will not ", "doesnt ", "does not ",
		"doesn t", "does not", "didnt", "did not", "isnt", "is not", "%", " percent ", "°", " ").Replace(strings.ToLower(text))
	var list []string
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }) {
		if !stopWords[word] {
			list = append(list, term(word))
		}
	}
	return list
}

// negations turn the meaning of what follows, and are one term.
var negations = wordSet("not no never none nothing without neither nor cannot nowhere")

// term is what a word is compared as.
func term(word string) string {
	if negations[word] {
		return "not"
	}
	for _, form := range []string{word, stem(word)} {
		if s, ok := synonyms[form]; ok {
			return s
		}
	}
	return stem(word)
}

// stem takes the usual endings off a word. What is left need not be a word; it is compared with others of its making.
func stem(word string) string {
	if base, ok := irregular[word]; ok {
		return base
	}
	for _, ending := range []string{"ations", "ation", "ings", "ing", "edly", "ies", "ied", "ed", "ers", "er", "es", "ly", "s", "y", "e"} {
		cut, ok := strings.CutSuffix(word, ending)
		if !ok || len(cut) < 3 || ending == "s" && strings.HasSuffix(cut, "s") {
			continue
		}
		if n := len(cut); n > 3 && cut[n-1] == cut[n-2] && !strings.ContainsRune("lsz", rune(cut[n-1])) {
			cut = cut[:n-1]
		}
		return strings.TrimSuffix(strings.TrimSuffix(cut, "e"), "i")
	}
	return word
}

func wordSet(words string) map[string]bool {
	set := map[string]bool{}
	for _, w := range strings.Fields(words) {
		set[w] = true
	}
	return set
}

// synonymTable leads each word of the rows, and its stem, to the stem of the first of its row.
func synonymTable(rows string) map[string]string {
	table := map[string]string{}
	for _, row := range strings.Split(strings.ReplaceAll(strings.TrimSpace(rows), "\n\t\t", " "), "\n") {
		head, rest, _ := strings.Cut(row, ":")
		head = strings.TrimSpace(head)
		for _, w := range append(strings.Fields(rest), head) {
			table[w] = head
			table[stem(w)] = head
		}
	}
	return table
}

// spelt is the term of the vocabulary that one that it does not have was meant for: a letter wrong in six or more.
func spelt(term string, vocabulary []string) string {
	if len(term) < 6 {
		return term
	}
	if near := spelling.Nearest(term, vocabulary); near != "" && slices.Contains([]int{-1, 0, 1}, len(near)-len(term)) &&
		near[0] == term[0] && spelling.Slips(term, near) <= 1+len(term)/9 {
		return near
	}
	return term
}
