package jam

import (
	"os"
	"slices"
	"strings"
	"testing"

	"coldstart/cpu/channel"
	"coldstart/cpu/duplex"
	"coldstart/cpu/order"
	"coldstart/memory"
)

// brindlecote is the machine of the training office, and the milestones of these tests.
func brindlecote(t testing.TB) (*order.Code, []string) {
	t.Helper()
	const home = "../../cmd/coldstart/internal/school/office/brindlecote.machine"
	src, err := os.ReadFile(home)
	if err != nil {
		t.Fatal(err)
	}
	code, err := order.Read(home, src)
	if err != nil {
		t.Fatal(err)
	}
	return code, []string{"stage", "loaded", "idle"}
}

// A reel is a tape of blocks of a hundred words, numbered as they stand.
type reel int

func (r reel) Len() int                { return int(r) }
func (r reel) Words(int) []memory.Word { return make([]memory.Word, 100) }
func (r reel) Origin(i, k int) memory.Origin {
	return memory.Origin{Kind: memory.Tape, Block: i, Word: k}
}

// bay is a half of that machine with a tape in its drive.
func bay(t testing.TB, code *order.Code) *duplex.Half {
	t.Helper()
	d := channel.NewDrive(channel.DefaultDrive())
	d.Seat(reel(44))
	rack := new(channel.Rack)
	rack.Put(code.Channel("TC1").Code, d)
	return duplex.NewHalf("A", code, rack, 1)
}

// The forms that help shows read as they stand on the machine that they are examples of, come back in the settled form, and
// can be put in and taken out, each for itself and all that do not contradict together.
func TestForms(t *testing.T) {
	code, milestones := brindlecote(t)
	for _, form := range slices.Concat(Forms, Ends) {
		j, err := Parse(code, form.Example, milestones...)
		if err != nil {
			t.Errorf("%s: %v", form.Shape, err)
			continue
		}
		if form.Example != j.String() && !strings.HasPrefix(form.Shape, "store ADDRESS ") {
			t.Errorf("%s: the example %q is not in the settled form %q", form.Shape, form.Example, j)
		}
		if again, err := Parse(code, j.String(), milestones...); err != nil || again != j {
			t.Errorf("%q reads back as %q, %v", j, again, err)
		}
		h := bay(t, code)
		for range 2 { // the same again changes nothing
			if err := j.Put(h); err != nil {
				t.Errorf("%s: %v", form.Example, err)
			}
		}
		if j.Effect(h) == "" {
			t.Errorf("%s says nothing of what it did", j)
		}
		if err := j.Lift(h); err != nil {
			t.Errorf("%s: %v", form.Example, err)
		}
		if err := j.Lift(h); err == nil {
			t.Errorf("%s was taken out twice", form.Example)
		}
	}
}

// Every way to write a jam has its settled form. The machine counts bits from 1 at the left.
func TestParseKinds(t *testing.T) {
	tests := []struct{ text, want string }{
		{"store 017 bit 3 never rises", "K0 C03 @017 never rises"},
		{"store 217 bit 3 never falls", "store 217 bit 3 never falls"},
		{"K0 C03 @17 open", "K0 C03 @017 open"},
		{"K0 C03=1", "K0 C03 = 1"},
		{"K0 bit 3 = 1", "K0 C03 = 1"},
		{"K1 bit 3 = 1", "K1 bit 3 = 1"},
		{"K1 all parity = 0", "K1 all parity = 0"},
		{"K0 no reply", "K0 no reply"},
		{"store 017 bit 3 flips when 20 written", "K0 C03 @017 flips when 020 written"},
		{"017 bit 3 flips when 020 bit 1 rises", ""},
		{"store 17 bit 3 flips when 20 bit 1 rises", "K0 C03 @017 flips when K0 C01 @020 rises"},
		{"store 17 bit 3 = 1 when store 217 all parity falls", "K0 C03 @017 = 1 when store 217 all parity falls"},
		{"store 17 bit 3=0 when K0 C03 @20 is 1", "K0 C03 @017 = 0 when K0 C03 @020 is 1"},
		{"store data bit 7 = 1 (read)", "store data bit 7 = 1 (read)"},
		{"store data bit 7 = 0 write", "store data bit 7 = 0 (write)"},
		{"store address bit 9 = 0", "store address bit 9 = 0"},
		{"store address bit 2 tied to bit 9 = 1", "store address bit 9 tied to bit 2 = 1"},
		{"register A bit 12 = 0", "register A bit 12 = 0"},
		{"adder carry into bit 1 = 1", "adder carry into bit 1 = 1"},
		{"order bit 1 = 1", "order bit 1 = 1"},
		{"skip gate always", "skip gate always"},
		{"K0 C03 = 1 from the start", "K0 C03 = 1"},
		{"K0 C03 = 1 from order 12", "K0 C03 = 1, from order 12"},
		{"K0 C03 = 1 while 17-20", "K0 C03 = 1, while 017-020"},
		{"K0 C03 = 1 while 17", "K0 C03 = 1, while 017-017"},
		{"K0 C03 = 1 1 in 200", "K0 C03 = 1, 1 in 200, seed 1"},
		{"K0 C03 = 1, from order 12, 1 in 200, seed 7", "K0 C03 = 1, from order 12, 1 in 200, seed 7"},
		{"K0 C03 = 1 from milestone a", "K0 C03 = 1, from milestone a"},
		{"LD1 bit 8 dark, from milestone a to milestone b", "LD1 bit 8 dark, from milestone a to milestone b"},
	}
	code := fen(t)
	for _, test := range tests {
		j, err := Parse(code, test.text, "a", "b")
		if test.want == "" {
			if err == nil {
				t.Errorf("Parse(%q) = %q, want an error", test.text, j)
			}
			continue
		}
		if err != nil || j.String() != test.want {
			t.Errorf("Parse(%q) = %q, %v; want %q", test.text, j, err, test.want)
			continue
		}
		if again, err := Parse(code, j.String(), "a", "b"); err != nil || again != j {
			t.Errorf("%q reads back as %q, %v", j, again, err)
		}
	}
}

