// Package guess finds out how the check code at the end of recorded blocks is made, from the blocks alone.
//
// Tried are the polynomials 8005 and 1021 and their reciprocals (for tracks read backwards), either bit of a byte first,
// either word of the code first, the recorded bits as they are or complemented, a start of 0000 or FFFF, and the code made
// of all but the block mark, of all with it, or of the data alone. The final value is not tried: it is what is left over,
// and must be the same in all blocks. So every final value is found, and 0000 and FFFF are no more than the likely ones.
//
// Some of this cannot be told apart. A code is made by division, so that the start s adds s times x to the power n to it,
// n being the number of bits the code is made of, and the final value adds itself. In blocks of one length both are one
// constant: whatever the start, there is a final value that fits. The same goes for complemented bits, and for a mark that
// is counted or not: each adds a constant that depends on n alone. Blocks of two lengths settle it among what is tried
// here. (Beyond that, both polynomials in use are x+1 times another, Q, and Q times x leaves Q again: a start with Q added
// and a final value with Q added are the same code at every length. Q is 8003 or F01F, and neither is 0000 nor FFFF.)
package guess

import (
	"context"
	"crypto/sha256"
	"errors"
	"go/scanner"
	"maps"
	"slices"

	"coldstart/loader/tape"
	"coldstart/memory"
)

// A Search is a recording looked at for its code. It never changes, and its trials may be carried out at once.
type Search struct {
	In     string   // where the code is taken from, such as "the last 2 of its 256 words of data"
	Words  int      // how many words hold it
	Data   int      // words of data that are left where the code is taken from the data; else 0
	Blocks []Sample // those that can say anything
	Blank  int      // blocks left out, as all their bits are alike: most codes fit them
	Alike  int      // blocks left out, as they say the same as one before
	Odd    int      // blocks left out, as they are not of a length that the layout knows

	width  int // of a recorded word
	trials []trial
}

// A Sample is a block that says something about the code.
type Sample struct {
	Block *tape.Block
	raw   []memory.Word // as recorded, turned as it should be
}

// A trial is a setting but for its final value.
type trial struct {
	Setting
	layout *tape.Layout
}

// New looks for the code of blocks in layout l. The error says that the layout leaves no place for a code.
func New(l *tape.Layout, blocks []*tape.Block) (*Search, error) {
	s := &Search{Words: (width + l.StoreWidth() - 1) / l.StoreWidth(), width: l.Width()}
	data, _ := l.Data()
	for _, setting := range s.settings(overs(l)) {
		t := trial{Setting: setting}
		var err error
		if t.layout, s.In, err = l.WithCheck(t.Check(s.Words)); err != nil {
			return nil, plainly(err)
		}
		s.trials = append(s.trials, t)
	}
	if left, _ := s.trials[0].layout.Data(); left != data {
		s.Data = left
	}
	s.sample(l, blocks)
	return s, nil
}

// settings gives all that is tried of each thing the code may be made of, but for the final value, likely ones first: a code
// goes out as its bits go in, so that its low word leads where the lowest bit does.
func (s *Search) settings(overs [][]string) []Setting {
	orders := []bool{false, true}
	if s.Words == 1 {
		orders = orders[:1]
	}
	var all []Setting
	for _, over := range overs {
		for _, unusual := range orders {
			for _, poly := range polys {
				for _, low := range []bool{false, true} {
					for _, start := range []uint64{0, ones} {
						for _, inverted := range []bool{false, true} {
							all = append(all, Setting{Poly: poly, Low: low, LowWord: s.Words > 1 && low != unusual, Inverted: inverted, Over: over, Start: start})
						}
					}
				}
			}
		}
	}
	return all
}

// plainly takes the place out of an error about a record: nobody typed it.
func plainly(err error) error {
	if all := (scanner.ErrorList{}); errors.As(err, &all) {
		return errors.New(all[0].Msg)
	}
	return err
}

// overs gives what the code may be made of: all parts but marks and itself, the same with the mark, or the data alone.
func overs(l *tape.Layout) [][]string {
	all := l.Parts()
	if last := len(all) - 1; !slices.Contains(all, "check") && all[last] == "spare" {
		all = all[:last] // the code stands there
	}
	all = slices.DeleteFunc(all, func(part string) bool { return part == "check" })
	marked := dedupe(all)
	plain := slices.DeleteFunc(slices.Clone(marked), func(part string) bool { return part == "mark" })
	found := [][]string{plain}
	for _, other := range [][]string{marked, {"data"}} {
		if !slices.ContainsFunc(found, func(have []string) bool { return slices.Equal(have, other) }) {
			found = append(found, other)
		}
	}
	return found
}

// dedupe drops parts named before: a record names all spare words at once.
func dedupe(parts []string) []string {
	var once []string
	for _, p := range parts {
		if !slices.Contains(once, p) {
			once = append(once, p)
		}
	}
	return once
}

// sample keeps the blocks that say something.
func (s *Search) sample(l *tape.Layout, blocks []*tape.Block) {
	seen := map[[sha256.Size]byte]bool{}
	for _, b := range blocks {
		raw := b.Turned()
		switch digest := sha256.Sum256(l.AppendRaw(nil, raw)); {
		case b.FileMark || b.Missing() || b.Rubbish():
		case !fits(l, len(raw)):
			s.Odd++
		case plain(raw[l.DataAt():], s.width):
			s.Blank++
		case seen[digest]:
			s.Alike++
		default:
			seen[digest] = true
			s.Blocks = append(s.Blocks, Sample{b, raw})
		}
	}
}

// fits says whether a block of so many words is of a length that the layout knows.
func fits(l *tape.Layout, all int) bool {
	data, vary := l.Data()
	n := all - l.Length(0)
	return n == data || vary && n >= 0 && n < data
}

// plain says that all words are 0, or all are ones.
func plain(words []memory.Word, width int) bool {
	return len(words) == 0 || !slices.ContainsFunc(words, func(w memory.Word) bool { return w != words[0] }) && (words[0] == 0 || words[0] == memory.Mask(width))
}

// complement appends words to dst with every bit turned.
func complement(dst, raw []memory.Word, width int) []memory.Word {
	for _, w := range raw {
		dst = append(dst, w^memory.Mask(width))
	}
	return dst
}

// Trials is how many trials there are.
func (s *Search) Trials() int { return len(s.trials) }

// A Tally is what came of one trial: the blocks, by their index in Search.Blocks, that each final value fits. A final value
// that is in no common use and fits one block alone is left out, for some value always does.
type Tally map[uint64][]int

// Trial carries out one trial, by its number; it is a pure function, for a campaign. The error is that of a context that
// ended.
func (s *Search) Trial(ctx context.Context, number int) (Tally, error) {
	t := &s.trials[number]
	tally := Tally{}
	var other []memory.Word
	for i := range s.Blocks {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		raw := s.Blocks[i].raw
		if t.Inverted {
			other = complement(other[:0], raw, s.width)
			raw = other
		}
		// The trial's own final value is 0, so that what is left over is the one that fits.
		if recorded, made, ok := t.layout.Code(raw); ok {
			tally[recorded^made] = append(tally[recorded^made], i)
		}
	}
	for final, blocks := range tally {
		if len(blocks) == 1 && !common(final) {
			delete(tally, final)
		}
	}
	return maps.Clone(tally), nil // of the size it has now
}
