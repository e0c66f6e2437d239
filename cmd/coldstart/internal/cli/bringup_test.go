package cli

import (
	"strings"
	"testing"

	"coldstart/cpu"
	"coldstart/debug/bringup"
)

func TestReadLimits(t *testing.T) {
	tests := []struct {
		name, text string
		clock      bool
		want       bringup.Limits
		wrong      string // in the error; "" for none
	}{
		{"none", "", true, bringup.Limits{}, ""},
		{"seconds", "10 s", true, bringup.Limits{Time: 10 * cpu.Second}, ""},
		{"no blank", "250ms", true, bringup.Limits{Time: 250 * cpu.Millisecond}, ""},
		{"fraction", "2.5 us", true, bringup.Limits{Time: 2_500_000}, ""},
		{"orders", "5000000 orders", true, bringup.Limits{Orders: 5_000_000}, ""},
		{"one order", "1 order", false, bringup.Limits{Orders: 1}, ""},
		{"no unit", "10", true, bringup.Limits{}, "no time and no number of orders"},
		{"no number", "orders", true, bringup.Limits{}, "no time and no number of orders"},
		{"nothing", "0 s", true, bringup.Limits{}, "more than none"},
		{"no orders", "0 orders", true, bringup.Limits{}, "more than none"},
		{"less than none", "-5 orders", true, bringup.Limits{}, "no time and no number of orders"},
		{"half an order", "0.5 orders", true, bringup.Limits{}, "no time and no number of orders"},
		{"another unit", "10 laps", true, bringup.Limits{}, "no time and no number of orders"},
		{"beyond all numbers", "99999999999999999999 orders", true, bringup.Limits{}, "no time and no number of orders"},
		{"eleven days", "1000000 s", true, bringup.Limits{}, "no time and no number of orders"},
		{"time without a clock", "10 s", false, bringup.Limits{}, "no clock"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got, err := readLimits(test.text, test.clock)
			switch {
			case test.wrong == "" && (err != nil || got != test.want):
				t.Errorf("%q: %+v, %v; want %+v", test.text, got, err, test.want)
			case test.wrong != "" && (err == nil || !strings.Contains(err.Error(), test.wrong)):
				t.Errorf("%q: error %v, want %q in it", test.text, err, test.wrong)
			}
		})
	}
}
