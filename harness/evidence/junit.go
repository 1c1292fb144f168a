package evidence

import (
	"encoding/xml"
	"fmt"
	"io"
	"strconv"
	"strings"

	"ullage/harness/console"
	"ullage/harness/outcome"
	"ullage/harness/quantity"
)

// The elements of JUnit's XML that build servers read. Times are simulated seconds.
type (
	junitRun struct {
		XMLName xml.Name `xml:"testsuites"`
		Name    string   `xml:"name,attr"`
		junitCounts
		Suites []*junitSuite `xml:"testsuite"`
	}
	junitSuite struct {
		Name string `xml:"name,attr"`
		File string `xml:"file,attr"`
		junitCounts
		Cases []junitCase `xml:"testcase"`
	}
	junitCounts struct {
		Tests    int    `xml:"tests,attr"`
		Failures int    `xml:"failures,attr"`
		Errors   int    `xml:"errors,attr"`
		Skipped  int    `xml:"skipped,attr"`
		Time     string `xml:"time,attr"`
		seconds  float64
	}
	junitCase struct {
		Name    string       `xml:"name,attr"`
		Class   string       `xml:"classname,attr"`
		File    string       `xml:"file,attr"`
		Line    int          `xml:"line,attr"`
		Time    string       `xml:"time,attr"`
		Failure *junitReason `xml:"failure"`
		Error   *junitReason `xml:"error"`
		Skipped *junitReason `xml:"skipped"`
	}
	junitReason struct {
		Message string `xml:"message,attr"`
		Type    string `xml:"type,attr,omitempty"`
		Body    string `xml:",cdata"`
	}
)

// JUnit writes a summary as junit.xml: a suite a feature, a case a scenario. Failed, not exercised and not recorded are
// failures; not valid and could not be made are errors; not run is skipped. A run that was broken off has an error of
// its own.
func JUnit(w io.Writer, s *Summary) error {
	run := junitRun{Name: "ullage"}
	for i := range s.Scenarios {
		r := &s.Scenarios[i]
		n := len(run.Suites)
		if n == 0 || run.Suites[n-1].File != r.File || run.Suites[n-1].Name != console.Clean(r.Feature) {
			run.Suites = append(run.Suites, &junitSuite{Name: console.Clean(r.Feature), File: r.File})
			n++
		}
		c := newJUnitCase(r)
		run.Suites[n-1].Cases = append(run.Suites[n-1].Cases, c)
		run.Suites[n-1].add(r, c)
		run.add(r, c)
	}
	if !s.Complete {
		run.Errors, run.Tests = run.Errors+1, run.Tests+1
		run.Suites = append(
			run.Suites,
			&junitSuite{
				Name:        "ullage",
				junitCounts: junitCounts{Tests: 1, Errors: 1},
				Cases: []junitCase{{Name: "the run is complete",
					Class: "ullage", Time: seconds(0), Error: &junitReason{Message: "the run was broken off", Type: outcome.Broken.String()}}},
			},
		)
	}
	run.Time = seconds(run.seconds)
	for _, suite := range run.Suites {
		suite.Time = seconds(suite.seconds)
	}
	if _, err := io.WriteString(w, xml.Header); err != nil {
		return err
	}
	encoder := xml.NewEncoder(w)
	encoder.Indent("", "  ")
	if err := encoder.Encode(run); err != nil {
		return err
	}
	_, err := io.WriteString(w, "\n")
	return err
}

func (c *junitCounts) add(r *Record, one junitCase) {
	c.Tests++
	if one.Failure != nil {
		c.Failures++
	}
	if one.Error != nil {
		c.Errors++
	}
	if one.Skipped != nil {
		c.Skipped++
	}
	c.seconds += r.seconds()
}

func newJUnitCase(r *Record) junitCase {
	c := junitCase{
		Name:  console.Clean(r.Name),
		Class: console.Clean(r.Feature),
		File:  r.File,
		Line:  r.Line,
		Time:  seconds(r.seconds()),
	}
	reason := &junitReason{Message: console.Clean(r.reason()), Type: r.State.String(), Body: r.verdicts()}
	switch r.State.State {
	case outcome.Held:
	case outcome.NotRun:
		c.Skipped = &junitReason{Message: reason.Message}
	case outcome.Broken, outcome.NotValid:
		c.Error = reason
	default:
		c.Failure = reason
	}
	return c
}

// reason is the first sentence that says why a scenario was not held.
func (r *Record) reason() string {
	for _, o := range r.Outcomes {
		if o.State == r.State && o.Why != "" {
			return o.Why
		}
	}
	if r.Error != "" {
		return r.Error
	}
	return r.State.String()
}

// verdicts lists every outcome of a scenario, a line each, and the command that repeats it.
func (r *Record) verdicts() string {
	var b strings.Builder
	b.WriteString("\n")
	for _, o := range r.Outcomes {
		fmt.Fprintf(&b, "%s: %s", o.State, console.Clean(o.Text))
		switch {
		case o.Margin != nil:
			fmt.Fprintf(&b, "; margin: %s", o.MarginText)
		case o.MarginText != "":
			fmt.Fprintf(&b, "; %s", o.MarginText)
		}
		if o.Share != nil {
			fmt.Fprintf(&b, " (%s)", quantity.Percent(*o.Share))
		}
		if o.At != nil {
			fmt.Fprintf(&b, " at %s", o.At.Text)
		}
		for _, text := range []string{o.Short, o.Why} {
			if text != "" {
				fmt.Fprintf(&b, "; %s", console.Clean(text))
			}
		}
		b.WriteString("\n")
	}
	fmt.Fprintf(&b, "repeat: %s\n", console.Clean(r.Repeat))
	return b.String()
}

// seconds is how long the scenario ran, in simulated seconds.
func (r *Record) seconds() float64 {
	if r.Ended == nil {
		return 0
	}
	return r.Ended.NS.Seconds()
}

func seconds(s float64) string { return strconv.FormatFloat(s, 'f', 3, 64) }
