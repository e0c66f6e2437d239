package bringup_test

import (
	"context"
	"strings"
	"testing"

	"coldstart/debug/bringup"
	"coldstart/debug/watch"
)

// A trial of a sweep hangs on its number alone, and a run is not called good whose trials come to something else.
func TestSweep(t *testing.T) {
	o := training(t)
	s := bringup.Start{Pair: true, Limits: bringup.Limits{Orders: 20_000}}
	first, err := o.Skew(context.Background(), s, 3)
	if err != nil {
		t.Fatal(err)
	}
	again, err := o.Skew(context.Background(), s, 3)
	if err != nil {
		t.Fatal(err)
	}
	other, err := o.Skew(context.Background(), s, 4)
	if err != nil {
		t.Fatal(err)
	}
	if first != again || first.Clock == other.Clock {
		t.Errorf("trial 3: %+v, then %+v; trial 4: %+v", first, again, other)
	}
	r, err := o.Run(context.Background(), s)
	if err != nil {
		t.Fatal(err)
	}
	r.Verdict = watch.Good
	if r.Sweep([]bringup.Skewed{first, other}); r.Verdict != watch.Good || !strings.HasPrefix(r.Swept, "The same with 2 other clocks") {
		t.Errorf("alike: %v, %q", r.Verdict, r.Swept)
	}
	other.Outcome += "; something else"
	r.Sweep([]bringup.Skewed{first, other})
	if want := "--skew " + bringup.Typed(other.Clock); r.Verdict != watch.Undecided || len(r.LookAt) == 0 || !strings.Contains(strings.Join(r.ToSettle, "\n"), want) {
		t.Errorf("not alike: %v, %q, %q, %q; want it to tell of %s", r.Verdict, r.Swept, r.LookAt, r.ToSettle, want)
	}
}
