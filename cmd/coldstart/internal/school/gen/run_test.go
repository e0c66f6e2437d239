package main

import (
	"bytes"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"coldstart/cpu"
	"coldstart/cpu/channel"
	"coldstart/cpu/duplex"
	"coldstart/debug/bringup"
	"coldstart/loader/tape"
	"coldstart/memory"

	"github.com/google/go-cmp/cmp"
)

// The recording, as gp.layout has it: three bytes a word, 261 words a block, 4 of them before the data.
const (
	byteEach  = 3
	wordsEach = 261
	header    = 4
	sumAt     = wordsEach - 1
)

// at is where word w of block b begins on the recording.
func at(b, w int) int { return (b*wordsEach + w) * byteEach }

// flip turns bit 4 of a word over.
func flip(b, w int) func([]byte) []byte {
	return func(rec []byte) []byte {
		rec[at(b, w)+2] ^= 0o20
		return rec
	}
}

// raise adds 1 to a word of data whose bit 0 is 0, and to the sum, so that the block reads well.
func raise(b, w int) func([]byte) []byte {
	return func(rec []byte) []byte {
		for _, i := range []int{at(b, header+w), at(b, sumAt)} {
			word := int(rec[i])<<12 | int(rec[i+1])<<6 | int(rec[i+2])
			word = (word + 1) & mask
			rec[i], rec[i+1], rec[i+2] = byte(word>>12), byte(word>>6&0o77), byte(word&0o77)
		}
		return rec
	}
}

// cut takes words out of the recording.
func cut(from, to int) func([]byte) []byte {
	return func(rec []byte) []byte { return slices.Delete(rec, from, to) }
}

// power is a half of the office with power up; edit changes files of the office on their way in.
func power(t *testing.T, edit map[string]func([]byte) []byte) *duplex.Half {
	t.Helper()
	office, err := bringup.Open(func(name string) ([]byte, error) {
		src, err := readOffice(name)
		if change := edit[name]; change != nil && err == nil {
			src = change(slices.Clone(src))
		}
		return src, err
	}, "office.list")
	if err != nil {
		t.Fatal(err)
	}
	half, err := office.Half("A", 1)
	if err != nil {
		t.Fatal(err)
	}
	half.Machine.Boot()
	return half
}

// run goes on until the machine halts, or to a time.
func run(h *duplex.Half, until cpu.Time) { h.Machine.Run(1<<40, until) }

// paper is what the teletypewriter has printed, line by line.
func paper(h *duplex.Half) []string {
	tty := h.Rack.Device(2).(*channel.Teletypewriter)
	var lines []string
	for i := range tty.Len() {
		lines = append(lines, tty.Line(i).Text())
	}
	return lines
}

// haltedBy is the number of the halt that a half stands at; -1 where it stands at none.
func haltedBy(h *duplex.Half) int {
	const halts = 0o762000 // 1111 1001 nnnnnnnnnn
	w := h.Seen(h.Machine.Place() - 1)
	if !h.Machine.Halted() || h.Machine.LastTrap() != nil || w&^0o1777 != halts {
		return -1
	}
	return int(w & 0o1777)
}

