package outcome

import (
	"fmt"

	"ullage/harness/signal"
)

// say is Sprintf for the reader of a verdict: moments are told to the microsecond, which is closer than anybody asks.
func say(format string, args ...any) string {
	for i, a := range args {
		if t, ok := a.(signal.Time); ok && t != signal.Never {
			const micro = signal.Millisecond / 1000
			args[i] = (t + micro/2) / micro * micro
		}
	}
	return fmt.Sprintf(format, args...)
}
