package scenarios

import (
	"ullage/harness"
	"ullage/scenarios/internal/feature"
	"ullage/scenarios/internal/language"
)

// Scenario is one scenario of a feature file, or one row of the examples of an outline.
type Scenario = feature.Scenario

// Step is one step of a scenario.
type Step = feature.Step

// Kind is what a step does in a scenario.
type Kind = feature.Kind

// The kinds of step, in the order in which a scenario has them.
const (
	Given = feature.Given // what was there before
	When  = feature.When  // a fault or stimulus, and time that passes
	Then  = feature.Then  // what must hold
)

// Problem is one thing that is wrong with a feature or site file.
type Problem = feature.Problem

// Problems is everything that is wrong, in the order of the files.
type Problems = feature.Problems

// Phrase is one sentence that a step may consist of.
type Phrase = language.Phrase

// Event is something that a deadline or the beginning of a fault may be tied to.
type Event = language.Event

// ReadFeature reads a feature file. The name is used in messages, and as the file of its scenarios.
func ReadFeature(name string, text []byte) ([]Scenario, Problems) {
	return feature.ReadFeature(name, text)
}

// ProtectionTag is the tag of the scenarios about a protection, "" for an ability that is none.
func ProtectionTag(a harness.Ability) string { return language.ProtectionTag(a) }
