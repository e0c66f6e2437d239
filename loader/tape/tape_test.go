package tape_test

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"

	"coldstart/loader/list"
	"coldstart/loader/tape"
	"coldstart/memory"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

// layout reads a layout of testdata.
func layout(t testing.TB, file string) *tape.Layout {
	t.Helper()
	src, err := os.ReadFile(filepath.Join("testdata", file))
	if err != nil {
		t.Fatal(err)
	}
	l, err := tape.ReadLayout(file, src)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// No single bit of a recording can change, and no byte at its end be lost, without a word being said about it, and a
// change leaves the other blocks as they are.
func TestEveryBit(t *testing.T) {
	for _, name := range []string{"good", "vary-good"} {
		v := readVector(t, "testdata/vectors/"+name+".vector")
		for bit := range 8 * len(v.bytes) {
			src := slices.Clone(v.bytes)
			src[bit/8] ^= 1 << (bit % 8)
			rec, err := tape.Read(v.layout, "x.tape", bytes.NewReader(src))
			if err != nil || rec.Err() == nil {
				t.Errorf("%s with bit %d of byte %d changed: %v, and nothing said about it", name, bit%8, bit/8, err)
			}
			if n := bad(rec); name == "good" && n != 1 {
				t.Errorf("%s with bit %d of byte %d changed: %d blocks damaged, want 1: %v", name, bit%8, bit/8, n, rec.Err())
			}
		}
		if name != "good" {
			continue // a layout of varying blocks that expects no number of them cannot miss one
		}
		for length := 1; length < len(v.bytes); length++ {
			rec, err := tape.Read(v.layout, "x.tape", bytes.NewReader(v.bytes[:length]))
			if err != nil || rec.Err() == nil {
				t.Errorf("%s cut to %d bytes: %v, and nothing said about it", name, length, err)
			}
		}
	}
}

// bad counts the blocks on a recording that are damaged, not merely out of order.
func bad(rec *tape.Recording) int {
	n := 0
	for _, b := range rec.Blocks {
		if !b.Whole() {
			n++
		}
	}
	return n
}

// A recording tells a drive what it needs to know of each position, good or bad.
func TestRecording(t *testing.T) {
	v := readVector(t, "testdata/vectors/absent.vector")
	rec, err := tape.Read(v.layout, "x.tape", bytes.NewReader(v.bytes))
	if err != nil {
		t.Fatal(err)
	}
	if rec.Len() != 2 || len(rec.Missing) != 1 || rec.Missing[0].Number != 1 {
		t.Fatalf("%d blocks and missing %v; want two, and block 1 missing", rec.Len(), rec.Missing)
	}
	if got := rec.Words(1); len(got) != 9 || got[1] != 2 {
		t.Errorf("words at position 1: %o; want all nine of block 2", got)
	}
	if got, want := rec.Origin(1, 5), (memory.Origin{Kind: memory.Tape, File: "x.tape", Block: 2, Word: 1}); got != want {
		t.Errorf("origin of word 5 at position 1: got %+v, want %+v", got, want)
	}
	if b := rec.Blocks[1]; !b.Good() {
		t.Errorf("%s; it is not this block that is out of order, but the one before that is missing", b.Reason())
	}
}

// A drive is given every block as it stands on the recording, however it is read.
func TestRecordingServesWhatStands(t *testing.T) {
	tests := []struct {
		vector   string
		position int
		want     []memory.Word // the first words there
		all      int
	}{
		{"inverted", 1, []memory.Word{0252525, 0777776, 0776773}, 9},
		{"backwards", 1, []memory.Word{0440400, 0400000}, 9},
		{"lost-word", 1, []memory.Word{0525252, 1, 01004, 4, 0777777, 0, 1, 01011}, 8},
		{"gained-word", 1, []memory.Word{0525252, 1, 01004, 4, 0777777, 0, 0123456}, 10},
		{"rewritten", 1, []memory.Word{0525252, 1, 01004, 4, 0777777, 0200}, 9},
		{"rewritten", 2, []memory.Word{0525252, 1, 01004, 4, 0777777, 0}, 9},
		{"rubbish", 1, []memory.Word{0123456, 0070707, 0123123, 0444444, 7}, 5},
		{"file-mark", 1, []memory.Word{0, 0}, 2},
		{"late", 1, []memory.Word{0525252, 1}, 9},    // from its mark on
		{"early", 1, []memory.Word{0252520, 010}, 8}, // from what is left of its mark
	}
	for _, tt := range tests {
		v := readVector(t, "testdata/vectors/"+tt.vector+".vector")
		rec, err := tape.Read(v.layout, "x.tape", bytes.NewReader(v.bytes))
		if err != nil {
			t.Fatal(err)
		}
		got := rec.Words(tt.position)
		if len(got) != tt.all || !slices.Equal(got[:min(len(got), len(tt.want))], tt.want) {
			t.Errorf("%s: position %d: %06o; want %d words, first %06o", tt.vector, tt.position, got, tt.all, tt.want)
		}
	}
}

// A field that says more than any address or number is a problem of its block.
func TestFieldTooLarge(t *testing.T) {
	const wide = "word 64 bits\nbytes 8 of 8 bits make 1 word high first\ndata 1 words\n"
	one, none := []byte{0, 0, 0, 0, 0, 0, 0, 1}, make([]byte, 8)
	tests := []struct {
		name, records string
		src           []byte
		want          string
	}{
		{"address of 65 bits", wide + "field address 2 words high first", slices.Concat(none, one, none), "field too large: the address is recorded as more than 64 bits"},
		{"address of 64 bits", wide + "field address 2 words high first", slices.Concat(none, none, one), ""},
		{"number of 32 bits", wide + "field number", slices.Concat(none, []byte{0, 0, 0, 0, 0x80, 0, 0, 0}), "field too large: the number is recorded as 20000000000"},
		{"number of 31 bits", wide + "field number", slices.Concat(none, []byte{0, 0, 0, 0, 0x7f, 0, 0, 0}), ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			l, err := build(tt.records)
			if err != nil {
				t.Fatal(list.Report(err))
			}
			rec, err := tape.Read(l, "x", bytes.NewReader(tt.src))
			if err != nil || len(rec.Blocks) != 1 {
				t.Fatalf("%d blocks, %v; want one", len(rec.Blocks), err)
			}
			if got := rec.Blocks[0].Reason(); got != tt.want {
				t.Errorf("got %q, want %q", got, tt.want)
			}
			if tt.want != "" && !errors.Is(rec.Err(), tape.ErrField) {
				t.Errorf("%v is not %v", rec.Err(), tape.ErrField)
			}
		})
	}
}

