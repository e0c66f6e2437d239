package march

import (
	"fmt"
	"strings"
	"testing"
)

// This file derives the coverage a second time, from the words of the published definitions and without a line of the
// package's models: the tests are typed again, a memory is a slice, a fault is a function. It was written apart from the first
// derivation, and the two are compared cell by cell.

// A plainMemory is single-bit cells, and what was read of them last.
type plainMemory struct{ cell, last []int }

// A plainFault does one operation on a memory: x is written, or what is read is given.
type plainFault func(m plainMemory, at int, write bool, x int) int

func faultless(m plainMemory, at int, write bool, x int) int {
	if write {
		m.cell[at] = x
	}
	return m.cell[at]
}

// typedAgain is the sequences of section 6.3 of the sheet, typed a second time: u, d, e for up, down, either.
var typedAgain = map[string]string{
	"MSCAN": "e w0; e r0; e w1; e r1", "MATS": "e w0; e r0 w1; e r1",
	"MATS+": "e w0; u r0 w1; d r1 w0", "MATS++": "e w0; u r0 w1; d r1 w0 r0",
	"X": "e w0; u r0 w1; d r1 w0; e r0", "Y": "e w0; u r0 w1 r1; d r1 w0 r0; e r0",
	"C":     "e w0; u r0 w1; u r1 w0; e r0; d r0 w1; d r1 w0; e r0",
	"C-":    "e w0; u r0 w1; u r1 w0; d r0 w1; d r1 w0; e r0",
	"C+":    "e w0; u r0 w1 r1; u r1 w0 r0; d r0 w1 r1; d r1 w0 r0; e r0",
	"A":     "e w0; u r0 w1 w0 w1; u r1 w0 w1; d r1 w0 w1 w0; d r0 w1 w0",
	"B":     "e w0; u r0 w1 r1 w0 r0 w1; u r1 w0 w1; d r1 w0 w1 w0; d r0 w1 w0",
	"PMOVI": "d w0; u r0 w1 r1; u r1 w0 r0; d r0 w1 r1; d r1 w0 r0",
	"U":     "e w0; u r0 w1 r1 w0; u r0 w1; d r1 w0 r0 w1; d r1 w0",
	"LR":    "e w0; d r0 w1; u r1 w0 r0 w1; u r1 w0; u r0 w1 r1 w0; u r0",
	"SR":    "d w0; u r0 w1 r1 w0; u r0 r0; u w1; d r1 w0 r0 w1; d r1 r1",
	"LA":    "e w0; u r0 w1 w0 w1 r1; u r1 w0 w1 w0 r0; d r0 w1 w0 w1 r1; d r1 w0 w1 w0 r0; d r0",
	"SS":    "e w0; u r0 r0 w0 r0 w1; u r1 r1 w1 r1 w0; d r0 r0 w0 r0 w1; d r1 r1 w1 r1 w0; e r0",
	"RAW":   "e w0; u r0 w0 r0 r0 w1 r1; u r1 w1 r1 r1 w0 r0; d r0 w0 r0 r0 w1 r1; d r1 w1 r1 r1 w0 r0; e r0",
}

// A plainTest is elements of words: the direction, then the operations.
type plainTest [][]string

func plainly(text string) (t plainTest) {
	for e := range strings.SplitSeq(text, ";") {
		t = append(t, strings.Fields(e))
	}
	return t
}

// sees is whether the test sees the fault from every content at first, whichever way each either goes.
func (t plainTest) sees(cells int, start func(plainMemory), f plainFault) bool {
	free := strings.Count(fmt.Sprint(t), "e")
	for content := range 1 << cells {
		for choice := range 1 << free {
			for last := range 2 {
				m := plainMemory{make([]int, cells), []int{last}}
				for i := range cells {
					m.cell[i] = content >> i & 1
				}
				if start != nil {
					start(m)
				}
				if !t.fails(m, choice, f) {
					return false
				}
			}
		}
	}
	return true
}

