package water

import "slices"

// factor is the L D L^T decomposition of a symmetric positive definite matrix
// whose pattern is fixed. Columns are eliminated in order, each one subtracting
// from the columns to its right; where the products go is worked out
// beforehand. Neighbouring columns with the same rows below them make a panel
// and subtract together, so that most of the work runs over consecutive
// numbers. In a tree every panel is one column with one row.
type factor struct {
	start   []int32   // column k has the entries start[k] .. start[k+1]
	row     []int32   // row of each entry below the diagonal, rising in a column
	low     []float64 // entries; one more takes what belongs nowhere
	diag    []float64
	inverse []float64
	panels  []panel   // every column, in order
	work    []int32   // panels with something to solve
	idle    []bool    // by row: its equation says that it is zero
	runs    []run     // entries that the products of each panel go to, in order
	sum     []float64 // products of a panel for one column
}

// panel is one or more neighbouring columns.
type panel struct {
	first, width int32
	runs         int32 // where its runs begin
}

// run is a piece of a panel's products that goes to consecutive entries.
type run struct {
	place, length int32
}

// newFactor returns the decomposition for n rows and the given pairs of them,
// which are already in the order of elimination, and the entry of each pair.
func newFactor(n int, pairs [][2]int32) (*factor, []int32) {
	f := &factor{start: make([]int32, n+1), diag: make([]float64, n), inverse: make([]float64, n), idle: make([]bool,
		n)}
	widest := 0
	for k, rows := range filled(n, pairs) {
		f.row = append(f.row, rows...)
		f.start[k+1] = int32(len(f.row))
		widest = max(widest, len(rows))
	}
	f.low = make([]float64, len(f.row)+1)
	f.sum = make([]float64, widest)
	for k := 0; k < n; {
		width := f.panelWidth(k, n)
		f.panels = append(f.panels, panel{int32(k), int32(width), int32(len(f.runs))})
		k += width
		below := f.row[f.start[k-1]:f.start[k]]
		for a := range below {
			f.addRuns(below[a], below[a+1:])
		}
	}
	f.work = make([]int32, 0, len(f.panels))
	f.leaveOut(nil)
	entries := make([]int32, len(pairs))
	for i, pair := range pairs {
		entries[i] = f.entry(min(pair[0], pair[1]), max(pair[0], pair[1]))
	}
	return f, entries
}

// panelWidth counts the columns from k on of which each has the next one and
// that one's rows below it.
func (f *factor) panelWidth(k, n int) int {
	width := 1
	for ; k+1 < n; k++ {
		length, next := f.start[k+1]-f.start[k], f.start[k+2]-f.start[k+1]
		if length != next+1 || f.row[f.start[k]] != int32(k+1) {
			break
		}
		width++
	}
	return width
}

// addRuns lists where rows lie in a column.
func (f *factor) addRuns(column int32, rows []int32) {
	for i, row := range rows {
		place := f.entry(column, row)
		if last := len(f.runs) - 1; i > 0 && f.runs[last].place+f.runs[last].length == place {
			f.runs[last].length++
		} else {
			f.runs = append(f.runs, run{place, 1})
		}
	}
}

// nowhere is the entry that nobody reads.
func (f *factor) nowhere() int32 { return int32(len(f.low) - 1) }

// entry finds the entry of a row in a column.
func (f *factor) entry(column, row int32) int32 {
	low, high := f.start[column], f.start[column+1]
	for low < high {
		middle := (low + high) / 2
		if f.row[middle] < row {
			low = middle + 1
		} else {
			high = middle
		}
	}
	return low
}

// clear makes the matrix zero.
func (f *factor) clear() {
	clear(f.low)
	clear(f.diag)
}

// leaveOut names the rows whose solution is zero because nothing stands in them
// beside the diagonal, nor on the right hand side. Panels of such rows alone are
// passed over.
func (f *factor) leaveOut(rows []int32) {
	clear(f.idle)
	for _, row := range rows {
		f.idle[row] = true
	}
	f.work = f.work[:0]
	for i, p := range f.panels {
		if slices.Contains(f.idle[p.first:p.first+p.width], false) {
			f.work = append(f.work, int32(i))
		}
	}
}

// solve decomposes the matrix and replaces x, the right hand side, by the
// solution. A column without a positive pivot, which rounding can leave of a
// part that hangs by nothing, gets no correction.
func (f *factor) solve(x []float64) {
	x = x[:len(f.inverse)]
	for _, i := range f.work {
		p := &f.panels[i]
		if p.width == 1 {
			f.eliminateColumn(int(p.first), x, f.runs[p.runs:])
		} else {
			f.eliminatePanel(int(p.first), int(p.width), x, f.runs[p.runs:])
		}
	}
	for i := len(f.work) - 1; i >= 0; i-- {
		p := &f.panels[f.work[i]]
		for k := p.first + p.width - 1; k >= p.first; k-- {
			sum := float64(x[k] * f.inverse[k])
			begin, end := f.start[k], f.start[k+1]
			rows := f.row[begin:end]
			for a, ratio := range f.low[begin:end] {
				sum -= float64(ratio * x[rows[a]])
			}
			x[k] = sum
		}
	}
}

