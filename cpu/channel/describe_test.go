package channel

import (
	"maps"
	"slices"
	"strings"
	"testing"

	"coldstart/cpu"
	"coldstart/loader/list"
	"coldstart/memory"
)

// octal is the style of the machine in these tests.
var octal = memory.Style{Radix: 8}

func sorted(sent map[cpu.Time]memory.Word) []cpu.Time { return slices.Sorted(maps.Keys(sent)) }

// parse makes the device of one record, which must be right.
func parse(t *testing.T, line string) Device {
	t.Helper()
	var errs list.Errors
	_, d := parseLine(t, &errs, line)
	if err := errs.Err(); err != nil || d == nil {
		t.Fatalf("%s: device %v, error %v", line, d, err)
	}
	return d
}

func parseLine(t *testing.T, errs *list.Errors, line string) (list.Word, Device) {
	t.Helper()
	records, err := list.Read("office.list", []byte(line))
	if err != nil {
		t.Fatal(err)
	}
	return Parse(errs, records[0], octal, nil)
}

func TestParseDrive(t *testing.T) {
	got := parse(t, "device TC1 tape word 125 us gap 15375 us start 5 ms stop 3 ms back 60 ms rewind 10 ms"+
		" command forward 1 command stop 2 command back 3 command rewind 4"+
		" sign ready 0 sign gap 1 sign end 2 sign late 3 sign moving 4").(*Drive)
	if got.spec != DefaultDrive() {
		t.Errorf("all defaults written out = %+v, want %+v", got.spec, DefaultDrive())
	}
	want := DefaultDrive()
	want.Word, want.Commands[rewind], want.Signs[late] = 62_500_000, 0o10, 0o17
	if got := parse(t, "device TC1 tape sign late 17 word 62.5 us command rewind 10").(*Drive); got.spec != want {
		t.Errorf("some settings = %+v, want %+v", got.spec, want)
	}
}

func TestParseOthers(t *testing.T) {
	for line, want := range map[string]cpu.Time{
		"device TT1 teletypewriter":                                100 * cpu.Millisecond,
		"device TT1 teletypewriter baud 300 units 10":              33_333_333_333, // 33.3 recurring ms, rounded once
		"device TT1 teletypewriter code ita2 baud 45.45 units 7.5": 165_016_501_650,
		"device TT1 teletypewriter units 11 baud 134.5":            81_784_386_617,
		"device CK1 clock":                                         8 * cpu.Millisecond,
		"device CK1 clock period 1.000000001 s":                    1_000_000_001_000,
	} {
		d := parse(t, line)
		if tty, ok := d.(*Teletypewriter); ok {
			desk{tty}.send(0, 'A')
		}
		if got := d.Next(0); got != want {
			t.Errorf("%s: first change at %d ps, want %d", line, got, want)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	tests := []struct{ line, want string }{
		{"device TC1 tap", `office.list:1:12: "tap" is no kind of device here; the nearest is "tape"`},
		{"device TC1 tape wrd 125 us", `office.list:1:17: "wrd" is no setting here; the nearest is "word"`},
		{"device TC1 tape word", `office.list:1:17: the record ends after "word"; a length of time, such as 125 us, belongs there`},
		{"device TC1 tape word 125", `office.list:1:22: the record ends after "125"; a unit of time belongs there`},
		{"device TC1 tape word 125 hours", `office.list:1:26: "hours" is no unit of time; write s, ms, us, ns or ps`},
		{"device TC1 tape word 0 us", `office.list:1:24: a time of nothing; it must be longer`},
		{"device TC1 tape command forward 8", `office.list:1:33: "8" is not a number in octal: '8' is no octal digit; the number of a command belongs here`},
		{"device TC1 tape command go 1", `office.list:1:25: "go" is no setting here; known are: forward, stop, back, rewind, direct`},
		{"device TT1 teletypewriter baud 0", `office.list:1:32: "0" is no number for the line rate; write one from 1 to 100000, in decimal`},
		{"device TT1 teletypewriter parity mark", `office.list:1:34: "mark" is no setting here; known are: none, even, odd`},
		{"device CK1 clock period", `office.list:1:18: the record ends after "period"; a length of time, such as 125 us, belongs there`},
	}
	for _, test := range tests {
		t.Run(strings.TrimPrefix(test.line, "device "), func(t *testing.T) {
			var errs list.Errors
			_, d := parseLine(t, &errs, test.line)
			if d != nil {
				t.Errorf("a device %v, want nil", d)
			}
			if err := errs.Err(); err == nil || err.Error() != test.want {
				t.Errorf("error %v, want %s", err, test.want)
			}
		})
	}
}
