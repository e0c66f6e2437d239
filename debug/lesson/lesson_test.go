package lesson_test

import (
	"bytes"
	"os"
	"strings"
	"testing"

	"coldstart/cpu/assemble"
	"coldstart/cpu/channel"
	"coldstart/cpu/duplex"
	"coldstart/cpu/order"
	"coldstart/debug"
	"coldstart/debug/lesson"
	"coldstart/memory"
)

// desk is a desk at a machine whose store holds a few orders: it counts place 20 up, for ever.
func desk(t *testing.T) (*debug.Session, *order.Code, *bytes.Buffer) {
	t.Helper()
	src, err := os.ReadFile("../testdata/tallow.machine")
	if err != nil {
		t.Fatal(err)
	}
	code, err := order.Read("tallow.machine", src)
	if err != nil {
		t.Fatal(err)
	}
	h := duplex.NewHalf("A", code, new(channel.Rack), 1)
	for a, w := range map[memory.Addr]memory.Word{0o20: 0, 0o21: 1} {
		if err := h.Store.Poke(a, w); err != nil {
			t.Fatal(err)
		}
	}
	program, err := assemble.Assemble(code, assemble.Source{Name: "count.order", Text: []byte("at 700\nload 20\nadd 21\nstore 20\njump 700\n")})
	if err != nil {
		t.Fatal(err)
	}
	image, err := program.Image(code.Geometry)
	if err != nil {
		t.Fatal(err)
	}
	if err := h.Store.Load(image); err != nil {
		t.Fatal(err)
	}
	out := new(bytes.Buffer)
	s := debug.New(debug.Setup{Half: h, Image: image, Out: out})
	at := memory.Addr(0o700)
	s.Start(&at)
	return s, code, out
}

const counting = `lesson "Counting"
step   "One"
say    "It counts."
use    take "Take four."
hint   "take 4"
answer "here" "Where does it stand?"
step   "Two"
say    "Nothing is asked here."
step   "Three"
until  "store 20 = 3" "Let it count to three."
next   "the next lesson"
`

// A lesson goes on when the machine has done what was asked, and by nothing else.
func TestClass(t *testing.T) {
	s, code, out := desk(t)
	l, err := lesson.Read("counting.list", []byte(counting), code, nil)
	if err != nil {
		t.Fatal(err)
	}
	c := lesson.Begin(l, s, code, out)
	for _, tt := range []struct {
		line, has, hasNot string
	}{
		{"", "", "Right"},
		{"panel", "A ", "Right"},
		{"hint", "Hint: take 4", ""},
		{"tak 4", "Where does it stand?", ""}, // the beginning of a word is that word
		{"701", "No, it is not 701", "Right"},
		{"again", "-> Where does it stand?", ""},
		{"hint", "There is no hint", ""},
		{"panel", "", "Right"},
		{"700", "3 of 3: Three", ""},
		{"take 4", "", "Right"},
		{"take 4", "the next lesson", ""},
		{"take 4", "", "Right"},
		{"hint", "! ", ""}, // the lesson is over: the desk has no such word
	} {
		out.Reset()
		if err := c.Do(tt.line); err != nil {
			out.WriteString("! " + err.Error())
		}
		if got := out.String(); !strings.Contains(got, tt.has) || tt.hasNot != "" && strings.Contains(got, tt.hasNot) {
			t.Errorf("%q: %s\nwant %q in it, and not %q", tt.line, got, tt.has, tt.hasNot)
		}
	}
}

func TestSkip(t *testing.T) {
	s, code, out := desk(t)
	l, err := lesson.Read("counting.list", []byte(counting), code, nil)
	if err != nil {
		t.Fatal(err)
	}
	c := lesson.Begin(l, s, code, out)
	for range 3 {
		if err := c.Do("skip"); err != nil {
			t.Fatal(err)
		}
	}
	if !strings.Contains(out.String(), "That is the lesson") || c.Left() {
		t.Errorf("skipped through: %s", out)
	}
	if err := c.Do("leave"); err != nil || !c.Left() {
		t.Errorf("leave: %v", err)
	}
}

func TestLessonRefused(t *testing.T) {
	_, code, _ := desk(t)
	for _, tt := range []struct{ src, want string }{
		{"lesson x", `the lesson has no step; add a line`},
		{"lesson x\nsay y", "2:1: no step has begun"},
		{"lesson x\nstep y\nhint z", "3:1: nothing has been asked in this step"},
		{"lesson x\nstep y\nuse tke z", `word of the desk`},
		{"lesson x\nstep y\nuse tak z", `word of the desk`},
		{"lesson x\nstep y\nreach idle z", `milestone`},
		{"lesson x\nstep y\nuntil \"A = zork\" z", `zork`},
		{"lesson x\nstep y\nanswer zork z", `zork`},
		{"step y", `lesson`},
	} {
		_, err := lesson.Read("l.list", []byte(tt.src), code, []string{"stage"})
		if err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%q: error %v, want %s", tt.src, err, tt.want)
		}
	}
}
