package flows

import (
	"math"
	"slices"
)

// Report is everything that Of has computed about a site.
type Report struct {
	Site     string   `json:"site"`
	Supplies []Supply `json:"supplies"`
	Levels   []Level  `json:"levels"` // at which the sets are computed: those that a run begins with
	// each zone alone first, then pairs, then the worst of those with three zones and more
	Sets   []Set    `json:"sets"`
	Others int      `json:"sets_that_are_no_worse,omitempty"` // with three zones and more, computed and not listed
	Left   *LeftOut `json:"left_out,omitempty"`
	Rest   []Rest   `json:"at_rest"`
	// the line of pipes with the greatest length to an outlet; nil where there are no pipes
	Longest  *Line     `json:"longest_line,omitempty"`
	Pipes    []Pipe    `json:"pipes"`
	Tanks    []Tank    `json:"tanks"`
	Dry      []Dry     `json:"without_water"` // outlets and laterals that get no water in any set
	Warnings []Warning `json:"warnings"`
}

// Supply is a mains connection at rest.
type Supply struct {
	Name    string   `json:"name"`
	Static  Pressure `json:"static_bar"`
	Highest Pressure `json:"highest_bar"` // that the site file allows
	Weakest Pressure `json:"weakest_bar"` // in its weakest hour, for which all is computed but the overflows
	// time of day from which it is that weak; "" when it is the same all day
	WeakFrom string `json:"weakest_from,omitempty"`
}

// Level is the water in a tank above its floor.
type Level struct {
	Tank  string `json:"tank"`
	Level Length `json:"level_mm"`
}

// Set is what is open together, and what flows then.
type Set struct {
	Name       string      `json:"name"`  // "sprays", "top-up + sprays"
	Zones      []string    `json:"zones"` // the sets of one zone that it is made of
	Rules      []string    `json:"rules"` // settings that open it
	Opens      []string    `json:"opens"` // outputs that are on
	Parts      []Part      `json:"parts"` // that water passes, or should: from the sources to the outlets
	Beds       []Bed       `json:"beds,omitempty"`
	Uniformity *Uniformity `json:"uniformity,omitempty"`
	Runs       []Run       `json:"runs,omitempty"` // of a zone alone
}

// alone tells a set of one zone from one of several.
func (s *Set) alone() bool { return len(s.Zones) == 1 }

// undisturbed tells a set in which every outlet gets what it gets alone, and nothing is wrong.
func (s *Set) undisturbed() bool {
	const unseen = 0.0005 // a change that no figure shows
	return !slices.ContainsFunc(s.Parts, func(p Part) bool {
		return len(p.Marks) > 0 && p.Velocity == nil || p.Outlet && p.Sag == nil ||
			p.Sag != nil && (math.Abs(float64(p.Sag.Flow)) > unseen || math.Abs(float64(p.Sag.Pressure)) > unseen)
	})
}

// Part is what flows through one part of the site.
type Part struct {
	Name string `json:"name"`
	Kind string `json:"kind"`
	Flow Flow   `json:"flow_l_per_min"`
	// behind it; of an outlet before its openings, of a lateral at its first emitter
	Pressure Pressure  `json:"pressure_bar"`
	Lost     *Pressure `json:"lost_bar,omitempty"`              // by friction; a pump gains
	Rise     Length    `json:"rise_mm,omitempty"`               // of its outlet over its inlet
	Velocity *Velocity `json:"velocity_m_per_s,omitempty"`      // of pipes, and at the inlet of the lines of a lateral
	Openings int       `json:"openings,omitempty"`              // nozzles, emitters
	First    *Opening  `json:"first,omitempty"`                 // the nozzle, or the emitter nearest to the inlet
	Last     *Opening  `json:"last,omitempty"`                  // the emitter at the far end
	Sag      *Sag      `json:"less_than_alone,omitempty"`       // of outlets and laterals in a set of several zones
	Closed   bool      `json:"closed_by_the_flow,omitempty"`    // a non-return valve that holds water back
	Idle     bool      `json:"not_regulating,omitempty"`        // a regulator with too little pressure before it
	Dry      bool      `json:"no_water_before_it,omitempty"`    // a pump
	Against  bool      `json:"against_a_closed_line,omitempty"` // a pump that runs and gives nothing
	// of a pump: the points of its curve, the first at no flow
	Curve []Duty `json:"curve,omitempty"`
	// a pump that gives more than the last point of its curve
	PastEnd  bool       `json:"past_end_of_curve,omitempty"`
	Switches *Switching `json:"switches,omitempty"`          // a pump that its pressure switch turns on and off
	Outlet   bool       `json:"water_leaves_here,omitempty"` // an outlet or a lateral
	// water is drawn through it at less than the pressure of the air
	Suction bool     `json:"below_the_atmosphere,omitempty"`
	Marks   []string `json:"warnings,omitempty"` // in a word each

	meant  bool     // the set is there for it: water is to pass it
	stands Pressure // that stands across an open pilot-operated valve before it lifts
}

