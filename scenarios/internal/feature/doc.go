// Package feature reads feature files: the scenarios in them, their steps, and what is wrong with them.
package feature
