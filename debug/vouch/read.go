package vouch

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"
)

// An Old is a sheet read back: what it rests on, and what is said on it.
type Old struct {
	By, Date string
	Result   string // as it stands on top
	Program  []string
	Inputs   []Input
	Command  string // the command line that makes it again, as a shell takes it
	Broken   string // how its text is not as it was made; "" for a whole one

	text string
}

// longestCommand is how many letters a command that makes a sheet may have: more than a path or a reason takes.
const longestCommand = 1 << 15

// mostInputs is how many files a sheet may rest on: more than any office and its passes have.
const mostInputs = 200

// ErrNoSheet is the error of a text that is no confirmation sheet at all.
var ErrNoSheet = errors.New("this is no confirmation sheet")

// sealed finds the digest at the end.
var sealed = regexp.MustCompile(`(?s)^(.*\n` + regexp.QuoteMeta(sealText) + `\n)` + seal + `([0-9a-f]{64})\n(.*)$`)

// ends puts the line ends of a sheet in the place of others.
var ends = strings.NewReplacer("\r\n", "\n", "\r", "\n")

// Read reads a sheet back, also one that was altered: what of it can be found is given. Behind the sheet the verdict may
// stand that vouch prints after it.
func Read(text string) (*Old, error) {
	if !strings.HasPrefix(text, title) {
		return nil, ErrNoSheet
	}
	// A sheet has no carriage return. What a mail or an editor made of its line ends is one fault of it, and all else is
	// read as if they had not been touched.
	plain := ends.Replace(text)
	changed := plain != text
	text = plain
	o := &Old{text: text}
	switch m := sealed.FindStringSubmatch(text); {
	case m == nil:
		o.Broken = "its end, with the digest of its text, is missing"
	case fmt.Sprintf("%x", sha256.Sum256([]byte(m[1]))) != m[2]:
		o.Broken = "its text was altered after it was made"
	case m[3] != "" && !strings.HasPrefix(m[3], "Verdict: "):
		o.Broken = "something was added behind its end"
	default:
		o.text = strings.TrimSuffix(text, m[3])
	}
	if changed && o.Broken == "" {
		o.Broken = "its line ends were changed: carriage returns stand in it, and it was written without any"
	}
	o.fields(said(text))
	switch {
	case len(o.Inputs) > mostInputs:
		return nil, fmt.Errorf("%w that can be read: it names %d files", ErrNoSheet, len(o.Inputs))
	case len(o.Command) > longestCommand:
		return nil, fmt.Errorf("%w that can be read: the command on it has %d letters", ErrNoSheet, len(o.Command))
	case o.Command == "":
		return nil, fmt.Errorf("%w that can be read: the command that makes it again is not on it", ErrNoSheet)
	}
	return o, nil
}

// said gives the lines of a sheet without the heads of its pages and without empty lines.
func said(text string) []string {
	var all []string
	lines := strings.Split(text, "\n")
	for i := 0; i < len(lines); i++ {
		switch l := lines[i]; {
		case strings.HasPrefix(l, title+" "):
			i += headLines - 1
		case l == sealText:
			return all
		case l != "":
			all = append(all, l)
		}
	}
	return all
}

// fields reads what is stated in the lines of a sheet.
func (o *Old) fields(lines []string) {
	for i, l := range lines {
		switch {
		case o.Result == "" && strings.HasPrefix(l, "Result: "):
			o.Result = strings.TrimPrefix(l, "Result: ")
		case strings.HasPrefix(l, byLabel):
			o.By = l[len(byLabel):]
		case strings.HasPrefix(l, dateLabel):
			o.Date = l[len(dateLabel):]
		case strings.HasPrefix(l, programLabel):
			for ; i < len(lines) && !strings.HasPrefix(lines[i], machineLabel); i++ {
				o.Program = append(o.Program, lines[i][min(len(programLabel), len(lines[i])):])
			}
		case strings.HasPrefix(l, "    sha256 ") && i > 0:
			path, part := strings.TrimPrefix(lines[i-1], "  "), ""
			if at := strings.LastIndex(path, "  ("); at >= 0 {
				path, part = path[:at], path[at+3:]
			}
			o.Inputs = append(o.Inputs, Input{Part: strings.TrimSuffix(part, ")"), Path: path, SHA256: strings.TrimPrefix(l, "    sha256 ")})
		case l == commandHead:
			o.Command = command(lines[i+1:])
		}
	}
}

// command joins the lines of a command: each but the last ends in a backslash.
func command(lines []string) string {
	var all []string
	for _, l := range lines {
		part, more := strings.CutSuffix(l, `\`)
		all = append(all, strings.TrimSpace(part))
		if !more {
			break
		}
	}
	return strings.Join(all, " ")
}

// Differences lists what two makings of a sheet say otherwise: the lines of the old one that the new one has not, and the
// other way round, digests left out. Same says that they say the same, digests too.
func (o *Old) Differences(s *Sheet) (then, now []string, same bool) {
	a, b := said(o.text), said(s.Text())
	digest := func(l string) bool { return strings.HasPrefix(strings.ToLower(l), "    sha256 ") }
	lacks := func(from, to []string) []string {
		return slices.DeleteFunc(slices.Clone(from), func(l string) bool { return digest(l) || slices.Contains(to, l) })
	}
	return lacks(a, b), lacks(b, a), slices.Equal(a, b)
}
