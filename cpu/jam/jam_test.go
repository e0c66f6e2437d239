package jam

import (
	"fmt"
	"go/scanner"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"coldstart/cpu"
	"coldstart/cpu/channel"
	"coldstart/cpu/duplex"
	"coldstart/cpu/order"
	"coldstart/memory"
)

// fen is the machine file of these tests.
func fen(t testing.TB) *order.Code {
	t.Helper()
	src, err := os.ReadFile("testdata/fen.machine")
	if err != nil {
		t.Fatal(err)
	}
	code, err := order.Read("fen.machine", src)
	if err != nil {
		t.Fatal(err)
	}
	return code
}

// half is a half of the machine with these words from 000 on.
func half(t testing.TB, code *order.Code, words ...memory.Word) *duplex.Half {
	t.Helper()
	h := duplex.NewHalf("A", code, new(channel.Rack), 1)
	im := memory.NewImage(code.Geometry)
	for i, w := range words {
		if err := im.Set(memory.Addr(i), w, memory.Origin{}); err != nil {
			t.Fatal(err)
		}
	}
	if err := h.Store.Load(im); err != nil {
		t.Fatal(err)
	}
	return h
}

// Each form comes back in one settled form, and that form reads as itself.
func TestParse(t *testing.T) {
	tests := []struct{ name, text, want string }{
		{"chip", "K0 C03 @017 = 1", "K0 C03 @017 = 1"},
		{"bit of a chip", "store 017 bit 3 = 1", "K0 C03 @017 = 1"},
		{"bit without a chip", "store 217 bit 12 = 0", "store 217 bit 12 = 0"},
		{"parity cell of a chip", "store 017 left parity = 0", "K0 C13 @017 = 0"},
		{"parity cell without a chip", "store 200 all parity = 1", "store 200 all parity = 1"},
		{"wired store", "store 700 bit 1 = 1", "store 700 bit 1 = 1"},
		{"no blanks around the sign", "K0 C03 @17=1", "K0 C03 @017 = 1"},
		{"blanks everywhere", "  K0   C03 @17 =   0 ", "K0 C03 @017 = 0"},
		{"short address", "store 0 bit 1 = 0", "K0 C01 @000 = 0"},
		{"driver", "LD1 bit 8 dark", "LD1 bit 8 dark"},
		{"driver, second of its rows", "LD1 bit 9 lit", "LD1 bit 9 lit"},
		{"driver by value", "LD2 bit 1 = 0", "LD2 bit 1 dark"},
		{"one lamp", "lamp row 101 bit 8 lit", "lamp row 101 bit 8 lit"},
	}
	code := fen(t)
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			j, err := Parse(code, test.text)
			if err != nil {
				t.Fatalf("Parse(%q): %v", test.text, err)
			}
			if j.String() != test.want {
				t.Errorf("Parse(%q) = %q, want %q", test.text, j, test.want)
			}
			again, err := Parse(code, j.String())
			if err != nil || again.String() != j.String() || again.place != j.place || again.when != j.when {
				t.Errorf("%q reads back as %q, %v", j, again, err)
			}
		})
	}
}

