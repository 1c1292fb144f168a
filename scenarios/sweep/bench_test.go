package sweep_test

import "testing"

// BenchmarkPlan is what a sweep of Tern Lane thinks of before its first trial runs.
func BenchmarkPlan(b *testing.B) {
	for b.Loop() {
		plan(b, "tern-lane")
	}
}
