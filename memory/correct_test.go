package memory

import (
	"fmt"
	"math/bits"
	"slices"
	"testing"
)

// oddColumns is the check bits of an odd-weight-column code over width data bits: every data bit is under three of them,
// or five, no two under the same, and every check bit over as many as the others where that is possible.
func oddColumns(width int) []Parity {
	// The smallest number of check bits r with 2^(r-1) >= width + r.
	r := 2
	for 1<<(r-1) < width+r {
		r++
	}
	return checkBits(r, balanced(width, r))
}

// balanced chooses so many columns of r check bits: those of three first, then those of five, each time one whose check
// bits are over the fewest.
func balanced(width, r int) []uint16 {
	var chosen []uint16
	over := make([]int, r)
	for weight := 3; len(chosen) < width; weight += 2 {
		for len(chosen) < width {
			best, least := uint16(0), 0
			for c := uint16(1); c < 1<<r; c++ {
				if bits.OnesCount16(c) != weight || slices.Contains(chosen, c) {
					continue
				}
				// The sum of squares tells an even spread from an uneven one of as many ones.
				sum := 0
				for i, n := range over {
					if c>>i&1 == 1 {
						sum += 2*n + 1
					}
				}
				if best == 0 || sum < least {
					best, least = c, sum
				}
			}
			if best == 0 {
				break
			}
			chosen = append(chosen, best)
			for i := range over {
				over[i] += int(best >> i & 1)
			}
		}
	}
	return chosen
}

// checkBits turns a column for each data bit, bit i for check bit i, into r check bits.
func checkBits(r int, columns []uint16) []Parity {
	list := make([]Parity, r)
	for i := range list {
		list[i].Name = fmt.Sprintf("C%d", i+1)
		for bit, c := range columns {
			list[i].Over |= Word(c>>i&1) << bit
		}
	}
	return list
}

// oddCode is a store of one area with words of width bits behind an odd-weight-column code.
func oddCode(width int) Geometry {
	return Geometry{Style: octal, Width: width, AddrBits: 6, Areas: []Area{
		{Name: "ST0", Last: 63, Width: width, Corrects: true, Parity: oddColumns(width)},
	}}
}

// hamming is the same behind a shortened Hamming code with a parity over all: data bits have the numbers from 3 on that are
// no power of two, and the last check bit makes every column odd.
func hamming(width int) Geometry {
	g := oddCode(width)
	r := len(g.Areas[0].Parity)
	var columns []uint16
	for n := uint16(3); len(columns) < width; n++ {
		if ones := bits.OnesCount16(n); ones > 1 {
			columns = append(columns, n|uint16(ones+1)%2<<(r-1))
		}
	}
	g.Areas[0].Parity = checkBits(r, columns)
	return g
}

// An outcomes is how reads of one word ended, each with another set of cells wrong.
type outcomes struct {
	corrected, miscorrected int // said to be corrected, the word being right or not
	flagged, unnoticed      int
}

// add puts n more cells wrong in every way, from column from on, and reads the word, in which is stored w.
func (o *outcomes) add(t *testing.T, s *Store, a Addr, w Word, n, from int) {
	if n == 0 {
		switch got, st := s.Read(a); {
		case st == Corrected && got == w:
			o.corrected++
		case st == Corrected:
			o.miscorrected++
		case st == ParityWrong:
			o.flagged++
		case st == 0:
			o.unnoticed++
		default:
			t.Fatalf("Read(%#o) = %#x, %v", a, got, st)
		}
		return
	}
	for c := from; c < s.Geometry().Areas[0].Columns(); c++ {
		stored, _, _ := s.Column(a, c)
		if err := s.Jam(a, c, 1-stored); err != nil {
			t.Fatal(err)
		}
		o.add(t, s, a, w, n-1, c+1)
		if err := s.Unjam(a, c); err != nil {
			t.Fatal(err)
		}
	}
}