// invert prepares the pivot of a column.
func (f *factor) invert(k int) float64 {
	inverse := 0.0
	if pivot := f.diag[k]; pivot > 0 {
		inverse = 1 / pivot
	}
	f.inverse[k] = inverse
	return inverse
}

// eliminateColumn subtracts one column from those to its right.
func (f *factor) eliminateColumn(k int, x []float64, runs []run) {
	inverse, right := f.invert(k), x[k]
	begin, end := f.start[k], f.start[k+1]
	column := f.low[begin:end]
	for a, i := range f.row[begin:end] {
		value := column[a]
		ratio := float64(value * inverse)
		f.diag[i] -= float64(ratio * value)
		x[i] -= float64(ratio * right)
		column[a] = ratio
		for rest := column[a+1:]; len(rest) > 0; runs = runs[1:] {
			r := runs[0]
			subtract(f.low[r.place:r.place+r.length], rest[:r.length], ratio)
			rest = rest[r.length:]
		}
	}
}

// eliminatePanel does the same for several columns with the same rows below.
// Rows are counted from the panel's first column on: its own rows come first,
// then those below.
func (f *factor) eliminatePanel(first, width int, x []float64, runs []run) {
	end := first + width
	for k := first; k < end; k++ { // columns of the panel among themselves
		column := f.low[f.start[k]:f.start[k+1]]
		f.subtractPanel(column, first, k, k-first, k, x)
		inverse := f.invert(k)
		for a := range column {
			column[a] = float64(column[a] * inverse)
		}
	}
	below := f.row[f.start[end-1]:f.start[end]]
	for a, i := range below { // and from the columns to the right
		sum := f.sum[:len(below)-a-1]
		clear(sum)
		f.subtractPanel(sum, first, end, width+a, int(i), x)
		for len(sum) > 0 {
			r := runs[0]
			runs = runs[1:]
			to := f.low[r.place : r.place+r.length]
			for b, value := range sum[:r.length] {
				to[b] += value
			}
			sum = sum[r.length:]
		}
	}
}

// subtractPanel subtracts the products of the finished columns first to end of
// a panel for one of its rows, which is row i of the matrix: from the entries
// that follow that row, from its diagonal and from the right hand side.
func (f *factor) subtractPanel(to []float64, first, end, row, i int, x []float64) {
	diag, right := f.diag[i], x[i]
	k := first
	for ; k+3 < end; k += 4 {
		one, r1 := f.below(k, first, row, len(to))
		two, r2 := f.below(k+1, first, row, len(to))
		three, r3 := f.below(k+2, first, row, len(to))
		four, r4 := f.below(k+3, first, row, len(to))
		v1, v2 := float64(r1*f.diag[k]), float64(r2*f.diag[k+1])
		v3, v4 := float64(r3*f.diag[k+2]), float64(r4*f.diag[k+3])
		diag -= (float64(r1*v1) + float64(r2*v2)) + (float64(r3*v3) + float64(r4*v4))
		right -= (float64(r1*x[k]) + float64(r2*x[k+1])) + (float64(r3*x[k+2]) + float64(r4*x[k+3]))
		two, three, four = two[:len(one)], three[:len(one)], four[:len(one)]
		to := to[:len(one)]
		for b, value := range one {
			to[b] -= (float64(v1*value) + float64(v2*two[b])) + (float64(v3*three[b]) + float64(v4*four[b]))
		}
	}
	for ; k+1 < end; k += 2 {
		one, r1 := f.below(k, first, row, len(to))
		two, r2 := f.below(k+1, first, row, len(to))
		v1, v2 := float64(r1*f.diag[k]), float64(r2*f.diag[k+1])
		diag -= float64(r1*v1) + float64(r2*v2)
		right -= float64(r1*x[k]) + float64(r2*x[k+1])
		two = two[:len(one)]
		to := to[:len(one)]
		for b, value := range one {
			to[b] -= float64(v1*value) + float64(v2*two[b])
		}
	}
	if k < end {
		one, r1 := f.below(k, first, row, len(to))
		v1 := float64(r1 * f.diag[k])
		diag -= float64(r1 * v1)
		right -= float64(r1 * x[k])
		subtract(to, one, v1)
	}
	f.diag[i], x[i] = diag, right
}

// below returns the entry of a panel's column k in one of the panel's rows, and
// the length entries that follow it.
func (f *factor) below(k, first, row, length int) (rest []float64, entry float64) {
	at := int(f.start[k]) + row - (k - first) - 1
	return f.low[at+1 : at+1+length], f.low[at]
}

// subtract takes ratio times from off to.
func subtract(to, from []float64, ratio float64) {
	from = from[:len(to)]
	for i, value := range from {
		to[i] -= float64(ratio * value)
	}
}
