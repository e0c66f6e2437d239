package tape_test

import (
	"bytes"
	"encoding/hex"
	"fmt"
	"strings"
	"testing"

	"coldstart/loader/list"
	"coldstart/loader/tape"
	"coldstart/memory"

	"github.com/google/go-cmp/cmp"
)

// build makes a layout of records, with the usual ones in front where they are not given.
func build(records string) (*tape.Layout, error) {
	usual := []string{"layout test", "numbers octal", "word 12 bits", "bytes 2 of 6 bits make 1 word high first", "data 2 words"}
	src := ""
	for _, r := range usual {
		name, _, _ := strings.Cut(r, " ")
		if !strings.Contains("\n"+records, "\n"+name+" ") {
			src += r + "\n"
		}
	}
	return tape.ReadLayout("x.layout", []byte(src+records))
}

// Words in bytes, worked out by hand: one known word or pair of words in each packing.
func TestPacking(t *testing.T) {
	tests := []struct {
		name, records string
		words         []memory.Word
		want          string // bytes in hexadecimal
	}{
		// 123456 octal is 001 010 011 100 101 110: by sixes 12 34 56 octal, 0A 1C 2E hexadecimal.
		{"three sixes, high first", "word 18 bits\nbytes 3 of 6 bits make 1 word high first", []memory.Word{0o123456, 1}, "0a1c2e 000001"},
		{"three sixes, low first", "word 18 bits\nbytes 3 of 6 bits make 1 word low first", []memory.Word{0o123456, 1}, "2e1c0a 010000"},
		// The same word in 24 bits, its six highest unused, is 00A72E.
		{"18 of 24 bits, high first", "word 18 bits\nbytes 3 of 8 bits make 1 word high first", []memory.Word{0o123456, 1}, "00a72e 000001"},
		{"18 of 32 bits, low first", "word 18 bits\nbytes 4 of 8 bits make 1 word low first", []memory.Word{0o123456, 1}, "2ea70000 01000000"},
		{"two words of 12 in three bytes, high first", "bytes 3 of 8 bits make 2 words high first", []memory.Word{0xABC, 0xDEF}, "abcdef"},
		// Low first: the first word is bits 0 to 11 of the group, so ABC gives the bytes BC and .A, and DEF the bytes F. and DE.
		{"two words of 12 in three bytes, low first", "bytes 3 of 8 bits make 2 words low first", []memory.Word{0xABC, 0xDEF}, "bcfade"},
		{"a group filled up", "bytes 3 of 8 bits make 2 words high first\ndata 3 words", []memory.Word{0xABC, 0xDEF, 0x123}, "abcdef 123000"},
		{"nibbles", "word 8 bits\nbytes 2 of 4 bits make 1 word high first", []memory.Word{0xA5, 0x3C}, "0a05 030c"},
		{"one bit a byte", "word 4 bits\nbytes 4 of 1 bits make 1 word high first", []memory.Word{0b1010, 1}, "01000100 00000001"},
		{"64 bits, low first", "word 64 bits\nbytes 8 of 8 bits make 1 word low first", []memory.Word{0x0123456789ABCDEF, 1}, "efcdab8967452301 0100000000000000"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			l, err := build(tt.records)
			if err != nil {
				t.Fatal(list.Report(err))
			}
			src, err := l.Append(nil, 0, 0, tt.words)
			if err != nil {
				t.Fatal(err)
			}
			if got, want := hex.EncodeToString(src), strings.ReplaceAll(tt.want, " ", ""); got != want {
				t.Errorf("%o as bytes: got %s, want %s", tt.words, got, want)
			}
			rec, err := tape.Read(l, "x", bytes.NewReader(src))
			if err != nil || rec.Err() != nil || len(rec.Blocks) != 1 {
				t.Fatalf("read back: %v, %v", err, rec)
			}
			if diff := cmp.Diff(tt.words, rec.Blocks[0].Words); diff != "" {
				t.Errorf("words read back (-want +got):\n%s", diff)
			}
		})
	}
}

