package guess_test

import (
	"bytes"
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"coldstart/loader/guess"
	"coldstart/loader/list"
	"coldstart/loader/tape"
	"coldstart/memory"
)

// framed is a layout that frames blocks of bytes by their count, and knows nothing of the code behind them.
const framed = `layout framed
numbers hexadecimal
word 8 bits
bytes 1 of 8 bits make 1 word high first
field count
data count words up to 200
field spare 2 words high first
`

// remainder is the register after some bits, highest of each byte first or lowest, by long division bit by bit: the test's
// own arithmetic, so that the one of loader/tape is held against something.
func remainder(poly, start uint64, low bool, data []byte) uint64 {
	r := start
	for _, b := range data {
		for i := range 8 {
			bit := b >> (7 - i) & 1
			if low {
				bit = b >> i & 1
			}
			r <<= 1
			if r>>16&1 != uint64(bit) {
				r ^= poly
			}
			r &= 0xFFFF
		}
	}
	return r
}

// A secret is how the code of a synthetic track is made.
type secret struct {
	poly, start, final uint64
	low, inverted      bool
}

// track records blocks of the lengths given, in bytes of data, each with its count before it, which is what it is framed
// by, and its code of the data behind it.
func (s secret) track(seed uint64, lengths ...int) []byte {
	rng := rand.New(rand.NewPCG(seed, 0))
	var all []byte
	for _, n := range lengths {
		b := make([]byte, n)
		for i := range b {
			b[i] = byte(rng.Uint32())
		}
		code := remainder(s.poly, s.start, s.low, b) ^ s.final
		if s.low { // the register's highest bit goes first, and each byte holds its first bit at its right
			b = append(b, turned(byte(code>>8)), turned(byte(code)))
		} else {
			b = append(b, byte(code>>8), byte(code))
		}
		if s.inverted {
			for i := range b {
				b[i] = ^b[i]
			}
		}
		all = append(append(all, byte(n)), b...)
	}
	return all
}

// turned gives a byte with its bits in the opposite order.
func turned(b byte) byte {
	var t byte
	for i := range 8 {
		t |= b >> i & 1 << (7 - i)
	}
	return t
}

// secrets are the hypotheses with a polynomial as it is recorded: thirty-two of them.
func secrets() []secret {
	var all []secret
	for _, poly := range []uint64{0x8005, 0x1021} {
		for _, start := range []uint64{0, 0xFFFF} {
			for _, final := range []uint64{0, 0xFFFF} {
				for _, low := range []bool{false, true} {
					for _, inverted := range []bool{false, true} {
						all = append(all, secret{poly, start, final, low, inverted})
					}
				}
			}
		}
	}
	return all
}

