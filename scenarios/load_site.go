package scenarios

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"ullage/harness/sitefile"
)

// LoadSite reads the one site that a person names: a site file, or a shipped site by its name or by its path in the project.
// The error says what was expected, or is a *sitefile.Mistakes.
func LoadSite(shipped fs.FS, name string) (*sitefile.Site, error) {
	library, err := Open(shipped)
	if err != nil {
		return nil, err
	}
	text, err := os.ReadFile(name)
	if err == nil {
		if filepath.Ext(name) == ".feature" {
			return nil, fmt.Errorf("%s is a feature file; expected a site file, or the name of a shipped site: %s", name, strings.Join(library.Sites(), ", "))
		}
		return sitefile.Read(filepath.ToSlash(name), text)
	}
	base := strings.TrimSuffix(filepath.Base(name), ".yaml")
	if filepath.Ext(name) == ".yaml" && filepath.ToSlash(filepath.Clean(name)) != shippedFolder+"/sites/"+base+".yaml" {
		return nil, fmt.Errorf("%w; expected a site file, or the name of a shipped site: %s", err, strings.Join(library.Sites(), ", "))
	}
	return library.Site(base)
}