// TestBadTapes lets the starter and the second stage read bad recordings.
func TestBadTapes(t *testing.T) {
	quicker := func(us string) func([]byte) []byte {
		return func(list []byte) []byte {
			return bytes.Replace(list, []byte("word 125 us"), []byte("word "+us+" us"), 1)
		}
	}
	for _, test := range []struct {
		name string
		file string
		edit func([]byte) []byte
		halt int
		line string
	}{
		{"starter: no mark", tapeFile, flip(1, 0), 0o100, ""},
		{"starter: number", tapeFile, flip(0, 1), 0o101, ""},
		{"starter: address", tapeFile, flip(1, 2), 0o102, ""},
		{"starter: count", tapeFile, flip(0, 3), 0o103, ""},
		{"starter: a word", tapeFile, flip(1, header+100), 0o104, ""},
		{"starter: the sum", tapeFile, flip(0, sumAt), 0o104, ""},
		{"starter: words lost", "office.list", quicker("25"), 0o105, ""},
		{"starter: tape ends", tapeFile, func(rec []byte) []byte { return rec[:at(1, 0)] }, 0o106, ""},
		{"starter: no tape recorded on", tapeFile, func(rec []byte) []byte { return rec[:3] }, 0o106, ""},
		{"no mark", tapeFile, flip(0o17, 0), 0o200, "TAPE 017 NO BLOCK MARK TRIES 4"},
		{"number", tapeFile, flip(0o17, 1), 0o201, "TAPE 017 BAD NUMBER WANTED 000017 FOUND 000037 TRIES 4"},
		{"block missing", tapeFile, cut(at(0o22, 0), at(0o23, 0)), 0o201, "TAPE 022 BAD NUMBER WANTED 000022 FOUND 000023 TRIES 4"},
		{"address", tapeFile, flip(0o17, 2), 0o202, "TAPE 017 LOAD ADDRESS WANTED 013400 FOUND 013420 TRIES 4"},
		{"count", tapeFile, flip(0o17, 3), 0o203, "TAPE 017 WORD COUNT WANTED 000400 FOUND 000420 TRIES 4"},
		{"tape ends", tapeFile, func(rec []byte) []byte { return rec[:at(0o53, 0)] }, 0o206, "TAPE 053 TAPE END TRIES 4"},
		{"last block unfinished", tapeFile, func(rec []byte) []byte { return rec[:at(0o53, 200)] }, 0o206, "TAPE 053 TAPE END TRIES 4"},
		{"words lost", "office.list", quicker("45"), 0o205, "TAPE 002 WORD LOST TRIES 4"},
	} {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			h := power(t, map[string]func([]byte) []byte{test.file: test.edit})
			run(h, 15*cpu.Second)
			if got := haltedBy(h); got != test.halt {
				t.Errorf("halt %o at %05o, %.3f s; want halt %o", got, h.Machine.Place()-1, float64(h.Machine.Now())/1e12, test.halt)
			}
			got := strings.Join(paper(h), "")
			if want := "WENDLE FERRY " + test.line; test.line != "" && got != want || test.line == "" && got != "" {
				t.Errorf("printed %q, want %q", got, want)
			}
		})
	}
}

// A shortened is a recording of which one block is cut short on the tape itself, with a gap behind it.
type shortened struct {
	channel.Blocks
	block int
}

// Words are the words at a position.
func (s shortened) Words(i int) []memory.Word {
	if i == s.block {
		return s.Blocks.Words(i)[:200]
	}
	return s.Blocks.Words(i)
}

// TestCutShort seats a tape with a short block.
func TestCutShort(t *testing.T) {
	for _, test := range []struct {
		block, halt int
		line        string
	}{
		{1, 0o107, ""},
		{0o17, 0o207, "WENDLE FERRY TAPE 017 CUT SHORT TRIES 4"},
	} {
		t.Run(fmt.Sprintf("%03o", test.block), func(t *testing.T) {
			h := power(t, nil)
			h.Rack.Device(1).(*channel.Drive).Seat(shortened{recording(t), test.block})
			run(h, 15*cpu.Second)
			if got := haltedBy(h); got != test.halt {
				t.Errorf("halt %o, want %o", got, test.halt)
			}
			if got := strings.Join(paper(h), ""); got != test.line {
				t.Errorf("printed %q, want %q", got, test.line)
			}
		})
	}
}

