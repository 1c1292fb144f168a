// Package features holds the shipped suite: one feature file a hazard, the worksheet of failure modes, and the sites
// that they run on.
package features

import "embed"

// Files are the feature files, and the worksheet of failure modes, and the site files in the folder "sites".
//
//go:embed *.feature hazards.yaml sites/*.yaml
var Files embed.FS
