package repl

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"go/scanner"
	"io"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/google/go-cmp/cmp"

	"coldstart/cpu/channel"
	"coldstart/cpu/duplex"
	"coldstart/cpu/order"
	"coldstart/debug"
)

// newDesk is a desk at a machine that counts up, in octal; out takes what it says.
func newDesk(t *testing.T, out io.Writer, stop func() bool) *debug.Session {
	t.Helper()
	code, err := order.Read("wick.machine", []byte(`
machine   "Wick 6"
numbers   octal, bit 0 at right
word      6 bits, twos complement
address   6 bits
counter   P: 6 bits, holds next order
register  A: 6 bits
store     M 00-17
boot
  does    P, A <- 0, 0
order     add n
  pattern 00 nnnn
  does    A <- A + extend(n, 6)
order     jump a
  pattern 01 aaaa
  does    P <- extend(a, 6)
`))
	if err != nil {
		t.Fatal(err)
	}
	h := duplex.NewHalf("A", code, new(channel.Rack), 0)
	h.Store.Poke(0, 0o01)
	h.Store.Poke(1, 0o20)
	s := debug.New(debug.Setup{Office: "bench", Half: h, Out: out, Stop: stop})
	s.Start(nil)
	return s
}

func TestRoutine(t *testing.T) {
	tests := []struct{ name, lines, want, wrong string }{
		{"words one after the other", "take\nlook A\n", "A 00 held> take\n  00  add 1                      A 01\nA 01 held> look A\nA  01\n", ""},
		{"no line end at the end", "look A", "A 00 held> look A\nA  00\n", ""},
		{"remarks and blank lines", "# nothing\n\n   \nlook A\n", "A 00 held> # nothing\nA 00 held> look A\nA  00\n", ""},
		{"tabs and other line ends", "look\tA\r\n\tlook\t\tP\r\n", "A 00 held> look A\nA  00\nA 00 held> look  P\nP  00\n", ""},
		{"nothing after leave", "leave\nfrobnicate\n", "A 00 held> leave\n", ""},
		{"nothing at all", "", "", ""},
		{"the first error ends it", "look A\n\nlok A\nlook P\n", "A 00 held> look A\nA  00\nA 00 held> lok A\n",
			"evening.desk:3: there is no word \"lok\" at the desk; the nearest is \"look\", and `help` lists them"},
		{"the place in a condition", "roll until A = 1\n  roll until A = 8\n",
			"A 00 held> roll until A = 1\nStopped: met: A = 1.\n1 order, 1 since power-up; next:\n  01  jump 0\nA 01 held> roll until A = 8\n",
			"evening.desk:2:16: \"8\" is not a number in octal: '8' is no octal digit"},
		{"a line far too long", "look A\n" + strings.Repeat("x", 2*longest), "A 00 held> look A\nA  00\n",
			"evening.desk:2: this line is longer than 65536 bytes; look whether it is the right file"},
		{"no text at all", "\x00\xff\x1b[2J\n", "A 00 held> \x00\xff\x1b[2J\n",
			`evening.desk:1: there is no word "\x00\xff\x1b[2J" at the desk; ` + "`help` lists them"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var said bytes.Buffer
			err := Routine(t.Context(), newDesk(t, &said, nil), "evening.desk", strings.NewReader(tt.lines),
				func(prompt, line string) { fmt.Fprintln(&said, prompt+line) })
			got := ""
			if err != nil {
				got = err.Error()
				if !errors.As(err, new(scanner.ErrorList)) {
					t.Errorf("%q: the error is a %T, want a list with the place", tt.lines, err)
				}
			}
			if diff := cmp.Diff(tt.wrong, got); diff != "" {
				t.Errorf("%q: error (-want +got)\n%s", tt.lines, diff)
			}
			if diff := cmp.Diff(tt.want, said.String()); diff != "" {
				t.Errorf("%q: (-want +got)\n%s", tt.lines, diff)
			}
		})
	}
}

func TestRoutineStopsWithItsContext(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	var said bytes.Buffer
	desk := newDesk(t, &said, func() bool { cancel(); return true }) // somebody presses Ctrl-C while the machine runs
	lines := 0
	err := Routine(ctx, desk, "evening.desk", strings.NewReader("roll\nlook A\n"), func(string, string) { lines++ })
	if !errors.Is(err, context.Canceled) || lines != 1 || !strings.Contains(said.String(), "Stopped: by you.") {
		t.Errorf("error %v after %d lines, and the desk said\n%s", err, lines, said.String())
	}
}

func TestRoutineThatCannotBeRead(t *testing.T) {
	broken := errors.New("the tape is torn")
	r := io.MultiReader(strings.NewReader("look A\n"), iotest.ErrReader(broken))
	err := Routine(t.Context(), newDesk(t, io.Discard, nil), "evening.desk", r, func(string, string) {})
	if !errors.Is(err, broken) || !strings.Contains(err.Error(), "evening.desk, after line 1") {
		t.Errorf("error %v, want the file, the line and the cause", err)
	}
}
