package water_test

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/water"
)

const referenceFolder = "../../testdata/reference/hydraulics"

// trade is the set of constants and roundings that a reference network is
// built with.
type trade struct {
	constants water.Constants
	perMinute float64 // m3/s of one L/min
	minor     float64 // factor on velocity heads
	shutoff   float64 // of a one-point pump curve over its head
}

// standard is how this project computes.
func standard() trade { return trade{water.Standard(), 1.0 / 60000, 1, 4.0 / 3} }

// oracle is how the solver computed that made the reference results, by the
// README beside them and rows C01 to C07 of handbook.csv.
func oracle() trade {
	constants := water.Standard()
	constants.Gravity = 9.81456
	constants.HazenWilliams, constants.HazenWilliamsBore = 10.6668295, 4.871
	constants.Friction = water.SwameeJain
	return trade{constants, 0.028316846592 / 1699.0, 0.99988222, 1.33334}
}

// reference is a network read from an .inp file, with what moves from period
// to period.
type reference struct {
	trade    trade
	network  water.Network
	nodes    map[string]water.Node
	links    map[string]water.Link
	outlets  map[string]water.Outlet // by node
	draws    []varying
	heads    []varying
	tanks    []string
	valves   map[string]float64 // Kv
	speeds   map[string]float64 // of pumps that do not run at full speed; 0: standing
	patterns map[string][]float64
	period   float64 // length of a pattern's period, s
	sections map[string][][]string
}

type varying struct {
	name, pattern string
	value         float64
}

func readReference(tb testing.TB, name string, how trade) *reference {
	tb.Helper()
	text, err := os.ReadFile(filepath.Join(referenceFolder, "networks", name+".inp"))
	require.NoError(tb, err)
	return parseReference(tb, string(text), how)
}

func parseReference(tb testing.TB, text string, how trade) *reference {
	tb.Helper()
	r := &reference{
		trade: how, nodes: map[string]water.Node{}, links: map[string]water.Link{}, outlets: map[string]water.Outlet{},
		valves: map[string]float64{}, speeds: map[string]float64{}, patterns: map[string][]float64{}, sections: map[string][][]string{}, period: 3600,
	}
	section := ""
	for _, line := range strings.Split(text, "\n") {
		line, _, _ = strings.Cut(line, ";")
		fields := strings.Fields(line)
		switch {
		case len(fields) == 0:
		case strings.HasPrefix(line, "["):
			section = strings.Trim(fields[0], "[]")
		default:
			r.sections[section] = append(r.sections[section], fields)
		}
	}
	r.network.Constants = how.constants
	r.addNodes(tb)
	r.addLinks(tb)
	return r
}

func number(tb testing.TB, text string) float64 {
	tb.Helper()
	value, err := strconv.ParseFloat(text, 64)
	require.NoError(tb, err)
	return value
}

func field(fields []string, i int) string {
	if i < len(fields) {
		return fields[i]
	}
	return ""
}

func (r *reference) option(name, otherwise string) string {
	for _, section := range []string{"OPTIONS", "TIMES"} {
		for _, fields := range r.sections[section] {
			if rest, ok := strings.CutPrefix(strings.Join(fields, " "), name+" "); ok {
				return rest
			}
		}
	}
	return otherwise
}

