package loader_test

import (
	"fmt"
	"strings"
	"testing"

	"coldstart/loader"
	"coldstart/loader/list"

	"github.com/google/go-cmp/cmp"
)

const officeText = `# an invented office
office  "Wendle Ferry"
machine test.machine
wired   WS1 starter.words
layout  tapes/gp.layout
tape    TC1 tapes/gp-1.tape "GP-1, spring copy"
areas   gp.areas
chase   gp.chase
march   gp.march
device  TC1 drive word 125 us
device  TT1 teletypewriter
`

func TestReadOffice(t *testing.T) {
	o, err := loader.ReadOffice("office.list", []byte(officeText))
	if err != nil {
		t.Fatal(list.Report(err))
	}
	got := []string{o.Name, o.Machine.Text, o.Wired[0].At.Text, o.Wired[0].File.Text, o.Layout.Text, o.Tapes[0].At.Text,
		o.Tapes[0].File.Text, o.Tapes[0].Label, o.Areas.Text, o.Chase.Text, o.March.Text, o.Devices[0].Words[2].Text, o.Devices[1].Pos.String()}
	want := []string{"Wendle Ferry", "test.machine", "WS1", "starter.words", "tapes/gp.layout", "TC1",
		"tapes/gp-1.tape", "GP-1, spring copy", "gp.areas", "gp.chase", "gp.march", "drive", "office.list:11:1"}
	if diff := cmp.Diff(want, got); diff != "" || len(o.Devices) != 2 {
		t.Errorf("%d devices; (-want +got):\n%s", len(o.Devices), diff)
	}
}

func TestReadOfficeRefuses(t *testing.T) {
	const head = "office X\nmachine m\n"
	tests := []struct{ name, src, want string }{
		{"empty", "", "office.list: no record \"machine\"; add a line like: machine FILE\n" +
			`office.list: no record "office"; add a line like: office "NAME"`},
		{"not a list", "\x00", "office.list:1:1: a NUL byte: this is not a text file, so not a list"},
		{"unknown record", head + "tapes TC1 a", `office.list:3:1: "tapes" is no record here; the nearest is "tape"`},
		{"machine twice", head + "machine n", `office.list:3:1: a second record "machine"; line 2 has the first, and there may be one only`},
		{"channel twice", head + "tape TC1 a\ntape TC1 b", "office.list:4:6: channel TC1 already has its file from line 3; strike out one of them"},
		{"area twice", head + "wired WS1 a\nwired WS1 a", "office.list:4:7: area WS1 already has its file from line 3; strike out one of them"},
		{"device without a kind", head + "device TC1", `office.list:3:1: the record has 1 words after "device"; it must look like: device CHANNEL KIND WORDS...`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := loader.ReadOffice("office.list", []byte(tt.src))
			if err == nil || list.Report(err) != tt.want {
				t.Errorf("%q:\ngot  %v\nwant %s", tt.src, err, tt.want)
			}
		})
	}
}

// No office leads out of its own folder, by any host's rules.
func TestReadOfficeStaysInside(t *testing.T) {
	for _, name := range []string{"", ".", "..", "../x", "a/../../x", "/x", "a//x", "a/", `a\x`, `..\x`, "C:x", "~/x", "./x"} {
		src := fmt.Sprintf("office X\nmachine %q\n", strings.ReplaceAll(name, `\`, "\\"))
		_, err := loader.ReadOffice("office.list", []byte(src))
		if err == nil || !strings.Contains(list.Report(err), "office.list:2:9: ") {
			t.Errorf("machine file %q: got %v, want a refusal at office.list:2:9", name, err)
		}
	}
}

func TestReadAreas(t *testing.T) {
	src := "data 0070\ntable 0010-0017 \"line table\"\nprogram 0000-0007\n"
	areas, err := loader.ReadAreas("x.areas", []byte(src), geometry)
	if err != nil {
		t.Fatal(list.Report(err))
	}
	want := loader.Areas{
		{Kind: "program", Span: loader.Span{First: 0, Last: 7}},
		{Kind: "table", Span: loader.Span{First: 0o10, Last: 0o17}, Name: "line table"},
		{Kind: "data", Span: loader.Span{First: 0o70, Last: 0o70}},
	}
	if diff := cmp.Diff(want, areas); diff != "" {
		t.Errorf("areas (-want +got):\n%s", diff)
	}
	if _, ok := areas.At(0o20); ok {
		t.Error("an area is said to hold 0020, and none does")
	}
}

func TestReadAreasRefuses(t *testing.T) {
	tests := []struct{ name, src, want string }{
		{"not a list", "\x00", "x.areas:1:1: a NUL byte: this is not a text file, so not a list"},
		{"range of letters", "table x-y", "x.areas:1:7: \"x\" is not a number in octal: 'x' is no octal digit"},
		{"unknown kind", "programme 0-7", `x.areas:1:1: "programme" is no record here; the nearest is "program"`},
		{"backwards", "table 0007-0000", "x.areas:1:7: the range 0007-0000 ends before it begins; exchange its ends"},
		{"not octal", "table 0-8", `x.areas:1:7: "8" is not a number in octal: '8' is no octal digit`},
		{"no store", "table 0000-0100", "x.areas:1:7: nothing answers at 0100"},
		{"overlap behind", "table 0-7\n\ndata 7-17", "x.areas:3:6: 7-17 overlaps 0-7 of line 1; an address has one kind only"},
		{"overlap before", "table 7-17\ndata 0-7", "x.areas:2:6: 0-7 overlaps 7-17 of line 1; an address has one kind only"},
		{"one around another", "table 4-5\ndata 0-7", "x.areas:2:6: 0-7 overlaps 4-5 of line 1; an address has one kind only"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := loader.ReadAreas("x.areas", []byte(tt.src), geometry)
			if err == nil || list.Report(err) != tt.want {
				t.Errorf("%q:\ngot  %v\nwant %s", tt.src, err, tt.want)
			}
		})
	}
}

func ExampleReadOffice() {
	o, err := loader.ReadOffice("office.list", []byte(officeText))
	if err != nil {
		fmt.Println(list.Report(err))
		return
	}
	fmt.Println(o.Name)
	for _, t := range o.Tapes {
		fmt.Println(t.At.Text, t.File.Text, t.Label)
	}
	// Output:
	// Wendle Ferry
	// TC1 tapes/gp-1.tape GP-1, spring copy
}
