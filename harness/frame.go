package harness

import "ullage/harness/signal"

// FrameKind says what a frame is.
type FrameKind uint8

// The kinds of frame. The first two go from the controller to the network, the rest the other way.
const (
	Connect      FrameKind = iota // joins the access point and opens its session with the cloud
	Publish                       // sends an alert or a report; asks for an acknowledgement
	Connected                     // the session is open
	Refused                       // the connection could not be made
	Lost                          // the session has ended without being asked to
	Acknowledged                  // the publish with this Number arrived
	Command                       // somebody asks for something: Topic says what, Value how much
)

// String names the kind.
func (k FrameKind) String() string {
	return [...]string{"connect", "publish", "connected", "refused", "lost", "acknowledged", "command"}[k]
}

// Frame is one message between the controller and its network. It stays a message where packets are simulated: they are
// made of frames, and read, below this type, inside the network.
type Frame struct {
	At     signal.Time
	Kind   FrameKind
	Number uint64  // publish and acknowledged: which publish
	Topic  string  // publish: TopicAlert or TopicReport; command: TopicStart or TopicStop
	Text   string  // alert: one of the alert names; report: free; command: the zone
	Value  float64 // command start: run time asked for in seconds
}

// Topics of publishes and commands.
const (
	TopicAlert  = "alert"
	TopicReport = "report"
	TopicStart  = "start"
	TopicStop   = "stop"
)

// LongestStart is the longest run time that a remote start asks for.
const LongestStart = signal.Day

// The alerts that outcomes can name. A profile of another controller maps its own messages to these.
const (
	AlertFillTooLong     = "fill too long"     // a fill was ended by the longest run
	AlertFillLockedOut   = "fill locked out"   // filling is given up until somebody resets it
	AlertSpill           = "spill"             // the independent cut-off operated
	AlertNoFlow          = "no flow"           // a valve was called for and no water came
	AlertFlowWithoutCall = "flow without call" // water ran although nothing was called for
	AlertProbeFault      = "probe fault"       // the soil-moisture probe reads outside its calibrated range
	AlertStillDry        = "still dry"         // the soil stayed dry after the permitted attempts
	AlertDryRun          = "dry run prevented" // the interlock kept the pump off or stopped it
	AlertRestarted       = "restarted"         // the controller has booted
	AlertRunLimit        = "run limit reached" // a remote start was ended by the controller's own limit
	AlertLowBattery      = "low battery"       // the supply is too low to open latching valves and be sure to shut them
	// the settings are gone, and nothing is filled or watered until it is set up again
	AlertSettingsLost = "settings lost"
	AlertClockNotSet  = "clock not set" // it does not know the time of day, and programmes do not run
)

// AlertNames lists every alert an outcome can name, in the order of the constants.
func AlertNames() []string {
	return []string{AlertFillTooLong, AlertFillLockedOut, AlertSpill, AlertNoFlow, AlertFlowWithoutCall,
		AlertProbeFault, AlertStillDry, AlertDryRun, AlertRestarted, AlertRunLimit, AlertLowBattery,
		AlertSettingsLost, AlertClockNotSet}
}
