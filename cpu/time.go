package cpu

import (
	"fmt"
	"math/big"
	"strings"

	"coldstart/loader/list"
)

// units are what a Time can be written in, the largest first.
var units = []struct {
	name string
	size Time
}{{"s", Second}, {"ms", Millisecond}, {"us", Microsecond}, {"ns", 1000}, {"ps", 1}}

// longest is the longest Time anybody may write, so that sums of a few of them stay within a Time: ten days.
const longest = 10 * 24 * 60 * 60 * Second

// ParseTime reads a length of time written as a decimal number and its unit: s, ms, us, ns or ps. It is exact. The error
// is one sentence.
func ParseTime(number, unit string) (Time, error) {
	for _, u := range units {
		if u.name == unit {
			return parseTime(number, unit, u.size)
		}
	}
	return 0, fmt.Errorf("%q is no unit of time; write s, ms, us, ns or ps", unit)
}

// ReadTime reads a length of time, a number and its unit, longer than nothing, from a record of a list. Where there is none
// that is noted, and the Time is 1.
func ReadTime(s *list.Settings) Time {
	number, _ := s.Next("a length of time, such as 125 us,")
	unit, ok := s.Next("a unit of time")
	if !ok {
		return 1
	}
	t, err := ParseTime(number.Text, unit.Text)
	switch {
	case err != nil:
		s.Wrong("%v", err)
	case t == 0:
		s.Wrong("a time of nothing; it must be longer")
	}
	return max(t, 1)
}

// parseTime reads number in units of the given size.
func parseTime(number, unit string, size Time) (Time, error) {
	// big.Rat would also take fractions, exponents and signs, which nobody means here; 30 digits are more than any time has.
	value, ok := new(big.Rat).SetString(number)
	if !ok || strings.Trim(number, "0123456789.") != "" || len(number) > 30 {
		return 0, fmt.Errorf("%q is no length of time; write a decimal number, such as 2.5", number)
	}
	value.Mul(value, new(big.Rat).SetInt64(int64(size)))
	switch {
	case !value.IsInt():
		return 0, fmt.Errorf("%s %s is not a whole number of picoseconds, the smallest time here", number, unit)
	case value.Cmp(new(big.Rat).SetInt64(int64(longest))) > 0:
		return 0, fmt.Errorf("%s %s is longer than ten days, the longest time that can be written", number, unit)
	}
	return Time(value.Num().Int64()), nil
}

// String is t exactly, in the largest unit it fills: 48 ms, 2.735 s, 0 s.
func (t Time) String() string {
	if t == Never {
		return "never"
	}
	for _, u := range units {
		if t >= u.size || t <= -u.size {
			return decimal(t, u.size) + " " + u.name
		}
	}
	return "0 s"
}

// decimal is t divided by a unit, without trailing zeros; twelve places hold a picosecond of a second, so it is exact.
func decimal(t, size Time) string {
	text := big.NewRat(int64(t), int64(size)).FloatString(12)
	return strings.TrimRight(strings.TrimRight(text, "0"), ".")
}
