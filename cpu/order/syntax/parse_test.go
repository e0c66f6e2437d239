package syntax

import (
	"errors"
	"fmt"
	"go/scanner"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"testing"
)

// errorsOf gives the errors of a file as "line:column: message".
func errorsOf(t testing.TB, src string) (list []string) {
	t.Helper()
	f, err := Parse("test", []byte(src))
	if err == nil {
		return nil
	}
	var errs scanner.ErrorList
	if f != nil || !errors.As(err, &errs) {
		t.Fatalf("got file %v and error %T, want no file and a scanner.ErrorList", f, err)
	}
	for _, e := range errs {
		if e.Pos.Filename != "test" {
			t.Errorf("error %q names the file %q", e.Msg, e.Pos.Filename)
		}
		list = append(list, fmt.Sprintf("%d:%d: %s", e.Pos.Line, e.Pos.Column, e.Msg))
	}
	return list
}

// The errors wanted stand in the file itself, each behind the line it is about.
func TestErrorsInFile(t *testing.T) {
	src := read(t, "testdata/errors.machine")
	note := regexp.MustCompile(`# ERROR (\d+) (.*)`)
	want := map[int]string{}
	for i, line := range strings.Split(src, "\n") {
		if m := note.FindStringSubmatch(line); m != nil {
			want[i+1] = fmt.Sprintf("%d:%s: %s", i+1, m[1], m[2])
		}
	}
	if len(want) < 80 {
		t.Fatalf("found only %d notes in the file", len(want))
	}
	for _, got := range errorsOf(t, src) {
		line, _, _ := strings.Cut(got, ":")
		n, _ := strconv.Atoi(line)
		if w, ok := want[n]; !ok {
			t.Errorf("an error that nobody wanted: %s", got)
		} else if !strings.HasPrefix(got, w) {
			t.Errorf("line %d:\ngot  %s\nwant %s", n, got, w)
		}
		delete(want, n)
	}
	for _, w := range want {
		t.Errorf("no error came: %s", w)
	}
}

func TestParseOffice(t *testing.T) {
	f, err := Parse("office", []byte(read(t, office)))
	if err != nil {
		t.Fatalf("Parse: %v", err)
	}
	orders := 0
	for _, s := range f.Statements {
		if _, ok := s.(*Order); ok {
			orders++
		}
	}
	if orders != 74 {
		t.Errorf("orders: got %d, want the 74 that the file declares", orders)
	}
}

