package list_test

import (
	"errors"
	"fmt"
	"go/scanner"
	"strings"
	"testing"

	"coldstart/loader/list"

	"github.com/google/go-cmp/cmp"
)

func TestRead(t *testing.T) {
	tests := []struct {
		name, src string
		want      string // records as read: "line:column text" with quoted words in <>
	}{
		{"empty file", "", ""},
		{"only comments and blank lines", "# one\n\n   # two\n", ""},
		{"words and places", "tape TC1\n  office  x\n", "1:1 tape 1:6 TC1|2:3 office 2:11 x"},
		{"quoted word", `office "Wendle Ferry" # ours`, "1:1 office 1:8 <Wendle Ferry>"},
		{"empty quoted word", `label ""`, "1:1 label 1:7 <>"},
		{"both escapes", `label "a \"b\" \\c"`, `1:1 label 1:7 <a "b" \c>`},
		{"comment mark inside quotes", `label "#1"`, "1:1 label 1:7 <#1>"},
		{"comment against a word", "a b#c", "1:1 a 1:3 b"},
		{"comment against a quoted word", `a "b"#c`, "1:1 a 1:3 <b>"},
		{"CRLF", "a b\r\nc\r\n", "1:1 a 1:3 b|2:1 c"},
		{"no last line end", "a\nb", "1:1 a|2:1 b"},
		{"tabs are blanks", "\ta\t\tb\t# c\td", "1:2 a 1:5 b"},
		{"byte order mark", "\ufeffa b", "1:1 a 1:3 b"},
		{"letters of any tongue in quotes and comments", `a "Fähre" # Fähre`, "1:1 a 1:3 <Fähre>"},
		{"a record over two lines", "a b \\ # on\n  c\nd", "1:1 a 1:3 b 2:3 c|3:1 d"},
		{"a record over three lines, CRLF", "\\\r\na \\\r\nb\r\n", "2:1 a 3:1 b"},
		{"an empty line ends it", "a \\\n\nb", "1:1 a|3:1 b"},
		{"a backslash in a word, or in quotes", `a\ "\\"` + "\nb", `1:1 a\ 1:4 <\>|2:1 b`},
		{"longest line", strings.Repeat("a", 4000), "1:1 " + strings.Repeat("a", 4000)},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := list.Read("x.list", []byte(tt.src))
			if err != nil {
				t.Fatalf("Read(%q) = %v", tt.src, err)
			}
			if diff := cmp.Diff(tt.want, picture(got)); diff != "" {
				t.Errorf("Read(%q) (-want +got):\n%s", tt.src, diff)
			}
		})
	}
}

// picture writes records on one line for a test table.
func picture(records []list.Record) string {
	var lines []string
	for _, r := range records {
		var words []string
		for _, w := range r.Words {
			text := w.Text
			if w.Quoted {
				text = "<" + text + ">"
			}
			words = append(words, fmt.Sprintf("%d:%d %s", w.Pos.Line, w.Pos.Column, text))
		}
		lines = append(lines, strings.Join(words, " "))
	}
	return strings.Join(lines, "|")
}