// fails does the test once; choice holds a bit for each either.
func (t plainTest) fails(m plainMemory, choice int, f plainFault) bool {
	for _, e := range t {
		down := e[0] == "d"
		if e[0] == "e" {
			down = choice&1 == 1
			choice >>= 1
		}
		for at := range m.cell {
			if down {
				at = len(m.cell) - 1 - at
			}
			for _, op := range e[1:] {
				x := int(op[1] - '0')
				if op[0] == 'w' {
					f(m, at, true, x)
				} else if m.last[0] = f(m, at, false, 0); m.last[0] != x {
					return true
				}
			}
		}
	}
	return false
}

// ones counts the kinds of a fault of one cell that are seen at every cell.
func (t plainTest) ones(cells, kinds int, fault func(kind, v int) (func(plainMemory), plainFault)) (count int) {
	for k := range kinds {
		all := 1
		for v := range cells {
			if start, f := fault(k, v); !t.sees(cells, start, f) {
				all = 0
			}
		}
		count += all
	}
	return count
}

// twos counts the kinds of a fault of two cells that are seen at every two, with the aggressor below and with it above.
func (t plainTest) twos(cells, kinds int, fault func(kind, a, v int) (func(plainMemory), plainFault)) (count int) {
	for k := range kinds {
		all := [2]int{1, 1}
		for a := range cells {
			for v := range cells {
				side := 0
				if a < v {
					side = 1
				}
				if start, f := fault(k, a, v); a != v && all[side] == 1 && !t.sees(cells, start, f) {
					all[side] = 0
				}
			}
		}
		count += all[0] + all[1]
	}
	return count
}

func plainStuck(k, v int) (func(plainMemory), plainFault) {
	return func(m plainMemory) { m.cell[v] = k }, func(m plainMemory, at int, w bool, x int) int {
		return faultless(m, at, w && at != v, x)
	}
}

func plainOpen(_, v int) (func(plainMemory), plainFault) {
	return nil, func(m plainMemory, at int, w bool, x int) int {
		if at == v {
			return m.last[0]
		}
		return faultless(m, at, w, x)
	}
}

func plainTransition(k, v int) (func(plainMemory), plainFault) {
	return nil, func(m plainMemory, at int, w bool, x int) int {
		return faultless(m, at, w && !(at == v && x == k && m.cell[v] != x), x)
	}
}

func plainWriteDisturb(k, v int) (func(plainMemory), plainFault) {
	return nil, func(m plainMemory, at int, w bool, x int) int {
		if at == v && w && x == k && m.cell[v] == x {
			x = 1 - x
		}
		return faultless(m, at, w, x)
	}
}

// plainReading is a fault of reading a cell that holds k: it turns round or not, and the wrong value comes out or the right one.
func plainReading(turns, lies bool) func(k, v int) (func(plainMemory), plainFault) {
	return func(k, v int) (func(plainMemory), plainFault) {
		return nil, func(m plainMemory, at int, w bool, x int) int {
			got := faultless(m, at, w, x)
			if at != v || w || got != k {
				return got
			}
			if turns {
				m.cell[v] = 1 - k
			}
			if lies {
				return 1 - k
			}
			return k
		}
	}
}

// plainCoupling is an operation on the aggressor doing something to the victim: 0 or 1 puts it there, 2 turns it round.
func plainCoupling(to func(k int) int, on func(k, was int, w bool, x int) bool) func(k, a, v int) (func(plainMemory), plainFault) {
	return func(k, a, v int) (func(plainMemory), plainFault) {
		return nil, func(m plainMemory, at int, w bool, x int) int {
			was := m.cell[at]
			got := faultless(m, at, w, x)
			if at == a && on(k&1, was, w, x) {
				if m.cell[v] = 1 - m.cell[v]; to(k) < 2 {
					m.cell[v] = to(k)
				}
			}
			return got
		}
	}
}

func high(k int) int { return k >> 1 }
func turned(int) int { return 2 }

func changes(k, was int, w bool, x int) bool { return w && was != x && x == k }
func repeats(k, was int, w bool, x int) bool { return w && was == x && x == k }
func reads(k, was int, w bool, _ int) bool   { return !w && was == k }

func plainState(k, a, v int) (func(plainMemory), plainFault) {
	hold := func(m plainMemory) {
		if m.cell[a] == k&1 {
			m.cell[v] = k >> 1
		}
	}
	return hold, func(m plainMemory, at int, w bool, x int) int {
		got := faultless(m, at, w, x)
		hold(m)
		return got
	}
}

