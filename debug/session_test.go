package debug

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"coldstart/debug/watch"
	"coldstart/loader/list"
)

func TestEveryExampleIsTrue(t *testing.T) {
	b := newBench(t, nil)
	for _, w := range words { // in the order of the help, which sets a hold before it lifts one
		line := b.fill(w.example)
		if said := b.do(line); strings.HasPrefix(said, "!") {
			t.Errorf("the example of %s, `%s`, does not work: %s", w.name, line, said)
		}
		if !strings.HasPrefix(line, w.name) || strings.Contains(line, "{") {
			t.Errorf("the example of %s is `%s`", w.name, line)
		}
		if !slices.Contains(parts, w.part) || w.purpose == "" {
			t.Errorf("%s is in part %q and is for %q", w.name, w.part, w.purpose)
		}
	}
}

func TestHelpFitsATerminal(t *testing.T) {
	b := newBench(t, nil)
	said := b.do("help")
	if n := strings.Count(said, "\n"); n > 24 || !strings.Contains(said, "roll until chase") || !strings.Contains(said, "  back  ") {
		t.Errorf("the first help has %d lines, or does not lead to the chase and back:\n%s", n, said)
	}
	said += b.do("help all")
	for _, w := range words {
		said += b.do("help " + w.name)
	}
	for line := range strings.Lines(said) {
		if len(line) > 81 {
			t.Errorf("%d columns: %s", len(line)-1, line)
		}
	}
}

// Store is shown as orders and as characters; the characters are those that were keyed in, and what does not print is a point.
func TestLookAs(t *testing.T) {
	b := newBench(t, nil)
	if got, want := b.do("look 700-702 as orders"), b.do("recite 700 2"); got != want {
		t.Errorf("as orders: %s, want %s", got, want)
	}
	first, _ := b.writable()
	for i, w := range []string{"110", "145", "001", "154"} {
		b.do(fmt.Sprintf("key %o %s", int(first)+i, w))
	}
	span := fmt.Sprintf("%o-%o", first, first+3)
	if got, want := b.do("look "+span+" as characters"), fmt.Sprintf("%03o  \"He.l\"\n", first); got != want {
		t.Errorf("as characters: %q, want %q", got, want)
	}
	for line, want := range map[string]string{
		"look 0 as zork": "way to look", "look 0 zork": "`as orders` or `as characters`", "look 0 as orders 3": "one word too many",
		"look 0 as characters of 99 bits": "is no number of bits from 1 to", "look 0 as characters 8": "is not how many bits a character has",
		"look 7-6 as orders": "ends before it begins",
	} {
		if got := b.do(line); !strings.Contains(got, want) || !strings.HasPrefix(got, "!") {
			t.Errorf("%s: %q, want %q", line, got, want)
		}
	}
}

func TestStopEndsARun(t *testing.T) {
	asked := 0
	b := newBench(t, func() bool { asked++; return asked == 3 })
	if got := b.do("roll"); !strings.Contains(got, "Stopped: by you.") || b.half.Machine.Orders() != 3*slice {
		t.Errorf("after 3 slices: %d orders, and\n%s", b.half.Machine.Orders(), got)
	}
	if got := b.do("take"); strings.Contains(got, "!") {
		t.Errorf("the session does not go on: %s", got)
	}
}

func TestPrompt(t *testing.T) {
	b := newBench(t, nil)
	tests := []struct{ lines, want string }{
		{"", "A 700 held> "},
		{"take 3", "A 703 waiting> "},
		{"key P 741\nroll", "A 742 halted> "},
		{"key P 742\nroll", "A 742 standing> "},
		{"key P 700", "A 700 held> "},
	}
	for _, tt := range tests {
		b.all(t, tt.lines)
		if got := b.Prompt(); got != tt.want {
			t.Errorf("after %q: prompt %q, want %q", tt.lines, got, tt.want)
		}
	}
}

func TestComplete(t *testing.T) {
	b := newBench(t, nil)
	tests := []struct {
		line string
		want []string
	}{
		{"ta", []string{"take "}},
		{"ho", []string{"hold", "holds"}},
		{"hold", []string{"hold "}},
		{"x", []string{"x "}},
		{"", names()},
		{"hold ", []string{"hold at", "hold on", "hold when"}},
		{"help le", []string{"help leave "}},
		{"roll ", []string{"roll until", "roll within"}},
		{"roll until l", []string{"roll until line", "roll until lamp"}},
		{"roll until A = 1 ", []string{"roll until A = 1 and", "roll until A = 1 or", "roll until A = 1 within"}},
		{"roll within ", nil},
		{"key ze", []string{"key zero "}},
		{"jam L", []string{"jam LD1 "}},
		{"lift ", []string{"lift all "}},
		{"xyz ", nil},
	}
	for _, tt := range tests {
		if diff := cmp.Diff(tt.want, b.Complete(tt.line)); diff != "" {
			t.Errorf("%q (-want +got)\n%s", tt.line, diff)
		}
	}
}

func TestLongLine(t *testing.T) {
	b := newBench(t, nil)
	if err := b.Do("note " + strings.Repeat("x", longestLine)); err == nil || len(err.Error()) > 200 {
		t.Errorf("a line of %d bytes: %v", longestLine+5, err)
	}
}