func TestReadRefuses(t *testing.T) {
	tests := []struct {
		name, src, want string // want is the beginning of the first error
	}{
		{"a record that never ends", "a\nb c \\\n", "x.list:2:1: the list ends where this record should go on; take out the backslash"},
		{"a record too long over its lines", strings.Repeat("a \\\n", 2001), "x.list:1:1: this record takes more than 4000 bytes over its lines; make it shorter"},
		{"NUL", "a\nb\x00c\n", "x.list:2:2: a NUL byte: this is not a text file"},
		{"2 kB of zeros", strings.Repeat("\x00", 2048), "x.list:1:1: this is no text"},
		{"start of a picture", "\xff\xd8\xff\xe0\x00\x10JFIF", "x.list:1:1: this is no text"},
		{"not UTF-8", "office \"Fl\xfcss\"", "x.list:1:11: a byte fc that is not UTF-8 inside quotes"},
		{"not UTF-8 in a comment", "a # Fl\xfcss", "x.list:1:7: a byte fc that is not UTF-8 in a comment"},
		{"escape code", "a \x1b[2J", "x.list:1:3: an unprintable character (U+001B); take it out"},
		{"escape code in a comment", "a # \x1b[2J", "x.list:1:5: an unprintable character (U+001B) in a comment"},
		{"carriage return inside", "a\rb\n", "x.list:1:2: an unprintable character (U+000D)"},
		{"right to left in quotes", "a \"x\u202ey\"", "x.list:1:5: an unprintable character (U+202E) inside quotes"},
		{"C1 control", "a \"x\u009b31m\"", "x.list:1:5: an unprintable character (U+009B) inside quotes"},
		{"pasted dash", "a 000–053", `x.list:1:6: "–" (U+2013) only looks like "-"; type "-"`},
		{"Cyrillic O", "mark 52О2", `x.list:1:8: "О" (U+041E) only looks like "O"; type "O"`},
		{"full-width digit", "mark ５2", `x.list:1:6: "５" (U+FF15) only looks like "5"; type "5"`},
		{"no-break blank", "a\u00a0b", `x.list:1:2: an unprintable character (U+00A0) only looks like " "; type " "`},
		{"smart quote", "office “x”", `x.list:1:8: "“" (U+201C) only looks like "\""; type "\""`},
		{"foreign letter without quotes", "office Fähre", `x.list:1:9: "ä" (U+00E4) in a word without quotes`},
		{"open quote", `office "Wendle`, "x.list:1:8: the quote opened here is not closed"},
		{"open quote after backslash", `office "Wendle\`, "x.list:1:15: a backslash before something other"},
		{"unknown escape", `a "b\n"`, "x.list:1:5: a backslash before something other"},
		{"quote in a word", `a b"c"`, "x.list:1:4: a quote in the middle of a word"},
		{"word after a quote", `a "b"c`, "x.list:1:6: a word goes on after its closing quote"},
		{"long line", "a\n" + strings.Repeat("a", 4001), "x.list:2:1: the line holds 4001 bytes; a line may hold 4000"},
		{"big file", strings.Repeat("a\n", 8<<20+1), "x.list: the file holds 16777218 bytes"},
		{"too many words", strings.Repeat(strings.Repeat("a ", 1000)+"\n", 1001), "x.list:1001:1: more than 1000000 words"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := list.Read("x.list", []byte(tt.src))
			var all scanner.ErrorList
			if !errors.As(err, &all) {
				t.Fatalf("error is %T %v, want a scanner.ErrorList beginning %q", err, err, tt.want)
			}
			if got != nil {
				t.Errorf("%d records beside an error; want none", len(got))
			}
			if !strings.HasPrefix(all[0].Error(), tt.want) {
				t.Errorf("got  %q\nwant %q", all[0], tt.want)
			}
		})
	}
}

func TestReport(t *testing.T) {
	twelve := strings.Repeat("a \"\n", 12)
	_, err := list.Read("x.list", []byte(twelve))
	lines := strings.Split(list.Report(err), "\n")
	if len(lines) != 11 || !strings.HasPrefix(lines[9], "x.list:10:3: ") || lines[10] != "and 2 more" {
		t.Errorf("report of 12 errors has lines %q; want ten errors and \"and 2 more\"", lines)
	}
	_, err = list.Read("\x1b]0;x\a.list", []byte(`a "`))
	if got := list.Report(fmt.Errorf("no office: %w", err)); strings.ContainsAny(got, "\x1b\a") {
		t.Errorf("report %q lets the file name reach the terminal", got)
	}
	if got, want := list.Report(errors.New("no \x9b such")), `no \x9b such`; got != want {
		t.Errorf("report of a plain error: got %q, want %q", got, want)
	}
	_, err = list.Read("x.list", []byte(strings.Repeat("\"\n", 5000)))
	if got := list.Report(err); !strings.HasSuffix(got, "and 990 more") {
		t.Errorf("report of 5000 bad lines ends %q; reading should stop at 1000 errors", got[len(got)-20:])
	}
}

func TestSafe(t *testing.T) {
	tests := []struct{ name, in, want string }{
		{"plain", `say "hi" \ there`, `say "hi" \ there`},
		{"foreign", "Fähre", "Fähre"},
		{"bell, line end, delete", "a\a\n\x7f", `a\a\n\x7f`},
		{"apostrophe", "it's", "it's"},
		{"terminal title", "\x1b]0;x\x07", `\x1b]0;x\a`},
		{"C1", "\u009b31m", `\u009b31m`},
		{"raw C1 byte", "\x9b31m", `\x9b31m`},
		{"right to left", "a\u202eb", `a\u202eb`},
		{"no width", "a\u200bb", `a\u200bb`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := list.Safe(tt.in)
			if got != tt.want {
				t.Errorf("Safe(%q) = %q, want %q", tt.in, got, tt.want)
			}
			if again := list.Safe(got); again != got {
				t.Errorf("Safe twice: %q, then %q", got, again)
			}
		})
	}
}

func TestAppendRefuses(t *testing.T) {
	word := func(text string) list.Record { return list.Record{Words: []list.Word{{Text: text}}} }
	tests := []struct {
		name   string
		record list.Record
		want   string
	}{
		{"no words", list.Record{}, "record 1 cannot be written: it takes 0 bytes"},
		{"line end in a word", word("a\nb"), "record 1 cannot be written: word 1 holds an unprintable character (U+000A)"},
		{"over-long", word(strings.Repeat("a", 4001)), "record 1 cannot be written: it takes 4001 bytes"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := list.Append([]byte("kept"), tt.record)
			if err == nil || !strings.HasPrefix(err.Error(), tt.want) || string(got) != "kept" {
				t.Errorf("Append = %q, %v; want the old bytes and %q", got, err, tt.want)
			}
		})
	}
}

