package bringup_test

import (
	"crypto/sha256"
	"fmt"
	"strings"
	"testing"

	"coldstart/debug/bringup"
	"coldstart/memory"
)

// lineage is that of a recording whose block 0 came whole from one pass, words 0 and 1 of block 1 from two, its word 2 by a
// decision, and its word 3 in doubt.
func lineage(recording []byte) []byte {
	return fmt.Appendf(nil, `{"lineage":1,"image":{"name":"t.tape","path":"t.tape","sha256":"%x"},"layout":{"name":"kiln","path":"kiln.layout","sha256":"0"},"passes":[],"mixtures":1,"slip_bits":1,"blocks":2}
{"kind":"words","block":0,"name":"0","first":-3,"count":8,"rule":"sum","pass":"p2","position":0,"passes":["p2"]}
{"kind":"words","block":1,"name":"1","first":0,"count":2,"rule":"mixture","pass":"p1","position":1,"passes":["p1","p2"]}
{"kind":"words","block":1,"name":"1","first":2,"count":1,"rule":"decision","pass":"p1","position":1,"passes":["p1"],"by":"A. Person","on":"1979-11-25","because":"it runs"}
{"kind":"words","block":1,"name":"1","first":3,"count":1,"rule":"doubt","pass":"p1","position":1,"passes":["p1"],"doubtful":true}
`, sha256.Sum256(recording))
}

// A lineage beside a recording says who speaks for each word of it, wherever the run shows where a word came from.
func TestWitness(t *testing.T) {
	k := newKiln(t, loading()+"done: load 15\nhalt", "")
	raw := k.seat(t, firstBlock, secondBlock)
	k["t.tape.lineage"] = lineage(raw)
	given := bringup.Seat{File: "n.tape", Data: raw, Lineage: lineage(raw)}
	for _, seats := range [][]bringup.Seat{nil, {given}} {
		o, err := bringup.Open(k.file, "office.list", seats...)
		if err != nil {
			t.Fatal(err)
		}
		file := o.Tapes[0].Recording.Blocks[0].File
		for _, test := range []struct {
			block, word int
			want        []string // each in what is said; none: nothing is
		}{
			{0, 0, []string{"p2", "sum", "1 pass"}},
			{1, 1, []string{"p1", "mixture", "2 passes"}},
			{1, 2, []string{"decided by A. Person on 1979-11-25", "it runs"}},
			{1, 3, []string{"DOUBTFUL", "p1"}},
			{0, -1, nil},
			{1, 4, nil},
			{2, 0, nil},
		} {
			got := o.Witness(memory.Origin{Kind: memory.Tape, File: file, Block: test.block, Word: test.word})
			for _, want := range test.want {
				if !strings.Contains(got, want) {
					t.Errorf("%s, block %d word %d: %q, want %q in it", file, test.block, test.word, got, want)
				}
			}
			if (got == "") != (test.want == nil) {
				t.Errorf("%s, block %d word %d: %q", file, test.block, test.word, got)
			}
		}
		if o.Witness(memory.Origin{Kind: memory.Tape, File: "other", Word: 0}) != "" || o.Witness(memory.Origin{Kind: memory.Wired, File: file}) != "" {
			t.Error("a lineage speaks for words that are not of its tape")
		}
	}
	o := k.open(t)
	r := run(t, o, bringup.Start{Fill: 1})
	if w := r.Record.Whence(0o15); o.Witness(w.Origin) == "" {
		t.Errorf("nobody speaks for the word at 015, from %+v", w.Origin)
	}
}

// A lineage that is not about the recording beside it, or is none, is refused by name.
func TestWrongLineage(t *testing.T) {
	k := newKiln(t, "halt", "")
	raw := k.seat(t, firstBlock, secondBlock)
	for name, test := range map[string]struct{ lineage, want string }{
		"of another":  {string(lineage(append(raw, 1))), "t.tape.lineage: it is not about t.tape, whose SHA-256 begins "},
		"no lineage":  {"photograph", "t.tape.lineage:1: this is no line of a lineage: "},
		"cut short":   {string(lineage(raw)[:300]), "t.tape.lineage:"},
		"of the file": {string(lineage(raw)), ""},
	} {
		k["t.tape.lineage"] = []byte(test.lineage)
		_, err := bringup.Open(k.file, "office.list")
		if (err == nil) != (test.want == "") || err != nil && !strings.HasPrefix(err.Error(), test.want) {
			t.Errorf("%s: %v, want %q", name, err, test.want)
		}
		seat := bringup.Seat{File: "n.tape", Data: raw, Lineage: []byte(test.lineage)}
		_, err = bringup.Open(k.file, "office.list", seat)
		if want := strings.ReplaceAll(test.want, "t.tape", "n.tape"); (err == nil) != (want == "") || err != nil && !strings.HasPrefix(err.Error(), want) {
			t.Errorf("%s, given: %v, want %q", name, err, want)
		}
	}
}

// A run that stops at a word the passes do not agree on leads there first.
func TestLeadsToDoubt(t *testing.T) {
	k := newKiln(t, loading()+"done: jump 17", "")
	raw := k.seat(t, firstBlock, []memory.Word{0o2001, 0o2002, 0o2003, 0o7777}) // the last goes to 017, and no order reads it
	k["t.tape.lineage"] = append(lineage(raw), `{"kind":"doubt","block":1,"name":"1","first":3,"readings":[{"word":4095,"text":"7777","passes":["p1"],"in":["1.a"]},{"word":1,"text":"0001","passes":["p2"],"in":["1.b"]}]}`+"\n"...)
	r := run(t, k.open(t), bringup.Start{Fill: 1})
	want := "017: tape t.tape block 1 word 3, which nobody is sure of: 7777 in p1 (1.a); 0001 in p2 (1.b)"
	if r.Ending != bringup.Trapped || first(r.LookAt) != want {
		t.Errorf("%v, look at %q, want %q", r.Ending, r.LookAt, want)
	}
	if first(r.ToSettle) != "splice the passes again with another mixture, by --take, and bring that up" {
		t.Errorf("to settle it: %q", r.ToSettle)
	}
}
