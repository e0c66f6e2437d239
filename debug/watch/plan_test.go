package watch

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"coldstart/cpu/order"
	"coldstart/memory"
)

func TestReadChase(t *testing.T) {
	tests := []struct{ record, want string }{
		{"chase a row 760 dwell 48 ms", "row 00760, one lamp moving left, 16 places, 48 ms each; tolerance 2.4 ms, 3 laps, path 16"},
		{"chase a row 000761 places 0-7 width 2 dark way right dwell 0.5 s tolerance 10 ms laps 5",
			"row 00761, 2 dark lamps moving right, 8 places, 500 ms each; tolerance 10 ms, 5 laps, path 7"},
		{"chase a row 760 places 7-0 width 2 lit ring dwell 48 ms", "row 00760, 2 lamps moving left, 8 places, 48 ms each; tolerance 2.4 ms, 3 laps, path 8"},
		{"chase a lamps 760.0 760.5 761.3 way there-and-back dwell 48 ms",
			"named lamps, one lamp moving there and back, 3 places, 48 ms each; tolerance 2.4 ms, 3 laps, path 4"},
	}
	for _, test := range tests {
		t.Run(test.record, func(t *testing.T) {
			c := read(t, test.record).Chases[0]
			got := strings.Join([]string{c.String(), "tolerance " + c.Tolerance.String() + ", " + count(c.Laps, "lap"), "path " + count(len(c.path), "")}, "; ")
			got = strings.Replace(strings.TrimSuffix(got, " s"), "; path", ", path", 1)
			if got != test.want {
				t.Errorf("got  %s\nwant %s", got, test.want)
			}
		})
	}
}

func TestReadMilestone(t *testing.T) {
	plan := read(t, `
milestone a required at 77400 "wired starter entered"
milestone b at 1000
milestone c writes 1777
milestone d prints "WENDLE FERRY"
milestone e required chase walk
milestone f holds 4000-4077 4100 for 1 s
chase walk row 760 dwell 48 ms
`)
	var got []string
	for _, m := range plan.Milestones {
		text := m.Name + ": " + m.Sentence
		if m.Required {
			text += " (required)"
		}
		got = append(got, text)
	}
	want := []string{
		"a: wired starter entered (required)",
		"b: order at 01000 begun",
		"c: 01777 written",
		`d: line printed with "WENDLE FERRY"`,
		"e: chase walk seen (required)",
		"f: held 1 s within 04000-04077, 04100-04100",
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("milestones (-want +got)\n%s", diff)
	}
}

