package loader_test

import (
	"bytes"
	"strings"
	"testing"

	"coldstart/loader"
	"coldstart/memory"
	"coldstart/memory/overlay"
)

// dumpStore is a store of two plug-ins, one with two parity columns and one with none.
var dumpStore = memory.Geometry{Style: memory.Style{Radix: 8}, Width: 18, AddrBits: 9, Areas: []memory.Area{
	{Name: "ST0", First: 0, Last: 0o77, Width: 18, Parity: []memory.Parity{{Name: "right", Odd: true, Hi: 8}, {Name: "left", Odd: true, Hi: 17, Lo: 9}}},
	{Name: "WS1", First: 0o700, Last: 0o777, Width: 18, Wired: true},
}}

func TestReadDump(t *testing.T) {
	d, err := loader.ReadDump("crash.words", []byte("000: 000001/10 777777/01 000003   # the third without\n010: 000004/00\n700: 123456\n"), dumpStore)
	if err != nil {
		t.Fatal(err)
	}
	if w, _, ok := d.Words.At(1); !ok || w != 0o777777 || d.Words.Len() != 5 {
		t.Errorf("word 001 is %o %v of %d words, want 777777 of 5", w, ok, d.Words.Len())
	}
	want := map[memory.Addr]memory.Word{0: 1, 1: 2, 0o10: 0}
	if len(d.Columns) != len(want) {
		t.Errorf("parity of %d words, want %d", len(d.Columns), len(want))
	}
	for a, c := range want {
		if got, ok := d.Columns[a]; !ok || got != c {
			t.Errorf("parity at %o is %d %v, want %d", a, got, ok, c)
		}
	}
	var b bytes.Buffer
	if err := loader.WriteDump(&b, d, dumpStore); err != nil {
		t.Fatal(err)
	}
	if got, want := b.String(), "000: 000001/10 777777/01 000003\n010: 000004/00\n700: 123456\n"; got != want {
		t.Errorf("written again it is\n%s, want\n%s", got, want)
	}
}

func TestReadDumpRefuses(t *testing.T) {
	for src, want := range map[string]string{
		"000: 000001/1":                  `crash.words:1:6: "1" is not the parity of a word of ST0; behind the stroke belongs a 0 or a 1 for each of: right parity, left parity`,
		"000: 000001/12":                 `"12" is not the parity`,
		"000: 000001/":                   `"" is not the parity`,
		"000: 000001/10/10":              `"10/10" is not the parity`,
		"700: 000001/10":                 "WS1 has no parity; write its words without a stroke",
		"000: /10":                       "no number given",
		"000: 000001/10\n000: 000001/00": "the parity of 000 is another here than before; strike out one of them",
		"100: 000001":                    "nothing answers at 100: the next store, WS1, begins at 700",
		"000: 7777777":                   "too wide",
		"":                               "there is no word in the file",
		"this is no dump":                `"this" begins the line; it must be an address with a colon`,
	} {
		if _, err := loader.ReadDump("crash.words", []byte(src), dumpStore); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %q", src, err, want)
		}
	}
	// Plain words have no parity: the stroke is refused there as it always was.
	if _, err := loader.ReadWords("my.words", []byte("000: 000001/10"), dumpStore); err == nil {
		t.Error("plain words took a word with parity")
	}
}

// FuzzReadDump holds that a dump is read or refused, and that what is read is written and read again alike, and can be laid
// over a tape.
func FuzzReadDump(f *testing.F) {
	f.Add([]byte("000: 000001/10 777777/01 000003\n700: 123456\n"))
	f.Add([]byte("000: 1/1"))
	f.Add([]byte("077: 1/00 2/11"))
	f.Add([]byte("\"000:\" \"1/10\"\n\n# note\n010: 4/\n"))
	tape := memory.NewImage(dumpStore)
	for a := range memory.Addr(0o60) {
		if err := tape.Set(a, memory.Word(a)*0o1234&memory.Mask(18), memory.Origin{}); err != nil {
			f.Fatal(err)
		}
	}
	parts := []overlay.Part{{Kind: "program", Rule: overlay.Fixed, First: 0, Last: 0o37}}
	f.Fuzz(func(t *testing.T, src []byte) {
		d, err := loader.ReadDump("fuzz", src, dumpStore)
		if err != nil {
			if !strings.HasPrefix(err.Error(), "fuzz:") {
				t.Errorf("the refusal names no file: %v", err)
			}
			return
		}
		var b, again bytes.Buffer
		if err := loader.WriteDump(&b, d, dumpStore); err != nil {
			t.Fatal(err)
		}
		back, err := loader.ReadDump("back", b.Bytes(), dumpStore)
		if err != nil {
			t.Fatalf("what was written is refused: %v\n%s", err, b.Bytes())
		}
		if err := loader.WriteDump(&again, back, dumpStore); err != nil || !bytes.Equal(b.Bytes(), again.Bytes()) || len(back.Columns) != len(d.Columns) {
			t.Errorf("read again it is another: %v\n%s\n%s", err, b.Bytes(), again.Bytes())
		}
		o := overlay.Lay(dumpStore, tape, d, parts)
		for i := range o.Groups {
			if o.Odds(&o.Groups[i])+o.Means(&o.Groups[i]) == "" || len(o.Groups[i].Addrs) > o.Groups[i].Of {
				t.Errorf("a group of %d of %d", len(o.Groups[i].Addrs), o.Groups[i].Of)
			}
		}
	})
}
