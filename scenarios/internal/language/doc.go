// Package language is what the phrases of scenarios are made with: patterns and their placeholders, events, timings and
// manners, and the compiler that makes a script of a scenario in a language.
package language