// recording is the office's recording, read.
func recording(t *testing.T) *tape.Recording {
	t.Helper()
	src, err := readOffice(layoutFile)
	if err != nil {
		t.Fatal(err)
	}
	layout, err := tape.ReadLayout(layoutFile, src)
	if err != nil {
		t.Fatal(err)
	}
	rec, err := readOffice(tapeFile)
	if err != nil {
		t.Fatal(err)
	}
	all, err := tape.Read(layout, tapeFile, bytes.NewReader(rec))
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// TestSumWanted compares the two sums of a trouble line with those on the recording: one word of block 017 is altered.
func TestSumWanted(t *testing.T) {
	h := power(t, map[string]func([]byte) []byte{tapeFile: flip(0o17, header+0o107)})
	run(h, 15*cpu.Second)
	rec, err := readOffice(tapeFile)
	if err != nil {
		t.Fatal(err)
	}
	sum := rec[at(0o17, sumAt):]
	wanted := int(sum[0])<<12 | int(sum[1])<<6 | int(sum[2])
	found := (wanted + 0o20) & mask
	if rec[at(0o17, header+0o107)+2]&0o20 != 0 {
		found = (wanted - 0o20) & mask
	}
	want := []string{fmt.Sprintf("WENDLE FERRY TAPE 017 SUM WANTED %06o FOUND %06o TRIES 4", wanted, found)}
	if diff := cmp.Diff(want, paper(h)[:1]); diff != "" {
		t.Errorf("printed: want -, got +\n%s", diff)
	}
}

// TestRetry spoils a line from the tape channel for a while: the block read meanwhile is refused, then read again.
func TestRetry(t *testing.T) {
	h := power(t, nil)
	run(h, 1000*cpu.Millisecond)
	spoilt := channel.Fault{Part: channel.ReceiveBit, Bit: 4, Value: 1}
	if err := h.Rack.Jam(1, spoilt); err != nil {
		t.Fatal(err)
	}
	run(h, 1040*cpu.Millisecond)
	if err := h.Rack.Unjam(1, spoilt); err != nil {
		t.Fatal(err)
	}
	run(h, 9*cpu.Second)
	want := []string{"WENDLE FERRY UP 054 BLOCKS", "BLOCKS REFUSED 001"}
	if diff := cmp.Diff(want, paper(h)[:2]); diff != "" {
		t.Errorf("printed: want -, got +\n%s", diff)
	}
}

// TestBadTables brings in words that are wrong although their blocks read well. A report names the table, the two sums,
// and where to look; a wrong case makes the order check fail, and that halts.
func TestBadTables(t *testing.T) {
	p := program(t)
	label := func(name string) memory.Addr {
		a, ok := p.Label(name)
		if !ok {
			t.Fatalf("no label %s", name)
		}
		return a
	}
	for _, test := range []struct {
		name string
		addr memory.Addr
		halt int
		want string // pattern of the second line
	}{
		{"wrong case", label("cases") + 14*3 + 2, 0o300, `^ORDER CHECK 01[0-7]{4} ARITHMETIC WANTED 000003 FOUND 000002$`},
		{"wrong line", label("line-table") + 4, -1, `^TROUBLE TABLE LINES 026000 WANTED [0-7]{6} FOUND [0-7]{6}$`},
		{"wrong code", label("code-table") + 7, -1, `^TROUBLE TABLE CODES 0[0-7]{5} WANTED [0-7]{6} FOUND [0-7]{6}$`},
	} {
		t.Run(test.name, func(t *testing.T) {
			block := int(test.addr-0o4000) / 0o400
			h := power(t, map[string]func([]byte) []byte{tapeFile: raise(block, int(test.addr)&0o377)})
			run(h, 13*cpu.Second)
			if got := haltedBy(h); got != test.halt {
				t.Errorf("halt %o, want %o", got, test.halt)
			}
			if lines := paper(h); len(lines) < 2 || !regexp.MustCompile(test.want).MatchString(lines[1]) {
				t.Errorf("with %05o one too high printed %q, want a second line like %s", test.addr, lines, test.want)
			}
		})
	}
}

// named gives the value of a constant of working.order.
func named(t *testing.T, name string) memory.Addr {
	t.Helper()
	src, err := readOffice("working.order")
	if err != nil {
		t.Fatal(err)
	}
	m := regexp.MustCompile(`(?m)^` + name + ` *= ([0-7]+)`).FindSubmatch(src)
	if m == nil {
		t.Fatalf("no constant %s", name)
	}
	v, err := strconv.ParseUint(string(m[1]), 8, 15)
	if err != nil {
		t.Fatal(err)
	}
	return memory.Addr(v)
}

// TestBaseLevel runs a clean office for a while and looks at what base level has come to: calls tried and made, tables
// walked, no trouble found, the seconds counted on their lamp row; then an hour is made to end.
func TestBaseLevel(t *testing.T) {
	h := power(t, nil)
	play(t, h)
	run(h, 33*cpu.Second)
	seen := func(name string) int { return int(h.Seen(named(t, name))) }
	for _, name := range []string{"calls-made", "laps-of-walk", "passes"} {
		if seen(name) == 0 {
			t.Errorf("%s is 0 after 33 s", name)
		}
	}
	if got := seen("troubles"); got != 0 {
		t.Errorf("%d troubles found in a clean office", got)
	}
	if got := h.Seen(0o761); got != 27 && got != 28 {
		t.Errorf("row 000761 shows %d seconds after 33 s, some 5 of them before base level", got)
	}
	for _, name := range []string{"seconds", "minutes"} {
		if err := h.Store.Poke(named(t, name), 59); err != nil {
			t.Fatal(err)
		}
	}
	run(h, 45*cpu.Second)
	lines := paper(h)
	if h.Machine.Halted() || len(lines) < 4 {
		t.Fatalf("halted %v, printed %q; want the hour's lines", h.Machine.Halted(), lines)
	}
	for i, want := range []string{
		`^WENDLE FERRY UP 054 BLOCKS$`, `^ORDERS CHECKED [0-7]{4} TABLES 031$`, `^LINE 017 CLASS 3 DONE$`,
		`^HOUR 001 CALLS 0000[0-7]{2} OF 0000[0-7]{2}$`, `^ROUTE 00[0-7] 00000[1-7]$`,
	} {
		if !regexp.MustCompile(want).MatchString(lines[i]) {
			t.Errorf("line %d is %q, want one like %s", i, lines[i], want)
		}
	}
}
