// Package runs does runs, and keeps what they came to.
//
// A Job is one run to be done. Its Description says everything that the result depends on, as JSON that another process
// can read: the site, the scenario with its steps, the stand, the seed, and the version of the models. A Runner does
// jobs: Local in this process, Workers in child processes, Kept only what a Store does not hold already. Suite,
// Challenge, and package sweep hand their jobs to whichever Runner they are given.
package runs
