package channel

import (
	"strings"
	"testing"
)

// Every example of the manual is read.
func TestManualExamples(t *testing.T) {
	n, codes := 0, ""
	for line := range strings.Lines(Manual()) {
		if example, ok := strings.CutPrefix(line, "    "); ok {
			n++
			if !strings.HasPrefix(example, "device ") {
				codes += example
				continue
			}
			if parse(t, strings.TrimSpace(example)) == nil {
				t.Errorf("no device: %s", example)
			}
		}
	}
	if sets, err := ReadCodes("manual", []byte(codes)); err != nil || len(sets) != 1 {
		t.Errorf("codes: %v, %v", sets, err)
	}
	if n < 5 {
		t.Errorf("%d examples found", n)
	}
}