func TestLinesAndFiles(t *testing.T) {
	const (
		head    = "order a\n  does "
		maxUsed = 150 << 20 // bytes for the worst of files, all that is thrown away on the way counted in
	)
	deep := func(open, middle, shut string, n int) string {
		return strings.Repeat(open, n) + middle + strings.Repeat(shut, n)
	}
	tests := []struct {
		name, src string
		want      string // beginning of the only error; empty for none
	}{
		{"empty", "", ""},
		{"comment alone", "# nothing yet", ""},
		{"no last line end", "address 15 bits", ""},
		{"CRLF", "address 15 bits\r\nclock 2 us\r\n", ""},
		{"byte order mark first", "\ufeffaddress 15 bits\n", ""},
		{"byte order mark later", "address\ufeff 15 bits\n", "1:8: found U+FEFF, byte order mark, which does not print"},
		{"CR, no line end at all", strings.Repeat("address 15 bits\r", 100_000), "1:1: the line is longer than 4,000 bytes"},
		{"tab", "address\t15 bits\n", "1:8: found a tab; use blanks"},
		{"O for 0", "store ST0 0O0-777\n", "1:11: expected a number, found \"0O0\" with a letter in it; did you mean 000"},
		{"O first", "store ST0 O00-777\n", "1:11: expected an address, found \"O00-777\"; did you mean 000-777"},
		{"l for 1", "store ST0 000-7l7\n", "1:15: expected a number, found \"7l7\" with a letter in it; did you mean 717"},
		{"smart quotes", "machine “Millrace”\n", "1:9: found U+201C, left double quote"},
		{"Cyrillic letter", "register A, В: 8 bits\n", "1:13: found U+0412, Cyrillic letter"},
		{"CR alone", "address 15 bits\rclock 2 us\r", "1:16: found a carriage return inside a line"},
		{"NUL", "address 15\x00 bits\n", "1:11: found a NUL byte"},
		{"escape in a comment", "address 15 bits # \x1b[31m\n", "1:19: found U+001B, which does not print"},
		{"reversed text in quotes", "machine \"\u202e8\"\n", "1:10: found U+202E, right-to-left override, which does not print"},
		{"no UTF-8", "machine \"M\xfchlbach\"\n", "1:11: found byte 0xfc, which is no UTF-8"},
		{"quotes left open", "issue \"handbook\nclock 2 us\n", "1:7: expected a closing \" on the same line"},
		{"photograph of 3 MB", "\xff\xd8\xff\xe0" + strings.Repeat("\x00\x10JFIF\n\xdb", 400_000), "1:1: this is no text"},
		{"picture", "\xff\xd8\xff\xe0\x00\x10JFIF\x00\x01\x01\x00\x00\x48\x00\x48\x00\x00\xff\xdb", "1:1: this is no text"},
		{"UTF-16", "\xff\xfea\x00d\x00d\x00r\x00e\x00s\x00s\x00\n\x00", "1:1: this is no text"},
		{"long comment", "#" + strings.Repeat("x", 4000), "1:1: the line is longer than 4,000 bytes"},
		{"line of 2 MB", "machine \"" + strings.Repeat("x", 2<<20) + "\"", "1:1: the line is longer than 4,000 bytes"},
		{"too long when printed", head + "A<-A" + strings.Repeat("+A", 1900), "2:1: too many words and marks on one line"},
		{"file over 4 MB", strings.Repeat("# 34567\n", 1<<19) + "#", "1:1: the file is longer than 4 MB"},
		{"long word", "machine " + strings.Repeat("x", 3000), "1:9: expected a name in quotes, \"like this\", found \"" + strings.Repeat("x", 40) + "...\""},

		{"brackets 190 deep", head + "A <- " + deep("(", "1", ")", 190), ""},
		{"brackets 200 deep", head + "A <- " + deep("(", "1", ")", 200), "2:213: nested more than 200 deep"},
		{"brackets 10,000 deep", head + "A <- " + deep("(", "1", ")", 10000), "2:1: the line is longer"},
		{"square brackets 10,000 deep", head + "A <- " + deep("store[", "1", "]", 10000), "2:1: the line is longer"},
		{"square brackets 250 deep", head + "A <- " + deep("store[", "1", "]", 250), "2:1213: nested more than 200 deep"},
		{"brackets in each 500 deep", "order a\neach c: 0 b = (" + deep("(", "1", ")", 500), "2:216: nested more than 200 deep"},
		{"not 700 deep", head + "A <- " + deep("not ", "1", "", 700), "2:809: nested more than 200 deep"},
		{"if 600 deep", head + "A <- " + deep("if ", "1", "", 600), "2:613: nested more than 200 deep"},
		{"blocks 150 deep", head + deep("if A\n", "halt\n", "end\n", 150), ""},
		{"blocks 10,000 deep", head + deep("repeat 2 times\n", "halt\n", "end\n", 10000), "203:1: blocks nest more than 200 deep"},
		{"ifs 10,000 deep", head + deep("if A\n", "halt\n", "end\n", 10000), "203:1: blocks nest more than 200 deep"},
		{"a million transfers", head + strings.Repeat("A<-B\n", 800_000), "83334:1: the file has more than 250,000 words and marks"},
		{"too many statements", strings.Repeat("order a\n", 60_000), "30001:1: the file has more than 30,000 statements"},
		{"block without end", head + "if A\nhalt\n", "2:8: expected end to close this if, found the end of the file"},
		{"two elses", head + "if A\nhalt\nelse\nhalt\nelse\nhalt\n", "2:8: expected end to close this if, found \"else\" in line 6"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			got := errorsOf(t, tt.src)
			runtime.ReadMemStats(&after)
			if used := after.TotalAlloc - before.TotalAlloc; used > maxUsed {
				t.Errorf("used %d bytes of store on the way, want %d at most, from %.200q", used, maxUsed, tt.src)
			}
			if tt.want == "" && got == nil || len(got) == 1 && tt.want != "" && strings.HasPrefix(got[0], tt.want) {
				return
			}
			t.Errorf("got  %.300q\nwant %q\nfrom %.200q", got, tt.want, tt.src)
		})
	}
}

// A file that is wrong in every line must not bring a million complaints.
func TestErrorsEnd(t *testing.T) {
	got := errorsOf(t, strings.Repeat("wrong\n", 500_000))
	if len(got) != 1001 || !strings.Contains(got[1000], "the rest of the file was not read") {
		t.Errorf("got %d errors, the last %q; want 1,000 and a last word", len(got), got[len(got)-1])
	}
}

