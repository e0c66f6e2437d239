package cli

import (
	"fmt"
	"io"
	"strings"
	"time"

	"coldstart/cpu"
	"coldstart/loader/list"
)

// A liveLamps draws lamp rows over and over in one place of a terminal, no faster than the machine would move them.
type liveLamps struct {
	out   io.Writer
	lines int       // drawn last
	host  time.Time // when the machine's time was the one below
	at    cpu.Time
	last  cpu.Time
	rows  string
	sleep func(time.Duration)
	now   func() time.Time
}

// newLiveLamps draws on out.
func newLiveLamps(out io.Writer) *liveLamps {
	return &liveLamps{out: out, sleep: time.Sleep, now: time.Now, last: -1}
}

// beside is a writer of what else stands on the terminal: below that the next picture begins anew.
func (l *liveLamps) beside(out io.Writer) io.Writer { return besideLive{l, out} }

// A besideLive writes beside live lamps.
type besideLive struct {
	lamps *liveLamps
	out   io.Writer
}

func (b besideLive) Write(p []byte) (int, error) {
	b.lamps.lines = 0
	return b.out.Write(p)
}

// apart is how far two pictures of one run are apart at most, in the machine's time: what is further apart begins anew, below.
const apart = cpu.Second

// show draws the rows as they are at a time of the machine, when that time has come.
func (l *liveLamps) show(at cpu.Time, rows string) {
	host := l.now()
	if begins := l.last < 0 || at < l.last || at-l.last > apart; begins {
		l.host, l.at, l.lines, l.rows = host, at, 0, ""
	}
	l.last = at
	if early := time.Duration((at-l.at)/1000) - host.Sub(l.host); early > 0 {
		l.sleep(early)
	}
	text := fmt.Sprintf("%v\n%s", at, rows)
	if text == l.rows {
		return
	}
	l.rows = text
	if l.lines > 0 {
		fmt.Fprintf(l.out, "\x1b[%dA", l.lines) // up to where the last picture began; what it said may be longer
	}
	l.lines = 0
	for line := range strings.Lines(text) {
		fmt.Fprintf(l.out, "\x1b[K%s\n", list.Safe(strings.TrimRight(line, "\n")))
		l.lines++
	}
}
