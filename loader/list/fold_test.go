package list_test

import (
	"strings"
	"testing"

	"coldstart/loader/list"
)

func TestFold(t *testing.T) {
	long := strings.Repeat("abc ", 20)
	typed := "`" + strings.Repeat("hold ", 6) + "on`"
	tests := []struct{ name, line, hang, want string }{
		{"empty", "", "    ", ""},
		{"fits", "a  b", "    ", "a  b"},
		{"fits just", strings.Repeat("x", 80), "    ", strings.Repeat("x", 80)},
		{"one more", strings.Repeat("x", 78) + " yz", "    ", strings.Repeat("x", 78) + "\n    yz"},
		{"three lines", strings.Repeat("abc ", 41), "    ", strings.TrimSpace(long) + "\n    " + strings.TrimSpace(long[:76]) + "\n    abc abc "},
		{"columns stay", "a    b  c   " + long, "  ", "a    b  c   " + strings.TrimSpace(long[:68]) + "\n  abc abc abc "},
		{"a word wider than paper", "a " + strings.Repeat("x", 90) + " b", "    ", "a\n    " + strings.Repeat("x", 90) + "\n    b"},
		{"nothing but a wide word", strings.Repeat("x", 90), "    ", strings.Repeat("x", 90)},
		{"a wide word behind an indent", "    " + strings.Repeat("x", 90), "        ", "    " + strings.Repeat("x", 90)},
		{"to be typed", long[:60] + typed, "  ", strings.TrimSpace(long[:60]) + "\n  " + typed},
		{"a command to be typed", long[:60] + `"coldstart help commands" lists them`, "  ",
			strings.TrimSpace(long[:60]) + "\n  \"coldstart help commands\" lists them"},
		{"a quotation may break", long[:60] + `"abc abc abc abc abc abc"`, "  ", long[:60] + "\"abc abc abc abc abc\n  abc\""},
		{"a mark that nothing ends", long[:60] + "`abc abc abc abc abc abc", "  ", long[:60] + "`abc abc abc abc abc\n  abc"},
		{"behind a sign", "# " + long + "abc", "#   ", "# " + long[:75] + "\n#   abc abc"},
		{"letters count, not bytes", strings.Repeat("\u00e9", 80), "", strings.Repeat("\u00e9", 80)},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := list.Fold(tt.line, tt.hang); got != tt.want {
				t.Errorf("Fold(%q, %q):\n%s\nwant\n%s", tt.line, tt.hang, got, tt.want)
			}
		})
	}
}
