package scenarios

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"

	"ullage/harness/sitefile"
	"ullage/harness/spelling"
	"ullage/harness/textfile"
)

// Library is the feature and site files of a run. It is not changed once it is filled, and then safe for concurrent
// use.
type Library struct {
	features []file
	sites    map[string]*siteFile // by the name that scenarios give them
	sheets   []sheetFile
	given    int // site files taken, those of the library that this one falls back on left out

	once   sync.Once // guards what Cases has read and compiled
	cases  []*Case
	syntax Problems
}

type file struct {
	name string // as messages show it
	text []byte
}

// siteFile is a site file, read when it is first asked for.
type siteFile struct {
	file
	asText string // the same once more, since every run of it holds it
	read   func() (*sitefile.Site, error)
	// spare ones are shipped, or were found beside a feature file: they are of interest to scenarios only that name them
	spare   bool
	shipped bool // one of the same name may take its place
	unsaid  bool // nothing in it says that it is a site file
}

// Open takes every feature file of a file system, and the site files of its folder "sites".
func Open(fsys fs.FS) (*Library, error) {
	l := &Library{sites: map[string]*siteFile{}}
	return l, l.add(fsys, ".", func(name string) string { return name })
}

// Spot is a line of a feature file: it selects the scenario that stands there.
type Spot struct {
	File string
	Line int
}

// shippedFolder is where the shipped files stand in the project, and the name that messages and replays give them.
const shippedFolder = "features"

// Load takes the feature files, folders and site files that the paths name, and the sites of shipped for scenarios that
// name one which is not among them. A path may end in the line of one scenario, as in flood.feature:42. Site files
// beside a feature file, or in a folder "sites" there, are taken too, and so is a worksheet beside it. Without paths it
// takes all that is shipped; a path that is not there but is that of a shipped feature, as a replay names it, means the
// shipped one.
func Load(shipped fs.FS, paths []string) (*Library, []Spot, error) {
	base := &Library{sites: map[string]*siteFile{}}
	err := base.add(shipped, ".", func(name string) string { return path.Join(shippedFolder, name) })
	if err != nil || len(paths) == 0 {
		return base, nil, err
	}
	for _, f := range base.sites {
		f.spare, f.shipped = true, true
	}
	l := &Library{sites: base.sites}
	var spots []Spot
	for _, p := range paths {
		p, line := cutLine(p)
		p = filepath.Clean(p) // so that one file has one name
		info, err := os.Stat(p)
		switch {
		case err != nil && base.FeatureText(p) != nil:
			l.takeFeature(filepath.ToSlash(p), base.FeatureText(p))
			for _, s := range base.sheets {
				l.takeWorksheet(s.name, s.text, false)
			}
			err = nil
		case err != nil:
			return nil, nil, fmt.Errorf("%w; expected a feature file, a folder of them or a site file%s", err,
				nameFile(p))
		case info.IsDir():
			err = l.add(os.DirFS(p), ".", func(name string) string { return filepath.ToSlash(filepath.Join(p, name)) })
		case strings.HasSuffix(p, ".feature"):
			err = l.addFeature(p)
		case strings.HasSuffix(p, ".yaml"):
			err = l.addSite(p)
		default:
			err = fmt.Errorf(
				"%s is neither a feature file nor a site file: its name ends in neither .feature nor .yaml",
				p,
			)
		}
		if err != nil {
			return nil, nil, err
		}
		if line > 0 {
			spots = append(spots, Spot{filepath.ToSlash(p), line})
		}
	}
	return l, spots, nil
}

// FeatureText is the text of a feature file, nil when the library has none of that name.
func (l *Library) FeatureText(name string) []byte {
	for _, f := range l.features {
		if f.name == filepath.ToSlash(name) {
			return f.text
		}
	}
	return nil
}

var atLine = regexp.MustCompile(`^(.+\.feature):([0-9]+)$`)

// cutLine takes the line off a path.
func cutLine(p string) (string, int) {
	if m := atLine.FindStringSubmatch(p); m != nil {
		line, _ := strconv.Atoi(m[2])
		return m[1], line
	}
	return p, 0
}

// siteKey is the first key of every site file.
var siteKey = regexp.MustCompile(`(?m)^site:`)

// isSite reports whether a YAML file is a site file: it stands in a folder "sites", or says so itself.
func isSite(name string, text []byte) bool {
	return path.Base(path.Dir(name)) == "sites" || siteKey.Match(bytes.TrimPrefix(text, byteOrderMark))
}

// byteOrderMark is what some editors begin a file with.
var byteOrderMark = []byte("\ufeff")

// add takes the feature files and the site files below a folder.
func (l *Library) add(fsys fs.FS, root string, shown func(string) string) error {
	return fs.WalkDir(fsys, root, func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		if ext := path.Ext(name); ext != ".feature" && ext != ".yaml" {
			return nil
		}
		text, err := textfile.ReadFrom(fsys, name, textfile.Written)
		var refused *textfile.Error
		switch {
		case errors.As(err, &refused):
			return &textfile.Error{Name: shown(name), Why: refused.Why}
		case err != nil:
			return err
		case path.Ext(name) == ".feature":
			l.takeFeature(shown(name), text)
		case isWorksheet(name):
			l.takeWorksheet(shown(name), text, true)
		default:
			l.takeFound(shown(name), text, false)
		}
		return nil
	})
}

