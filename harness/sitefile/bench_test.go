package sitefile

import "testing"

func BenchmarkRead(b *testing.B) {
	text := shipped(b)["tern-lane.yaml"]
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Read("tern-lane.yaml", text); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkCheck(b *testing.B) {
	site := mustRead(b, "tern-lane.yaml")
	b.ReportAllocs()
	for b.Loop() {
		if err := site.Check(); err != nil {
			b.Fatal(err)
		}
	}
}
