package scenarios

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/scenarios/internal/language"
	"ullage/scenarios/internal/phrases"
)

// A former wording is refused with the present one, which is filled in and can be pasted.
func TestFormerWordings(t *testing.T) {
	for old, now := range map[string]string{
		`grit holds the valve "top-up" open by 5 %`:                         `the valve "top-up" sticks 5 % open`,
		`as a fill begins, the power is lost for 3 s`:                       `as a fill begins, the power goes off for 3 s`,
		`the power comes and goes, 500 ms away and 2 s back, for 1 min`:     `the power cycles 500 ms off and 2 s on for 1 min`,
		`the coils kick into the lead of "tank-low" through 22 kohm`:        `the coils' inductive kick couples into the lead of "tank-low" through 22 kohm`,
		`"sprays" is started from afar for 12 min, and stopped after 2 min`: `"sprays" is started remotely for 12 min, and stopped after 2 min`,
		`the supply "mains" sucks back with 0.3 bar for 10 min`:             `the supply "mains" falls 0.3 bar below atmospheric for 10 min`,
	} {
		_, problems := compile(t, `Given the site "tern-lane"`, "When "+old, "And 1 hour passes",
			"Then no alert arrives")
		require.Len(t, problems, 1, old)
		assert.Contains(t, problems[0].Error(), "this is now written: "+now)
		_, problems = compile(t, `Given the site "tern-lane"`, "When "+now, "And 1 hour passes",
			"Then no alert arrives")
		assert.Empty(t, problems, now)
	}
}

// An outcome too is refused with its present wording.
func TestFormerOutcomes(t *testing.T) {
	for old, now := range map[string]string{
		`the water never parts at "top-up"`:                            `no column separation occurs at "top-up"`,
		`at most 2 L are sucked out of "header-tank"`:                  `at most 2 L is back-siphoned out of "header-tank"`,
		`the nozzles of "sprinklers" are weak for at most 30 s in all`: `the nozzles of "sprinklers" run below working pressure for at most 30 s in all`,
	} {
		_, problems := compile(t, `Given the site "tern-lane"`, "When 1 hour passes", "Then "+old)
		require.Len(t, problems, 1, old)
		assert.Contains(t, problems[0].Error(), "this is now written: "+now)
	}
}

// No present phrase has a former wording of another, and the present wording of each has all its placeholders.
func TestFormerWordingsAreFree(t *testing.T) {
	for _, p := range Phrases() {
		for _, f := range phrases.Language().Former {
			assert.False(t, f.Kind&p.Kind != 0 && f.Expr.MatchString(p.Example), "%q is a former wording of %q",
				p.Example, f.Now)
		}
		for _, old := range p.Formerly {
			for _, name := range language.FormerOf(p, old).Names {
				assert.Contains(t, p.Pattern, strings.Trim("{"+name+"}", "{}"), "%q has a placeholder that %q lacks",
					old, p.Pattern)
			}
		}
	}
}
