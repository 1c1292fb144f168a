package link

import (
	"bufio"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"runtime"
	"strings"
	"testing"
	"time"

	simulated "ullage/fakes/controller"
	"ullage/harness"
	"ullage/harness/quantity"
	"ullage/harness/sitefile"
)

// The test binary, started again with "child" and the name of a behaviour, is the program under test.
func TestMain(m *testing.M) {
	if len(os.Args) >= 3 && os.Args[1] == "child" {
		child(os.Args[2], os.Args[3:])
		return
	}
	os.Setenv("GORACE", "atexit_sleep_ms=0") // a child built with -race would else take a second to end
	os.Exit(m.Run())
}

// childCommand runs one of the behaviours below.
func childCommand(behaviour string, more ...string) []string {
	return append([]string{os.Args[0], "child", behaviour}, more...)
}

const childGreeting = `{"name":"child","can":["fill rule"]}`

// served is the simulated controller as a program of its own.
func served(name string) error {
	return Serve(os.Stdin, os.Stdout, name, func(spec sitefile.Controller,
		terminals []harness.Terminal) (harness.Controller, error) {
		return simulated.New(spec, terminals)
	})
}

// child answers hello, and every run as its behaviour says.
func child(behaviour string, more []string) {
	if behaviour == "serves" {
		if err := served("simulated"); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		return
	}
	if behaviour == "starts another" {
		p, err := start(more, time.Hour)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Println(p.cmd.Process.Pid)
		time.Sleep(time.Hour)
	}
	in := bufio.NewReader(os.Stdin)
	say := func(format string, args ...any) { fmt.Printf(format+"\n", args...) }
	runs := 0
	for {
		line, err := in.ReadString('\n')
		if err != nil {
			if behaviour == "ends badly" {
				os.Exit(3)
			}
			for behaviour == "does not end" {
				time.Sleep(time.Hour)
			}
			return
		}
		if behaviour == "script" { // a file that takes what it is told, and its answers one after the other
			log, err := os.OpenFile(more[0], os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o600)
			if err != nil {
				panic(err)
			}
			fmt.Fprint(log, line)
			log.Close()
			runs++
			say("%s", more[runs])
			continue
		}
		var m runMessage
		if err := json.Unmarshal([]byte(line), &m); err != nil {
			panic(err)
		}
		if m.Do == "hello" {
			if len(more) > 0 {
				say("%s", more[0])
				continue
			}
			say(childGreeting)
			continue
		}
		runs++
		misbehave(behaviour, m, runs, say)
	}
}

func misbehave(behaviour string, m runMessage, runs int, say func(string, ...any)) {
	fine := func() { say(`{"at":%d}`, m.To) }
	switch {
	case behaviour == "blinks": // an output that changes every second
		if at := m.From/1e9*1e9 + 1e9; at < m.To {
			say(`{"at":%d,"out":[{"terminal":"top-up","on":%v}]}`, at, at/1e9%2 == 1)
		} else {
			fine()
		}
	case behaviour == "on": // switches on at its first chance
		say(`{"at":%d,"out":[{"terminal":"top-up","on":true}]}`, m.To)
	case runs < 2: // everyone behaves once
		fine()
	case behaviour == "hangs":
		fmt.Fprintln(os.Stderr, "waiting for the moon")
		time.Sleep(time.Hour)
	case behaviour == "hangs with a grandchild":
		grandchild := exec.Command(os.Args[0], "child", "does not end")
		grandchild.Stdout, grandchild.Stderr = os.Stdout, os.Stderr
		grandchild.Stdin, _, _ = os.Pipe()
		if err := grandchild.Start(); err != nil {
			panic(err)
		}
		fmt.Fprintln(os.Stderr, "grandchild", grandchild.Process.Pid)
		time.Sleep(time.Hour)
	case behaviour == "dies":
		fmt.Fprintln(os.Stderr, "assertion failed: tank full of bees")
		os.Exit(7)
	case behaviour == "dies in the middle of a line":
		fmt.Print(`{"at":12`)
		os.Exit(0)
	case behaviour == "closes its output":
		os.Stdout.Close()
		time.Sleep(time.Hour)
	case behaviour == "floods":
		fmt.Fprintln(os.Stderr, "the beginning")
		for range 20000 {
			fmt.Fprintln(os.Stderr, "blah blah blah")
		}
		fmt.Fprintln(os.Stderr, "the end")
		os.Exit(1)
	case behaviour == "never ends its line":
		for {
			if _, err := os.Stdout.WriteString(strings.Repeat("x", 1<<16)); err != nil {
				os.Exit(0)
			}
		}
	case behaviour == "says twice":
		fmt.Printf("{\"at\":%d}\n{\"at\":%d}\n", m.To, m.To)
	case behaviour == "says": // a given answer, with FROM and TO put in
		text := os.Args[len(os.Args)-1]
		text = strings.ReplaceAll(text, "FROM", fmt.Sprint(int64(m.From)))
		say("%s", strings.ReplaceAll(text, "TO", fmt.Sprint(int64(m.To))))
	default:
		fine()
	}
}

// testSpec is the controller of the package comment.
func testSpec() (sitefile.Controller, []harness.Terminal) {
	s := func(v float64) quantity.DurationValue { return quantity.DurationValue{}.With(v, 0) }
	v := func(v float64) quantity.VoltageValue { return quantity.VoltageValue{}.With(v, 0) }
	ohm := func(v float64) quantity.ResistanceValue { return quantity.ResistanceValue{}.With(v, 0) }
	spec := sitefile.Controller{
		Supply: v(12), ResetsBelow: v(9), Boots: s(0.5),
		Board: sitefile.Board{Rail: v(3.3), PullUp: ohm(10e3), Low: v(0.8), High: v(2), Bits: 12, Impedance: ohm(10e6)},
		Settings: sitefile.Settings{
			Clock: "Monday 06:00",
			Fill: &sitefile.Fill{Valve: "top-up", Low: "tank-low", Debounce: s(0.25), LongestRun: s(600), Attempts: 3,
				Pause: s(60)},
			CutOff: &sitefile.CutOff{Contact: "tank-spill", Shuts: []string{"top-up"}},
			Alerts: sitefile.Alerts{Kept: 20},
		},
	}
	return spec, []harness.Terminal{
		{Name: "top-up", Kind: harness.OutputTerminal},
		{Name: "pump", Kind: harness.OutputTerminal},
		{Name: "tank-low", Kind: harness.ContactTerminal},
		{Name: "tank-spill", Kind: harness.ContactTerminal, Normal: true},
		{Name: "meter", Kind: harness.PulseTerminal},
		{Name: "probe", Kind: harness.AnalogueTerminal},
		{Name: "power", Kind: harness.PowerTerminal},
	}
}

// The terminals of testSpec.
const (
	topUp = iota
	pump
	tankLow
	tankSpill
	meter
	probe
	power
)

// compiled builds the example in C. Without a C compiler the test is skipped, and fails where CI is set.
func compiled(t testing.TB) string {
	t.Helper()
	if runtime.GOOS == "windows" {
		t.Skip("the example in C is built where a compiler is called cc")
	}
	cc, err := exec.LookPath("cc")
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("this test needs a C compiler named cc, and none is installed")
		}
		t.Skip("this test needs a C compiler named cc")
	}
	program := t.TempDir() + "/controller"
	build := exec.Command(cc, "-std=c99", "-O2", "-Wall", "-Wextra", "-Wpedantic", "-Werror", "-o", program,
		"../../testdata/firmware/exec-c/controller.c")
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("the example in C does not compile: %v\n%s", err, out)
	}
	return program
}