// FuzzRead holds that what is read can be written, and reads back to equal records; and that writing is canonical.
func FuzzRead(f *testing.F) {
	for _, s := range []string{"", "a b\n", "a \"b c\" # d\r\n", `"" "\"" "\\" "#"`, "\ta \"Fähre\"", "a\x00", "\ufeff\ufeff"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		first, err := list.Read("x", src)
		if err != nil {
			return
		}
		text, err := list.Append(nil, first...)
		if err != nil {
			t.Fatalf("read, but cannot be written: %v", err)
		}
		second, err := list.Read("x", text)
		if err != nil {
			t.Fatalf("written %q cannot be read: %v", text, err)
		}
		again, _ := list.Append(nil, second...)
		if string(again) != string(text) {
			t.Errorf("written %q, then %q", text, again)
		}
		if diff := cmp.Diff(bare(first), bare(second)); diff != "" {
			t.Errorf("records changed on the way (-first +second):\n%s", diff)
		}
	})
}

// bare takes the positions away.
func bare(records []list.Record) [][]list.Word {
	all := [][]list.Word{}
	for _, r := range records {
		var words []list.Word
		for _, w := range r.Words {
			words = append(words, list.Word{Text: w.Text, Quoted: w.Quoted})
		}
		all = append(all, words)
	}
	return all
}

func ExampleRead() {
	src := `# one record a line
office  "Wendle Ferry"
tape    TC1 gp-1.tape   # the spring copy
`
	records, err := list.Read("office.list", []byte(src))
	if err != nil {
		fmt.Println(list.Report(err))
		return
	}
	for _, r := range records {
		fmt.Println(r.Pos, r.Name(), len(r.Args()))
	}
	// Output:
	// office.list:2:1 office 1
	// office.list:3:1 tape 2
}