// TestCorrectsOnce puts every set of so many cells wrong.
//
// Counts of sets are binomial. That a code of odd columns corrects one wrong cell and flags two was published by Hsiao in
// 1970; its structure is from memory. That 56.3 % of three and 0.8 % of four go wrong in (72,64) agrees with what is
// published of it, from memory. The rest was calculated apart from this code: 33568 of 59640 sets of three, four times as
// many as the 8392 sets of four that nobody notices, for (72,64); 65.5 % and 3.44 % for (22,16) of balanced columns; 76.0 %
// of three for the Hamming code.
func TestCorrectsOnce(t *testing.T) {
	tests := []struct {
		name  string
		g     Geometry
		wrong int
		want  outcomes // nothing where only a share is known
		share string   // of miscorrected or unnoticed, if known
		heavy bool
	}{
		{"(13,8) singles", oddCode(8), 1, outcomes{corrected: 13}, "", false},
		{"(13,8) doubles", oddCode(8), 2, outcomes{flagged: 78}, "", false},
		{"(22,16) singles", oddCode(16), 1, outcomes{corrected: 22}, "", false},
		{"(22,16) doubles", oddCode(16), 2, outcomes{flagged: 231}, "", false},
		{"(22,16) triples", oddCode(16), 3, outcomes{}, "65.5 % miscorrected", false},
		{"(22,16) quadruples", oddCode(16), 4, outcomes{}, "3.44 % unnoticed", false},
		{"(39,32) singles", oddCode(32), 1, outcomes{corrected: 39}, "", false},
		{"(39,32) doubles", oddCode(32), 2, outcomes{flagged: 741}, "", false},
		{"(72,64) singles", oddCode(64), 1, outcomes{corrected: 72}, "", false},
		{"(72,64) doubles", oddCode(64), 2, outcomes{flagged: 2556}, "", false},
		{"(72,64) triples", oddCode(64), 3, outcomes{miscorrected: 33568, flagged: 26072}, "56.3 % miscorrected", true},
		{"(72,64) quadruples", oddCode(64), 4, outcomes{unnoticed: 8392, flagged: 1020398}, "0.82 % unnoticed", true},
		{"(72,64) Hamming singles", hamming(64), 1, outcomes{corrected: 72}, "", false},
		{"(72,64) Hamming doubles", hamming(64), 2, outcomes{flagged: 2556}, "", false},
		{"(72,64) Hamming triples", hamming(64), 3, outcomes{}, "76.0 % miscorrected", true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if tt.heavy && testing.Short() {
				t.Skip("many sets of cells")
			}
			if err := tt.g.Check(); err != nil {
				t.Fatal(err)
			}
			s := NewStore(tt.g, 1)
			w := Fill(9, 9, tt.g.Width)
			s.Write(5, w)
			var got outcomes
			got.add(t, s, 5, w, tt.wrong, 0)
			sets := float64(got.corrected + got.miscorrected + got.flagged + got.unnoticed)
			shares := []string{
				"",
				fmt.Sprintf("%.1f %% miscorrected", 100*float64(got.miscorrected)/sets),
				fmt.Sprintf("%.2f %% unnoticed", 100*float64(got.unnoticed)/sets),
			}
			if !slices.Contains(shares, tt.share) || tt.want != (outcomes{}) && got != tt.want {
				t.Errorf("%d cells wrong: %+v, %q; want %+v, %q", tt.wrong, got, shares, tt.want, tt.share)
			}
		})
	}
}

