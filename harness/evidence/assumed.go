package evidence

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"ullage/harness/console"
)

// assumedHeading stands above the assumptions, on the console and in the report.
const assumedHeading = "Assumed, as the site file does not say (common practice, no source)"

// Assumption is what stands for what the files of some sites do not say.
type Assumption struct{ Sites, Text string }

// Assumptions lists assumptions by site, those of equal text together, in the order of their first sites.
func Assumptions(assumed map[string][]string) (list []Assumption) {
	sites := map[string][]string{}
	for _, site := range slices.Sorted(maps.Keys(assumed)) {
		text := console.Clean(strings.Join(assumed[site], "; "))
		sites[text] = append(sites[text], console.Clean(site))
	}
	for text, names := range sites {
		list = append(list, Assumption{strings.Join(names, ", "), text})
	}
	slices.SortFunc(list, func(a, b Assumption) int { return cmp.Compare(a.Sites, b.Sites) })
	return list
}
