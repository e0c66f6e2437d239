package list_test

import (
	"strings"
	"testing"

	"coldstart/loader/list"
)

// TestIsText tells files worth reading by lines from those that are not, by how they begin.
func TestIsText(t *testing.T) {
	tests := []struct {
		name string
		src  string
		want bool
	}{
		{"nothing", "", true},
		{"a list", "office \"Ours\"\r\n\tmachine my.machine\n", true},
		{"not ASCII", strings.Repeat("Vermittlungsstelle Köln-Süd\n", 200), true},
		{"one slip", "office \x00\n", true},
		{"begins of a picture", "\xff\xd8\xff\xe0\x00\x10JFIF\x00\x01\x01\x00\x00\x48\x00\x48", false},
		{"UTF-16", "\xff\xfeo\x00f\x00f\x00i\x00c\x00e\x00", false},
		{"text, and then none", strings.Repeat("x", 4096) + strings.Repeat("\x00", 4096), true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := list.IsText([]byte(tt.src)); got != tt.want {
				t.Errorf("IsText(%.20q) = %v, want %v", tt.src, got, tt.want)
			}
		})
	}
}
