package cli

import (
	"bytes"
	"fmt"
	"testing"
	"time"

	"coldstart/cpu"
)

// Pictures stand in one place, come no faster than the machine's time, and begin anew below what else was said, and after a pause.
func TestLiveLampsOnATerminal(t *testing.T) {
	var out bytes.Buffer
	host, slept := time.Unix(0, 0), time.Duration(0)
	l := newLiveLamps(&out)
	l.now = func() time.Time { return host }
	l.sleep = func(d time.Duration) { slept += d; host = host.Add(d) }
	show := func(at cpu.Time, rows string) string {
		out.Reset()
		l.show(at, rows)
		return out.String()
	}
	ms := cpu.Millisecond
	for _, tt := range []struct{ got, want string }{
		{show(0, "@ .\n"), "\x1b[K0 s\n\x1b[K@ .\n"},
		{show(20*ms, ". @\n"), "\x1b[2A\x1b[K20 ms\n\x1b[K. @\n"},
		{show(20*ms, ". @\n"), ""},
		{show(40*ms, "\x1b[2J\n"), "\x1b[2A\x1b[K40 ms\n\x1b[K" + `\x1b[2J` + "\n"},
	} {
		if tt.got != tt.want {
			t.Errorf("drawn %q, want %q", tt.got, tt.want)
		}
	}
	if want := 40 * time.Millisecond; slept != want {
		t.Errorf("slept for %v, want %v", slept, want)
	}
	host = host.Add(time.Minute) // the person thinks
	if fmt.Fprint(l.beside(&bytes.Buffer{}), "said"); show(60*ms, "x\n") != "\x1b[K60 ms\n\x1b[Kx\n" {
		t.Error("the picture did not begin anew below what was said")
	}
	slept = 0
	if show(10*cpu.Second, "y\n"); slept != 0 {
		t.Errorf("slept for %v after a jump in time", slept)
	}
}
