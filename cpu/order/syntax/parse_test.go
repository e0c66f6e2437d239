package syntax

import (
	"os"
	"testing"
)

// The training office's machine file is the language by example.
func TestParseBrindlecote(t *testing.T) {
	src, err := os.ReadFile("../../../cmd/coldstart/internal/school/office/brindlecote.machine")
	if err != nil {
		t.Fatal(err)
	}
	f, err := Parse("brindlecote.machine", src)
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
		t.Errorf("orders: got %d, want the 74 the file declares", orders)
	}
}
