package template_test

import (
	"os"
	"strings"
	"testing"

	"coldstart/cpu/assemble/template"
	"coldstart/loader/list"
	"coldstart/memory/march"
)

// whole is a template with every piece that is needed, each empty.
const whole = "piece head\npiece up\npiece down\npiece w0\npiece w1\npiece r0\npiece r1\npiece up-end\npiece down-end\npiece tail\n"

func TestReadRefuses(t *testing.T) {
	for _, tt := range []struct{ name, text, want string }{
		{"empty", "", "t.march:1:1: the piece head is missing; add a line `piece head` and what it does"},
		{"no text", strings.Repeat("\x00\x01", 100), "t.march:1:1: this is no text"},
		{"too long", whole + strings.Repeat("{x}\n", 300_000), "t.march:1:1: this has more than 1000000 characters"},
		{"before the first", "# remark\nload A\n" + whole, `t.march:2:1: "load A" stands before the first piece; begin with a line `},
		{"unknown piece", whole + "piece tial\n", `t.march:11:1: "tial" is no piece here; the nearest is "tail"`},
		{"no name", whole + "piece \n", `t.march:11:1: "" is no piece here; known are: head`},
		{"twice", whole + "piece up\n", "t.march:11:1: piece up is there already, from line 2; strike out one of them"},
		{"pad without address", whole + "piece pad\n", "t.march:11:1: write `piece pad ADDRESS`, and any other without a word behind its name"},
		{"word behind a name", whole + "piece blocks 7\n", "t.march:11:1: write `piece pad ADDRESS`"},
		{"unknown place", whole + "  load {frist}\n", `t.march:11:8: "frist" is no thing to be filled in here; the nearest is "first"`},
		{"place of another piece", whole + "  load {op}\n", `t.march:11:8: "op" is no thing to be filled in here`},
		{"finding without words", whole + "piece findings\nfailed\n", "t.march:12:1: a finding is a label and, between quotes, what stands there"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			tm, err := template.Read("t.march", []byte(tt.text))
			if tm != nil || err == nil || !strings.Contains(list.Report(err), tt.want) {
				t.Errorf("got %v, want %s", list.Report(err), tt.want)
			}
		})
	}
}

// TestFillRefuses fills the training machine's template in for what cannot be done with it.
func TestFillRefuses(t *testing.T) {
	code, tm := brindlecote(t)
	test, _ := march.Named("X")
	for _, tt := range []struct {
		name string
		job  template.Job
		want string
	}{
		{"wired", template.Job{First: 0o77400, Last: 0o77410}, "WS1 is wired, and a test writes"},
		{"gap", template.Job{First: 0o30000, Last: 0o77377}, "nothing answers at 040000, and a test by orders goes through all addresses from 030000 to 077377"},
		{"itself", template.Job{First: 0o1700, Last: 0o20000}, "the order text has a word at 001700, within the store it is to test, 001700 to 020000"},
		{"its findings", template.Job{First: 0o2000, Last: 0o2000}, "counts stands at 002000, within the store to be tested, 002000 to 002000"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			tt.job.Test = test
			if r, err := tm.Fill(code, tt.job); r != nil || err == nil || err.Error() != tt.want {
				t.Errorf("got %v, want %s", err, tt.want)
			}
		})
	}
}

// TestManualIsTrue wants every piece, every thing to be filled in and the whole example of the manual to be what it says.
func TestManualIsTrue(t *testing.T) {
	src, err := os.ReadFile(school + "brindlecote.march")
	if err != nil {
		t.Fatal(err)
	}
	_, example, _ := strings.Cut(template.Manual(), "brindlecote.march:\n\n")
	for block := range strings.SplitSeq(strings.TrimSpace(strings.ReplaceAll(example, "\n    ", "\n")), "\n\n") {
		if !strings.HasPrefix(block, "piece ") || !strings.Contains(string(src), block+"\n\n") {
			t.Errorf("the training office's template has no such piece:\n%s", block)
		}
	}
	for line := range strings.Lines(template.Manual()) { // what is not set in is folded when it is shown
		if strings.HasPrefix(line, " ") && len(line) > list.Paper+1 {
			t.Errorf("%d columns: %s", len(line)-1, line)
		}
	}
}

// TestPadHasAnEnd tries pads that would never come to one.
func TestPadHasAnEnd(t *testing.T) {
	code, _ := brindlecote(t)
	src, err := os.ReadFile(school + "brindlecote.march")
	if err != nil {
		t.Fatal(err)
	}
	test, _ := march.Named("X")
	for address, want := range map[string]string{
		"777777777777": "there is no order text in the same area below 777777777777",
		"50000":        "there is no order text in the same area below 50000",
		"17":           "there is no order text in the same area below 17",
		"1o":           "for zero type 0, not the letter",
		"1001":         "the order text goes on beyond 001001",
	} {
		tm, err := template.Read("t.march", []byte(strings.Replace(string(src), "pad 1777", "pad "+address, 1)))
		if err != nil {
			t.Fatal(err)
		}
		r, err := tm.Fill(code, template.Job{Test: test, First: 0o20000, Last: 0o20007})
		if r != nil || err == nil || !strings.Contains(list.Report(err), want) {
			t.Errorf("pad %s: got %v, want %s", address, err, want)
		}
	}
}
