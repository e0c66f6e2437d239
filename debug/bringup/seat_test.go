package bringup_test

import (
	"bytes"
	"strings"
	"testing"

	"coldstart/debug/bringup"
	"coldstart/memory"
)

// A recording given takes the place of the office's, where there is no doubt which drive is meant.
func TestSeat(t *testing.T) {
	const one, two = "", "device TT1 tape\n" // the second drive, in the place of the teletypewriter
	tests := []struct {
		name, second, named string
		given               []bringup.Seat
		seated              string // channel and file of each tape; or what is wrong
	}{
		{"none given", one, "TC1 t.tape", nil, "TC1 t.tape"},
		{"the only one seated", one, "TC1 t.tape", []bringup.Seat{{File: "n.tape"}}, "TC1 n.tape"},
		{"the only one seated, of two drives", two, "TC1 t.tape", []bringup.Seat{{File: "n.tape"}}, "TC1 n.tape"},
		{"the only drive, none seated", one, "", []bringup.Seat{{File: "n.tape"}}, "TC1 n.tape"},
		{"named", two, "TC1 t.tape", []bringup.Seat{{Channel: "TT1", File: "n.tape"}}, "TC1 t.tape TT1 n.tape"},
		{"two drives, none seated", two, "", []bringup.Seat{{File: "n.tape"}}, "n.tape: it could go on any of TC1, TT1; say which, as in TC1=FILE"},
		{"no such channel", one, "TC1 t.tape", []bringup.Seat{{Channel: "TC2", File: "n.tape"}}, `n.tape: "TC2" is no tape drive here; the nearest is "TC1"`},
		{"a channel without a drive", one, "TC1 t.tape", []bringup.Seat{{Channel: "TT1", File: "n.tape"}}, `n.tape: "TT1" is no tape drive here; `},
		{"twice", one, "TC1 t.tape", []bringup.Seat{{File: "n.tape"}, {Channel: "TC1", File: "o.tape"}},
			"o.tape: drive TC1 has been given n.tape already; seat one of the two"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			k := newKiln(t, "halt", "")
			raw := k.seat(t, firstBlock, secondBlock)
			list := strings.Replace(string(k["office.list"]), "tape TC1 t.tape\n", "", 1)
			if test.named != "" {
				list += "tape " + test.named + "\n"
			}
			if test.second != "" {
				list = strings.Replace(list, "device TT1 teletypewriter baud 110 units 11\n", test.second, 1)
			}
			k["office.list"] = []byte(list)
			for i := range test.given {
				test.given[i].Data = bytes.Replace(raw, []byte{0o10, 0o01}, []byte{0o10, 0o07}, 1)
			}
			o, err := bringup.Open(k.file, "office.list", test.given...)
			if err != nil {
				if !strings.HasPrefix(err.Error(), test.seated) {
					t.Errorf("%v; want %s", err, test.seated)
				}
				return
			}
			var seated []string
			for _, tp := range o.Tapes {
				b := tp.Recording.Blocks[0]
				seated = append(seated, tp.Channel.Name+" "+b.File)
				if want := map[string]memory.Word{"t.tape": 0o1001, "n.tape": 0o1007}[b.File]; b.Words[0] != want {
					t.Errorf("%s: word 0 is %04o, want %04o", b.File, b.Words[0], want)
				}
			}
			if got := strings.Join(seated, " "); got != test.seated {
				t.Errorf("seated %q, want %q", got, test.seated)
			}
		})
	}
}