// search makes a search of a recording.
func search(t testing.TB, l *tape.Layout, recording []byte) *guess.Search {
	t.Helper()
	rec, err := tape.Read(l, "x.tape", bytes.NewReader(recording))
	if err != nil {
		t.Fatal(err)
	}
	s, err := guess.New(l, rec.Blocks)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// found carries out a search.
func found(t testing.TB, s *guess.Search) *guess.Finding {
	t.Helper()
	var tallies []guess.Tally
	for number := range s.Trials() {
		tally, err := s.Trial(context.Background(), number)
		if err != nil {
			t.Fatal(err)
		}
		tallies = append(tallies, tally)
	}
	return s.Judge(tallies)
}

// says writes a setting on a line.
func says(v guess.Setting) string {
	return fmt.Sprintf("%04X start %04X final %04X low %v, %v inverted %v over %v", v.Poly, v.Start, v.Final, v.Low, v.LowWord, v.Inverted, v.Over)
}

// layout reads a layout.
func layout(t testing.TB, src string) *tape.Layout {
	t.Helper()
	l, err := tape.ReadLayout("x.layout", []byte(src))
	if err != nil {
		t.Fatal(list.Report(err))
	}
	return l
}

// Each of the thirty-two secrets is found from blocks of two lengths, and it alone.
func TestTwoLengths(t *testing.T) {
	all := secrets()
	if len(all) != 32 {
		t.Fatalf("%d secrets, want 32", len(all))
	}
	for i, secret := range all {
		s := search(t, layout(t, framed), secret.track(uint64(i), 30, 30, 41, 30, 41))
		f := found(t, s)
		want := says(guess.Setting{Poly: secret.poly, Start: secret.start, Final: secret.final, Low: secret.low, LowWord: secret.low, Inverted: secret.inverted, Over: []string{"data"}})
		if len(f.Survivors) != 1 || says(f.Survivors[0].Setting) != want || len(f.Survivors[0].Blocks) != 5 || len(f.Survivors[0].Twins) != 0 {
			t.Errorf("secret %d: got %+v\nwant %s alone, in 5 blocks", i, f.Survivors, want)
			continue
		}
		if s.OneLength(f.Survivors[0]) || !slices.Equal(f.Lengths, []int{33, 44}) {
			t.Errorf("secret %d: lengths %v; want two, 33 and 44 words", i, f.Lengths)
		}
		// The record to type makes these very codes.
		typed := layout(t, strings.Replace(framed, "field spare 2 words high first", f.Survivors[0].Check(s.Words), 1))
		for _, b := range s.Blocks {
			if proof := typed.Prove(b.Block.Turned()); !secret.inverted && proof.Check != tape.Right {
				t.Errorf("secret %d: typed as %s, a block does not pass", i, f.Survivors[0].Check(s.Words))
			}
		}
	}
}

// In blocks of one length another start fits as well, with a final value that fits: the pair is named.
func TestOneLength(t *testing.T) {
	for i, secret := range secrets() {
		s := search(t, layout(t, framed), secret.track(uint64(i), 30, 30, 30, 30, 30))
		f := found(t, s)
		want := guess.Setting{Poly: secret.poly, Start: secret.start, Final: secret.final, Low: secret.low, LowWord: secret.low, Inverted: secret.inverted, Over: []string{"data"}}
		if len(f.Survivors) < 2 || says(f.Survivors[0].Setting) != says(want) || !s.OneLength(f.Survivors[0]) {
			t.Errorf("secret %d: got %v\nwant %s first", i, f.Survivors, says(want))
			continue
		}
		// Its twin begins with the other start, and ends in the final value that the test's own arithmetic gives.
		want.Start ^= 0xFFFF
		moved := remainder(secret.poly, 0xFFFF, secret.low, make([]byte, 30))
		if secret.low { // a final value is counted as the code comes out, turned end for end
			moved = uint64(turned(byte(moved)))<<8 | uint64(turned(byte(moved>>8)))
		}
		want.Final ^= moved
		named := false
		for _, twin := range f.Survivors[0].Twins {
			named = named || says(f.Survivors[twin].Setting) == says(want)
		}
		if !named {
			t.Errorf("secret %d: %s is not named as what it cannot be told apart from: %v", i, says(want), f.Survivors)
		}
	}
}

// Two blocks of one length prove no start and no final value: whatever the secret, all that fits them is named, so that the
// secret is among it wherever anything is, and never one setting alone.
func TestTwoBlocksOfOneLength(t *testing.T) {
	for i, secret := range append(secrets(), secret{poly: 0x8005, final: 0xEE0A}, secret{poly: 0x1021, start: 0xFFFF, final: 0x1D0F, low: true}) {
		s := search(t, layout(t, framed), secret.track(uint64(i), 30, 30))
		f := found(t, s)
		want := says(guess.Setting{Poly: secret.poly, Start: secret.start, Final: secret.final, Low: secret.low, LowWord: secret.low, Inverted: secret.inverted, Over: []string{"data"}})
		named := slices.ContainsFunc(f.Survivors, func(v guess.Survivor) bool { return says(v.Setting) == want })
		likely := secret.final == 0 || secret.final == 0xFFFF
		if len(f.Survivors) == 1 || named != (len(f.Survivors) > 0) || likely && !named {
			t.Errorf("secret %d, %s: survivors %v", i, want, f.Survivors)
		}
		for _, v := range f.Survivors {
			if !s.OneLength(v) || len(v.Twins) != len(f.Survivors)-1 {
				t.Errorf("secret %d: %s, of one length %v, has twins %v of %d", i, says(v.Setting), s.OneLength(v), v.Twins, len(f.Survivors))
			}
		}
	}
}

// What no length tells apart: with Q added to start and final value a code is the same, Q being the polynomial without its
// factor x+1.
func TestNeverApart(t *testing.T) {
	for poly, q := range map[uint64]uint64{0x8005: 0x8003, 0x1021: 0xF01F} {
		for n := range 60 {
			b := secret{poly: poly}.track(uint64(n), n)[1:]
			if one, other := remainder(poly, 0xFFFF, false, b)^0x1234, remainder(poly, 0xFFFF^q, false, b)^0x1234^q; one != other {
				t.Errorf("%04X, %d bytes: %04X and %04X differ", poly, n, one, other)
			}
		}
	}
}

// On a track read backwards the polynomials are the reciprocal ones, and start and final value have changed places.
func TestBackwards(t *testing.T) {
	for i, secret := range secrets() {
		var recording []byte
		for _, n := range []int{30, 41, 41, 30} {
			b := secret.track(uint64(i)<<8|uint64(n), n)[1:]
			slices.Reverse(b)
			for k := range b {
				b[k] = turned(b[k])
			}
			recording = append(append(recording, byte(n)), b...)
		}
		f := found(t, search(t, layout(t, framed), recording))
		want := guess.Setting{Start: secret.final, Final: secret.start, Low: secret.low, LowWord: secret.low, Inverted: secret.inverted, Over: []string{"data"}}
		want.Poly = map[uint64]uint64{0x8005: 0x4003, 0x1021: 0x0811}[secret.poly]
		if len(f.Survivors) != 1 || says(f.Survivors[0].Setting) != says(want) {
			t.Fatalf("secret %d: got %v\nwant %s alone", i, f.Survivors, says(want))
		}
		if poly, is := f.Survivors[0].Backwards(); !is || poly != secret.poly {
			t.Errorf("%04X is %04X read backwards, %v; want %04X", want.Poly, poly, is, secret.poly)
		}
	}
}

// Damaged blocks are not explained, and say nothing against what explains the others. Blocks that are blank or there twice
// prove nothing; random ones leave no survivor.
func TestWhatSurvives(t *testing.T) {
	secret := secret{poly: 0x8005, low: true}
	good := secret.track(1, 30, 41, 30, 41, 52, 52)
	t.Run("damaged", func(t *testing.T) {
		bad := bytes.Clone(good)
		bad[5] ^= 1
		bad[40] ^= 1
		f := found(t, search(t, layout(t, framed), bad))
		if len(f.Survivors) != 1 || !slices.Equal(f.Survivors[0].Blocks, []int{2, 3, 4, 5}) {
			t.Errorf("got %v, want one survivor with blocks 2 to 5", f.Survivors)
		}
	})
	t.Run("blank and alike", func(t *testing.T) {
		twice := append(bytes.Clone(good), good...)
		for range 5 {
			twice = append(append(twice, 30), make([]byte, 32)...)
		}
		s := search(t, layout(t, framed), twice)
		if len(s.Blocks) != 6 || s.Alike != 6 || s.Blank != 5 {
			t.Errorf("%d blocks say something, %d are alike, %d blank; want 6, 6, 5", len(s.Blocks), s.Alike, s.Blank)
		}
	})
	t.Run("random", func(t *testing.T) {
		rng := rand.New(rand.NewPCG(9, 9))
		var recording []byte
		for range 300 {
			recording = append(recording, 30)
			for range 32 {
				recording = append(recording, byte(rng.Uint32()))
			}
		}
		f := found(t, search(t, layout(t, framed), recording))
		if len(f.Survivors) != 0 {
			t.Errorf("random blocks leave %v", f.Survivors)
		}
	})
	t.Run("one block", func(t *testing.T) {
		f := found(t, search(t, layout(t, framed), secret.track(1, 30)))
		if len(f.Survivors) != 0 || len(f.Best) == 0 || f.Best[0].Chance < -16 {
			t.Errorf("one block leaves %v; best %v; want no survivor, and the secret among the best", f.Survivors, f.Best)
		}
	})
	t.Run("in another order", func(t *testing.T) {
		bad := bytes.Clone(good)
		bad[5] ^= 1
		rec, err := tape.Read(layout(t, framed), "x.tape", bytes.NewReader(bad))
		if err != nil {
			t.Fatal(err)
		}
		told := func() string {
			s, err := guess.New(layout(t, framed), rec.Blocks)
			if err != nil {
				t.Fatal(err)
			}
			var all []string
			for _, v := range found(t, s).Survivors {
				all = append(all, fmt.Sprint(says(v.Setting), len(v.Blocks), v.Chance))
			}
			return strings.Join(all, "; ")
		}
		once := told()
		slices.Reverse(rec.Blocks)
		if again := told(); again != once || once == "" {
			t.Errorf("blocks in the opposite order: %s, before: %s", again, once)
		}
	})
	t.Run("no block", func(t *testing.T) {
		f := found(t, search(t, layout(t, framed), make([]byte, 33)))
		if len(f.Survivors)+len(f.Best) != 0 {
			t.Errorf("got %+v, want nothing", f)
		}
	})
}

// A code whose bytes stand the other way round than they were sent is found as such.
func TestOtherOrder(t *testing.T) {
	for _, low := range []bool{false, true} {
		recording := secret{poly: 0x1021, start: 0xFFFF, low: low}.track(4, 30, 41, 30, 41)
		for at := 0; at < len(recording); {
			end := at + 1 + int(recording[at]) + 2
			recording[end-1], recording[end-2] = recording[end-2], recording[end-1]
			at = end
		}
		f := found(t, search(t, layout(t, framed), recording))
		want := guess.Setting{Poly: 0x1021, Start: 0xFFFF, Low: low, LowWord: !low, Over: []string{"data"}}
		if len(f.Survivors) != 1 || says(f.Survivors[0].Setting) != says(want) {
			t.Errorf("got %v, want %s", f.Survivors, says(want))
		}
	}
}

// A final value in no common use is found too, since it is what is left over.
func TestOtherFinal(t *testing.T) {
	f := found(t, search(t, layout(t, framed), secret{poly: 0x1021, start: 0xFFFF, final: 0x1D0F}.track(3, 30, 41, 30, 41)))
	if len(f.Survivors) != 1 || f.Survivors[0].Final != 0x1D0F || f.Survivors[0].Common() {
		t.Errorf("got %v, want a final value of 1D0F", f.Survivors)
	}
}

// The code may be one word of the layout, and made of its header; what it stands in place of is said.
func TestWords(t *testing.T) {
	const records = "layout wide\nnumbers octal\nword 18 bits\nbytes 3 of 6 bits make 1 word high first\nmark 525252\nfield number\ndata %d words\n"
	check := "check 16 bits 1021 start FFFF in straight out straight final 0000 over number data"
	with := layout(t, fmt.Sprintf(records, 16)+check)
	var recording []byte
	for n := range 6 {
		var err error
		recording, err = with.Append(recording, n, 0, random(16, uint64(n)))
		if err != nil {
			t.Fatal(err)
		}
	}
	s := search(t, layout(t, fmt.Sprintf(records, 17)), recording)
	f := found(t, s)
	if s.In != "the last of its 17 words of data" || s.Data != 16 || s.Words != 1 || len(f.Survivors) == 0 || f.Survivors[0].Check(s.Words) != check {
		t.Errorf("in %q: got %v, want %s", s.In, f.Survivors, check)
	}
}

// A code that stands before the data, in a layout that knows of one, is looked for there; a block without data says as
// little as a blank one.
func TestCodeBeforeData(t *testing.T) {
	const records = "layout early\nnumbers hexadecimal\nword 8 bits\nbytes 1 of 8 bits make 1 word high first\nmark A5\nfield count\n" +
		"check 16 bits %s start 0000 in straight out straight final 0000 over data\ndata count words up to 80\n"
	real := layout(t, fmt.Sprintf(records, "1021"))
	var recording []byte
	for n := range 6 {
		var err error
		if recording, err = real.Append(recording, 0, 0, random8(10*n, uint64(n))); err != nil {
			t.Fatal(err)
		}
	}
	s := search(t, layout(t, fmt.Sprintf(records, "8005")), recording)
	f := found(t, s)
	if s.In != "its check" || s.Blank != 1 || len(s.Blocks) != 5 || len(f.Survivors) != 1 || f.Survivors[0].Poly != 0x1021 || len(f.Survivors[0].Blocks) != 5 {
		t.Errorf("in %s, %d blank, %d others: got %v, want 1021 in 5 blocks", s.In, s.Blank, len(s.Blocks), f.Survivors)
	}
}

// random8 gives words of 8 bits of a seed.
func random8(n int, seed uint64) []memory.Word {
	words := random(n, seed)
	for i := range words {
		words[i] &= 0xFF
	}
	return words
}

// A trial gives up when its context ends.
func TestTrialStops(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if _, err := search(t, layout(t, framed), secret{poly: 0x8005}.track(1, 30)).Trial(ctx, 0); err != context.Canceled {
		t.Errorf("got %v, want %v", err, context.Canceled)
	}
}

// random gives words of 18 bits of a seed.
func random(n int, seed uint64) []memory.Word {
	rng := rand.New(rand.NewPCG(seed, 1))
	words := make([]memory.Word, n)
	for i := range words {
		words[i] = memory.Word(rng.Uint32()) & memory.Mask(18)
	}
	return words
}

// Blocks a second through all trials: 256 blocks of 100 and 200 bytes.
func BenchmarkGuess(b *testing.B) {
	lengths := make([]int, 256)
	for i := range lengths {
		lengths[i] = 100 + i%2*100
	}
	s := search(b, layout(b, framed), secret{poly: 0x8005, low: true}.track(1, lengths...))
	b.ReportAllocs()
	for b.Loop() {
		found(b, s)
	}
	b.ReportMetric(float64(len(lengths)*b.N)/b.Elapsed().Seconds(), "blocks/s")
}