func TestParseRefuses(t *testing.T) {
	const sayValue = "nothing says at what it is held: "
	tests := []struct{ name, text, want string }{
		{"nothing", "", "nothing says what fails"},
		{"no value", "K0 C03 @017", sayValue + "write it as `K0 CHIP @ADDRESS = 0|1`"},
		{"no value, plug-in without chips", "K1 C03 @217", "K1 has no chips by name: write it as `store ADDRESS bit NUMBER = 1`"},
		{"no value, store", "store 017 bit 3", sayValue + "write it as `store ADDRESS bit NUMBER = 0|1`"},
		{"no value, driver", "LD1 bit 8", sayValue + "write it as `LD1 bit NUMBER dark|lit`"},
		{"no value, row", "lamp row 101 bit 8 drak", sayValue + "write it as `lamp row ADDRESS bit NUMBER dark|lit`"},
		{"no value, unknown place", "stroe 017 bit 3", `"stroe" is no place here; the nearest is "store"`},
		{"value alone", "= 1", `"=" is no place here`},
		{"word alone", "dark", `"dark" is no place here`},
		{"two signs", "= = 1", `"=" is no place here`},
		{"value 2", "K0 C03 @017 = 2", "a jam holds a place at 0 or 1, not at 2"},
		{"plug-in mistyped", "K00 C03 @017 = 1", `"K00" is no place here; the nearest is "K0"`},
		{"driver mistyped", "LD11 bit 8 dark", `"LD11" is no place here; the nearest is "LD1"`},
		{"word mistyped", "stroe 017 bit 3 = 1", `the nearest is "store"`},
		{"chip mistyped", "K0 C3 @017 = 1", `"C3" is no chip of K0 here; the nearest is "C03"`},
		{"plug-in without chips", "K1 C03 @217 = 1", "K1 has no chips by name: write it as `store ADDRESS bit NUMBER = 1`"},
		{"chip without @", "K0 C03 017 = 1", "write it as `K0 CHIP @ADDRESS = 0|1`"},
		{"address of another plug-in", "K0 C03 @217 = 1", "217 is not on K0, which holds 000-177"},
		{"nothing there", "store 500 bit 3 = 1", "nothing answers at 500: store is K0 000-177, K1 200-377, W0 700-777"},
		{"beyond all addresses", "store 7777777 bit 3 = 1", "nothing answers at 7777777"},
		{"no octal address", "store 019 bit 3 = 1", "'9' is no octal digit"},
		{"no such bit", "store 017 bit 13 = 1", "no bit 13 in a word of 12 bits"},
		{"bit no number", "store 017 bit three = 1", "three is no bit number: bit numbers are decimal"},
		{"column mistyped", "store 017 lift parity = 1", `"lift parity" is no column here; the nearest is "left parity"`},
		{"column missing", "store 017 = 1", "write it as `store ADDRESS bit NUMBER = 0|1`"},
		{"too many words", "store 017 bit 3 4 = 1", sayValue + "write it as `store ADDRESS bit NUMBER = 0|1`"},
		{"driver without bit", "LD1 8 dark", "write it as `LD1 bit NUMBER dark|lit`"},
		{"bit without a lamp", "LD2 bit 13 dark", "no bit 13 in a word of 12 bits"},
		{"lamp of another row", "lamp row 110 bit 8 dark", "bit 8 of lamp row 110 lights nothing: lamps are on bits 9 to 12"},
		{"no row", "lamp row 102 bit 8 dark", "102 is no row of lamps: the rows are 100-101, 110-110, 120-120"},
		{"row unfinished", "lamp row 101 dark", "write it as `lamp row ADDRESS bit NUMBER dark|lit`"},
	}
	code := fen(t)
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			j, err := Parse(code, test.text)
			if err == nil {
				t.Fatalf("Parse(%q) = %q, want an error with %q", test.text, j, test.want)
			}
			if !strings.Contains(err.Error(), test.want) {
				t.Errorf("Parse(%q): %q, want %q in it", test.text, err, test.want)
			}
			if strings.Contains(err.Error(), "\n") {
				t.Errorf("Parse(%q): more than a line: %q", test.text, err)
			}
		})
	}
}

// What a person typed is shown harmlessly.
func TestParseShowsSafely(t *testing.T) {
	_, err := Parse(fen(t), "K0 \x1b[2J @017 = 1")
	if err == nil || strings.ContainsRune(err.Error(), '\x1b') {
		t.Errorf("got %q, want an error without the control code", err)
	}
}

