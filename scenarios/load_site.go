package scenarios

import (
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"

	"ullage/harness/sitefile"
	"ullage/harness/textfile"
)

// LoadSite reads the one site that a person names: a site file, or a shipped site by its name or by its path in the
// project. The error says what was expected, or is a *sitefile.Mistakes.
func LoadSite(shipped fs.FS, name string) (*sitefile.Site, error) {
	library, err := Open(shipped)
	if err != nil {
		return nil, err
	}
	expected := "expected a site file, or the name of a shipped site: " + strings.Join(library.Sites(), ", ")
	clean := filepath.ToSlash(filepath.Clean(name))
	text, err := textfile.Read(name, textfile.Written)
	shippedName, isShipped := strings.CutPrefix(clean, shippedFolder+"/sites/")
	switch {
	case path.Ext(clean) == ".feature":
		return nil, fmt.Errorf("%s is a feature file; %s", name, expected)
	case isFolder(name):
		return nil, fmt.Errorf("%s is a folder; %s", name, expected)
	case err == nil:
		return sitefile.Read(clean, text)
	case !strings.ContainsAny(clean, "./"):
		return library.Site(name)
	case isShipped:
		return library.Site(strings.TrimSuffix(shippedName, ".yaml"))
	}
	return nil, fmt.Errorf("%w; %s%s", err, expected, nameFile(name))
}

// nameFile is a hint that the site file of a name lies there; "" when none does.
func nameFile(site string) string {
	file := site + ".yaml"
	if info, err := os.Stat(file); err != nil || info.IsDir() {
		return ""
	}
	return fmt.Sprintf("; %s lies there: name that file on the command line, with its ending", file)
}

func isFolder(name string) bool {
	info, err := os.Stat(name)
	return err == nil && info.IsDir()
}
