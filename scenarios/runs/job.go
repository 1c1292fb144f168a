package runs

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"path"
	"slices"
	"sync"
	"time"

	"ullage/harness"
	"ullage/harness/sitefile"
	"ullage/scenarios"
)

// Format and Version mark a description; the version changes when a reader of the one before would misread it.
const (
	Format  = "ullage run"
	Version = 1
)

// Description is a run as data: written as JSON, it can be read and done by another process with the same result.
type Description struct {
	Format   string             `json:"format"`
	Version  int                `json:"version"`
	Models   int                `json:"models"` // version of the models; see Models
	Site     Site               `json:"site"`
	Scenario scenarios.Scenario `json:"scenario"`
	Settings
}

// Site is a site file.
type Site struct {
	Name string `json:"name"` // as the scenario names it
	File string `json:"file"` // as messages show it
	Text string `json:"text"`
}

// Settings are how a scenario is run.
type Settings struct {
	Stand   Stand  `json:"stand"`
	Seed    uint64 `json:"seed,string"`
	Proof   Proof  `json:"proof"`
	Nominal bool   `json:"nominal,omitempty"` // leave out the limits of the site's tolerances
	// number of the act of the scenario that does nothing, from 1; 0: none
	Without int           `json:"without,omitempty"`
	Trace   bool          `json:"trace,omitempty"` // whether the result needs the trace
	Timeout time.Duration `json:"timeout_ns,omitempty"`
}

// Stand names what a stand is put together from, in the words of the command line.
type Stand struct {
	Controller string `json:"controller"`
	Site       string `json:"site"`
	Network    string `json:"network"`
	Clock      string `json:"clock"`
	// of a controller that is not part of this program: the hash of its files, or what it reports
	Identity string `json:"identity,omitempty"`
}

// Proof says how the outcomes of a run are proven.
type Proof string

// The proofs.
const (
	ClosedLoop Proof = "closed-loop" // harness.ClosedLoop
	OpenLoop   Proof = "open-loop"   // harness.OpenLoop
	Unproven   Proof = "none"        // one run; whoever asks for it compares it himself
)

// Job is a run to be done. It is not changed once it is made, and safe for concurrent use.
type Job struct {
	Description
	sites   harness.Sites
	compile func() (*harness.Script, scenarios.Problems)
}

// New is the job of a case of a library. The job of a case that has problems cannot be run and says why.
func New(c *scenarios.Case, library *scenarios.Library, s Settings) *Job {
	script := c.Script(s.Seed)
	return newJob(script.Site, c.Scenario, library, s, func() (*harness.Script, scenarios.Problems) {
		return script,
			c.Problems
	})
}

// Of is the job of a scenario that is in no feature file, on a site of a library. It is compiled when it is first asked
// for.
func Of(site string, sc scenarios.Scenario, library *scenarios.Library, s Settings) *Job {
	return newJob(site, sc, library, s, func() (*harness.Script,
		scenarios.Problems) {
		return scenarios.Compile(sc, library.Site, s.Seed)
	})
}

func newJob(site string, sc scenarios.Scenario, l *scenarios.Library, s Settings,
	compile func() (*harness.Script, scenarios.Problems)) *Job {
	file, text := l.SiteText(site)
	d := Description{Format: Format, Version: Version, Models: Models(), Site: Site{site, file, text}, Scenario: sc,
		Settings: s}
	return d.job(l.Site, compile)
}

// Read reads a job. The error says what is wrong with the text; a site or scenario that cannot be used makes a job that
// says so when it is run.
func Read(text []byte) (*Job, error) {
	var d Description
	if err := json.Unmarshal(text, &d); err != nil {
		return nil, fmt.Errorf("the description of a run: %w", err)
	}
	switch {
	case d.Format != Format || d.Version != Version:
		return nil, fmt.Errorf("read a description of format %q version %d; expected %q version %d", d.Format,
			d.Version, Format, Version)
	case d.Models != Models():
		return nil, fmt.Errorf("the run was described for version %d of the models; this program has version %d",
			d.Models, Models())
	case d.Proof != ClosedLoop && d.Proof != OpenLoop && d.Proof != Unproven:
		return nil, fmt.Errorf("read the proof %q; expected %q, %q or %q", d.Proof, ClosedLoop, OpenLoop, Unproven)
	}
	site, err := sitefile.Read(d.Site.File, []byte(d.Site.Text))
	sites := func(name string) (*sitefile.Site, error) {
		if name != d.Site.Name {
			return nil, fmt.Errorf("there is no site %q in the description of the run; expected %q", name, d.Site.Name)
		}
		return site, err
	}
	return d.job(sites, func() (*harness.Script, scenarios.Problems) {
		return scenarios.Compile(d.Scenario, sites,
			d.Seed)
	}), nil
}

// job is the job of a description whose scenario is compiled so.
func (d Description) job(sites harness.Sites, compile func() (*harness.Script, scenarios.Problems)) *Job {
	return &Job{d, sites, sync.OnceValues(func() (*harness.Script, scenarios.Problems) {
		script, problems := compile()
		if d.Nominal {
			script.Corners = nil
		}
		if d.Without > 0 && d.Without <= len(script.Acts) {
			acts := slices.Clone(script.Acts)
			acts[d.Without-1].Turns = nil
			script.Acts = acts
		}
		return script, problems
	})}
}

// LeaveOut is the job in which the act of an index does nothing.
func (j *Job) LeaveOut(act int) *Job {
	d := j.Description
	d.Without = act + 1
	return d.job(j.sites, func() (*harness.Script, scenarios.Problems) {
		script, problems := j.compile()
		copied := *script
		return &copied, problems
	})
}

// Script is what the scenario is compiled to, or what is wrong with it. The script is not to be changed.
func (j *Job) Script() (*harness.Script, scenarios.Problems) { return j.compile() }

// Key names what the result depends on: the same key has the same result, whichever program of these models does the
// run. Where the files lie, and how long a run may take, are not part of it.
func (j *Job) Key() string {
	d := j.Description
	d.Timeout, d.Site.File = 0, ""
	d.Scenario.File, d.Scenario.Line = path.Base(d.Scenario.File), 0
	d.Scenario.Steps = slices.Clone(d.Scenario.Steps)
	for i := range d.Scenario.Steps {
		d.Scenario.Steps[i].Line = 0
	}
	text, err := json.Marshal(d)
	if err != nil { // it is made of texts and numbers
		panic(err)
	}
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:])
}
