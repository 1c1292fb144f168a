package controller

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Every mistake of both lists has an entry, and none is there twice.
func TestDefectsAreComplete(t *testing.T) {
	seen := map[string]bool{}
	for i, d := range Defects() {
		assert.NotEmpty(t, d.ID, "mistake %d has no entry", i)
		assert.NotEmpty(t, d.Mistake, d.ID)
		assert.NotEmpty(t, d.Hazards, d.ID)
		assert.NotNil(t, d.weave, d.ID)
		assert.False(t, seen[d.ID], "%s is there twice", d.ID)
		seen[d.ID] = true
	}
	assert.Len(t, Defects(), 95)
	for _, d := range secondList {
		assert.Empty(t, d.Takes, "%s of the second list spoils a protection, it takes none out whole", d.ID)
	}
}
