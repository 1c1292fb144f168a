package harness

import (
	"fmt"
	"slices"
	"strings"

	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// twin is a script in which something was left out.
type twin struct {
	script  *Script
	act     *Act              // what was left out
	setting *sitefile.Setting // or what is as in the site file; nil both: the outputs are cut
	without string            // what was left out, in words
}

// twins lists those of a script: one without each fault and stimulus, one with each setting of the scenario as it is in
// the site file, and, where it has no fault and no stimulus, one whose controller's outputs reach nothing.
func twins(script *Script, end signal.Time) []twin {
	var list []twin
	for i, a := range script.Acts {
		if len(a.Turns) > 0 {
			list = append(list, twin{script: script.Without(i, end), act: &script.Acts[i],
				without: fmt.Sprintf("%q", a.Text)})
		}
	}
	if list == nil {
		list = append(list, twin{script: script.Muted(end), without: "what the controller did"})
	}
	for i := range script.Start {
		if s := &script.Start[i]; isSetting(*s) {
			list = append(list, twin{script: script.withoutSetting(i, end), setting: s,
				without: fmt.Sprintf("the setting %s: %s", strings.TrimPrefix(s.Path, settingsPath), s.Text)})
		}
	}
	return list
}

const settingsPath = "controller/settings/"

// isSetting reports whether what a script starts with is a setting of the controller: the time of day is not, it is
// where the run begins.
func isSetting(s sitefile.Setting) bool {
	return strings.HasPrefix(s.Path, settingsPath) && s.Path != settingsPath+"clock"
}

// withoutSetting is the script with one of its settings as in the site file.
func (s *Script) withoutSetting(i int, end signal.Time) *Script {
	twin := s.twin(end)
	twin.Start = slices.Delete(slices.Clone(s.Start), i, i+1)
	return twin
}
