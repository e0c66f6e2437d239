package cli

import (
	"slices"
	"testing"
)

func TestFoldCommand(t *testing.T) {
	const label = "To settle it: "
	tests := []struct{ name, line, want string }{
		{"short", "coldstart sit", label + " coldstart sit"},
		{"80 columns", "coldstart sit --machine aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa",
			label + " coldstart sit --machine aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa"},
		{"room for the backslash", "coldstart sit --machine aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa b",
			label + " coldstart sit --machine \\\n                 aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa b"},
		{"quoted", "coldstart sit --jam 'ST2 U08 @024107 = 1' --jam 'ST2 U08 @024107 = 1'",
			label + " coldstart sit --jam 'ST2 U08 @024107 = 1' --jam \\\n                 'ST2 U08 @024107 = 1'"},
	}
	for _, tt := range tests {
		if got := foldCommand(label, tt.line); got != tt.want {
			t.Errorf("%s: %q:\n%s\nwant\n%s", tt.name, tt.line, got, tt.want)
		}
	}
}

func TestShellWords(t *testing.T) {
	got := shellWords(`a 'b  c' d'e f'g 'h'\''i j'`)
	if want := []string{"a", "'b  c'", "d'e f'g", `'h'\''i j'`}; !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
}