func plainStateOfReads(k, a, v int) (func(plainMemory), plainFault) {
	return nil, func(m plainMemory, at int, w bool, x int) int {
		if at == v && !w && m.cell[a] == k&1 {
			return k >> 1
		}
		return faultless(m, at, w, x)
	}
}

// whileHeld lets a fault of the victim act only while the aggressor holds bit 0 of the kind.
func whileHeld(one func(k, v int) (func(plainMemory), plainFault)) func(k, a, v int) (func(plainMemory), plainFault) {
	return func(k, a, v int) (func(plainMemory), plainFault) {
		_, f := one(k>>1, v)
		return nil, func(m plainMemory, at int, w bool, x int) int {
			if m.cell[a] == k&1 {
				return f(m, at, w, x)
			}
			return faultless(m, at, w, x)
		}
	}
}

// decoders is the letters of the decoder faults that are seen in full, and of those seen in some variants.
func (t plainTest) decoders(cells int) string {
	whole, part := "", ""
	for _, letter := range "ABCD" {
		seen := map[[2]int]bool{} // by variant
		for x := range cells {
			for y := range cells {
				for way := range 4 {
					if x == y {
						continue
					}
					reach := map[int][]int{}
					switch letter {
					case 'A':
						reach[x] = []int{}
					case 'B':
						reach[x], reach[y] = []int{}, []int{x, y}
					case 'C':
						reach[x] = []int{y}
					case 'D':
						reach[x] = []int{x, y}
					}
					variant := [2]int{way, 0}
					if x < y {
						variant[1] = 1
					}
					so, known := seen[variant]
					seen[variant] = (!known || so) && t.sees(cells, nil, misdecoded(reach, way&1, way>>1))
				}
			}
		}
		some := strings.Contains(fmt.Sprint(seen), "true")
		switch {
		case some && !strings.Contains(fmt.Sprint(seen), "false"):
			whole += string(letter)
		case some:
			part += ", part " + string(letter)
		}
	}
	return whole + part
}

// misdecoded is a memory some of whose addresses reach the cells listed; none read as given, several as their OR (0) or AND (1).
func misdecoded(reach map[int][]int, none, gate int) plainFault {
	return func(m plainMemory, at int, w bool, x int) int {
		cells, listed := reach[at]
		if !listed {
			return faultless(m, at, w, x)
		}
		sum := 0
		for _, c := range cells {
			sum += faultless(m, c, w, x)
		}
		switch {
		case len(cells) == 0:
			return none
		case gate == 0:
			return min(sum, 1)
		}
		return sum / len(cells)
	}
}

// A half is one of two linked couplings: the aggressor's change to on puts the victim at to; to 2 turns it round.
type half struct{ a, on, to int }

// linkedFault is a victim with two faults; fails is the value it cannot change to, or -1.
func linkedFault(v, fails int, halves ...half) plainFault {
	return func(m plainMemory, at int, w bool, x int) int {
		was := m.cell[at]
		got := faultless(m, at, w && !(at == v && was != x && x == fails), x)
		for _, h := range halves {
			if !w || at != h.a || was == x || x != h.on {
				continue
			}
			if m.cell[v] = 1 - m.cell[v]; h.to < 2 {
				m.cell[v] = h.to
			}
		}
		return got
	}
}

// links counts the linked faults seen and how many there are, in the order of the sheet's table.
func (t plainTest) links(cells int) (n, of [6]int) {
	see := func(k int, f plainFault) {
		of[k]++
		if t.sees(cells, nil, f) {
			n[k]++
		}
	}
	for place := range cells * cells * cells {
		v, a, b := place%cells, place/cells%cells, place/cells/cells
		if a == v || b == a {
			continue
		}
		for on := range 4 {
			if b == v { // there is one aggressor
				break
			}
			see(2, linkedFault(v, -1, half{a, on & 1, 2}, half{b, on >> 1, 2}))
			see(0, linkedFault(v, -1, half{a, on & 1, 0}, half{b, on >> 1, 1}))
			see(0, linkedFault(v, -1, half{a, on & 1, 1}, half{b, on >> 1, 0}))
		}
		if b != v {
			continue
		}
		see(3, linkedFault(v, -1, half{a, 0, 2}, half{a, 1, 2}))
		for k := range 4 {
			on, other := k&1, k>>1
			see(1, linkedFault(v, -1, half{a, on, other}, half{a, 1 - on, 1 - other}))
			see(4, linkedFault(v, other, half{a, on, 2}))
			see(5, linkedFault(v, other, half{a, on, 0}))
			see(5, linkedFault(v, other, half{a, on, 1}))
		}
	}
	return n, of
}

