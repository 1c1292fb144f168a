package scenarios

import (
	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/sitefile"
	"ullage/scenarios/internal/language"
	"ullage/scenarios/internal/phrases"
)

// Compile makes a script of a scenario, or says everything that is wrong with it. sites finds a site, which is
// not changed. The seed of the script comes from the given seed, the feature file and the scenario's name.
func Compile(sc Scenario, sites func(name string) (*sitefile.Site, error), seed uint64) (*harness.Script, Problems) {
	return language.Compile(phrases.Language(), sc, sites, seed)
}

// ReadFault reads a step that injects a fault of the catalogue on a site, without what may stand in front to say when
// and how.
func ReadFault(site *sitefile.Site, step string) (fault.Injection, error) {
	return language.ReadFault(phrases.Language(), site, step)
}
