package water

import "slices"

// eliminationOrder returns the place of each of n rows, of which pairs have an
// entry in common, in a good order of elimination.
func eliminationOrder(n int, pairs [][2]int32) []int32 {
	place := make([]int32, n)
	for at, i := range minimumDegree(n, pairs) {
		place[i] = int32(at)
	}
	ordered := make([][2]int32, len(pairs))
	for i, pair := range pairs {
		ordered[i] = [2]int32{place[pair[0]], place[pair[1]]}
	}
	after := postorder(n, ordered)
	for i := range place {
		place[i] = after[place[i]]
	}
	return place
}

// minimumDegree returns the rows in an order of elimination that keeps the
// decomposition sparse: always next the row with the fewest neighbours left,
// the lowest numbered of equals (W. F. Tinney and J. W. Walker, 1967). A tree
// comes out without any fill.
func minimumDegree(n int, pairs [][2]int32) []int32 {
	neighbours := make([][]int32, n)
	for _, pair := range pairs {
		neighbours[pair[0]] = append(neighbours[pair[0]], pair[1])
		neighbours[pair[1]] = append(neighbours[pair[1]], pair[0])
	}
	for i := range neighbours {
		neighbours[i] = sortedUnique(neighbours[i])
	}
	buckets := newBuckets(neighbours)
	order := make([]int32, 0, n)
	for range n {
		next := buckets.takeLeast()
		order = append(order, next)
		around := neighbours[next]
		for _, i := range around {
			merged := make([]int32, 0, len(neighbours[i])+len(around))
			for _, j := range neighbours[i] {
				if j != next {
					merged = append(merged, j)
				}
			}
			for _, j := range around {
				if j != i {
					merged = append(merged, j)
				}
			}
			merged = sortedUnique(merged)
			buckets.move(i, len(neighbours[i]), len(merged))
			neighbours[i] = merged
		}
		neighbours[next] = nil
	}
	return order
}

// filled returns the rows below the diagonal of each column once the matrix
// with entries at pairs has been eliminated in its order.
func filled(n int, pairs [][2]int32) [][]int32 {
	below := make([][]int32, n)
	for _, pair := range pairs {
		column, row := min(pair[0], pair[1]), max(pair[0], pair[1])
		below[column] = append(below[column], row)
	}
	for k := range below {
		below[k] = sortedUnique(below[k])
		if len(below[k]) > 0 { // the rest of a column fills its first row's column
			parent := below[k][0]
			below[parent] = append(below[parent], below[k][1:]...)
		}
	}
	return below
}

// postorder renumbers rows, without more fill, so that each column comes right
// after those that lead up to it in the tree of elimination; columns with the
// same rows become neighbours. It returns the new place of each row.
func postorder(n int, pairs [][2]int32) []int32 {
	children := make([][]int32, n)
	var roots []int32
	for k, rows := range filled(n, pairs) {
		if len(rows) > 0 {
			children[rows[0]] = append(children[rows[0]], int32(k))
		} else {
			roots = append(roots, int32(k))
		}
	}
	place, next := make([]int32, n), int32(0)
	var visit func(k int32)
	visit = func(k int32) {
		for _, child := range children[k] {
			visit(child)
		}
		place[k] = next
		next++
	}
	for _, root := range roots {
		visit(root)
	}
	return place
}

// buckets keep the rows that are left by their number of neighbours.
type buckets struct {
	of    [][]int32 // rising in each bucket
	least int
}

func newBuckets(neighbours [][]int32) *buckets {
	b := &buckets{of: make([][]int32, len(neighbours)+1)}
	for i, around := range neighbours {
		b.of[len(around)] = append(b.of[len(around)], int32(i))
	}
	return b
}

func (b *buckets) takeLeast() int32 {
	for len(b.of[b.least]) == 0 {
		b.least++
	}
	row := b.of[b.least][0]
	b.of[b.least] = b.of[b.least][1:]
	return row
}

func (b *buckets) move(row int32, from, to int) {
	if from == to {
		return
	}
	at, _ := slices.BinarySearch(b.of[from], row)
	b.of[from] = slices.Delete(b.of[from], at, at+1)
	at, _ = slices.BinarySearch(b.of[to], row)
	b.of[to] = slices.Insert(b.of[to], at, row)
	b.least = min(b.least, to)
}

func sortedUnique(rows []int32) []int32 {
	slices.Sort(rows)
	return slices.Compact(rows)
}