func TestContradicts(t *testing.T) {
	tests := []struct {
		a, b string
		want bool
	}{
		{"K0 C03 @017 = 1", "store 017 bit 3 = 0", true},
		{"K0 C03 @017 = 1", "store 017 bit 3 = 1", false},
		{"K0 C03 @017 = 1", "store 017 bit 4 = 0", false},
		{"K0 C03 @017 = 1", "store 016 bit 3 = 0", false},
		{"LD1 bit 8 dark", "lamp row 101 bit 8 lit", true},
		{"lamp row 101 bit 8 lit", "LD1 bit 8 dark", true},
		{"lamp row 101 bit 8 lit", "lamp row 100 bit 8 dark", false},
		{"LD1 bit 8 dark", "LD1 bit 7 lit", false},
		{"LD1 bit 8 dark", "LD1 bit 8 dark", false},
		{"LD1 bit 8 dark", "K0 C08 @101 = 1", false},
	}
	code := fen(t)
	for _, tt := range tests {
		a, err := Parse(code, tt.a)
		if err != nil {
			t.Fatal(err)
		}
		b, err := Parse(code, tt.b)
		if err != nil {
			t.Fatal(err)
		}
		if got := a.Contradicts(b); got != tt.want {
			t.Errorf("%q contradicts %q: %v, want %v", a, b, got, tt.want)
		}
		// Contradiction is what keeps the second from being put in, and nothing else does.
		h := half(t, code)
		if err := a.Put(h); err != nil {
			t.Fatal(err)
		}
		if err := b.Put(h); (err != nil) != tt.want {
			t.Errorf("%q after %q: %v; contradicting: %v", b, a, err, tt.want)
		}
	}
}

func TestParseList(t *testing.T) {
	code := fen(t)
	jams, err := ParseList(code, "a.jams", []byte("# two\nK0 C03 @017 = 1   # one cell\n\nlamp row 101 bit 8 lit\n"))
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, j := range jams {
		got = append(got, fmt.Sprint(j.Pos.Filename, " ", j.Pos.Line, ": ", j))
	}
	if diff := cmp.Diff([]string{"a.jams 2: K0 C03 @017 = 1", "a.jams 4: lamp row 101 bit 8 lit"}, got); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}

	_, err = ParseList(code, "b.jams", []byte("K0 C03 @017 = 1\n  K0 C99 @017 = 1\nLD1 bit 8 dim\n"))
	list, ok := err.(scanner.ErrorList)
	if !ok || len(list) != 2 || list[0].Pos.String() != "b.jams:2:3" || list[1].Pos.String() != "b.jams:3:1" {
		t.Errorf("got %v, want errors at b.jams:2:3 and b.jams:3:1", err)
	}
}

// Every place of the machine can be jammed at both values, seen as such through the half, and mended again.
func TestPutAndLift(t *testing.T) {
	code := fen(t)
	places := []string{"lamp row 100 bit 1", "lamp row 110 bit 12", "LD1 bit 8", "LD1 bit 9", "LD2 bit 12"}
	for _, a := range code.Geometry.Areas {
		for c := range a.Columns() {
			places = append(places, fmt.Sprintf("store %s %s", code.Geometry.Style.Addr(a.Last, 9), code.Geometry.ColumnName(&a, c)))
		}
	}
	for _, place := range places {
		for value := range 2 {
			h := half(t, code)
			before := look(h)
			other, j := mustParse(t, code, fmt.Sprintf("%s = %d", place, 1-value)), mustParse(t, code, fmt.Sprintf("%s = %d", place, value))
			for range 2 { // the same again changes nothing
				if err := j.Put(h); err != nil {
					t.Fatalf("%s: %v", j, err)
				}
			}
			if err := other.Put(h); err == nil || !strings.Contains(err.Error(), "already") {
				t.Errorf("%s after %s: error %v, want that it is jammed already", other, j, err)
			}
			if err := other.Lift(h); err == nil {
				t.Errorf("%s was mended by lifting %s", j, other)
			}
			if err := j.Lift(h); err != nil {
				t.Errorf("%s: %v", j, err)
			}
			if err := j.Lift(h); err == nil {
				t.Errorf("%s was lifted twice", j)
			}
			if diff := cmp.Diff(before, look(h)); diff != "" {
				t.Errorf("%s left something behind (-before +after)\n%s", j, diff)
			}
		}
	}
}