func (r *reference) addNodes(tb testing.TB) {
	for _, f := range r.sections["PATTERNS"] {
		for _, text := range f[1:] {
			r.patterns[f[0]] = append(r.patterns[f[0]], number(tb, text))
		}
	}
	if clock := r.option("PATTERN TIMESTEP", ""); clock != "" {
		hours, minutes, _ := strings.Cut(clock, ":")
		r.period = 3600*number(tb, hours) + 60*number(tb, minutes)
	}
	dependent := r.option("DEMAND MODEL", "") == "PDA"
	for _, f := range r.sections["JUNCTIONS"] {
		draw := number(tb, field(f, 2)) * r.trade.perMinute
		if dependent && draw > 0 { // flow = draw (p/required)^exponent
			r.nodes[f[0]] = r.network.Junction(f[0], number(tb, f[1]), 0)
			required := number(tb, r.option("REQUIRED PRESSURE", ""))
			r.outlets[f[0]] = r.network.Emitter(f[0], r.nodes[f[0]],
				water.Emitter{Coefficient: draw / math.Sqrt(required), Exponent: 0.5})
			continue
		}
		r.nodes[f[0]] = r.network.Junction(f[0], number(tb, f[1]), draw)
		r.draws = append(r.draws, varying{f[0], field(f, 3), draw})
	}
	for _, f := range r.sections["RESERVOIRS"] {
		r.nodes[f[0]] = r.network.Reservoir(f[0], number(tb, f[1]))
		r.heads = append(r.heads, varying{f[0], field(f, 2), number(tb, f[1])})
	}
	for _, f := range r.sections["TANKS"] {
		diameter := number(tb, f[5])
		r.nodes[f[0]] = r.network.Tank(f[0], number(tb, f[1]), water.Upright(math.Pi/4*diameter*diameter))
		r.tanks = append(r.tanks, f[0])
	}
	exponent := number(tb, r.option("EMITTER EXPONENT", "0.5"))
	for _, f := range r.sections["EMITTERS"] {
		r.outlets[f[0]] = r.network.Emitter(f[0], r.nodes[f[0]], water.Emitter{
			Coefficient: number(tb, f[1]) * r.trade.perMinute, Exponent: exponent,
			Backflow: r.option("BACKFLOW ALLOWED", "") != "NO",
		})
	}
}

func (r *reference) addLinks(tb testing.TB) {
	hazenWilliams := r.option("HEADLOSS", "") == "H-W"
	status := map[string]string{} // Open, Closed, or the speed of a pump
	for _, f := range r.sections["STATUS"] {
		status[f[0]] = f[1]
	}
	for _, f := range r.sections["PIPES"] {
		pipe := water.Pipe{Length: number(tb, f[3]), Bore: number(tb, f[4]) / 1000, Minor: number(tb,
			f[6]) * r.trade.minor}
		if hazenWilliams {
			pipe.HazenWilliams = number(tb, f[5])
		} else {
			pipe.Roughness = number(tb, f[5]) / 1000
		}
		to := r.nodes[f[2]]
		if f[7] == "CV" { // a pipe and behind it a valve of next to no loss
			between := r.network.Junction(f[0]+" end", 0, 0)
			r.network.NonReturn(f[0]+" valve", between, to, 1e5)
			to = between
		}
		if f[7] == "Closed" || status[f[0]] == "Closed" {
			between := r.network.Junction(f[0]+" end", 0, 0)
			r.network.Valve(f[0]+" valve", between, to, 0)
			to = between
		}
		r.links[f[0]] = r.network.Pipe(f[0], r.nodes[f[1]], to, pipe)
	}
	for _, f := range r.sections["VALVES"] {
		from, to, bore := r.nodes[f[1]], r.nodes[f[2]], number(tb, f[3])/1000
		setting, minor := number(tb, f[5]), number(tb, f[6])
		if f[4] == "PRV" {
			r.links[f[0]] = r.network.Regulator(f[0], from, to, setting, r.kv(minor, bore))
			continue
		}
		require.Equal(tb, "TCV", f[4])
		r.valves[f[0]] = r.kv(setting, bore)
		if status[f[0]] == "Closed" {
			r.valves[f[0]] = 0
		}
		r.links[f[0]] = r.network.Valve(f[0], from, to, r.valves[f[0]])
	}
	for _, f := range r.sections["PUMPS"] {
		var points []water.Point
		for _, c := range r.sections["CURVES"] {
			if c[0] == f[4] {
				points = append(points, water.Point{Flow: number(tb, c[1]) * r.trade.perMinute, Head: number(tb, c[2])})
			}
		}
		if len(points) == 1 {
			p := points[0]
			points = []water.Point{{Flow: 0, Head: p.Head * r.trade.shutoff}, p, {Flow: 2 * p.Flow, Head: 0}}
		}
		r.links[f[0]] = r.network.Pump(f[0], r.nodes[f[1]], r.nodes[f[2]], water.Pump{Points: points})
		if i := slices.Index(f, "SPEED"); i > 0 {
			r.speeds[f[0]] = number(tb, f[i+1])
		}
		switch s := status[f[0]]; s {
		case "", "Open":
		case "Closed":
			r.speeds[f[0]] = 0
		default:
			r.speeds[f[0]] = number(tb, s)
		}
	}
}

// kv turns a loss in velocity heads in a bore into a flow coefficient.
func (r *reference) kv(minor, bore float64) float64 {
	area := math.Pi / 4 * bore * bore
	return 3600 * area * math.Sqrt(2e5/(r.trade.constants.Density*minor*r.trade.minor))
}