// words are four words of data for the small layout.
var words = []memory.Word{1, 0777777, 0, 0525252}

func TestBlock(t *testing.T) {
	l := layout(t, "small.layout")
	src, err := l.Append(nil, 0, 01000, words)
	if err != nil {
		t.Fatal(err)
	}
	r := tape.NewReader(l, "x.tape", bytes.NewReader(src))
	if !r.Scan() {
		t.Fatalf("no block: %v", r.Err())
	}
	got := r.Block()
	// Number 0, address 1000, count 4, and the data: 1000 + 4 + 1 + 777777 + 525252 = 526256 modulo 2^18.
	const sum = 0526256
	want := &tape.Block{
		File: "x.tape", Number: 0, Name: "000", Addressed: true, Addr: 01000, Count: 4, Words: words,
		Raw:    slices.Concat([]memory.Word{0525252, 0, 01000, 4}, words, []memory.Word{sum}),
		Summed: true, SumWanted: sum, SumFound: sum, Bytes: src,
	}
	if diff := cmp.Diff(want, got, cmpopts.IgnoreUnexported(tape.Block{})); diff != "" {
		t.Errorf("block (-want +got):\n%s", diff)
	}
	for k, word := range []int{-1, -1, -1, -1, 0, 1, 2, 3, -1, -1} {
		if got, want := got.Origin(k), (memory.Origin{Kind: memory.Tape, File: "x.tape", Word: word}); got != want {
			t.Errorf("origin of word %d: got %+v, want %+v", k, got, want)
		}
	}
}

