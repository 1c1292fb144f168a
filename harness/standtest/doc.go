// Package standtest holds the conformance suites of the stand: what every controller must keep to, whatever it is made
// of, so that its verdicts mean the same on every stand.
//
// A suite needs no testing.T and returns all violations joined, each with the rule that was broken and why the rule is
// there. An implementation proves itself in one test:
//
//	func TestConformance(t *testing.T) {
//		spec, terminals := standtest.Wiring()
//		err := standtest.Controller(func() (harness.Controller, error) { return mine.New(spec, terminals) })
//		require.NoError(t, err)
//	}
package standtest
