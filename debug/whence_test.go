package debug

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// The writers of a word, the last first, are those that a log of every order has; asking changes nothing.
func TestWhenceGoesBack(t *testing.T) {
	b := newBench(t, nil)
	const lamp = 0o100
	var log []int64
	for b.half.Machine.Orders() < 400 {
		before := b.eye.record.Whence(lamp).Number
		b.do("take")
		if n := b.eye.record.Whence(lamp).Number; n != before {
			log = append(log, n)
		}
	}
	if len(log) < 8 {
		t.Fatalf("the row was written %d times", len(log))
	}
	for _, n := range []int{1, 2, 5, len(log) + 3} {
		was := b.do("panel")
		said, want := b.do(fmt.Sprintf("whence 100 %d", n)), ""
		for _, number := range slices.Backward(log[max(0, len(log)-n):]) {
			want += fmt.Sprintf("order %d,", number)
		}
		got := ""
		for line := range strings.Lines(said) {
			if _, rest, ok := strings.Cut(line, ": order "); ok {
				number, _, _ := strings.Cut(rest, ",")
				got += "order " + number + ","
			}
		}
		if got != want {
			t.Errorf("whence 100 %d tells of %s want %s", n, got, want)
		}
		if more := strings.Contains(said, "before that no order has written it"); more != (n > len(log)) {
			t.Errorf("whence 100 %d: beyond the first writer %t\n%s", n, more, said)
		}
		if is := b.do("panel"); is != was {
			t.Errorf("asking altered the machine: %s, was %s", is, was)
		}
	}
	if got := b.do("whence 100 101"); !strings.Contains(got, "at most 100") {
		t.Errorf("101 writers: %s", got)
	}
	b.do("key 100 7")
	if got := b.do("whence 100"); !strings.Contains(got, "altered at the desk") || !strings.Contains(got, "before that written by") {
		t.Errorf("after it was altered: %s", got)
	}
}
