package cpu

import "testing"

func TestParseTime(t *testing.T) {
	tests := []struct {
		number, unit string
		want         Time
		err          string
	}{
		{"125", "us", 125_000_000, ""},
		{"2.5", "us", 2_500_000, ""},
		{"1600", "ms", 1_600 * Millisecond, ""},
		{"0.000000000001", "s", 1, ""},
		{".5", "ns", 500, ""},
		{"0", "s", 0, ""},
		{"864000", "s", longest, ""},
		{"864000.1", "s", 0, "864000.1 s is longer than ten days, the longest time that can be written"},
		{"0.5", "ps", 0, "0.5 ps is not a whole number of picoseconds, the smallest time here"},
		{"1/3", "s", 0, `"1/3" is no length of time; write a decimal number, such as 2.5`},
		{"-1", "s", 0, `"-1" is no length of time; write a decimal number, such as 2.5`},
		{"1e3", "s", 0, `"1e3" is no length of time; write a decimal number, such as 2.5`},
		{"", "s", 0, `"" is no length of time; write a decimal number, such as 2.5`},
		{"5", "sec", 0, `"sec" is no unit of time; write s, ms, us, ns or ps`},
	}
	for _, test := range tests {
		t.Run(test.number+" "+test.unit, func(t *testing.T) {
			got, err := ParseTime(test.number, test.unit)
			message := ""
			if err != nil {
				message = err.Error()
			}
			if got != test.want || message != test.err {
				t.Errorf("ParseTime(%q, %q) = %d, %q; want %d, %q", test.number, test.unit, got, message, test.want, test.err)
			}
		})
	}
}

func TestTimeString(t *testing.T) {
	for want, time := range map[string]Time{
		"0 s": 0, "1 ps": 1, "48 ms": 48 * Millisecond, "2.735 s": 2735 * Millisecond, "2.5 us": 2_500_000,
		"1.000000000001 s": Second + 1, "-5 ms": -5 * Millisecond, "never": Never, "100 s": 100 * Second,
	} {
		if got := time.String(); got != want {
			t.Errorf("Time(%d).String() = %q, want %q", int64(time), got, want)
		}
	}
}
