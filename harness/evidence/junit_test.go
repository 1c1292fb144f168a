package evidence

import (
	"bytes"
	"encoding/xml"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// element is any XML element: the test reads junit.xml without the types that wrote it.
type element struct {
	XMLName  xml.Name
	Attrs    []xml.Attr `xml:",any,attr"`
	Text     string     `xml:",chardata"`
	Children []element  `xml:",any"`
}

func (e element) attr(name string) string {
	for _, a := range e.Attrs {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return "(none)"
}

func TestJUnitSaysWhatBuildServersRead(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, JUnit(&b, Summarise(samples(), sampleMeta)))
	var root element
	require.NoError(t, xml.Unmarshal(b.Bytes(), &root))
	assert.Equal(t, "testsuites", root.XMLName.Local)
	for name, want := range map[string]string{"tests": "6", "failures": "2", "errors": "1", "skipped": "1", "time": "50400.000"} {
		assert.Equal(t, want, root.attr(name), "%s of the run", name)
	}
	verdicts := map[string]string{}
	for _, suite := range root.Children {
		assert.Equal(t, "testsuite", suite.XMLName.Local)
		for _, name := range []string{"name", "tests", "failures", "errors", "skipped", "time"} {
			assert.NotEqual(t, "(none)", suite.attr(name), "%s of a suite", name)
		}
		for _, c := range suite.Children {
			assert.Equal(t, "testcase", c.XMLName.Local)
			assert.Equal(t, suite.attr("name"), c.attr("classname"))
			verdict := "passed"
			for _, child := range c.Children {
				verdict = child.XMLName.Local
				assert.NotEqual(t, "(none)", child.attr("message"), "%s of %s says nothing", verdict, c.attr("name"))
			}
			verdicts[c.attr("name")] = verdict
		}
	}
	assert.Equal(t, map[string]string{
		"A weak supply still fills the tank":                   "error",
		"The pump never runs dry while the mains are weak":     "failure",
		"A chattering high contact does not overfill the tank": "passed",
		"The access point dies while the sprays run":           "passed",
		"The access point dies and the sprays overrun":         "failure",
		"A remote start ends by itself":                        "skipped",
	}, verdicts)
	failed := root.Children[len(root.Children)-1].Children[1].Children[0]
	assert.Contains(
		t,
		failed.Text,
		"failed: the valve \"sprays\" closes within 6 minutes and 5 seconds; margin: -7.25 s (-2.0 %) at 02:10:12.25",
	)
	assert.Contains(
		t,
		failed.Text,
		"held: no other valve opens; no margin",
		"the body lists every verdict, also those that held",
	)
	assert.Contains(t, failed.Text, "repeat: ullage run features/link.feature:21 --seed 61145")
}
