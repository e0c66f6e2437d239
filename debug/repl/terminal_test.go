package repl

import (
	"bytes"
	"errors"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestHistoryKeepsWhatWasTyped(t *testing.T) {
	terminal := Open([]string{"take 5", "", "bad \xff line", "esc \x1b[2J", strings.Repeat("x", longest), "look A"})
	defer terminal.Close()
	if diff := cmp.Diff([]string{"take 5", "look A"}, terminal.History()); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
}

func TestStoppedOnce(t *testing.T) {
	terminal := Open(nil)
	defer terminal.Close()
	if terminal.Stopped() {
		t.Error("stopped before Ctrl-C")
	}
	terminal.interrupts <- os.Interrupt
	if !terminal.Stopped() || terminal.Stopped() {
		t.Error("one Ctrl-C is to stop once")
	}
}

func TestComplain(t *testing.T) {
	desk := newDesk(t, new(bytes.Buffer), nil)
	tests := []struct {
		err  error
		want string
	}{
		{desk.Do("roll until A = 8"), "A = 8\n    ^\n\"8\" is not a number in octal: '8' is no octal digit\n"},
		{desk.Do("roll until A = 1 and A = 1 and A = 1 and A = 1 and A = 1 and A = 1 and A = 1 and A = 1 and A = 8"),
			"condition \"A = 1 and A = 1 and A = 1 and A = 1 and A = 1 and A = 1 and A = 1 and A = 1 and A = 8\", column 85: \"8\" is not a number in octal: '8' is no octal digit\n"},
		{errors.New("odd \x1b[2J"), "odd \\x1b[2J\n"},
	}
	for _, tt := range tests {
		var said bytes.Buffer
		complain(&said, tt.err)
		if diff := cmp.Diff(tt.want, said.String()); diff != "" {
			t.Errorf("%v (-want +got)\n%s", tt.err, diff)
		}
	}
}