func TestLayoutIsFree(t *testing.T) {
	const want = "order     swap                                      page 3-4\n  pattern 0011\n  does    A, B <- B, A\n          halt\n"
	for _, src := range []string{
		"order swap page 3-4\npattern 0011\ndoes A,B<-B,A\nhalt",
		"   order   swap   page 3-4 # twice\n\n\n  pattern 00 11\n#\n does\n   A , B <- B , A\n   halt\n",
		"order swap page 3-4\r\n  pattern 0 0 1 1\r\n  does A, B <- (B), ((A))\r\n\r\n  halt\r\n",
	} {
		f, err := Parse("layout", []byte(src))
		if err != nil {
			t.Errorf("%v\nfrom %q", err, src)
		} else if got := string(Print(f)); got != want {
			t.Errorf("got:\n%s\nwant:\n%s\nfrom %q", got, want, src)
		}
	}
}

// Keywords may name registers, and so begin transfers; mode and trap begin two kinds of line each.
func TestKeywordsInTwoRoles(t *testing.T) {
	const src = `order first
  mode reached
  does store[at] <- 1
    check, halt <- 1, 2
    pattern.3 <- 1
    let let = end
    trap parity
    if halt = 1 then halt <- 0; halt else wait <- 1
mode reached
  does let at = 1
trap parity "parity wrong"
  does halt
order second
mode third page 3-4
`
	f, err := Parse("roles", []byte(src))
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, s := range f.Statements {
		got = append(got, fmt.Sprintf("%T", s))
	}
	want := "[*syntax.Order *syntax.Mode *syntax.Trap *syntax.Order *syntax.Mode]"
	if fmt.Sprint(got) != want {
		t.Fatalf("statements:\ngot  %v\nwant %s", got, want)
	}
	if n := len(f.Statements[0].(*Order).Does); n != 6 {
		t.Errorf("lines of the first order: got %d, want 6", n)
	}
	sameAgain(t, f, src)
}

// A mode after an order that does nothing must not become the order's own when it is printed.
func TestModeAfterOrder(t *testing.T) {
	const src = "order idle\n  pattern 0000\n  does\nmode reached\n  does let at = 1\n"
	f, err := Parse("idle", []byte(src))
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Statements) != 2 {
		t.Fatalf("got %d statements, want an order and a mode, from\n%s", len(f.Statements), src)
	}
	sameAgain(t, f, src)
}

func TestBrackets(t *testing.T) {
	tests := []struct{ typed, printed string }{
		{"a and b or c xor not d", "a and b or c xor not d"},
		{"a and (b or c)", "a and (b or c)"},
		{"(a and b) or c", "a and b or c"},
		{"not (a = b)", "not a = b"},
		{"(not a) = b", "(not a) = b"},
		{"(a = b) = c", "(a = b) = c"},
		{"a - (b - c) - d", "a - (b - c) - d"},
		{"(a:b):c", "a:b:c"},
		{"a:(b:c)", "a:(b:c)"},
		{"(a + b).14-0.3", "(a + b).14-0.3"},
		{"page:a + 1", "page:a + 1"},
		{"page:(a + 1)", "page:(a + 1)"},
		{"if a then b else if c then d else e", "if a then b else if c then d else e"},
		{"(if a then b else c) + 1", "(if a then b else c) + 1"},
		{"octal 17:hexadecimal 0F", "octal 17:hexadecimal 0F"},
		{"f((a), g(b,c))-store [x .3-1]", "f(a, g(b, c)) - store[x.3-1]"},
		{"a-b - 1", "a-b - 1"},
		{"3-1", "3 - 1"},
	}
	for _, tt := range tests {
		src := "trap t \"\"\nwhen " + tt.typed
		f, err := Parse("brackets", []byte(src))
		if err != nil {
			t.Errorf("%s: %v", tt.typed, err)
			continue
		}
		if got := value(f.Statements[0].(*Trap).When, loosest); got != tt.printed {
			t.Errorf("%s: got %s, want %s", tt.typed, got, tt.printed)
		}
		sameAgain(t, f, src)
	}
}

func BenchmarkParse(b *testing.B) {
	src := []byte(read(b, office))
	b.SetBytes(int64(len(src)))
	for b.Loop() {
		if _, err := Parse("office", src); err != nil {
			b.Fatal(err)
		}
	}
}
