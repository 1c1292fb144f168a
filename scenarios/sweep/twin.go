package sweep

import (
	"fmt"
	"sync"

	"ullage/harness"
)

// twins are runs without a fault, which the trials of one sequence and moment share. Only the latest are kept. Safe for
// concurrent use.
type twins struct {
	mu   sync.Mutex // guards list
	list []*twin
	most int
}

type twin struct {
	of  string
	run func() *harness.Result
}

// find is the run of a name, made by the given function when there is none.
func (t *twins) find(of string, make func() *harness.Result) *harness.Result {
	t.mu.Lock()
	var found *twin
	for _, x := range t.list {
		if x.of == of {
			found = x
		}
	}
	if found == nil {
		found = &twin{of, sync.OnceValue(make)}
		if t.list = append(t.list, found); len(t.list) > t.most {
			t.list = t.list[1:]
		}
	}
	t.mu.Unlock()
	return found.run()
}

// twin names the run without the fault that a trial is compared with.
func (c Trial) twin(seed uint64) string {
	return fmt.Sprintf("%s\x00%s\x00%d", c.Sequence, c.Moment, seed)
}
