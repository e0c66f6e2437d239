package channel

import (
	"strings"
	"testing"
)

// Every example of the manual is read.
func TestManualExamples(t *testing.T) {
	n := 0
	for line := range strings.Lines(Manual()) {
		if example, ok := strings.CutPrefix(line, "    "); ok {
			n++
			if parse(t, strings.TrimSpace(example)) == nil {
				t.Errorf("no device: %s", example)
			}
		}
	}
	if n < 5 {
		t.Errorf("%d examples found", n)
	}
}