func TestOfStoreAlone(t *testing.T) {
	code := fen(t)
	for text, want := range map[string]bool{
		"K0 C12 @017 = 1": true, "store data bit 1 = 0 (write), 1 in 7": true, "K0 no reply, from the start": true,
		"K0 C12 @017 = 1, from order 1": false, "K0 C12 = 1, while 017-020": false, "register A bit 1 = 0": false, "LD1 bit 8 dark": false,
	} {
		if j := mustParse(t, code, text); j.OfStoreAlone() != want {
			t.Errorf("%s: %v, want %v", j, !want, want)
		}
	}
}

// What cannot be so is refused in one sentence that says what could.
func TestKindsRefused(t *testing.T) {
	tests := []struct{ text, want string }{
		{"ST2 U08 @024107 never fall", "nothing says at what it is held"},
		{"ST2 U88 = 1", `"U88" is no chip of ST2 here; the nearest is "U08"`},
		{"ST2 row 41 fades after 5 hours", `"hours" is no unit of time`},
		{"ST2 row 100 of 100 fades after 5 ms", "ST2 has no row 100: rows are 0 to 77"},
		{"ST2 row 1 of 3 fades after 5 ms", "cannot have 3 rows"},
		{"ST2 row 1 of 100 fades after 0 ms", "after a time of nothing"},
		{"ST2 U08 @024107 flips when 060000 written", "nothing answers at 060000"},
		{"ST2 U08 @024107 flips when ST2 U08 @024105 moves", "write it as `CELL flips when CELL rises|falls`"},
		{"store data bit 7 = 1", "on which side of the store"},
		{"store data bit 18 = 1 (read)", "no bit 18"},
		{"store address bit 15 = 0", "no bit 15"},
		{"store address bit 3 tied to bit 3 = 0", "cannot be tied to itself"},
		{"register D bit 3 = 0", `"D" is no register here`},
		{"register B bit 18 = 0", "no bit 18"},
		{"register B 3 = 0", "write it as `register B bit NUMBER = 0|1`"},
		{"zeroo flip-flop = 1", `"zeroo" is no flip-flop here; the nearest is "zero"`},
		{"adder carry in bit 9 = 0", "write it as `adder carry into bit NUMBER = 0|1`"},
		{"adder carry into bit 9 = 2", "a jam holds a place at 0 or 1, not at 2"},
		{"order bit 18 = 1", "no bit 18"},
		{"skip gate sometimes", "write it as `skip gate never|always`"},
		{"timer sanety never fires", `"sanety" is no timer here; the nearest is "sanity"`},
		{"clock slow by 0 per cent", "by more than 0"},
		{"clock slow by 2,5 per cent", "write it as `clock slow by NUMBER per cent`"},
		{"clock slow by 1e3 per cent", "1e3 is no share of a cycle"},
		{"clock fast by 3 per cent", "write it as `clock slow by NUMBER per cent`"},
		{"TC1 recieve bit 4 = 0", `"recieve" is no part of TC1 here; the nearest is "receive"`},
		{"TC1 receive bit 18 = 0", "no bit 18"},
		{"TC2 dead", `"TC2" is no place here; the nearest is "TC1"`},
		{"TC1 block 31 word 112", "write it as `TC1 block NUMBER missing`"},
		{"TC1 gap before block 31 lasts long", "write it as `TC1 gap before block NUMBER lasts TIME`"},
		{"ST2 U08 = 1 from order 0", "0 is the number of no order"},
		{"ST2 U08 = 1 from order 99999999999999999999", "is the number of no order"},
		{"ST2 U08 = 1 from milestone lowded", `"lowded" is no milestone here; the nearest is "loaded"`},
		{"ST2 U08 = 1 from milestone idle to milestone stage", "milestone stage is not met after idle, so that never comes"},
		{"ST2 U08 = 1 from milestone idle to milestone idle", "so that never comes"},
		{"ST2 U08 = 1 while 024377-024000", "no address lies from 024377 to 024000"},
		{"ST2 U08 = 1 while 050000-060000", "nothing answers from 050000 to 060000, so that is never touched"},
		{"ST2 U08 = 1 from there", "when it is in force is written"},
		{"ST2 U08 = 1 1 in 1", "1 in 1 is not now and then"},
		{"ST2 U08 = 1 1 in 200 seed -1", "-1 is no seed"},
		{"ST2 U08 = 1 1 in 200 with luck", "is written `1 in NUMBER, seed NUMBER`"},
	}
	code, milestones := brindlecote(t)
	for _, test := range tests {
		j, err := Parse(code, test.text, milestones...)
		if err == nil || !strings.Contains(err.Error(), test.want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("Parse(%q) = %q, %v; want %q", test.text, j, err, test.want)
		}
	}
	if _, err := Parse(code, "ST2 U08 = 1 from milestone idle"); err == nil || !strings.Contains(err.Error(), "nothing lists milestones") {
		t.Errorf("a milestone without a list: %v", err)
	}
}

