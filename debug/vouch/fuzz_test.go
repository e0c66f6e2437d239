package vouch_test

import (
	"crypto/sha256"
	"fmt"
	"os"
	"strings"
	"testing"

	"coldstart/debug/vouch"
)

// Whatever is given as a sheet, it is whole only where its last line is the digest of all above it.
func FuzzRead(f *testing.F) {
	sheet, err := os.ReadFile("testdata/sheet.txt")
	if err != nil {
		f.Fatal(err)
	}
	f.Add(string(sheet))
	f.Add(string(sheet) + "Verdict: GOOD\n")
	f.Add(string(sheet[:4000]))
	f.Add("CONFIRMATION BEFORE WRITE-BACK\nTo make this sheet again, in the same folder:\n  coldstart vouch \\\n")
	f.Fuzz(func(t *testing.T, text string) {
		o, err := vouch.Read(text)
		if err != nil || o.Broken != "" {
			return
		}
		text, _, _ = strings.Cut(text, "\nVerdict: ")
		text = strings.TrimSuffix(text, "\n")
		above := text[:strings.LastIndex(text, "\n")+1]
		if want := fmt.Sprintf("  sha256 %x", sha256.Sum256([]byte(above))); text[len(above):] != want {
			t.Errorf("taken for whole: its last line is %q, want %q", text[len(above):], want)
		}
		if o.Command == "" {
			t.Error("taken for whole without a command")
		}
	})
}