// Sums worked out by hand in words of 12 bits.
func TestSum(t *testing.T) {
	tests := []struct {
		name, records string
		words         []memory.Word
		want          memory.Word
	}{
		{"add loses the carry", "field number\nfield address\nsum add over data", []memory.Word{0o7777, 0o0003}, 0o0002},
		{"end-around takes it in", "field number\nsum add end-around over data", []memory.Word{0o7777, 0o0003}, 0o0003},
		{"end-around with nothing to carry", "sum add end-around over data", []memory.Word{0o7776, 0o0001}, 0o7777},
		{"exclusive-or", "sum exclusive-or over data", []memory.Word{0o7007, 0o7770}, 0o0777},
		{"complemented", "sum add complemented over data", []memory.Word{0o1234, 0o0001}, 0o6542},
		{"negated", "sum add negated over data", []memory.Word{0o1234, 0o0001}, 0o6543},
		{"negated nothing", "sum add negated over data", []memory.Word{0o4000, 0o4000}, 0},
		{"end-around complemented", "sum add end-around complemented over data", []memory.Word{0o7777, 0o0003}, 0o7774},
		{"exclusive-or complemented", "sum exclusive-or complemented over data", []memory.Word{0o7007, 0o7770}, 0o7000},
		{"narrower than a word", "sum 6 bits add over data", []memory.Word{0o7777, 0o0003}, 0o02},
		{"narrower, end-around", "sum 6 bits add end-around over data", []memory.Word{0o7777, 0o0003}, 0o03},
		{"narrower, complemented", "sum 6 bits add complemented over data", []memory.Word{0o7777, 0o0003}, 0o75},
		{"two words wide", "sum add 2 words high first over data", []memory.Word{0o7777, 0o0003}, 0o10002},
		{"bytes of six", "sum add over bytes of data", []memory.Word{0o1234, 0o7701}, 0o12 + 0o34 + 0o77 + 0o01},
		{"bytes turned right", "bits reversed\nsense inverted\nsum add over bytes of data", []memory.Word{0o1234, 0o7701}, 0o12 + 0o34 + 0o77 + 0o01},
		{"store bits alone, and all bits of bytes", "store bits 9-0\nparity odd over 11-0\nsum exclusive-or over bytes of data", []memory.Word{0o1000, 0o0001}, 0o11},
		{"number and address counted", "field number\nfield address\nsum add over number address data", []memory.Word{1, 2}, 5 + 0o10 + 3},
		{"mark counted", "mark 5252\nsum add over mark data", []memory.Word{1, 2}, 0o5255},
		{"fields behind the data", "sum add over address data\nfield address", []memory.Word{1, 2}, 0o13},
		{"64 bits end around", "word 64 bits\nbytes 8 of 8 bits make 1 word high first\nsum add end-around over data", []memory.Word{^memory.Word(0), 3}, 3},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			l, err := build(tt.records)
			if err != nil {
				t.Fatal(list.Report(err))
			}
			src, err := l.Append(nil, 5, 0o10, tt.words)
			if err != nil {
				t.Fatal(err)
			}
			rec, err := tape.Read(l, "x", bytes.NewReader(src))
			if err != nil || rec.Err() != nil {
				t.Fatal(err, rec.Err())
			}
			if b := rec.Blocks[0]; !b.Summed || b.SumWanted != tt.want || b.SumFound != tt.want {
				t.Errorf("sums of %o: recorded %o, found %o, want %o", tt.words, b.SumWanted, b.SumFound, tt.want)
			}
		})
	}
}

// A field of several words carries what one word cannot.
func TestLongField(t *testing.T) {
	for _, order := range []string{"high", "low"} {
		t.Run(order, func(t *testing.T) {
			l, err := build("word 8 bits\nbytes 1 of 8 bits make 1 word high first\nfield address 2 words " + order + " first\nfield spare 2 words high first")
			if err != nil {
				t.Fatal(list.Report(err))
			}
			src, err := l.Append(nil, 0, 0x1234, []memory.Word{1, 2})
			if err != nil {
				t.Fatal(err)
			}
			want := map[string][]byte{"high": {1, 2, 0x12, 0x34, 0, 0}, "low": {1, 2, 0x34, 0x12, 0, 0}}[order]
			if !bytes.Equal(src, want) {
				t.Errorf("bytes % x, want % x", src, want)
			}
			rec, err := tape.Read(l, "x", bytes.NewReader(src))
			if err != nil || rec.Blocks[0].Addr != 0x1234 {
				t.Errorf("address read back: %x, %v; want 1234", rec.Blocks[0].Addr, err)
			}
		})
	}
}