// What the half at hand has not is refused when it is put in.
func TestPutRefuses(t *testing.T) {
	code, _ := brindlecote(t)
	for text, want := range map[string]string{
		"TC1 block 54 missing":                 "no such block",
		"TC1 block 31 word 400 bit 4":          "no such word",
		"TC1 gap before block 31 lasts 20 ms":  "a gap lasts 15.375 ms here",
		"TT1 block 31 missing":                 "no device stands",
		"TT1 request missing":                  "no device stands",
		"CK1 receive bit 4 = 0":                "no device stands",
		"TT1 gap before block 31 lasts 1 ms":   "no device stands",
		"TT1 dead, from order 5, 1 in 7":       "no device stands",
		"TC1 block 31 word 144 bit 4":          "no such word",
		"TC1 gap before block 31 lasts 0 ms":   "a short one lasts more than nothing",
		"TC1 block 54 word 0 bit 4, 1 in 1000": "no such block",
	} {
		j := mustParse(t, code, text)
		if err := j.Put(bay(t, code)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", j, err, want)
		}
	}
}

// Places are completed word by word, and what is offered leads on to jams that read.
func TestNext(t *testing.T) {
	code, milestones := brindlecote(t)
	tests := []struct{ before, some string }{
		{"", "store register TC1 ST2 zero skip"},
		{"ST2", "U08 no row"},
		{"ST2 U08", "="},
		{"ST2 U08 =", "0 1"},
		{"ST2 U08 = 1", "from while 1"},
		{"ST2 U08 @024107", "= never open flips"},
		{"store", "data address"},
		{"store data bit 7 = 1", "(read) (write)"},
		{"register", "A B X1 page"},
		{"register A bit 3 =", "0 1"},
		{"zero", "flip-flop"},
		{"timer", "sanity"},
		{"timer sanity never", "fires"},
		{"TC1", "receive transmit sign request dead block gap"},
		{"TC1 dead from", "order milestone"},
		{"TC1 dead from milestone", "stage loaded idle"},
		{"TC1 dead from milestone stage", "to"},
		{"skip gate", "never always"},
		{"LD1 bit 6", "dark lit"},
	}
	for _, test := range tests {
		got := Next(code, strings.Fields(test.before), milestones...)
		for _, w := range strings.Fields(test.some) {
			if !slices.Contains(got, w) {
				t.Errorf("after %q: %q is missing in %q", test.before, w, got)
			}
		}
	}
	if got := Next(code, []string{"nowhere"}, milestones...); len(got) > 0 {
		t.Errorf("after what is no place: %q", got)
	}
}

// What reads as a jam reads as the same one in the settled form; what does not is refused in one line that a terminal may show.
func FuzzParse(f *testing.F) {
	code, milestones := brindlecote(f)
	for _, form := range slices.Concat(Forms, Ends) {
		f.Add(form.Example)
	}
	f.Fuzz(func(t *testing.T, text string) {
		j, err := Parse(code, text, milestones...)
		if err != nil {
			if strings.ContainsAny(err.Error(), "\n\x1b") || len(err.Error()) > 1500 {
				t.Errorf("%q: %q", text, err)
			}
			return
		}
		if again, err := Parse(code, j.String(), milestones...); err != nil || again != j {
			t.Errorf("%q reads as %q, and that as %q, %v", text, j, again, err)
		}
		Next(code, strings.Fields(text), milestones...)
	})
}