func TestReaderStops(t *testing.T) {
	l := layout(t, "small.layout")
	t.Run("empty", func(t *testing.T) {
		_, err := tape.Read(l, "x.tape", strings.NewReader(""))
		if !errors.Is(err, tape.ErrEmpty) || !strings.HasPrefix(err.Error(), "x.tape: ") {
			t.Errorf("got %v, want x.tape: %v", err, tape.ErrEmpty)
		}
	})
	t.Run("zeros without end", func(t *testing.T) {
		_, err := tape.Read(l, "x.tape", zeros{})
		if want := "x.tape: nothing in 67108893 bytes from byte 0 on reads as a block; is it a recording in layout small?"; err == nil || err.Error() != want {
			t.Errorf("got %v, want %s", err, want)
		}
	})
	t.Run("source fails", func(t *testing.T) {
		broken := errors.New("drive door open")
		src, _ := l.Append(nil, 0, 0, words)
		r := tape.NewReader(l, "x.tape", &failing{src, broken})
		blocks := 0
		for r.Scan() {
			blocks++
		}
		if blocks != 1 || !errors.Is(r.Err(), broken) || !strings.Contains(r.Err().Error(), "after 27 bytes") {
			t.Errorf("%d blocks and %v; want one, and %v after 27 bytes", blocks, r.Err(), broken)
		}
	})
}

// zeros is a recording of nothing but zeros, without end.
type zeros struct{}

func (zeros) Read(p []byte) (int, error) { clear(p); return len(p), nil }

// failing gives its bytes and then fails.
type failing struct {
	src []byte
	err error
}

func (f *failing) Read(p []byte) (int, error) {
	if len(f.src) == 0 {
		return 0, f.err
	}
	n := copy(p, f.src)
	f.src = f.src[n:]
	return n, nil
}

// A recording that claims much takes no more memory than its layout allows.
func TestHugeClaim(t *testing.T) {
	l := layout(t, "vary.layout")
	src := []byte{0xE3, 0x81, 0xC7, 0xFF, 0xF0, 0x00} // mark 7070 0707, count 7777, number 0
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	rec, err := tape.Read(l, "x.tape", bytes.NewReader(src))
	runtime.ReadMemStats(&after)
	if err != nil || !errors.Is(rec.Err(), tape.ErrCount) {
		t.Fatalf("%v, want %v", err, tape.ErrCount)
	}
	allocated := after.TotalAlloc - before.TotalAlloc
	if allocated > 32<<10 {
		t.Errorf("%d bytes allocated for a recording of %d", allocated, len(src))
	}
}

func TestAppendRefuses(t *testing.T) {
	l := layout(t, "small.layout")
	tests := []struct {
		name   string
		number int
		addr   memory.Addr
		words  []memory.Word
		want   string
	}{
		{"too few words", 1, 0, words[:3], "block 001: 3 words, and layout small records 4 in a block"},
		{"too many words", 1, 0, append(words[:4:4], 0), "block 001: 5 words, and layout small records 4 in a block"},
		{"wide word", 1, 0, []memory.Word{0, 0, 1 << 18, 0}, "block 001: word 2 is 1000000, wider than 18 bits"},
		{"wide address", 1, 1 << 18, words, "block 001: the address 1000000 does not fit its field of 18 bits"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := l.Append([]byte("kept"), tt.number, tt.addr, tt.words)
			if err == nil || err.Error() != tt.want || string(got) != "kept" {
				t.Errorf("Append = %q, %v; want the old bytes and %q", got, err, tt.want)
			}
		})
	}
}