func (r *reference) compile(tb testing.TB) *water.Solver {
	tb.Helper()
	solver, err := r.network.Compile()
	require.NoError(tb, err)
	for name, speed := range r.speeds {
		solver.SetSpeed(r.links[name], speed)
	}
	return solver
}

// set gives a solver the draws, heads, levels and valve states of a period.
func (r *reference) set(solver *water.Solver, period period) {
	at := func(v varying) float64 {
		if pattern := r.patterns[v.pattern]; pattern != nil {
			return v.value * pattern[int(period.Seconds/r.period)%len(pattern)]
		}
		return v.value
	}
	for _, v := range r.draws {
		solver.SetDraw(r.nodes[v.name], at(v))
	}
	for _, v := range r.heads {
		solver.SetHead(r.nodes[v.name], at(v))
	}
	for _, name := range r.tanks {
		solver.Hold(r.nodes[name], period.Nodes[name][1])
	}
	for name, kv := range r.valves {
		if period.Links[name][3] == 0 {
			kv = 0
		}
		solver.SetKv(r.links[name], kv)
	}
}

// results are the reference results of a network.
type results struct {
	Periods []period `json:"periods"`
}

type period struct {
	Seconds float64               `json:"t_s"`
	Nodes   map[string][3]float64 `json:"nodes"` // head m, pressure m, outflow L/min
	Links   map[string][4]float64 `json:"links"` // flow L/min, loss m, velocity, status
}

func readResults(tb testing.TB, name string) results {
	tb.Helper()
	text, err := os.ReadFile(filepath.Join(referenceFolder, "results", name+".json"))
	require.NoError(tb, err)
	var r results
	require.NoError(tb, json.Unmarshal(text, &r))
	require.NotEmpty(tb, r.Periods)
	return r
}

// referenceNames lists the networks of the reference set.
func referenceNames(tb testing.TB) []string {
	tb.Helper()
	files, err := filepath.Glob(filepath.Join(referenceFolder, "networks", "*.inp"))
	require.NoError(tb, err)
	require.NotEmpty(tb, files)
	for i, file := range files {
		files[i] = strings.TrimSuffix(filepath.Base(file), ".inp")
	}
	return files
}

// The status of a link is that of the file: a pump that stands, one at a speed of its own by the affinity laws, and a
// pipe that is shut.
func TestTheReaderHonoursStatus(t *testing.T) {
	text, err := os.ReadFile(filepath.Join(referenceFolder, "networks", "n09a_pump_1pt_dw.inp"))
	require.NoError(t, err)
	flow := func(status string) float64 {
		r := parseReference(t, strings.Replace(string(text), "[OPTIONS]", status+"\n[OPTIONS]", 1), oracle())
		solver := r.compile(t)
		solver.Hold(r.nodes["TK"], 1)
		require.NoError(t, solver.Solve())
		for _, link := range []string{"SUC", "RIS", "INL"} {
			assert.InDelta(t, solver.Flow(r.links["PU"]), solver.Flow(r.links[link]), 1e-9, "flow in %s", link)
		}
		pump := solver.Flow(r.links["PU"]) / r.trade.perMinute
		if pump > 0 { // what the pump adds is what its curve at this speed gives: C1 through 60 L/min at 18 m
			speed := 1.0
			if v, ok := r.speeds["PU"]; ok {
				speed = v
			}
			want := 18 * (4.0/3*speed*speed - math.Pow(pump/60, 2)/3)
			assert.InDelta(t, want, solver.Head(r.nodes["PO"])-solver.Head(r.nodes["PI"]), 1e-4, "lift with %q", status)
		}
		return pump
	}
	assert.InDelta(t, 80.13622672, flow(""), 1e-4)
	assert.InDelta(t, 80.13622672, flow("[STATUS]\nPU Open"), 1e-4)
	assert.InDelta(t, 0, flow("[STATUS]\nPU Closed"), 1e-9, "a pump that stands pumps")
	assert.InDelta(t, 0, flow("[STATUS]\nRIS Closed"), 1e-9, "water runs through a pipe that is shut")
	slow := flow("[STATUS]\nPU 0.8")
	assert.True(t, slow > 10 && slow < 80, "a slow pump gives %g L/min", slow)
}
