package plant

import (
	"strings"
	"testing"

	"coldstart/loader/list"
	"coldstart/memory"
)

// Every example of the manual is read: devices by one parser, traffic by the other.
func TestManualExamples(t *testing.T) {
	var devices, traffic string
	for line := range strings.Lines(Manual()) {
		switch example, ok := strings.CutPrefix(line, "    "); {
		case ok && strings.HasPrefix(example, "device "):
			devices += example
		case ok:
			traffic += example
		}
	}
	records, err := list.Read("office.list", []byte(devices))
	if err != nil {
		t.Fatal(err)
	}
	g := memory.Geometry{Width: 18, AddrBits: 15, Style: memory.Style{Radix: 8}, Areas: []memory.Area{{Name: "ST0", First: 0, Last: 0o37777, Width: 18}}}
	var errs list.Errors
	fittings := Parse(&errs, records, &g)
	if err := errs.Err(); err != nil || len(fittings) != len(Kinds) {
		t.Fatalf("%d devices, %v", len(fittings), err)
	}
	all, err := ReadTraffic("evening.list", []byte(traffic), fittings[0].Port.Plant().Spec(), g.Style)
	if err != nil || len(all.Calls) != 4 || len(all.Typed) != 1 || len(all.Expected) != 1 {
		t.Errorf("%+v, %v", all, err)
	}
}

// What cannot be built is refused in a sentence.
func TestDevicesRefused(t *testing.T) {
	for _, test := range []struct{ list, want string }{
		{"device PU1 pulser frames 0", "from 1 to 16"},
		{"device PU1 pulser frames 17", "from 1 to 16"},
		{"device PU1 pulser lines 500", "lines stand at terminals 0-499, and the network has 480"},
		{"device PU1 pulser lines 412\ndevice TR1 trunks 38 at 400", "lines and trunks are both said to stand at terminal 400"},
		{"device PU1 pulser\ndevice PU2 pulser", "there is a device of the kind pulser already"},
		{"device PU1 pulser map 77777", "there is no store at 77777"},
		{"device PU1 pulser frames 16 concentrators 32 lines 8192", ""},
		{"device SN1 scanner rows 3", "nothing belongs here"},
	} {
		records, err := list.Read("office.list", []byte(test.list))
		if err != nil {
			t.Fatal(err)
		}
		g := memory.Geometry{Width: 18, AddrBits: 15, Style: memory.Style{Radix: 8}, Areas: []memory.Area{{Name: "ST0", First: 0, Last: 0o37777, Width: 18}}}
		var errs list.Errors
		Parse(&errs, records, &g)
		if err := errs.Err(); (err == nil) != (test.want == "") || err != nil && !strings.Contains(err.Error(), test.want) {
			t.Errorf("%s: %v, want %q", test.list, err, test.want)
		}
	}
}
