package signal

// NewTraceOf is a trace that has so many changes in memory before columns spill.
func NewTraceOf(limit int) *Trace {
	t := NewTrace()
	t.limit = limit
	return t
}

// Spilled is how many pages are in the file.
func (t *Trace) Spilled() int {
	if t.file == nil {
		return 0
	}
	return int(t.file.pages)
}

// BreakFile has every further use of the file fail.
func (t *Trace) BreakFile() { _ = t.file.file.Close() }
