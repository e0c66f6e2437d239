package vouch_test

import (
	"crypto/sha256"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"coldstart/debug/vouch"
)

// lineage puts a lineage with some records behind its head beside the tape.
func (h house) lineage(records ...string) {
	h["pip.tape.lineage"] = fmt.Appendf(nil, `{"lineage":1,"image":{"name":"pip.tape","path":"pip.tape","sha256":"%x"},"layout":{"name":"pip","path":"pip.layout","sha256":"0"},`+
		`"passes":[{"name":"p1","path":"p1.tape","sha256":"1111"},{"name":"p2","path":"p2.tape","sha256":"2222"}],"takes":["0.a"],"mixtures":1,"slip_bits":1,"blocks":3}`+"\n",
		sha256.Sum256(h["pip.tape"]))
	for _, r := range records {
		h["pip.tape.lineage"] = append(h["pip.tape.lineage"], r+"\n"...)
	}
}

// doubt is a record of a doubtful word with two readings.
func doubt(block, word int) string {
	return fmt.Sprintf(`{"kind":"doubt","block":%d,"name":"%d","first":%d,"readings":[{"word":19,"text":"0023","passes":["p1"]},{"word":22,"text":"0026","passes":["p2"]}]}`, block, block, word)
}

// A doubtful word keeps a sheet from GOOD where the run used it, and is listed with its readings where it did not.
func TestDoubtful(t *testing.T) {
	const decision = `{"kind":"decision","block":1,"name":"1","what":"take 1.b","by":"A. Person","on":"1979-11-24","because":"it runs"}`
	tests := []struct {
		name, override string
		records        []string
		result         string
		words          []vouch.Word
		against        []string
	}{
		{"none", "", nil, "GOOD", nil, nil},
		{"run", "", []string{doubt(0, 0)}, "UNDECIDED",
			[]vouch.Word{{Place: "0/0", Address: "013", Use: "RUN", Readings: []string{"0023 by p1", "0026 by p2"}}}, []string{"doubtful word 0/0, RUN: 0023 by p1; 0026 by p2"}},
		{"let pass", "it is the one that runs", []string{doubt(0, 0)}, "GOOD",
			[]vouch.Word{{Place: "0/0", Address: "013", Use: "RUN", Readings: []string{"0023 by p1", "0026 by p2"}}}, []string{"doubtful word 0/0, RUN: 0023 by p1; 0026 by p2"}},
		{"read", "", []string{doubt(1, 0)}, "UNDECIDED",
			[]vouch.Word{{Place: "1/0", Address: "023", Use: "READ AS DATA", Readings: []string{"0023 by p1", "0026 by p2"}}}, []string{"doubtful word 1/0, READ AS DATA: 0023 by p1; 0026 by p2"}},
		{"never touched", "", []string{doubt(2, 3)}, "GOOD",
			[]vouch.Word{{Place: "2/3", Address: "036", Use: "never touched", Readings: []string{"0023 by p1", "0026 by p2"}}}, nil},
		{"in a head", "", []string{doubt(2, -1)}, "GOOD",
			[]vouch.Word{{Place: "2/head", Use: "of the head or sum of its block", Readings: []string{"0023 by p1", "0026 by p2"}}}, nil},
		{"a sum", "", []string{doubt(2, 4)}, "GOOD",
			[]vouch.Word{{Place: "2/4", Use: "of the head or sum of its block", Readings: []string{"0023 by p1", "0026 by p2"}}}, nil},
		{"of a block that is not there", "", []string{doubt(7, 0)}, "GOOD",
			[]vouch.Word{{Place: "7/0", Use: "of the head or sum of its block", Readings: []string{"0023 by p1", "0026 by p2"}}}, nil},
		{"decided", "", []string{decision}, "GOOD", nil, nil},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			h := newHouse(t, "office.list", "Pip", "Pip")
			h.lineage(test.records...)
			s := h.sheet(t, test.override)
			if s.Result != test.result || !s.Merged {
				t.Errorf("%s, merged %v; want %s", s.Result, s.Merged, test.result)
			}
			if diff := cmp.Diff(test.words, s.Doubtful, cmpopts.EquateEmpty()); diff != "" {
				t.Errorf("words (-want +got)\n%s", diff)
			}
			if diff := cmp.Diff(test.against, s.Against, cmpopts.EquateEmpty()); diff != "" {
				t.Errorf("against it (-want +got)\n%s", diff)
			}
			if !slices.Contains(s.Decisions, "mixture 0.a stands in the image as a try: nobody has decided for it") {
				t.Errorf("the try is not told of: %q", s.Decisions)
			}
			if decided := strings.Contains(s.Text(), "take 1.b, decided by A. Person on 1979-11-24"); decided != (test.name == "decided") {
				t.Errorf("the decision is on the sheet: %v\n%s", decided, s.Text())
			}
		})
	}
}

// A run that ended badly after it used a doubtful word is excused by that, and one that did not is not.
func TestDoubtfulTrouble(t *testing.T) {
	for word, want := range map[int]string{0: "UNDECIDED", 3: "TROUBLE"} {
		h := newHouse(t, "pip.machine", "zero <- A = 0", "zero <- A /= 0") // it halts
		block := 0
		if word == 3 {
			block = 2
		}
		h.lineage(doubt(block, word))
		if s := h.sheet(t, ""); s.Result != want {
			t.Errorf("word %d/%d: %s, want %s; against it: %q", block, word, s.Result, want, s.Against)
		}
	}
}

// A doubtful word that the machine took for an order, and that none reads, was met like any other.
func TestDoubtfulUnread(t *testing.T) {
	h := newHouse(t, "pip.tape", "\x08\x0d", "\x38\x0d") // word 2 of block 0: 1015 becomes 7015
	h.lineage(doubt(0, 2))
	s := h.sheet(t, "")
	if s.Result != "UNDECIDED" || s.Use.Undefined != 1 || len(s.Doubtful) != 1 || s.Doubtful[0].Use != "RUN" {
		t.Errorf("%s, undefined orders met: %d, doubtful %+v", s.Result, s.Use.Undefined, s.Doubtful)
	}
	if want := "doubtful word 0/2, RUN: 0023 by p1; 0026 by p2"; !slices.Contains(s.Against, want) {
		t.Errorf("against it: %q, want %q", s.Against, want)
	}
}

// In a run that ended badly, a doubtful word that was only loaded is named, and excuses nothing.
func TestDoubtfulLoaded(t *testing.T) {
	h := newHouse(t, "pip.machine", "zero <- A = 0", "zero <- A /= 0")
	h.lineage(doubt(2, 3))
	s := h.sheet(t, "")
	if want := "doubtful word 2/3, never touched: 0023 by p1; 0026 by p2"; s.Result != "TROUBLE" || !slices.Contains(s.Against, want) {
		t.Errorf("%s, against it: %q, want TROUBLE and %q", s.Result, s.Against, want)
	}
}
