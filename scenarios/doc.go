// Package scenarios turns scenarios in the words of the trade into scripts, and has them run.
//
// A feature file is read into Scenarios. Compile matches each of its steps against the phrases, which are declared in
// tables, one file a topic, and which add to a script: settings, acts, outcomes. Everything is known before anything
// moves; whatever is wrong with a scenario is reported in one go. Run hands the scenarios to godog, which runs them
// side by side; a scenario is compiled and proved before its first step, and each of its steps then reports its own
// part.
//
// How time runs in a scenario. A cursor goes through its steps. Settings and standing faults hold from the beginning of
// the run. "10 min have passed" moves the cursor; a fault or stimulus happens at the cursor, or when an event comes
// after it, and the cursor stands there from then on. Outcomes are observed from the end of the Givens on. A deadline
// counts from the event that it names, or from the last fault or stimulus, never from the passing of time. The run ends
// when the time that passes and the deadlines are over.
package scenarios
