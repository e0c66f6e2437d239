package cli

import (
	"io/fs"
	"strings"
	"testing"

	"coldstart/cmd/coldstart/internal/school"
	"coldstart/cpu/order"
	"coldstart/memory"
	"coldstart/memory/march"
)

// TestMarchLeads puts one fault of every extent in the store of the training machine, and wants march to lead to just that: the
// cell, the chip, the line, the select, the decoder.
func TestMarchLeads(t *testing.T) {
	src, err := fs.ReadFile(school.Files(), "brindlecote.machine")
	if err != nil {
		t.Fatal(err)
	}
	code, err := order.Read("brindlecote.machine", src)
	if err != nil {
		t.Fatal(err)
	}
	test, _ := march.Named("C-")
	for _, tt := range []struct {
		name string
		jams []memory.Jam
		area string // tested; "" is all
		want string // every place it leads to
	}{
		{"cell", []memory.Jam{{Addr: 0o24107, Column: 7, Value: 1}}, "", "ST2 U08 (bit 7) @024107"},
		{"two cells", []memory.Jam{{Addr: 0o24107, Column: 7, Value: 1}, {Addr: 0o30000, Column: 0}}, "",
			"ST2 U08 (bit 7) @024107, ST3 U01 (bit 0) @030000"},
		{"two cells of a bit", []memory.Jam{{Addr: 0o4107, Column: 7, Value: 1}, {Addr: 0o4110, Column: 7, Value: 1}}, "", "ST0 U08 (bit 7) in 2 words from 004107 on"},
		{"on two plug-ins", []memory.Jam{{Addr: 0o4107, Column: 7, Value: 1}, {Addr: 0o24107, Column: 7, Value: 1}}, "",
			"bit 7 in 2 words from 004107 on, on more than one plug-in"},
		{"parity cell", []memory.Jam{{Addr: 0o24107, Column: 18}}, "",
			"ST2, its parity chips: the word at 024107 reads right, and its parity does not fit"},
		{"chip", []memory.Jam{{Fault: memory.ChipStuck, Addr: 0o20000, Column: 7, Value: 1}}, "", "ST2 U08 (bit 7) in all 4096 words: the chip whole"},
		{"chip, tested alone", []memory.Jam{{Fault: memory.ChipStuck, Addr: 0o20000, Column: 7, Value: 1}}, "ST2",
			"ST2 U08 (bit 7) in all 4096 words: the chip whole, or a line, since no other plug-in was tested"},
		{"read line", []memory.Jam{{Fault: memory.ReadLine, Column: 7, Value: 1}}, "", "bit 7 of every word: its line, or what drives or reads it"},
		{"write line", []memory.Jam{{Fault: memory.WriteLine, Column: 0}}, "", "bit 0 of every word: its line, or what drives or reads it"},
		{"address line", []memory.Jam{{Fault: memory.AddressLine, Column: 9}}, "",
			"the address lines and the decoders: whole words go to other places, or come from there"},
		{"address lines tied", []memory.Jam{{Fault: memory.AddressTied, Column: 3, With: 9}}, "",
			"the address lines and the decoders: whole words go to other places, or come from there"},
		{"no select", []memory.Jam{{Fault: memory.NoSelect, Addr: 0o30000}}, "", "ST3, which gives no reply: its select, or nothing is plugged in"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			m := &marching{area: tt.area}
			span, err := m.span(code)
			if err != nil {
				t.Fatal(err)
			}
			if span, err = writable(span); err != nil {
				t.Fatal(err)
			}
			half, err := jammedHalf(code, nil, 1)
			if err != nil {
				t.Fatal(err)
			}
			for _, j := range tt.jams {
				if err := half.Store.Put(j); err != nil {
					t.Fatal(err)
				}
			}
			found, err := march.Run(test, half.Store, span)
			if err != nil {
				t.Fatal(err)
			}
			r := &marchReport{}
			r.take(half, 1, found)
			r.fill(code, test, span)
			if got := strings.Join(r.LookAt, ", "); got != tt.want {
				t.Errorf("it leads to %s\nwant %s", got, tt.want)
			}
			if r.Verdict != "TROUBLE" || len(r.ToSettle) == 0 {
				t.Errorf("verdict %s, to settle it %q", r.Verdict, r.ToSettle)
			}
		})
	}
}