// Duty is a point of a pump's curve.
type Duty struct {
	Flow Flow   `json:"flow_l_per_min"`
	Head Length `json:"head_mm"`
}

// Opening is one nozzle or emitter.
type Opening struct {
	Flow     Flow     `json:"flow_l_per_min"`
	Pressure Pressure `json:"pressure_bar"`
}

// Sag is by how much an outlet gets less than when its zone runs alone, as a share: 0.2 is a fifth less.
type Sag struct {
	Flow     Share `json:"flow_percent"`
	Pressure Share `json:"pressure_percent"`
}

// Bed is how fast water falls on a bed.
type Bed struct {
	Name string  `json:"name"`
	Rate Depth   `json:"application_mm_per_h"`
	Ten  Seconds `json:"s_for_10_mm"`
}

// Uniformity is how evenly the openings of a zone give what each is rated for.
type Uniformity struct {
	LowerQuarter Share `json:"lower_quarter_percent"`
	Christiansen Share `json:"christiansen_percent"`
	Openings     int   `json:"openings"`
}

// Run is the water of one run of a zone.
type Run struct {
	Rule   string  `json:"rule"`
	Lasts  Seconds `json:"lasts_s"`
	Volume Volume  `json:"volume_l"`
	Ended  string  `json:"ended_early_by,omitempty"` // what stops it before its time
	Weekly int     `json:"times_a_week,omitempty"`   // by a programme; 0: whenever a rule calls for it
}

// Pipe is the fastest water in a pipe.
type Pipe struct {
	Name    string    `json:"name"`
	Bore    Length    `json:"bore_mm"`
	Alone   Velocity  `json:"fastest_alone_m_per_s"`
	AloneIn string    `json:"alone_in,omitempty"` // the set
	Both    *Velocity `json:"fastest_together_m_per_s,omitempty"`
	BothIn  string    `json:"together_in,omitempty"`
	// friction over 100 m at the greatest of these, with the fittings of the pipe; nil of laterals
	Per100 *Pressure `json:"lost_bar_per_100_m,omitempty"`
}

// Tank is how a tank fills, and whether what runs in finds its way out.
type Tank struct {
	Name string `json:"name"`
	Fill *Fill  `json:"fill,omitempty"`
	// at the highest supply pressure, with everything open that leads to it
	Inflow   Flow      `json:"full_inflow_l_per_min"`
	Through  []string  `json:"inflow_opens"`  // outputs that are on for it
	From     Length    `json:"full_level_mm"` // where the high contact ends a fill
	Rim      Length    `json:"rim_mm"`
	Overflow []Outflow `json:"overflow"` // with the overflow clear, half blocked and blocked
}

// Fill is one fill of a tank, from the operation of the low contact to that of the high one.
type Fill struct {
	From    Length   `json:"from_mm"`
	To      Length   `json:"to_mm"`
	Lasts   *Seconds `json:"lasts_s"` // nil when it never comes there
	Volume  Volume   `json:"volume_l"`
	Longest Seconds  `json:"longest_run_s"` // that the fill rule allows
	Stops   *Length  `json:"stops_at_mm,omitempty"`
	Begin   Flow     `json:"inflow_at_begin_l_per_min"`
	End     Flow     `json:"inflow_at_end_l_per_min"`
}

// Outflow is what becomes of the full inflow while so much of the overflow is open.
type Outflow struct {
	Open     Share    `json:"open_percent"`
	Level    *Length  `json:"comes_to_rest_mm,omitempty"` // where the overflow carries it
	Room     *Length  `json:"room_to_rim_mm,omitempty"`
	OverRim  Flow     `json:"over_the_rim_l_per_min"`
	Overruns *Seconds `json:"from_full_to_rim_s,omitempty"` // nil when the water never comes over the rim
}

// Dry is an outlet or lateral that gets no water, and why.
type Dry struct {
	Name string `json:"name"`
	Kind string `json:"kind"`
	Why  string `json:"why"`

	meant bool // a set is there for it
}

// LeftOut says which sets were not computed because there are too many.
type LeftOut struct {
	Computed int    `json:"computed"`
	From     string `json:"from"` // the first that was left out, in the order of sets
}

// part finds a part by its name; nil when no water passes it in this set.
func (s *Set) part(name string) *Part {
	for i := range s.Parts {
		if s.Parts[i].Name == name {
			return &s.Parts[i]
		}
	}
	return nil
}

// flows tells water from the traces of rounding.
func flows(q float64) bool { return math.Abs(q) > stray }

// stray is a flow too small to matter, m³/s: about a drop an hour.
const stray = 1e-11
