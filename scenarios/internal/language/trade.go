package language

import (
	"regexp"
	"strings"
)

// idle words say nothing about which phrase is meant.
var idle = setOf(`a an the this that these those it its is are was were be been being has have had do does did will would
	shall should may might can could must i we you he she they me my our your their his her them us somebody someone
	anybody person people who whom which what and or but so then than as to of in on at for from with by into onto out up
	down off over under about just also too very still yet again only even there here when while until since because if
	all any some each both either much many more most less least few own right same such now soon later next last not
	no never nobody nothing none neither without upon get gets got go goes gone going come comes came make makes made let
	lets keep keeps kept take takes took put puts give gives gave left say says see sees thing sit sits sitting stand stands standing way bit
	one two three four five six time times after before during ago already always really simply soon moment
	happen happens occur occurs late`)

func setOf(text string) map[string]bool {
	set := map[string]bool{}
	for _, word := range strings.Fields(text) {
		set[word] = true
	}
	return set
}

// sayings are ways of saying something that no single word shows. They are put in order, before words are looked at.
// What is written in <> is a sign that no word is spelt like.
var sayings = replacements(
	// what happens, and what does not
	`(?:springs?|comes?) (?:back )?(?:in)?to life|fires? up|starts? up`, `start`,
	`(?:leaves?|left) (?:it|them|everything) (?:alone|be)|nobody touch(?:es)? \w+`, ``,
	`(?:is|are|gets?) left alone|(?:stays?|sits?|remains?|is|are) idle`, `<never> open run`,
	`twitch(?:es)?|budges?|stirs?`, `open`, `energi[sz]es?|energi[sz]ed`, `<on>`,
	`no overflow`, `<never> water reach overflow`, `rather than \w+|plays? safe`, ``,
	`(?:receives?|gets?) (?:nothing|no water)`, `<never> water`,
	`(?:a single|one|a) cycle`, `<exactly> 1 times open`,
	`before (\d+ ?\w+) (?:are|is|have|has) (?:over|up|passed|gone|out)`, `<within> $1`,
	`(\d+ ?(?:s|min|h|d|sec\w*|minutes?|hours?|days?|weeks?)) (?:later|afterwards|on)\b`, `$1 pass`,
	`(?:is|was|are|were|gets?) (?:raised|given|published|issued|delivered|shown)|(?:turns?|shows?|comes?) up\b`, `arrive`,
	`(?:un|not )expected[- ]flow`, `unexpected leak`, `missing[- ]flow`, `no-flow`,
	`(?:programme|program|schedule) (?:begins?|starts?|is due)`, `clock`,
	`(?:power|electricity|current) (?:supply )?(?:fails?|failed|dies|disappears|`+
		`(?:is|are) (?:lost|gone|out|cut|off|away)|goes (?:off|out|away|down)|drops? out)`+
		`(?: completely| altogether| entirely| totally)?`, `power <off>`,
	`bone[- ]dry|parched|soaked|soaking(?: wet)?|sodden|drenched`, `soil hold`,
	`(?:is|are) up (?:at|to) (\d)`, `level $1`, `(?:is|are) drained`, `draw`,
	// bounds
	`not ((?:\w+ ){0,3})twice`, `$1 <most> 1 times`,
	`(?:not|never|no) ((?:\w+ ){0,4})(?:for )?(?:more than|longer than|over|above|beyond) `+
		`(\d+ ?(?:s|min|h|d|sec\w*|minutes?|hours?|days?|times?|`+
		`starts?|openings?|runs?|waterings?|alerts?|messages?|attempts?|l|litres?|liters?)\b)`, `$1 <most> $2`,
	`(?:not|never) (?:\w+ )?(?:below|under|beneath)`, `<above>`,
	`(?:not|never) (?:\w+ )?(?:above|over|past|beyond) (\d)`, `<below> $1`,
	`(?:not|never|no) (?:\w+ )?spills?`, `<never> over rim`,
	`in (?:one|1) go|in a row|without (?:a )?(?:break|pause|stopping)|non-?stop|continuously`, `stretch`,
	`(?:go(?:es)?|gone|went) by|elapses?`, `pass`,
	`halves|(?:is|are) halved|(?:drops?|falls?) by half`, `fall to 50 %`,
	`(?:takes?|took|taken) (\d[\d.]*) ?(?:l|litres?|liters?)\b`, `draw $1 l`,
	`(?:break|rest|pause|soak)(?: of)? (before|between)`, `pause $1`,
	`(?:keeps?|stays?|remains?) on\b`, `<stay> open run`,
	`(?:no|not) later than|at the latest`, `<within>`, `access point`, `access-point`,
	`(?:is|are|gets?|got|be|been) reported`, `alert arrive`,
	`(?:start(?:s|ed)?|begins?|began) (\w+ing)\b`, `$1`, `keeps? (?:on )?(?:going|running)`, `run`,
	`a (?:single )?drop(?: of water)?\b`, `water`,
	`cuts? (?:off )?the water|turns? off the water|(?:is )?shut off`, `supply <off>`,
	`(?:is |are |goes |comes )?down to`, `fall to`,
	`(?:reach(?:es)?|to|on) (?:the|my|his|her|our|your|a) phone`, `arrive`,
	`stops? answering|(?:does not|doesn't|no longer) (?:answers?|responds?|replies|reply)|drops? out|`+
		`(?:goes|went|is|are) (?:down|away|gone|dead|unavailable|unreachable)`, `away`,
	`(?:no|not) (?:more|longer|higher|greater|sooner) (?:often )?than`, `<most>`,
	`(?:in|inside|under) less than`, `<within>`, `(?:less|fewer|shorter|lower) than`, `<most>`,
	`(?:no|not) (?:less|fewer|shorter|lower) than`, `<least>`, `(?:at|for) (?:the )?(?:very )?(?:most|longest)`, `<most>`,
	`at (?:the )?(?:very )?(?:least|minimum|shortest)`, `<least>`, `or (?:more|longer)`, `<least>`,
	`or (?:less|fewer|shorter)`, `<most>`, `a maximum of|maximum`, `<most>`, `up to (\d)`, `<most> $1`, `a minimum of|minimum`, `<least>`,
	`more than once|several times|again and again|over and over|repeatedly`, `<repeat>`,
	`(?:exactly|precisely|just|only) (?:one|1) time|(?:exactly|precisely|just|only) once|one single time`,
	`<exactly> 1 times`, `exactly|precisely`, `<exactly>`, `\bonce\b`, `1 times`, `\btwice\b`, `2 times`,
	`\bthrice\b`, `3 times`, `(?:closer|nearer) together than`, `<least> between`,
	// being one thing or another
	`(?:does|do|did|must|can|will|should) not (?:exceed|reach|climb|rise|get) (?:above|over|past|to)?`, `<below> `,
	`(?:never|not) (?:exceeds?|reach(?:es)?|climbs? above|rises? above|gets? above|goes? above)`, `<below>`,
	`(?:never|not) (?:falls?|drops?|sinks?|goes?|gets?) (?:below|under)`, `<above>`,
	`(?:never|not) (?:runs?|gets?|is|goes) (?:empty|dry up)`, `<above> level`,
	`(?:stays?|remains?|keeps?|is kept|left|kept) (?:shut|closed|off)`, `<shut> open`,
	`(?:stays?|remains?|keeps?) (?:open)`, `<stay> open`,
	`(?:stays?|remains?|keeps?) (?:dry)`, `<never> open water`,
	`(?:stays?|remains?|keeps?|is) (?:below|under|beneath|lower)`, `<below>`,
	`(?:stays?|remains?|keeps?|is) (?:above|over|higher)`, `<above>`,
	// on and off
	`(?:comes?|goes?|is|are|turns?|turned|switch(?:es|ed)?|put) (?:back )?on\b`, `<on>`, `kicks? in|cuts? in`, `<on>`,
	`(?:goes?|is|are|turns?|turned|switch(?:es|ed)?|shuts?|cuts?|put) (?:back |itself )?off\b`, `<off>`,
	`cuts? out|gives? up|gave up`, `<off>`,
	`(?:switch(?:es|ed)?|turn(?:s|ed)?) (\w+) on\b`, `<on> $1`, `(?:switch(?:es|ed)?|turn(?:s|ed)?) (\w+) off\b`, `<off> $1`,
	// at once
	`at (?:once|the same (?:time|moment))|simultaneously|together`, `<together>`,
	`every time|each time`, `<each>`,
	// of the trade
	`wi[- ]?fi|wifi|wlan|wireless`, `wi-fi`, `brown[- ]?outs?|browns? out`, `brown-out`,
	`power (?:cut|failure|outage|loss)|black[- ]?outs?`, `power <off>`, `runs? dry|sucks? air|draws? air|no water left`, `dry-run`,
	`(?:over|across) the (?:rim|edge|brim|top|side)|overflows\b|spills? over|overflow(?:ing|ed)`, `over rim`,
	`goes? to waste|wasted|is lost|are lost|gets? lost|lost water`, `lost`,
	`(?:un|dis)plug(?:s|ged|ging)?|pull(?:s|ed)? (?:it |the plug )?out|disconnect(?:s|ed)?`, `unplug`,
	`watering cans?|cans? of water|buckets?`, `can`, `make(?:s)? no sense|implausible|nonsense|rubbish`, `fault`,
	`(?:air|dry)[- ]?run`, `dry-run`, `back[- ]?siphon(?:age|ed|s)?|sucked back|flows? back|runs? back`, `back-siphon`,
	`set(?:s)? back|reset(?:s|ting)?|re[- ]?boot(?:s|ed|ing)?|re[- ]?start(?:s|ed|ing)?`, `restart`,
	`re[- ]?connect(?:s|ed|ing|ion)?`, `connect`, `turn(?:s|ed)? away|den(?:y|ies|ied)|reject(?:s|ed)?`, `refuse`,
	`no[- ]?flow|no water (?:comes|flows|runs)`, `no-flow`, `non[- ]?return`, `non-return`,
)

