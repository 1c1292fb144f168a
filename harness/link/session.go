package link

import "ullage/harness"

// session is the state of the connection as the radio module of the program has it.
type session uint8

const (
	idle  session = iota
	asked         // an attempt is under way
	open
)

// takes reports whether a frame of the network reaches the program, and follows it: an answer to a connection attempt
// reaches the attempt that asked, and nothing reaches a program that has booted since.
func (s *session) takes(kind harness.FrameKind) bool {
	switch {
	case kind == harness.Connected && *s == asked:
		*s = open
	case kind == harness.Refused && *s == asked, kind == harness.Lost && *s == open:
		*s = idle
	default:
		return (kind == harness.Acknowledged || kind == harness.Command) && *s == open
	}
	return true
}
