package main

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"coldstart/cmd/coldstart/internal/cli"
)

// paper is how many columns a line may have: those of a sheet, and of the oldest terminal that still stands on a bench.
const paper = 80

// wide are the commands whose standard output may be wider, and why.
var wide = map[string]string{
	"survey": "a row a block, whose remarks quote what was read; it goes on wide paper",
}

// narrowed are lines typed of each command, on the training office in a folder, besides the command alone and its help. A
// command that is not here is tried with these two.
var narrowed = map[string][]string{
	"help":     {"help", "help zork", "help statuses", "help machine-file", "help jams", "help commands", "help help extra"},
	"proof":    {"proof --next", "proof --drawing *", "proof --drawing loaf", "proof --machine brindlecote.machine", "proof --image gone.words", "proof --start 5000 --image starter.words --machine brindlecote.machine"},
	"assemble": {"assemble start.order", "assemble base.order bits.order", "assemble --listing start.order", "assemble gone.order", "assemble office.list"},
	"recite":   {"recite 1000-1017", "recite 50000", "recite --machine brindlecote.machine", "recite --office torn", "recite --image office.list --machine brindlecote.machine"},
	"survey":   {"survey --tape gone.tape"},
	"bringup": {
		"bringup --jam 'LD1 bit 6 dark'", "bringup --jam 'ST2 U08 @024107 = 1'", "bringup --jam 'ST9 U08'",
		"bringup --jam 'ST2 U08 @024107 = 1' --jam 'ST2 U08 @024107 = 0'", "bringup --office torn", "bringup --office gone", "bringup --start 50000",
		"bringup --until 'here = 024107 and A = '", "bringup --within '0 s'", "bringup --within '3 orders'", "bringup --direct --start 024107 --within '2000 orders'",
		"bringup --image starter.words --machine brindlecote.machine --within '5000 orders' --jam 'ST2 U08 @024107 = 1' --fill 77", "bringup --machine x",
	},
	"overlay": {"overlay --dump crash.words", "overlay --dump other.words", "overlay --dump turned.words", "overlay --dump office.list", "overlay --dump gp1.tape", "overlay --dump gone.words", "overlay --dump crash.words --office torn"},
	"march": {
		"march --all", "march --test SS --jam 'ST2 U08 @024107 = 1' --jam 'store 000001 left parity = 0'", "march --test 'up(w0); up(r1)'",
		"march --test 'up(w0); up(r0,w1)' --all", "march --test Z", "march --area ST9", "march --area WS1", "march --area 0-9", "march --background 8",
	},
	"splice":   {"splice gp1.tape torn/gp1.tape", "splice gp1.tape gp1.tape", "splice gone.tape torn/gp1.tape"},
	"vouch":    {"vouch --by Nobody --date 2026-11-25 --office torn", "vouch --check office.list", "vouch --by Nobody --date today"},
	"readback": {"readback torn/gp1.tape --against gp1.tape", "readback gp1.tape --sheet office.list", "readback gone.tape"},
	"sit":      {"sit --routine desk", "sit --routine torn.desk", "sit --routine gone.desk"},
	"school":   {"school .", "school new", "school a b"},
}

// TestEveryLineFitsOnPaper runs every command and every page of help on the training office, what it refuses too, and wants no
// line wider than paper on standard output or standard error. A word wider than that alone cannot be broken: none here is.
func TestEveryLineFitsOnPaper(t *testing.T) {
	if testing.Short() {
		t.Skip("it brings the office up a dozen times")
	}
	folder := t.TempDir()
	t.Chdir(folder)
	t.Setenv("COLDSTART_WIDE", "")
	typed(t, "school here")
	t.Chdir("here")
	tear(t)
	overview, _ := typed(t, "help commands")
	commands := []string{"help"}
	for _, m := range regexp.MustCompile(`(?m)^  ([a-z]+) `).FindAllStringSubmatch(overview, -1) {
		commands = append(commands, m[1])
	}
	if len(commands) < 8 {
		t.Fatalf("the overview names only %q", commands)
	}
	for _, command := range commands {
		lines := append([]string{command, "help " + command, command + " --zork", command + " --json=maybe"}, narrowed[command]...)
		for _, line := range lines {
			out, complaint := typed(t, line)
			if wide[command] == "" || strings.HasPrefix(line, "help ") {
				fits(t, line, out)
			}
			fits(t, line, complaint)
		}
	}
}

// tear makes what goes wrong: an office whose tape is damaged all over, and words for the desk.
func tear(t *testing.T) {
	t.Helper()
	typed(t, "school torn")
	name := filepath.Join("torn", "gp1.tape")
	tape, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	for i := 2000; i < len(tape); i += 97 {
		tape[i] ^= 0o20
	}
	if err := os.WriteFile(name, tape, 0o666); err != nil {
		t.Fatal(err)
	}
	typed(t, "bringup --jam 'ST2 U08 @024107 = 1' --dump crash.words")
	dump, err := os.ReadFile("crash.words")
	if err != nil {
		t.Fatal(err)
	}
	other := strings.ReplaceAll(string(dump), " 000000/11", " 000001/11") // many words, of many plug-ins
	for name, text := range map[string]string{"other.words": other, "turned.words": strings.ReplaceAll(string(dump), "/", "\n#")} {
		if err := os.WriteFile(name, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	var all strings.Builder
	help, _ := typed(t, "sit")
	for _, m := range regexp.MustCompile(`(?m)^  ([a-z]+) `).FindAllStringSubmatch(help, -1) {
		all.WriteString("help " + m[1] + "\n")
	}
	for name, lines := range map[string]string{
		"desk": all.String() + "jam LD1 bit 6 dark\njam ST2 U08 @024107 = 1\nroll\ntrail\npanel\nlamps\njams\nrecite 1000 20\nlook 0-17\nwhence 24107\nwhence 1000\n" +
			"note " + strings.Repeat("it flickered ", 9) + "\nnote\nholds\nleave\n",
		"torn.desk": "look 50000\n",
	} {
		if err := os.WriteFile(name, []byte(lines), 0o666); err != nil {
			t.Fatal(err)
		}
	}
}

// words parts a line as a shell would, single quotes alone.
var words = regexp.MustCompile(`'[^']*'|\S+`)

// typed carries out one command line, "help all" at the desk, and gives what it prints.
func typed(t *testing.T, line string) (out, complaint string) {
	t.Helper()
	var args []string
	for _, w := range words.FindAllString(line, -1) {
		args = append(args, strings.Trim(w, "'"))
	}
	var o, c bytes.Buffer
	cli.Run(args, strings.NewReader("help all\n"), &o, &c)
	return o.String(), c.String()
}

// fits wants every line of a text to fit on paper. What a person typed is shown as it was typed.
func fits(t *testing.T, command, text string) {
	t.Helper()
	for line := range strings.Lines(text) {
		if n := utf8.RuneCountInString(strings.TrimSuffix(line, "\n")); n > paper && !prompt.MatchString(strings.TrimSuffix(line, "\n")) {
			t.Errorf("coldstart %s: %d columns: %s", command, n, line)
		}
	}
}
