package tape_test

import (
	"bytes"
	"encoding/hex"
	"regexp"
	"strings"
	"testing"

	"coldstart/loader/list"
	"coldstart/loader/tape"
	"coldstart/memory"
)

// examples gives the set-in blocks of the manual.
func examples() []string {
	var all []string
	in := false
	for line := range strings.Lines(tape.Manual()) {
		text, set := strings.CutPrefix(line, "    ")
		switch {
		case set && in:
			all[len(all)-1] += text
		case set:
			all = append(all, text)
		}
		in = set
	}
	return all
}

// The layout at the head of the manual is one that can be read, and says what the manual says of it.
func TestManualLayout(t *testing.T) {
	l, err := tape.ReadLayout("manual", []byte(examples()[0]))
	if err != nil {
		t.Fatal(list.Report(err))
	}
	first, last, stated := l.Expected()
	if l.Name() != "wendle" || l.Width() != 18 || first != 0 || last != 0o53 || !stated || l.BlockName(7) != "007" || l.WordName(1) != "000001" {
		t.Errorf("layout %s: %d bits, blocks %d to %d, %v, %s, %s", l.Name(), l.Width(), first, last, stated, l.BlockName(7), l.WordName(1))
	}
}

// knownWord is the word the manual shows in each packing.
const knownWord memory.Word = 0o123456

// Every line of the table of packings gives the bytes it says it does, and the word back.
func TestManualPackings(t *testing.T) {
	table := examples()[1]
	if n := strings.Count(table, "\n"); n < 7 {
		t.Fatalf("a table of %d lines, want 7 or more:\n%s", n, table)
	}
	for line := range strings.Lines(table) {
		want, records, _ := strings.Cut(line, "  bytes ")
		records = strings.ReplaceAll("bytes "+records, "; ", "\n")
		known(t, "word 18 bits\n"+records, want)
	}
}

// The example with parity records the known word as the manual says.
func TestManualParity(t *testing.T) {
	said := regexp.MustCompile(`123456 is\s+recorded\s+as\s+((?:[0-9A-F]{2}\s)+[0-9A-F]{2})\.`).FindStringSubmatch(tape.Manual())
	if said == nil {
		t.Fatal("the manual does not say how 123456 is recorded")
	}
	known(t, examples()[2], said[1])
}

// known records the known word in a layout, wants the bytes said, and reads it back.
func known(t *testing.T, records, said string) {
	t.Helper()
	l, err := build(records + "\ndata 1 word")
	if err != nil {
		t.Fatal(list.Report(err))
	}
	want, err := hex.DecodeString(strings.Join(strings.Fields(said), ""))
	if err != nil {
		t.Fatal(err)
	}
	got, err := l.Append(nil, 0, 0, []memory.Word{knownWord})
	if err != nil || !bytes.Equal(got, want) {
		t.Errorf("%s: %o is recorded as % X, %v; the manual says % X", records, knownWord, got, err, want)
	}
	rec, err := tape.Read(l, "x", bytes.NewReader(got))
	if err != nil || rec.Err() != nil || rec.Blocks[0].Words[0] != knownWord || rec.Words(0)[0] != knownWord {
		t.Errorf("%s: %o comes back as %o, %v", records, knownWord, rec.Blocks[0].Words, rec.Err())
	}
}

// Every sum and check of the manual is one that can be read, and so is each record it quotes.
func TestManualRecords(t *testing.T) {
	all := examples()
	const head = "field number\nfield count\n"
	tried := 0
	for record := range strings.SplitSeq(strings.TrimSpace(strings.ReplaceAll(all[3]+all[4], "\\\n", "")), "\n") {
		if _, err := build(head + "field address\n" + record); err != nil {
			t.Errorf("%s: %s", record, list.Report(err))
		}
		tried++
	}
	if tried != 4 {
		t.Errorf("%d sums and checks, want 4", tried)
	}
	flat := strings.ReplaceAll(tape.Manual(), "\n", " ")
	for _, tt := range []struct{ record, with string }{
		{"bytes 3 of 6 bits make 1 word high first", "word 18 bits"},
		{"bytes 3 of 8 bits make 2 words low first", "word 12 bits"},
		{"bytes 2 of 4 bits make 1 word high first", "word 8 bits"},
		{"bits low first", ""},
		{"bits reversed low first", ""},
		{"field address 2 words high first", ""},
		{"data count words up to 1024", ""},
		{"text 2 of 9 bits high first", "word 18 bits\nbytes 3 of 6 bits make 1 word high first"},
	} {
		if !strings.Contains(flat, tt.record) {
			t.Errorf("the manual does not show %q", tt.record)
		}
		if _, err := build(head + tt.record + "\n" + tt.with); err != nil {
			t.Errorf("%s: %s", tt.record, list.Report(err))
		}
	}
}
