package cli

import (
	"strings"
	"testing"
)

func TestFold(t *testing.T) {
	tests := []struct{ name, indent, line, want string }{
		{"empty", "  ", "", ""},
		{"fits", "  ", "a  b", "  a  b\n"},
		{"further in below", "  ", strings.Repeat("abc ", 19) + "abc", "  " + strings.Repeat("abc ", 18) + "abc\n      abc\n"},
		{"control code", "", "a\x1b[2Jb", "a\\x1b[2Jb\n"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			var b strings.Builder
			if fold(&b, test.indent, test.line); b.String() != test.want {
				t.Errorf("fold(%q, %q):\n%s\nwant\n%s", test.indent, test.line, b.String(), test.want)
			}
		})
	}
}

func TestFolding(t *testing.T) {
	long := strings.Repeat("abc ", 20)
	tests := []struct{ name, text, want string }{
		{"short", "a\nb\n", "a\nb\n"},
		{"not ended", "a", "a"},
		{"an empty line", "\n", "\n"},
		{"two lines, the first long", long + "x\nb\n", strings.TrimSpace(long) + "\n    x\nb\n"},
		{"set in", "  " + long + "x\n", "  " + strings.TrimSpace(long[:76]) + "\n      abc x\n"},
	}
	t.Setenv(wideVariable, "")
	for _, tt := range tests {
		var b strings.Builder
		if n, err := newFolding(&b).Write([]byte(tt.text)); n != len(tt.text) || err != nil || b.String() != tt.want {
			t.Errorf("%s: %q gives %d, %v and\n%s\nwant\n%s", tt.name, tt.text, n, err, b.String(), tt.want)
		}
	}
	t.Setenv(wideVariable, "1")
	var b strings.Builder
	if newFolding(&b).Write([]byte(long + "x\n")); b.String() != long+"x\n" {
		t.Errorf("with %s set: %q", wideVariable, b.String())
	}
}

func TestRefill(t *testing.T) {
	wide := strings.Repeat("abc ", 20) + "abc"
	tests := []struct{ name, text, want string }{
		{"nothing", "", ""},
		{"paragraphs stay apart", "a\nb\n\nc\n", "a b\n\nc\n"},
		{"a wide line is set with the next", wide + "\nx\n", wide[:79] + "\nabc x\n"},
		{"points", "  - a\n    " + wide + "\n  - b\n\n    c   d\n", "  - a " + wide[:71] + "\n    abc abc abc\n  - b\n\n    c   d\n"},
		{"a production", "    Ab   = " + wide + "\n           x  y\n", "    Ab   = " + wide[:67] + "\n           abc abc abc abc\n           x  y\n"},
		{"examples and headings stay", "# a\nb\n    c   d\n", "# a\nb\n    c   d\n"},
	}
	for _, tt := range tests {
		if got := refill(tt.text); got != tt.want {
			t.Errorf("%s: %q gives\n%s\nwant\n%s", tt.name, tt.text, got, tt.want)
		}
	}
}