// outputs are what the switch behind an output terminal is called.
var outputs = regexp.MustCompile(`\b(?:outputs?|transistor|relay|triac|mosfet|driver|thyristor)\b`)

// ofOutput are sayings for an output that is on, or off, for good: one that fails short is on, one that fails open is
// off, which is the other way round with a valve.
var ofOutput = replacements(
	`output transistor|transistor|relay|triac|mosfet|driver|thyristor`, `output`,
	`(?:has |have |is |are |gets? )?(?:fail(?:s|ed)?|stuck|sticks?|weld(?:s|ed)?|fused|jam(?:s|med)?)`+
		`(?: permanently| dead)? (?:short(?:ed|-circuit(?:ed)?)?|closed|shut|on)\b|`+
		`(?:is |has )?(?:weld(?:s|ed)?|fused|shorted)\b|shorts\b`, `fail <failon>`,
	`(?:has |have |is |are |gets? )?(?:fail(?:s|ed)?|stuck|sticks?)(?: permanently| dead)? (?:open|off|dead)\b|`+
		`(?:is |has |goes )?(?:dead|died|dies|blown|burnt out)\b`, `fail <failoff>`,
)

// replacement is a saying and what is put in its place.
type replacement struct {
	seen *regexp.Regexp
	by   string
}