// addFeature takes a feature file, and the sites beside it, in its folder and in a folder "sites" there.
func (l *Library) addFeature(name string) error {
	text, err := textfile.Read(name, textfile.Written)
	if err != nil {
		return err
	}
	l.takeFeature(filepath.ToSlash(name), text)
	for _, folder := range []string{".", "sites"} {
		found, err := filepath.Glob(filepath.Join(filepath.Dir(name), folder, "*.yaml"))
		if err != nil {
			return err
		}
		for _, f := range found {
			text, err := textfile.Read(f, textfile.Written)
			if err != nil {
				return err
			}
			switch {
			case isWorksheet(f) && folder == ".":
				l.takeWorksheet(filepath.ToSlash(f), text, false)
			case !isWorksheet(f):
				l.takeFound(filepath.ToSlash(f), text, true)
			}
		}
	}
	return nil
}

func (l *Library) addSite(name string) error {
	text, err := textfile.Read(name, textfile.Written)
	switch {
	case err != nil:
	case isWorksheet(name):
		l.takeWorksheet(filepath.ToSlash(name), text, false)
	default:
		l.takeSite(filepath.ToSlash(name), text)
	}
	return err
}

// takeFeature keeps a feature file once, however often it is named, without the byte order mark that some editors begin
// a file with.
func (l *Library) takeFeature(name string, text []byte) {
	text = bytes.TrimPrefix(text, byteOrderMark)
	if !slices.ContainsFunc(l.features, func(f file) bool { return f.name == name }) {
		l.features = append(l.features, file{name, text})
	}
}

// takeSite keeps a site file that was named, or whose folder was.
func (l *Library) takeSite(name string, text []byte) {
	l.given++
	l.keepSite(name, text, &siteFile{})
}

// takeFound keeps a YAML file that was found. One that does not say that it is a site file is kept for a scenario that
// names it, which is then told what is wrong with it: it is empty, or in another encoding.
func (l *Library) takeFound(name string, text []byte, beside bool) {
	is := isSite(name, text)
	if is && !beside {
		l.given++
	}
	l.keepSite(name, text, &siteFile{spare: beside || !is, unsaid: !is})
}

// keepSite fills in a site file and keeps it under the name that scenarios give it. One that stands there from another
// file, and says something else, leaves open which of them is meant.
func (l *Library) keepSite(name string, text []byte, f *siteFile) {
	f.file, f.asText = file{name, text}, string(text)
	f.read = sync.OnceValues(func() (*sitefile.Site, error) { return sitefile.Read(name, text) })
	key := strings.TrimSuffix(path.Base(name), ".yaml")
	other, taken := l.sites[key]
	switch {
	case taken && other.name == name:
		f.spare = f.spare && (other.spare || other.shipped)
	case taken && f.unsaid && !other.unsaid:
		return
	case taken && !other.shipped && !other.unsaid && other.asText != f.asText:
		f.read = func() (*sitefile.Site, error) {
			return nil, &sitefile.Mistakes{{File: name, Read: "the site " + strconv.Quote(key),
				Expected: "a name that no other site file has; " + other.name + " has it already"}}
		}
	}
	l.sites[key] = f
}

// SiteText is the site file of a name as it was read, and its own name; "" when there is none.
func (l *Library) SiteText(name string) (file, text string) {
	if f, ok := l.sites[name]; ok {
		return f.name, f.asText
	}
	return "", ""
}

// Sites lists the names of the sites.
func (l *Library) Sites() []string {
	return slices.DeleteFunc(slices.Sorted(maps.Keys(l.sites)), func(name string) bool { return l.sites[name].unsaid })
}

// Checked lists the names of the sites that a check of the chosen cases is about: those that were named on the command
// line, themselves or by their folder, and those that the cases name.
func (l *Library) Checked(chosen []*Case) (names []string) {
	for _, name := range slices.Sorted(maps.Keys(l.sites)) {
		asked := slices.ContainsFunc(chosen, func(c *Case) bool { return c.script.Site == name })
		if asked || !l.sites[name].spare {
			names = append(names, name)
		}
	}
	return names
}

// Site finds a site by the name that scenarios give it. It belongs to the library and is not to be changed. The error
// says that there is none of that name, or is a *sitefile.Mistakes.
func (l *Library) Site(name string) (*sitefile.Site, error) {
	f, ok := l.sites[name]
	if !ok {
		known := l.Sites()
		hint := ""
		if near := spelling.Nearest(name, known); near != "" {
			hint = fmt.Sprintf("; did you mean %q?", near)
		}
		if file := nameFile(name); file != "" {
			hint = file
		}
		return nil, fmt.Errorf("there is no site %q; expected one of: %s%s", name, strings.Join(known, ", "), hint)
	}
	return f.read()
}
