// Package evidence writes what a run leaves behind, and reads it back: run.json for programs, trace.csv for plots,
// junit.xml for build servers, report.html for people, and the tables of the console.
//
// The story of a folder. Open makes it; each Add renders one result into the folder's partial/ at once, so that a run
// that is killed leaves what it had recorded; Close puts the parts together in the order of the feature files and takes
// partial/ away. Nothing that is written depends on the wall clock, the machine or the order in which results arrived.
//
// The package is safe for concurrent Adds to one Writer; everything else works on values of its own.
package evidence