// look is all that a half shows without running: its store as seen, and its lamps.
func look(h *duplex.Half) []string {
	all := []string{h.Lamps()}
	for _, a := range h.Store.Geometry().Areas {
		for c := range a.Columns() {
			_, seen, _ := h.Store.Column(a.Last, c)
			all = append(all, fmt.Sprint(a.Name, c, seen))
		}
	}
	return all
}

// mustParse reads a jam that must be right.
func mustParse(t testing.TB, code *order.Code, text string) Jam {
	t.Helper()
	j, err := Parse(code, text)
	if err != nil {
		t.Fatal(err)
	}
	return j
}

func TestLampsHeld(t *testing.T) {
	code := fen(t)
	tests := []struct {
		name  string
		jams  []string
		row   memory.Addr
		word  memory.Word
		want  memory.Word
		other memory.Addr // a row that must show its word as it is
	}{
		{"driver, first rows", []string{"LD1 bit 1 dark"}, 0o101, 0o7777, 0o3760, 0o120},
		{"driver, row elsewhere", []string{"LD1 bit 12 lit"}, 0o110, 0, 1, 0o120},
		{"one lamp", []string{"lamp row 101 bit 1 dark"}, 0o101, 0o7777, 0o3760, 0o100},
		{"two on one row", []string{"LD1 bit 1 dark", "lamp row 101 bit 2 dark"}, 0o101, 0o7777, 0o1760, 0o120},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			h := half(t, code)
			for _, text := range test.jams {
				if err := mustParse(t, code, text).Put(h); err != nil {
					t.Fatal(err)
				}
			}
			for _, a := range []memory.Addr{test.row, test.other} {
				if err := h.Store.Poke(a, test.word); err != nil {
					t.Fatal(err)
				}
			}
			if got := h.Lit(test.row); got != test.want {
				t.Errorf("row %03o with %04o: %04o lit, want %04o", test.row, test.word, got, test.want)
			}
			row, _ := h.Panel.Row(test.other)
			if got, want := h.Lit(test.other), test.word&(memory.Mask(row.Hi-row.Lo+1)<<row.Lo); got != want {
				t.Errorf("row %03o: %04o lit, want %04o", test.other, got, want)
			}
		})
	}
}

func TestEffect(t *testing.T) {
	tests := []struct{ name, text, want string }{
		{"changed what was read", "store 010 bit 12 = 1", "reads of its word: 2, changed by it: 2"},
		{"held that value anyway", "store 010 bit 1 = 0", "reads of its word: 2; it held that value anyway, so it changed nothing"},
		{"never read", "store 011 bit 1 = 0", "its word was never read, so it changed nothing"},
		{"lamp row", "store 100 bit 1 = 1", "no order read its word; what it changed is in the lamp rows"},
		{"driver", "LD1 bit 1 lit", "no order reads a lamp; what it changed is in the lamp rows"},
	}
	code := fen(t)
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			// load 010 twice, and store it in a lamp row.
			h := half(t, code, 0o0010, 0o0010, 0o1100, 0o7000, 0, 0, 0, 0, 0o2)
			j := mustParse(t, code, test.text)
			if err := j.Put(h); err != nil {
				t.Fatal(err)
			}
			h.Machine.Boot()
			h.Machine.Run(2, cpu.Never)
			if h.Machine.Halted() { // by the parity trap of the first read
				h.Machine.Set(code.Counter, 1)
				h.Machine.Run(1, cpu.Never)
			}
			if got := j.Effect(h); got != test.want {
				t.Errorf("Effect of %s: %q, want %q", j, got, test.want)
			}
		})
	}
}

func ExampleParse() {
	src, err := os.ReadFile("testdata/fen.machine")
	if err != nil {
		panic(err)
	}
	code, err := order.Read("fen.machine", src)
	if err != nil {
		panic(err)
	}
	j, err := Parse(code, "store 017 bit 3 = 1")
	fmt.Println(j, err)
	_, err = Parse(code, "K0 C3 @017 = 1")
	fmt.Println(err)
	// Output:
	// K0 C03 @017 = 1 <nil>
	// jam "K0 C3 @017 = 1": "C3" is no chip of K0 here; the nearest is "C03"
}
