package evidence

// The mark and the version of a provenance.json.
const (
	ProvenanceFormat  = "ullage provenance"
	ProvenanceVersion = 1
)

// Provenance is what provenance.json holds: what a run was made with, where and when. It stands apart from the results,
// so that those are the same bytes wherever and whenever they are made.
type Provenance struct {
	Format     string         `json:"format"`
	Version    int            `json:"version"`
	Started    string         `json:"started"` // by the wall clock, RFC 3339
	Tool       Tool           `json:"tool"`
	Controller ControllerUsed `json:"controller"`
	Seed       uint64         `json:"seed,string"`
	Arguments  []string       `json:"arguments"` // of the command
	Inputs     []FileUsed     `json:"inputs"`    // feature files, site files and the worksheet, by name
	Host       Host           `json:"host"`
}

// Tool is this program.
type Tool struct {
	Name     string         `json:"name"`
	Version  string         `json:"version"`  // of the module; "(devel)" for one built from a working copy
	Commit   string         `json:"commit"`   // "" when the build does not tell
	Modified bool           `json:"modified"` // the working copy differed from the commit
	Go       string         `json:"go"`       // version of the toolchain
	Schemas  map[string]int `json:"schemas"`  // versions of the formats that it writes
}

// ControllerUsed is the controller that was tested.
type ControllerUsed struct {
	Name    string     `json:"name"`    // as it was given on the command line
	Command []string   `json:"command"` // that was run; empty for a simulated one
	Files   []FileUsed `json:"files"`   // of the command
	// How it reacts, by site and by key of the block reacts, in s; see sitefile.Reacts. Sites on which nothing ran are
	// missing.
	Reacts map[string]map[string]float64 `json:"reacts,omitempty"`
}

// FileUsed is a file by its content.
type FileUsed struct {
	Name   string `json:"name"`
	SHA256 string `json:"sha256"` // in hexadecimal digits
}

// Host is the machine.
type Host struct {
	Name string `json:"name"`
	OS   string `json:"os"`
	Arch string `json:"arch"`
	CPUs int    `json:"cpus"`
}
