package sweep_test

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/scenarios/sweep"
)

// A target is taken as the table prints it, and as the names of trials have it.
func TestAccepted(t *testing.T) {
	p := plan(t, "tern-lane")
	spaced := ""
	for _, c := range p.Trials {
		if strings.Contains(c.Target, " ") {
			spaced = c.Fault + ":" + c.Target
		}
	}
	require.NotEmpty(t, spaced, "no target of the site has a space in its name")
	list, err := p.ReadAccepted("known.txt",
		[]byte("# known\nvalve.weeps:drip  # no meter behind the tank\n\nvalve.stuck-open\n"+spaced+"\n"))
	require.NoError(t, err)
	assert.Equal(t, []string{"valve.weeps:drip", "valve.stuck-open", strings.ReplaceAll(spaced, " ", "-")}, list)
	assert.True(t, sweep.Accepts(list, "valve.stuck-open:sprays"))
	assert.False(t, sweep.Accepts(list, "valve.weeps:top-up"))
	require.NoError(t, p.Only([]string{spaced}), "--only takes it no other way than --accept")
}

// Every line that names nothing on the site is complained about, all at once.
func TestAcceptedMistakes(t *testing.T) {
	p := plan(t, "fish-house-sump")
	_, err := p.ReadAccepted(
		"known.txt",
		[]byte(
			"valve.stuck-open:top-up\nvalve.stuck-opn:top-up\nvalve.stuck-open:topup\nvalve.stuck-open:gazebo-lights\n"+
				"wifi.weak\nprobe.noisy\nnonsense\n",
		),
	)
	require.Error(t, err)
	lines := strings.Split(err.Error(), "\n")
	require.Len(t, lines, 6, "the first line is in order, the others are not")
	for i, want := range []string{
		`known.txt:2: read "valve.stuck-opn:top-up"; expected a fault, or fault:target, that is tried on this site; did you mean "valve.stuck-open:top-up"?`,
		`known.txt:3: read "valve.stuck-open:topup"; expected a fault, or fault:target, that is tried on this site; did you mean "valve.stuck-open:top-up"?`,
		`known.txt:4: read "valve.stuck-open:gazebo-lights"; expected a fault, or fault:target, that is tried on this site: valve.stuck-open:top-up`,
		`known.txt:5: read "wifi.weak"; expected a fault, or fault:target, that is tried on this site; wifi.weak is listed, not yet simulated: it waits for the simulation of packets`,
		`known.txt:6: read "probe.noisy"; expected a fault, or fault:target, that is tried on this site; nothing here can have probe.noisy`,
		`known.txt:7: read "nonsense"; expected a fault, or fault:target, that is tried on this site; ullage faults lists the faults`,
	} {
		assert.Equal(t, want, lines[i])
	}
}

// What is accepted and breaks no limit is told apart: safe, without effect; and what was not tried is not spoken of.
func TestAcceptedNeedlessly(t *testing.T) {
	p := plan(t, "fish-house-sump", "valve.stuck-closed", "overflow.blocked")
	r := sweepOf(t, p, sweep.Options{Jobs: 2})
	var b bytes.Buffer
	require.NoError(t, r.Print(&b, []string{"valve.stuck-closed:top-up", "overflow.blocked", "tank.leak:sump"}, 0,
		false))
	assert.Contains(t, b.String(), "\naccepted, and safe by now: valve.stuck-closed:top-up\n"+
		"accepted, and without effect, which proves nothing: overflow.blocked\n")
	assert.NotContains(t, b.String(), "tank.leak")
	assert.Equal(t, "18 trials and 1 pair", r.Extent())
}

// The title tells of pairs and of seeds, and a check that needs a second line says "Check" once.
func TestTitle(t *testing.T) {
	r := sweepOf(t, plan(t, "fish-house-sump", "valve.stuck-open"), sweep.Options{Jobs: 2, Seeds: 3})
	var b bytes.Buffer
	require.NoError(t, r.Print(&b, nil, 80, false))
	assert.Contains(t, b.String(), "Then 0 pairs.")
	assert.Contains(t, b.String(), "with 3 seeds, 1 to 3;")
	assert.Equal(t, 1, strings.Count(b.String(), "Check: "))
}
