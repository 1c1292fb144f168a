// Package features holds the shipped suite: one feature file a hazard, and the sites that they run on.
package features

import "embed"

// Files are the feature files, and the site files in the folder "sites".
//
//go:embed *.feature sites/*.yaml
var Files embed.FS