// check is a check record that is right.
const check = "check 16 bits 8005 start 0000 in straight out straight final 0000 over data"

func TestReadLayoutRefuses(t *testing.T) {
	tests := []struct{ name, records, want string }{
		{"unknown record", "marc 1", `"marc" is no record here; the nearest is "mark"`},
		{"style unknown", "numbers octol", `"octol" is no setting here; the nearest is "octal"`},
		{"word too wide", "word 65 bits", "the width of a word is 65; it must be from 1 to 64"},
		{"word without unit", "word 12", `the record ends after "12"; one of bits, bit belongs there`},
		{"word too long a record", "word 12 bits wide", `"wide" stands where the record should end; take it out`},
		{"bytes too few", "bytes 1 of 8 bits make 1 word high first", "1 bytes of 8 bits hold 8 bits; 1 words of 12 bits need 12"},
		{"bits in a byte", "bytes 2 of 9 bits make 1 word high first", "the number of bits of each is 9; it must be from 1 to 8"},
		{"order of bytes", "bytes 2 of 8 bits make 1 word left first", `"left" is no setting here; known are: high, low`},
		{"mark not octal", "mark 8", `"8" is not a number in octal: '8' is no octal digit`},
		{"mark too wide", "mark 10000", "10000 is too large; a word here is at most 7777"},
		{"file mark without a mark", "file-mark 0", "x.layout:6:1: a file mark can be told from a block only where blocks begin with a mark; write the mark record before the others"},
		{"file mark behind a field", "field number\nmark 5252\nfile-mark 0\ndata 2 words", "x.layout:7:1: a file mark can be told from a block only where blocks begin with a mark"},
		{"file mark like the mark", "mark 5252 1\nfile-mark 5252\ndata 2 words", "x.layout:6:1: the file mark begins with the words of the block mark; one of the two is mistyped"},
		{"file mark too wide", "mark 5252\nfile-mark 10000", "10000 is too large; a word here is at most 7777"},
		{"field unknown", "field adress", `"adress" is no setting here; the nearest is "address"`},
		{"field twice", "field number\nfield number", `a second field "number"; a block has one only`},
		{"field half written", "field address 2 words", `the record ends after "words"; one of high, low belongs there`},
		{"count behind the data", "data count words up to 16\nfield count", `the data goes by a count, but no field "count" comes before it`},
		{"no data", "data 0 words", "the number of words of data is 0; it must be from 1 to 65536"},
		{"huge data", "data 2000000000 words", "the number of words of data is 2000000000; it must be from 1 to 65536"},
		{"block too long", "word 64 bits\nbytes 64 of 1 bits make 1 word high first\ndata 65536 words", "a block takes 4194304 bytes; it may take 1048576"},
		{"count up to nothing", "field count\ndata count words up", `the record ends after "up"; to belongs there`},
		{"not a list", "mark \x00", "a NUL byte: this is not a text file"},
		{"sum unknown", "sum ad over data", `"ad" is no setting here; the nearest is "add"`},
		{"sum over what is not there", "sum add over number data", `the sum is over "number", but a block has no such part`},
		{"sum over one part twice", "sum add over data data", `the sum names "data" twice`},
		{"sum over nothing", "sum add end-around over", "the sum is over nothing; name the parts that it is made of"},
		{"bits unknown", "bits reversd", `x.layout:6:6: "reversd" is no setting here; the nearest is "reversed"`},
		{"bits reversed twice", "bits reversed reversed", `x.layout:6:15: "reversed" stands here a second time; take one out`},
		{"bits half written", "bits reversed low", `the record ends after "low"; first belongs there`},
		{"sense unknown", "sense invertd", `x.layout:6:7: "invertd" is no setting here; the nearest is "inverted"`},
		{"pieces that do not fit", "bytes 2 of 8 bits make 1 word high first pieces of 5 bits", "pieces of 5 bits do not make up 1 words of 12 bits"},
		{"pieces that share a byte", "bytes 3 of 8 bits make 1 word high first pieces of 6 bits", "3 bytes of 8 bits cannot be shared out to 2 pieces of 6 bits"},
		{"store nothing", "store bits", `the record ends after "bits"; a bit, or bits such as 17-9 belongs there`},
		{"store no bit", "store bits x", `x.layout:6:12: "x" is no bit; write one as 17, a run of them as 17-9, in decimal, from 0 at the right`},
		{"store beyond the word", "store bits 12-0", "12-0 is beyond a recorded word, which has the bits 11-0"},
		{"store from the right", "store bits 0-7", "0-7 runs from the right to the left; write 7-0"},
		{"store a bit twice", "store bits 7-0 9 3", `x.layout:6:18: 3 names a bit a second time`},
		{"parity neither way", "parity od over 11-0", `x.layout:6:8: "od" is no setting here; the nearest is "odd"`},
		{"parity made too late", "store bits 9-0\nparity odd over 11-0\nparity odd over 10 9-0",
			"x.layout:7:1: this parity counts bit 10, which the parity in line 8 makes; put that one first"},
		{"parities without end", strings.Repeat("parity odd over 0\n", 65), "x.layout:70:1: more than 64 parities; a recorded word has no more bits than that"},
		{"mark wider than in store", "store bits 5-0\nmark 100", "100 is too large; a word here is at most 77"},
		{"negated around the end", "sum add end-around negated over data", "x.layout:6:20: only a plain `add` can be negated; around the end, the negative is `complemented`"},
		{"exclusive-or around the end", "sum exclusive-or end-around over data", "exclusive-or has no carries to add in; take it out"},
		{"sum turned unknown", "sum add complementd over data", `"complementd" is no setting here; the nearest is "complemented"`},
		{"sum too wide", "sum 16 bits add over data", "a sum of 16 bits does not fit 1 words of 12; add how many it takes, such as `2 words high first`, before `over`"},
		{"sum over shared bytes", "bytes 3 of 8 bits make 2 words high first\nsum add over bytes of data", "a byte here holds bits of two words, so that no sum can be over bytes; make it over words"},
		{"sum over the check", check + "\nsum add over check", `"check" is no setting here; known are: mark, number, address, count, spare, data`},
		{"check without a width", "check 8005 start 0000", "the width of the code is 8005; it must be from 8 to 64"},
		{"check without a start", "check 16 bits 8005 in straight out straight final 0000 over data",
			"x.layout:6:20: \"in\" stands where `start` belongs; a check code is stated by all six of its parameters: bits, polynomial, start, in, out, final"},
		{"check without in", "check 16 bits 8005 start 0000 out straight final 0000 over data", "\"out\" stands where `in` belongs; a check code is stated by all six"},
		{"check without out", "check 16 bits 8005 start 0000 in straight final 0000 over data", "\"final\" stands where `out` belongs; a check code is stated by all six"},
		{"check without final", "check 16 bits 8005 start 0000 in straight out straight over data", "\"over\" stands where `final` belongs; a check code is stated by all six"},
		{"check by a name", "check 16 bits ccitt over data", `"ccitt" is no number in hexadecimal; the polynomial without its highest term is written with 4 such digits`},
		{"check parameter mistyped", "check 16 bits 8005 strat 0000 in straight out straight final 0000 over data", `x.layout:6:20: "strat" is no setting here; the nearest is "start"`},
		{"check way mistyped", "check 16 bits 8005 start 0000 in reflexted out straight final 0000 over data", `"reflexted" is no setting here; the nearest is "reflected"`},
		{"check digits short", "check 16 bits 805 start 0000 in straight out straight final 0000 over data", "805 is not of 16 bits; the polynomial without its highest term is written with all its 4 hexadecimal digits"},
		{"check digits of more bits", "check 12 bits 80F start F000 in straight out straight final 000 over data", "F000 is not of 12 bits; start is written with all its 3 hexadecimal digits"},
		{"check polynomial turned", "check 16 bits 8408 start 0000 in straight out straight final 0000 over data", "a polynomial ends in the term 1, so that its last digit is odd; turned end for end this one is 1021"},
		{"check too wide", "check 32 bits 04C11DB7 start 00000000 in straight out straight final 00000000 2 words high first over data", "a code of 32 bits does not fit 2 words of 12"},
		{"check over nothing", "check 16 bits 8005 start 0000 in straight out straight final 0000 over", "the check is over nothing; name the parts that it is made of"},
		{"check over itself", "check 16 bits 8005 start 0000 in straight out straight final 0000 over data check", `"check" is no setting here`},
		{"check over what is not there", "check 16 bits 8005 start 0000 in straight out straight final 0000 over data sum", `the check is over "sum", but a block has no such part`},
		{"two checks", check + "\n" + check, `a second record "check"; line 6 has the first`},
		{"blocks backwards", "blocks 7 to 0", "the last block comes before the first; exchange them"},
		{"blocks beyond number", "blocks 0 to 7777777", "7777777 is too large; a block number here is at most 37777"},
		{"text too wide", "text 3 of 5 bits high first", "3 characters of 5 bits need 15 bits; a word has 12"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			l, err := build(tt.records)
			if err == nil || l != nil || !strings.Contains(err.Error(), tt.want) || !strings.HasPrefix(err.Error(), "x.layout:") {
				t.Errorf("%q:\ngot  %v\nwant %s", tt.records, err, tt.want)
			}
		})
	}
	t.Run("empty", func(t *testing.T) {
		_, err := tape.ReadLayout("x.layout", nil)
		if got := list.Report(err); strings.Count(got, "add a line like: ") != 5 {
			t.Errorf("an empty layout: got %s; want the five records it lacks", got)
		}
	})
}