// put replaces a saying wherever it stands; no two spaces stand together after it.
func (r replacement) put(text string) string {
	if !r.seen.MatchString(text) {
		return text
	}
	return " " + strings.Join(strings.Fields(r.seen.ReplaceAllString(text, r.by)), " ") + " "
}

func replacements(pairs ...string) (list []replacement) {
	for i := 0; i < len(pairs); i += 2 {
		list = append(list, replacement{regexp.MustCompile(`(?:\b|^)(?:` + pairs[i] + `)`), " " + pairs[i+1] + " "})
	}
	return list
}

// concepts are groups of words that mean one thing to a search; the first names it.
var concepts = groups(
	"open opening lift", "close shut seal seat closing", "start begin launch trigger", "stop end halt quit cease finish",
	"run operate-run water-run", "alert alarm warning warn message notify notification tell told inform email text push",
	"arrive reach-phone receive sent send report-alert deliver", "report heartbeat telemetry",
	"access-point wi-fi router hotspot", "internet online", "broker server cloud mqtt",
	"power electricity current-supply", "restart reboot crash", "controller box unit device computer",
	"jam stick stuck seize block-float hang", "block clog choke plug sludge silt", "break cut sever snap chew tear damage burn", "coil solenoid",
	"lead wire wiring cable line", "lost waste wasted", "leak hole drip-out escape ooze seep puncture", "burst rupture split",
	"remote remotely phone app command order request ask", "contact float switch", "level height", "rim brim edge", "overflow standpipe weir outlet-pipe",
	"probe sensor", "soil ground earth moisture", "supply mains network-main", "pressure head",
	"draw tap can withdraw dip scoop", "rain storm shower downpour thunderstorm cloudburst deluge pour",
	"tank cistern barrel butt reservoir",
	"connect session login", "attempt try", "refuse reject", "bounce chatter flicker rattle jitter toggle",
	"release unlock", "operate actuate", "rise climb increase", "fall drop sink sag dip decrease", "frozen freeze frost ice",
	"pause rest wait gap break-between interval", "lock-out lockout", "filter strainer", "worn wear tired old",
	"air airlock", "clock timer", "fill refill topup", "bed planter border", "sprinkler spray nozzle head-sprinkler",
	"emitter dripper", "short shorted", "unplug", "noisy noise hum", "weep trickle seep-valve", "slow slowly sluggish",
	"hot warm temperature heat", "away down unavailable drop-out",
	"unscrewed loose", "debris grit sand dirt stone", "button press push-button",
)

