package loader_test

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"coldstart/loader"
	"coldstart/loader/list"
	"coldstart/memory"
)

func TestReadWords(t *testing.T) {
	tests := []struct {
		name, src string
		at        memory.Addr
		word      memory.Word
		from      memory.Origin
	}{
		{"first of a line", "0010: 1234 5670 # two", 0o10, 0o1234, memory.Origin{Kind: memory.Typed, File: "x.words", Block: 1}},
		{"second of a line", "0010: 1234 5670 # two", 0o11, 0o5670, memory.Origin{Kind: memory.Typed, File: "x.words", Block: 1}},
		{"short numbers", "# store\n10: 7", 0o10, 7, memory.Origin{Kind: memory.Typed, File: "x.words", Block: 2}},
		{"wired store", "7777: 1", 0o7777, 1, memory.Origin{Kind: memory.Wired, File: "x.words", Block: 1}},
		{"twice alike", "0010: 7\n0010: 7", 0o10, 7, memory.Origin{Kind: memory.Typed, File: "x.words", Block: 2}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			image, err := loader.ReadWords("x.words", []byte(tt.src), geometry)
			if err != nil {
				t.Fatalf("%q: %v", tt.src, err)
			}
			if w, from, ok := image.At(tt.at); !ok || w != tt.word || from != tt.from {
				t.Errorf("%q: at %o is %o from %+v, %v; want %o from %+v", tt.src, tt.at, w, from, ok, tt.word, tt.from)
			}
		})
	}
}

func TestReadWordsRefuses(t *testing.T) {
	tests := []struct{ name, src, want string }{
		{"no colon", "0010 1234", `x.words:1:1: "0010" begins the line; it must be an address with a colon, as in 0000: 0000`},
		{"address not octal", "0018: 1", `x.words:1:1: "0018" is not a number in octal: '8' is no octal digit`},
		{"word not octal", "0010: 1 2 9", `x.words:1:11: "9" is not a number in octal: '9' is no octal digit`},
		{"letter O", "0010: 1O", `x.words:1:7: "1O" is not a number in octal: 'O' is no octal digit; for zero type 0, not the letter`},
		{"too wide", "0010: 10000", `x.words:1:7: 10000 at 0010 is too wide: words of ST0 have 12 bits, at most 7777`},
		{"nothing answers", "0076: 1 2 3", `x.words:1:11: nothing answers at 0100: the next store, ST1, begins at 0200`},
		{"beyond all addresses", "1777777777777777777777: 1 2", "x.words:1:25: nothing answers at 1777777777777777777777: the last store, WS1, ends at 7777"},
		{"twice and different", "0010: 1 2\n\n0011: 3", "x.words:3:7: 0011 is 0003 here and 0002 on line 1; strike out one of them"},
		{"nothing after the colon", "0010: 1\n  0020:\n", "x.words:2:8: no word stands after 0020:; write those that belong there behind it, or strike the line out"},
		{"a remark after the colon", "0020: # 1 2 3", "x.words:1:6: no word stands after 0020:; write those that belong there behind it, or strike the line out"},
		{"not an address, and nothing after it", "0080:", `x.words:1:1: "0080" is not a number in octal: '8' is no octal digit`},
		{"no word at all", "# 0010: 1\n\n", "x.words:1:1: there is no word in the file; a line is an address with a colon, then words, as in 0000: 0000"},
		{"not a list", "0010: \x00", "x.words:1:7: a NUL byte: this is not a text file, so not a list"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := loader.ReadWords("x.words", []byte(tt.src), geometry)
			if err == nil || list.Report(err) != tt.want {
				t.Errorf("%q:\ngot  %v\nwant %s", tt.src, err, tt.want)
			}
		})
	}
}

// FuzzReadWords holds that an image read is written and read back to an equal one.
func FuzzReadWords(f *testing.F) {
	for _, s := range []string{"", "0: 1", "0010: 1 2 3 4 5 6 7 10 11\n0200: 777\n7700: 7777", "0076: 1 2", "0: 1\n2: 3"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		first, err := loader.ReadWords("x", src, geometry)
		if err != nil {
			return
		}
		var b strings.Builder
		if err := loader.WriteWords(&b, first, geometry); err != nil {
			t.Fatal(err)
		}
		second, err := loader.ReadWords("x", []byte(b.String()), geometry)
		if err != nil || first.Digest() != second.Digest() || first.Len() != second.Len() {
			t.Errorf("from %q the words\n%s\nread back with %v to another image", src, b.String(), err)
		}
	})
}

func ExampleWriteWords() {
	image, err := loader.ReadWords("starter.words", []byte("7700: 1 2 3 4 5 6 7 10 11\n0: 7\n"), geometry)
	if err != nil {
		fmt.Println(list.Report(err))
		return
	}
	if err := loader.WriteWords(os.Stdout, image, geometry); err != nil {
		fmt.Println(err)
	}
	// Output:
	// 0000: 0007
	// 7700: 0001 0002 0003 0004 0005 0006 0007 0010
	// 7710: 0011
}
