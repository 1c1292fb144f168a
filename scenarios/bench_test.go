package scenarios

import (
	"testing"

	"github.com/stretchr/testify/require"

	"ullage/features"
)

// BenchmarkLoad is what a run of the shipped suite thinks of before its first scenario moves: read, compile, select,
// and the worksheet.
func BenchmarkLoad(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		l, err := Open(features.Files)
		require.NoError(b, err)
		_, err = l.Select(Selection{})
		require.NoError(b, err)
		_, _, _, problems := l.Worksheet()
		require.Empty(b, problems)
	}
}
