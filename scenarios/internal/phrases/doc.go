// Package phrases is the language of scenarios: its phrases by topic, and its events.
package phrases