func groups(lists ...string) map[string]string {
	of := map[string]string{}
	for _, list := range lists {
		words := strings.Fields(list)
		for _, word := range words {
			if _, taken := of[stem(word)]; !taken {
				of[stem(word)] = words[0]
			}
		}
	}
	return of
}

// irregular are forms that no ending shows.
var irregular = map[string]string{"ran": "run", "running": "run", "drawn": "draw", "burnt": "burn", "drew": "draw",
	"fell": "fall", "fallen": "fall", "rose": "rise", "risen": "rise", "broke": "break", "broken": "break", "stuck": "stick",
	"froze": "freeze", "torn": "tear", "hung": "hang", "began": "begin", "begun": "begin", "sank": "sink", "sunk": "sink",
	"lost": "lost", "loses": "lost", "lose": "lost", "losing": "lost", "burst": "burst", "wetter": "wet", "drier": "dry",
	"dries": "dry", "dried": "dry", "supplies": "supply", "valves": "valve", "closes": "close", "closed": "close",
	"closing": "close", "tries": "attempt", "try": "attempt", "tried": "attempt", "trying": "attempt", "shutting": "shut",
	"stopped": "stop", "stopping": "stop", "stops": "stop", "cutting": "cut", "planters": "bed", "dipping": "dip",
	"plugged": "block", "operates": "operate", "operating": "operate", "operated": "operate", "releases": "release",
	"releasing": "release", "released": "release", "raises": "rise", "freezes": "freeze", "bursts": "burst",
	"pipes": "pipe", "litres": "litre", "news": "alert", "chattering": "bounce"}

// stem takes the ending off a word.
func stem(word string) string {
	if s, ok := irregular[word]; ok {
		return s
	}
	for _, ending := range []string{"ings", "ing", "edly", "ed", "es", "s", "ly"} {
		cut, ok := strings.CutSuffix(word, ending)
		if !ok || len(cut) < 3 || ending == "s" && strings.HasSuffix(cut, "s") {
			continue
		}
		if n := len(cut); ending != "s" && n > 3 && cut[n-1] == cut[n-2] && !strings.ContainsRune("lsz", rune(cut[n-1])) {
			cut = cut[:n-1]
		}
		return strings.TrimSuffix(cut, "e")
	}
	return strings.TrimSuffix(word, "e")
}

// conceptsOf is a set of concepts.
func conceptsOf(text string) map[string]bool {
	set := map[string]bool{}
	for _, word := range strings.Fields(text) {
		set[concept(word)] = true
	}
	return set
}

// concept is what a word means to a search.
func concept(word string) string {
	if word[0] == '<' {
		return word
	}
	s := stem(word)
	if c, ok := concepts[s]; ok {
		return c
	}
	return s
}