func TestReadRefuses(t *testing.T) {
	tests := []struct{ record, want string }{
		{"chse a row 760 dwell 48 ms", `1:1: "chse" is no record here; the nearest is "chase"`},
		{"chase a row 770 dwell 48 ms", "1:13: no lamps at 00770: lamp rows are from 00760 to 00761"},
		{"chase a row 789 dwell 48 ms", `1:13: "789" is not a number in octal: '8' is no octal digit`},
		{"chase a row 777777 dwell 48 ms", "1:13: 777777 is no address of the machine: they go up to 77777"},
		{"chase a row 760 laps 3", "1:1: the chase has no dwell; write how long each place holds, such as: dwell 48 ms"},
		{"chase a dwell 48 ms laps 3", "1:1: the chase has no places; write row and its address, or lamps and their names"},
		{"chase a row 760 dwel 48 ms", `1:17: "dwel" is no setting here; the nearest is "dwell"`},
		{"chase a row 760 dwell 48", `1:23: the record ends after "48"; a unit of time belongs there`},
		{"chase a row 760 dwell 48 ms tolerance 24 ms", "1:1: a tolerance of 24 ms is half of the dwell of 48 ms or more, so no fault could be told"},
		{"chase a row 760 places 0-17 dwell 48 ms", "1:24: bit 17 of row 00760 lights nothing; bits 15 to 0 do"},
		{"chase a row 760 places 0-99 dwell 48 ms", "1:24: no bit 99 in a word of 18 bits: they are numbered 0 to 17 from the right"},
		{"chase a row 760 places all dwell 48 ms", `1:24: "all" are no places; write the bit numbers of the first and the last, such as 0-15`},
		{"chase a places 0-7 row 760 dwell 48 ms", "1:16: places belong after the row they are in"},
		{"chase a row 760 width 15 dwell 48 ms", "1:1: 15 moving lamps in 16 places have fewer than 3 positions: that is no chase"},
		{"chase a row 760 width 0 dwell 48 ms", "1:23: the number of lamps that move is 0; it must be from 1 to 63"},
		{"chase a row 760 way up dwell 48 ms", `1:21: "up" is no setting here; known are: left, right, there-and-back`},
		{"chase a row 760 way there-and-back ring dwell 48 ms", "1:1: a chase in a ring has no ends to turn at; leave out ring, or the way there-and-back"},
		{"chase a lamps page.1 dwell 48 ms", "1:15: page.1 is a lamp of a register; a chase is watched on the lamps of store rows"},
		{"chase a lamps pge.1 dwell 48 ms", `1:15: "pge" is no lamp row or register here; the nearest is "page"`},
		{"chase a row 760 dwell 48 ms\nchase a row 761 dwell 48 ms", "2:7: a second chase a; give it another name"},
		{"milestone a at 1\nmilestone a at 2", "2:11: a second milestone a; give it another name"},
		{"milestone a att 1", `1:13: "att" is no setting here; the nearest is "at"`},
		{"milestone a at 8", `1:16: "8" is not a number in octal: '8' is no octal digit`},
		{"milestone a at 1 entered", `1:18: "entered" does not belong here; a milestone ends with its sentence in quotes`},
		{`milestone a at 1 "entered" required`, `1:18: "entered" does not belong here; a milestone ends with its sentence in quotes`},
		{"milestone a required prints", `1:22: the record ends after "prints"; the text to be printed belongs there`},
		{"milestone a chase wlk\nchase walk row 760 dwell 48 ms", `1:19: "wlk" is no chase here; the nearest is "walk"`},
		{"# nothing yet", "1:1: no chase and no milestone is listed; add one, or take this file out of office.list"},
		{"milestone a chase \"seen\"", `1:13: "a" is no chase here; known are: `},
		{"milestone a holds for 1 s", `1:19: no range of addresses before "for"; write the first and the last, such as 00000-00077`},
		{"milestone a holds 10-7 for 1 s", "1:19: the range 10-7 ends before it begins"},
		{"milestone a holds 10-x for 1 s", `1:19: "x" is not a number in octal: 'x' is no octal digit`},
		{"milestone a holds 10-17", `1:19: the record ends after "10-17"; a range of addresses, or for and a time, belongs there`},
		{"milestone a holds 10-17 for", `1:25: the record ends after "for"; a length of time, such as 125 us, belongs there`},
		{"milestone \"", `1:11: the quote opened here is not closed on its line; end the word with "`},
	}
	for _, test := range tests {
		t.Run(test.record, func(t *testing.T) {
			plan, err := Read("chase.list", []byte(test.record), small())
			if err == nil {
				t.Fatalf("a plan %+v, want an error", plan)
			}
			if got := strings.TrimPrefix(err.Error(), "chase.list:"); got != test.want {
				t.Errorf("got  %s\nwant %s", got, test.want)
			}
		})
	}
}

// Handbooks that count bits from the left have places counted so too, and left is still left.
func TestReadFromLeft(t *testing.T) {
	code := &order.Code{
		Geometry: memory.Geometry{Style: memory.Style{Radix: 8, FirstBit: 1, FromLeft: true}, Width: 14, AddrBits: 12},
		Lamps:    []order.Lamps{{First: 0o100, Last: 0o100, Hi: 13}},
	}
	plan, err := Read("chase.list", []byte("chase a row 100 places 1-4 dwell 48 ms"), code)
	if err != nil {
		t.Fatal(err)
	}
	if got := plan.Chases[0].place(0b1001); got != "places 4, 1" {
		t.Errorf("outer places = %s, want places 4, 1: rightmost first", got)
	}
}