// Ten megabytes pasted after any word get one short sentence, and many lines at most what they ask for: the session lives on, and
// what it keeps of them is bounded.
func TestTenMegabytesPasted(t *testing.T) {
	b := newBench(t, nil)
	flood := strings.Repeat("7", 10<<20)
	for _, w := range words {
		if w.name == "leave" {
			continue
		}
		for _, line := range []string{w.name + " " + flood, w.name + strings.Repeat(" 7", 5<<20)} {
			if err := b.Do(line); err == nil || len(err.Error()) > 200 || strings.Contains(err.Error(), "\n") {
				t.Fatalf("ten megabytes after %s: %.300v", w.name, err)
			}
		}
	}
	if got := b.do("take"); strings.HasPrefix(got, "!") {
		t.Errorf("the session does not go on: %s", got)
	}
	refused := 0
	for i := range 30_000 {
		for _, line := range []string{fmt.Sprintf("key 100 %o", i&0o777), fmt.Sprintf("keep n%d", i%200), fmt.Sprintf("peg %o", i&0o377), "note x"} {
			if line[0] == 'k' && line[2] == 'e' && i > 300 { // to keep takes a moment each time
				continue
			}
			if err := b.Do(line); err != nil {
				refused++
			}
		}
		b.said.Reset()
	}
	if refused == 0 || len(b.acts) > mostActs || len(b.notes) > mostNotes || len(b.kept) > mostKept || len(b.pegs) > mostPegs {
		t.Errorf("%d lines were refused; %d acts, %d notes, %d moments, %d pegs are kept", refused, len(b.acts), len(b.notes), len(b.kept), len(b.pegs))
	}
	b.all(t, "take 3\nback 3\ntake 1")
	if got := b.do("keep all in x.state"); !strings.Contains(got, "altered by hand") {
		t.Errorf("kept in a file after what it would need was let go: %s", got)
	}
}

func TestManyHolds(t *testing.T) {
	b := newBench(t, nil)
	for i := range mostHolds {
		b.all(t, fmt.Sprintf("hold at %o", i))
	}
	if got := b.do("hold at 200"); !strings.Contains(got, "the most there can be") {
		t.Errorf("hold %d: %s", mostHolds+1, got)
	}
	b.do("lift 7")
	if got := b.do("hold at 200"); got != fmt.Sprintf("hold %d at 200  words 3400\n", mostHolds+1) && !strings.HasPrefix(got, "hold 101 at 200") {
		t.Errorf("after one was lifted: %s", got)
	}
}

// looks are words that only look; whatever is asked, the machine is the same afterwards.
var looks = []string{"holds", "look", "panel", "lamps", "recite", "jams", "trail", "whence", "note", "help"}

// pool is what follows words in random lines: much of it right, some not.
var pool = []string{"", "at", "until", "within", "all", "1", "2", "3", "100", "101", "700", "717", "740", "750", "777", "8", "7777", "A", "P", "C",
	"zero", "=", "/=", "store", "bit", "0", "dark", "LD1", "K0", "U01", "@100", "chase", "walk", "line", "here", "and", "orders", "ms", "70-103", "(", "\x1b"}

// TestAnyOrderOfWords says that whatever is typed in whatever order, the session lives on, each error is one line, all that
// is said is fit for a terminal, looking alters nothing, and the same lines typed again say the same.
func TestAnyOrderOfWords(t *testing.T) {
	for seed := range uint64(60) {
		random := rand.New(rand.NewPCG(seed, 1))
		first, second := newBench(t, nil), newBench(t, nil)
		var typed []string
		for range 80 {
			line := words[random.IntN(len(words)-1)].name // all but leave
			if random.IntN(12) == 0 {
				line = line[:random.IntN(len(line)+1)]
			}
			for range random.IntN(6) {
				line += " " + pool[random.IntN(len(pool))]
			}
			if w, err := find(strings.Fields(line + " .")[0]); err == nil && w.name == "roll" && !strings.Contains(line, "within") {
				line += " within 500 orders"
			}
			typed = append(typed, line)
			m := first.half.Machine
			orders, place := m.Orders(), m.Place()
			said := first.do(line)
			if again := second.do(line); again != said {
				t.Fatalf("seed %d, after %q:\n%s\nand the second time\n%s", seed, typed, said, again)
			}
			if i := slices.Index(looks, strings.Fields(line + " .")[0]); i >= 0 && (m.Orders() != orders || m.Place() != place) {
				t.Fatalf("seed %d: %q let the machine run", seed, line)
			}
			fit(t, line, said)
		}
	}
}

// fit wants lines that a terminal takes for text alone.
func fit(t *testing.T, line, said string) {
	t.Helper()
	for part := range strings.Lines(said) {
		if strings.HasPrefix(part, "!") { // whoever shows an error makes it safe
			continue
		}
		if text := strings.TrimSuffix(part, "\n"); list.Safe(text) != text {
			t.Fatalf("%q says %q", line, text)
		}
	}
	if i := strings.Index(said, "!"); i == 0 && strings.Count(said, "\n") != 1 {
		t.Fatalf("%q: an error of several lines: %q", line, said)
	}
}

// FuzzDo types any lines: the session lives on, and a condition's error points into what was typed.
func FuzzDo(f *testing.F) {
	for _, seed := range []string{"take 5\nroll until A = 8", "key 100 7\nlook 100", "jam LD1 bit 0 dark\nunjam 1", "\x00\n\tpanel", "recite 700 3\nwhence 777"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, lines string) {
		b := newBench(t, nil)
		for line := range strings.Lines(lines) {
			if w, err := find(strings.Fields(line + " .")[0]); err == nil && (w.name == "roll" || w.name == "take") {
				continue // they may rightly run for seconds
			}
			b.said.Reset()
			err := b.Do(line)
			var wrong *watch.ConditionError
			if errors.As(err, &wrong) && !strings.Contains(line, wrong.Text[wrong.At:]) {
				t.Fatalf("%q: %v", line, err)
			}
			fit(t, line, b.said.String())
		}
	})
}
