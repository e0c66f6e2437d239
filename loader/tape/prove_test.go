package tape_test

import (
	"bytes"
	"slices"
	"testing"

	"coldstart/loader/list"
	"coldstart/loader/tape"
	"coldstart/memory"

	"github.com/google/go-cmp/cmp"
)

// rawOf gives all words of the first block of a vector.
func rawOf(t *testing.T, file string) (*tape.Layout, []memory.Word) {
	t.Helper()
	v := readVector(t, "testdata/vectors/"+file+".vector")
	rec, err := tape.Read(v.layout, "x.tape", bytes.NewReader(v.bytes))
	if err != nil {
		t.Fatal(err)
	}
	return v.layout, slices.Clone(rec.Blocks[0].Raw)
}

// Each kind of proof answers for itself, whatever is wrong beside it.
func TestProve(t *testing.T) {
	right := tape.Proof{Mark: tape.Right, Count: tape.Right, Sum: tape.Right}
	tests := []struct {
		name  string
		alter func([]memory.Word) []memory.Word
		want  tape.Proof
	}{
		{"as recorded", func(r []memory.Word) []memory.Word { return r }, right},
		{"mark", func(r []memory.Word) []memory.Word { r[0] ^= 1; return r }, tape.Proof{Mark: tape.Wrong, Count: tape.Right, Sum: tape.Right}},
		{"count", func(r []memory.Word) []memory.Word { r[3]++; return r }, tape.Proof{Mark: tape.Right, Count: tape.Wrong, Sum: tape.Wrong}},
		{"word", func(r []memory.Word) []memory.Word { r[5] ^= 4; return r }, tape.Proof{Mark: tape.Right, Count: tape.Right, Sum: tape.Wrong}},
		{"sum", func(r []memory.Word) []memory.Word { r[8] ^= 4; return r }, tape.Proof{Mark: tape.Right, Count: tape.Right, Sum: tape.Wrong}},
		{"short", func(r []memory.Word) []memory.Word { return r[:8] }, tape.Proof{Mark: tape.Right, Count: tape.Wrong, Sum: tape.Wrong}},
		{"long", func(r []memory.Word) []memory.Word { return append(r, 0) }, tape.Proof{Mark: tape.Right, Count: tape.Wrong, Sum: tape.Wrong}},
		{"nothing", func([]memory.Word) []memory.Word { return nil }, tape.Proof{Mark: tape.Wrong, Count: tape.Wrong, Sum: tape.Wrong}},
		{"blank", func(r []memory.Word) []memory.Word { return []memory.Word{r[0], 0, 0, 4, 0, 0, 0, 0, 4} },
			tape.Proof{Mark: tape.Right, Count: tape.Right, Sum: tape.Right, Blank: true}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			l, raw := rawOf(t, "good")
			if diff := cmp.Diff(tt.want, l.Prove(tt.alter(raw))); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
		})
	}
	t.Run("nothing to go by", func(t *testing.T) {
		l, err := build("data 2 words")
		if err != nil {
			t.Fatal(list.Report(err))
		}
		if got := l.Prove([]memory.Word{1, 2}); !cmp.Equal(got, tape.Proof{}) {
			t.Errorf("got %+v, want all absent", got)
		}
	})
	t.Run("varying", func(t *testing.T) {
		l, raw := rawOf(t, "vary-good")
		if got := l.Prove(raw); !cmp.Equal(got, right) {
			t.Errorf("got %+v, want %+v", got, right)
		}
		// One word of data lost: the sum is made of those that are left.
		if got, want := l.Prove(slices.Delete(raw, 4, 5)), (tape.Proof{Mark: tape.Right, Count: tape.Wrong, Sum: tape.Wrong}); !cmp.Equal(got, want) {
			t.Errorf("short: got %+v, want %+v", got, want)
		}
	})
}

func TestFields(t *testing.T) {
	l, err := build("mark 7070\nfield address 2 words low first\ndata 2 words\nfield count\nfield number")
	if err != nil {
		t.Fatal(list.Report(err))
	}
	raw := []memory.Word{0o7070, 0o34, 0o12, 0, 0, 2, 5}
	want := tape.Header{Number: 5, Address: 0o120034, Count: 2, Numbered: true, Addressed: true, Counted: true}
	if got := l.Fields(raw); got != want {
		t.Errorf("got %+v, want %+v", got, want)
	}
	if got := l.Fields(slices.Delete(slices.Clone(raw), 3, 4)); got != want {
		t.Errorf("a word short: got %+v, want %+v", got, want)
	}
	if got := l.Fields(raw[:1]); got.Addressed || got.Numbered {
		t.Errorf("from the mark alone: got %+v", got)
	}
	if l.DataAt() != 3 {
		t.Errorf("data at %d, want 3", l.DataAt())
	}
}

// Bits come in the order recorded, and words come back of them in every packing.
func TestBits(t *testing.T) {
	tests := []struct {
		name, records string
		words         []memory.Word
		want          string
	}{
		{"sixes, high first", "word 12 bits", []memory.Word{0o1234, 1}, "001010011100 000000000001"},
		{"sixes, low first", "bytes 2 of 6 bits make 1 word low first", []memory.Word{0o1234, 1}, "011100001010 000001000000"},
		{"12 of 16 bits", "bytes 2 of 8 bits make 1 word high first", []memory.Word{0o1234}, "001010011100"},
		{"sixes, lowest bit first", "bits low first", []memory.Word{0o1234, 1}, "010100 001110 000000 100000"},
		{"sixes, highest bit first, said", "bits high first", []memory.Word{0o1234, 1}, "001010011100 000000000001"},
		{"sixes turned: no bit moves on the tape", "bits reversed", []memory.Word{0o1234, 1}, "001010011100 000000000001"},
		{"sixes inverted: no bit turns here", "sense inverted", []memory.Word{0o1234, 1}, "001010011100 000000000001"},
		{"low first, lowest bit first", "bytes 2 of 6 bits make 1 word low first\nbits reversed low first", []memory.Word{0o1234}, "001110010100"},
		{"pieces", "bytes 6 of 4 bits make 1 word high first pieces of 6 bits", []memory.Word{0o1234}, "001010011100"},
		{"three bytes for two, the last filled up", "bytes 3 of 8 bits make 2 words high first", []memory.Word{0xABC, 0xDEF, 0x123}, "101010111100 110111101111 000100100011"},
		{"three bytes for two, low first", "bytes 3 of 8 bits make 2 words low first", []memory.Word{0xABC, 0xDEF, 0x123}, "10111100 1111 1010 11011110 00100011 0001"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			l, err := build(tt.records)
			if err != nil {
				t.Fatal(list.Report(err))
			}
			var want []byte
			for _, c := range tt.want {
				if c != ' ' {
					want = append(want, byte(c-'0'))
				}
			}
			got := l.Bits(tt.words)
			if !bytes.Equal(got, want) {
				t.Errorf("bits %v, want %v", got, want)
			}
			for rest := range l.Width() { // fewer bits than a word are dropped
				if back := l.FromBits(append(got[:len(want):len(want)], make([]byte, rest)...)); !slices.Equal(back, tt.words) {
					t.Errorf("words back with %d bits more: %o, want %o", rest, back, tt.words)
				}
			}
		})
	}
}

func TestAppendRaw(t *testing.T) {
	l, raw := rawOf(t, "sum")
	if got, want := l.AppendRaw([]byte{9}, raw[:1]), []byte{9, 0o52, 0o52, 0o52}; !bytes.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}