// row is the row of the sheet's table for so many cells.
func (t plainTest) row(n int) []string {
	text := func(counts ...int) string {
		return strings.ReplaceAll(strings.Trim(fmt.Sprint(counts), "[]"), " ", ",")
	}
	forces := t.twos(n, 4, plainCoupling(high, changes))
	return []string{
		t.decoders(n), text(t.ones(n, 2, plainStuck)), [...]string{"n", "y"}[t.ones(n, 1, plainOpen)], text(t.ones(n, 2, plainTransition)),
		text(t.twos(n, 2, plainCoupling(turned, changes))), text(forces),
		text(t.twos(n, 4, plainState)) + "/" + text(t.twos(n, 4, plainStateOfReads)),
		text(t.ones(n, 2, plainWriteDisturb)), text(t.ones(n, 2, plainReading(true, false))),
		text(t.twos(n, 4, plainCoupling(high, reads)), forces, t.twos(n, 4, plainCoupling(high, repeats))),
		text(t.twos(n, 4, whileHeld(plainTransition))), text(t.twos(n, 4, whileHeld(plainWriteDisturb))),
		text(t.twos(n, 4, whileHeld(plainReading(true, true)))), text(t.twos(n, 4, whileHeld(plainReading(true, false)))),
		text(t.twos(n, 4, whileHeld(plainReading(false, true)))),
	}
}

// TestSecondDerivation holds every cell of the first derivation against the second, and both against the sheet.
func TestSecondDerivation(t *testing.T) {
	sheet, _ := table(published)
	sizes := []int{3, 4, 5}
	if testing.Short() {
		sizes = sizes[:1]
	}
	for _, test := range Tests() {
		second := plainly(typedAgain[test.Name])
		for _, cells := range sizes {
			got, again := strings.Join(line(cover(test, cells, false)), " | "), strings.Join(second.row(cells), " | ")
			if want := strings.Join(sheet[test.Name], " | "); got != again || again != want {
				t.Errorf("%s in %d cells:\n first %s\nsecond %s\n sheet %s", test.Name, cells, got, again, want)
			}
			if rdf, irf := second.ones(cells, 2, plainReading(true, true)), second.ones(cells, 2, plainReading(false, true)); rdf != 2 || irf != 2 {
				t.Errorf("%s in %d cells: RDF %d, IRF %d; the sheet says 2, 2", test.Name, cells, rdf, irf)
			}
		}
		for _, cells := range sizes[:min(len(sizes), 2)] {
			linksAgree(t, test, second, cells)
		}
	}
}

// linksAgree does the same for the linked faults, of which the sheet has some tests in 4 cells.
func linksAgree(t *testing.T, test Test, second plainTest, cells int) {
	t.Helper()
	sheet, _ := table(publishedLinked)
	by := byKind(Cover(test, cells))
	n, of := second.links(cells)
	for i, kind := range []string{"CFid#CFid two", "CFid#CFid one", "CFin#CFin two", "CFin#CFin one", "TF#CFin", "TF#CFid"} {
		got := fmt.Sprintf("%d of %d", by[kind].Always(), len(by[kind].Variants))
		again := fmt.Sprintf("%d of %d", n[i], of[i])
		want := again
		if row := sheet[test.Name]; row != nil && cells == 4 {
			want = row[i] + " of " + sheet["all"][i]
		}
		if got != again || again != want {
			t.Errorf("%s, %s in %d cells: first %s, second %s, sheet %s", test.Name, kind, cells, got, again, want)
		}
	}
}
