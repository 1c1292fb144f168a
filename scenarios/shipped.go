package scenarios

import (
	"fmt"
	"sync"

	"ullage/features"
	"ullage/harness/sitefile"
)

// ShippedSites reads the sites that are shipped, once, in the order of their names. They are not to be changed.
var ShippedSites = sync.OnceValue(func() []*sitefile.Site {
	l, err := Open(features.Files)
	if err != nil {
		panic(fmt.Sprintf("scenarios: the shipped files: %v", err))
	}
	var sites []*sitefile.Site
	for _, name := range l.Sites() {
		site, err := l.Site(name)
		if err != nil {
			panic(fmt.Sprintf("scenarios: the shipped site %s: %v", name, err))
		}
		sites = append(sites, site)
	}
	return sites
})