func TestStrings(t *testing.T) {
	tests := []struct {
		name, records string
		words         []memory.Word
		want          []string
	}{
		{"a character a word", "", []memory.Word{'I', 'D', 'L', 'E', 7, 'O', 'N', 'E', 0, 'B', 'A', 'S', 'E'}, []string{"IDLE", "BASE"}},
		{"bits beside the character", "", []memory.Word{'I' | 1<<8, 'D' | 1<<8, 'L' | 1<<8, 'E' | 1<<8}, nil},
		{"two of nine, high first", "word 18 bits\nbytes 3 of 6 bits make 1 word high first\ntext 2 of 9 bits high first",
			[]memory.Word{'I'<<9 | 'D', 'L'<<9 | 'E'}, []string{"IDLE"}},
		{"two of eight, low first", "word 18 bits\nbytes 3 of 6 bits make 1 word high first\ntext 2 of 8 bits low first",
			[]memory.Word{'D'<<8 | 'I', 'E'<<8 | 'L'}, []string{"IDLE"}},
		{"bits beyond two of eight", "word 18 bits\nbytes 3 of 6 bits make 1 word high first\ntext 2 of 8 bits high first",
			[]memory.Word{'I'<<8 | 'D', 1<<16 | 'L'<<8 | 'E', 'O'<<8 | 'N', 'C'<<8 | 'E'}, []string{"ONCE"}},
		{"escape codes end a string", "", []memory.Word{'A', 'B', 'C', 'D', 0x1b, '[', '2', 'J'}, []string{"ABCD"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			l, err := build(tt.records)
			if err != nil {
				t.Fatal(list.Report(err))
			}
			if diff := cmp.Diff(tt.want, l.Strings(tt.words)); diff != "" {
				t.Errorf("%o (-want +got):\n%s", tt.words, diff)
			}
		})
	}
}

func ExampleReader() {
	l, err := tape.ReadLayout("short.layout", []byte(`
layout   short
numbers  octal
word     12 bits
bytes    2 of 6 bits make 1 word high first
mark     5252
field    number
data     2 words
sum      add over number data
blocks   0 to 2
`))
	if err != nil {
		fmt.Println(list.Report(err))
		return
	}
	var src []byte
	for n := range 2 {
		src, _ = l.Append(src, n, 0, []memory.Word{0o1111, 0o2222})
	}
	src[5] ^= 1 // one bit of the first word of block 0

	r := tape.NewReader(l, "gp.tape", bytes.NewReader(src))
	for r.Scan() {
		b := r.Block()
		fmt.Println("block", b.Name, "good:", b.Good())
		for _, p := range b.Problems {
			fmt.Println(" ", p)
		}
	}
	if err := r.Err(); err != nil {
		fmt.Println(err)
	}
	// Output:
	// block 0 good: false
	//   gp.tape: block 0: sum wrong: 3333 is recorded, and the words read give 3332
	// block 1 good: true
	// block 2 good: false
	//   gp.tape: block 2: block missing: none on the recording has this number
}