// TestOddColumns compares with the structure of odd-weight-column codes: how many check bits they need, how many columns
// have one, three and five ones, and how many ones there are in a row, the check bit's own among them (calculated; the
// structure, after Hsiao 1970, from memory).
func TestOddColumns(t *testing.T) {
	tests := []struct {
		width, checks int
		weights       [6]int // columns by their ones
		row           int    // ones in every row; 0: not known
	}{
		{8, 5, [6]int{1: 5, 3: 8}, 0},
		{16, 6, [6]int{1: 6, 3: 16}, 9},
		{32, 7, [6]int{1: 7, 3: 32}, 0},
		{64, 8, [6]int{1: 8, 3: 56, 5: 8}, 27},
	}
	for _, tt := range tests {
		g := oddCode(tt.width)
		area := &g.Areas[0]
		if len(area.Parity) != tt.checks {
			t.Fatalf("%d data bits: %d check bits, want %d", tt.width, len(area.Parity), tt.checks)
		}
		weights := [6]int{1: tt.checks}
		for bit := range tt.width {
			// The parity that one wrong bit turns round is its column.
			weights[bits.OnesCount64(uint64(area.ParityBits(0, 1<<bit)^area.ParityBits(0, 0)))]++
		}
		if weights != tt.weights {
			t.Errorf("%d data bits: columns by their ones %d, want %d", tt.width, weights, tt.weights)
		}
		for _, p := range area.Parity {
			if row := bits.OnesCount64(uint64(p.Over)) + 1; tt.row != 0 && row != tt.row {
				t.Errorf("%d data bits: check bit %s has %d ones in its row, want %d", tt.width, p.Name, row, tt.row)
			}
		}
	}
}

// TestParityOfNine is that odd parity over eight bits and their column fails for nine zeros and passes for nine ones
// (calculated): a line stuck low is caught, one stuck high is not.
func TestParityOfNine(t *testing.T) {
	g := Geometry{Width: 8, AddrBits: 4, Areas: []Area{{Name: "ST0", Last: 15, Width: 8, Parity: []Parity{{Odd: true, Hi: 7}}}}}
	for value, want := range []Status{ParityWrong, 0} {
		s := NewStore(g, 1)
		s.Write(3, 0x5A)
		for column := range 9 {
			if err := s.Jam(3, column, value); err != nil {
				t.Fatal(err)
			}
		}
		if w, st := s.Read(3); w != Word(value)*0xFF || st != want {
			t.Errorf("all nine cells at %d: Read = %#x, %q; want %#x, %q", value, w, st, value*0xFF, want)
		}
	}
}

// TestCorrectedCells is that a correction is for the reader alone: cells and counts stay as they are.
func TestCorrectedCells(t *testing.T) {
	s := NewStore(oddCode(16), 1)
	s.Write(5, 0)
	if err := s.Jam(5, 3, 1); err != nil {
		t.Fatal(err)
	}
	if w, st := s.Read(5); w != 0 || st != Corrected {
		t.Errorf("Read = %#o, %q; want 0, corrected", w, st)
	}
	if stored, shown, _ := s.Column(5, 3); stored != 0 || shown != 1 {
		t.Errorf("Column = %d, %d; want 0 stored, 1 shown", stored, shown)
	}
	if reads, altered := s.JamReads(5); reads != 1 || altered != 1 {
		t.Errorf("JamReads = %d, %d; want one read, altered", reads, altered)
	}
}

// TestParityOverAddress holds parity over data and address against parity over the data alone: they differ at every
// address with an odd number of ones.
func TestParityOverAddress(t *testing.T) {
	parity := []Parity{{Name: "P", Odd: true, Hi: 7, Address: true}, {Name: "D", Odd: true, Hi: 7}}
	area := &Area{Last: 255, Width: 8, Parity: parity}
	for a := range Addr(256) {
		data, both := area.ParityBits(a, 0x31)>>1, area.ParityBits(a, 0x31)&1
		// 0x31 has three ones, which is odd already.
		if want := Word(bits.OnesCount64(uint64(a)) % 2); data != 0 || both != want {
			t.Errorf("parity of 31 at %#x: %d over data, %d over address too; want 0, %d", a, data, both, want)
		}
	}
	s := NewStore(Geometry{Width: 8, AddrBits: 8, Areas: []Area{*area}}, 1)
	s.Write(7, 0x31)
	if w, st := s.Read(7); w != 0x31 || st != 0 {
		t.Errorf("Read(7) = %#x, %q; want 31, no remark", w, st)
	}
}
