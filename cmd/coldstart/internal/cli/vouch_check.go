package cli

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"coldstart/debug/vouch"
	"coldstart/debug/watch"
	"coldstart/loader/list"
)

// mostDifferent is how many lines that differ are shown of each of two sheets.
const mostDifferent = 5

// hold holds an old sheet against the files as they are, and against the same sheet made now.
func (v *vouching) hold(c *cobra.Command) error {
	for _, name := range options(c) {
		if f := c.Flags().Lookup(strings.TrimPrefix(name, "--")); f.Changed && !slices.Contains([]string{"check", "json", "file-limit"}, f.Name) {
			return &unusable{where: "vouch", what: fmt.Sprintf("--check goes by what is on the sheet, and %s says otherwise", name), next: "leave out one of the two"}
		}
	}
	src, err := v.env.read(v.check)
	if err != nil {
		return err
	}
	old, err := vouch.Read(string(src))
	if err != nil {
		return &unusable{where: v.check, what: err.Error(), next: "name a file that `coldstart vouch --out` has written", cause: err}
	}
	r := &checkReport{File: v.check, By: old.By, Date: old.Date, Result: old.Result, Broken: []string{}, Then: []string{}, Now: []string{}, Remarks: []string{}}
	if old.Broken != "" {
		r.void(v.check, old.Broken)
	}
	for _, in := range old.Inputs {
		v.compare(r, in)
	}
	if err := v.again(c, r, old); err != nil {
		return err
	}
	r.Holds = len(r.Broken) == 0
	if r.Holds {
		r.Means = meaning(old.Result)
	} else {
		r.Means = "The sheet is void, and says nothing any more."
		r.judge(watch.Trouble)
		r.LookAt = r.Broken
		r.ToSettle = []string{"bring back the files the sheet was made from, or make a new sheet: this one is void"}
	}
	return v.env.show("vouch", r)
}

// meaning says what a sheet that holds says of the image: a sheet may hold and not be GOOD.
func meaning(result string) string {
	word, _, by := strings.Cut(result, ",")
	switch {
	case by:
		return fmt.Sprintf("Its result is %s by override: somebody let pass what is listed there against the image.", word)
	case word == watch.Good.String():
		return "Its result is GOOD: nothing in its run contradicts the image."
	}
	return fmt.Sprintf("Its result is %s: that it holds is about the paper, and does not make the image GOOD.", word)
}

// compare holds one file against the digest that the sheet has of it.
func (v *vouching) compare(r *checkReport, in vouch.Input) {
	before := len(v.env.inputs)
	_, err := v.env.read(in.Path)
	if errors.Is(err, fs.ErrNotExist) && strings.HasPrefix(in.Part, vouch.Reading) {
		r.Remarks = append(r.Remarks, fmt.Sprintf("%s is not there, and was not held against the sheet (%s)", in.Path, in.Part))
		return
	}
	if err != nil {
		r.Broken = append(r.Broken, list.Report(err))
		return
	}
	now := v.env.inputs[before].SHA256
	if now != in.SHA256 {
		r.void(in.Path, fmt.Sprintf("this is not the file the sheet was made from (%s): its SHA-256 begins %.8s, and that of the sheet %.8s", in.Part, now, in.SHA256))
	}
}

// again makes the sheet once more by its own command, and says what comes out otherwise. Nothing is written. The error is
// that of a run stopped by the user.
func (v *vouching) again(c *cobra.Command, r *checkReport, old *vouch.Old) error {
	made, err := v.remake(c, old)
	switch {
	case c.Context().Err() != nil:
		return c.Context().Err()
	case err != nil:
		r.void(v.check, "it cannot be made again: "+list.Report(err))
		return nil
	}
	if !slices.Equal(old.Program, program()) {
		r.Remarks = append(r.Remarks, fmt.Sprintf("made by %s; made again by %s", strings.Join(old.Program, ", "), strings.Join(program(), ", ")))
	}
	then, now, same := old.Differences(made)
	if !same {
		r.void(v.check, "made again, it says other things"+changed(old.Result, made))
	}
	r.Then, r.Now = append(r.Then, then...), append(r.Now, now...)
	return nil
}

// remake carries out the command on a sheet, apart from this run: with files read anew, and what it would print thrown away.
func (v *vouching) remake(c *cobra.Command, old *vouch.Old) (*vouch.Sheet, error) {
	fresh := &env{in: strings.NewReader(""), out: bufio.NewWriter(io.Discard), err: io.Discard, limit: v.env.limit, host: v.env.host}
	again, second := vouchCommand(fresh)
	// It takes the place of this command among the others, whose options its report may have to name.
	root := c.Root()
	root.RemoveCommand(c)
	root.AddCommand(again)
	words := shellWords(old.Command)
	for i := range words {
		words[i] = unquoted(words[i])
	}
	if len(words) < 2 || words[1] != again.Name() {
		return nil, fmt.Errorf("the command on it is %q", old.Command)
	}
	if err := again.ParseFlags(words[2:]); err != nil {
		return nil, err
	}
	if err := second.signed(); err != nil {
		return nil, err
	}
	second.program = old.Program
	return second.make(c.Context(), typedFor(again, "out"))
}

// changed says how the result of a sheet made again differs.
func changed(then string, s *vouch.Sheet) string {
	if now := s.Verdict().String(); !strings.HasPrefix(then, now) {
		return fmt.Sprintf(": its result was %s, and is %s now", then, now)
	}
	return ", though its result is the same"
}

// unquoted takes the quotes of a shell off a word that shellWord has made.
func unquoted(word string) string {
	if len(word) < 2 || word[0] != '\'' {
		return word
	}
	return strings.ReplaceAll(word[1:len(word)-1], `'\''`, "'")
}

// A checkReport says what of an old sheet no longer holds.
type checkReport struct {
	heading
	File    string   `json:"sheet"`
	By      string   `json:"by"`
	Date    string   `json:"date"`
	Result  string   `json:"result"` // of the sheet
	Holds   bool     `json:"holds"`
	Means   string   `json:"means"`  // what that says, and what not
	Broken  []string `json:"broken"` // what no longer holds
	Then    []string `json:"then"`   // lines of the sheet that do not come out again
	Now     []string `json:"now"`    // lines that come out instead
	Remarks []string `json:"remarks"`
}

// void notes what no longer holds of a file.
func (r *checkReport) void(file, what string) { r.Broken = append(r.Broken, file+": "+what) }

func (r *checkReport) print(w io.Writer) {
	fold(w, "", fmt.Sprintf("%s: made by %s on %s. Its result: %s", r.File, r.By, r.Date, r.Result))
	if r.Holds {
		fold(w, "", "The sheet holds: every file is the one it was made from, and made again it is the same.")
		fold(w, "", list.Safe(r.Means))
	} else {
		fmt.Fprintln(w, "\nVOID. What no longer holds:")
	}
	for _, b := range r.Broken {
		fold(w, "  ", b)
	}
	section(w, "on the sheet, and not so now", few(r.Then))
	section(w, "instead, made again", few(r.Now))
	section(w, "to know", r.Remarks)
}

// few is the first lines of many.
func few(lines []string) []string {
	if len(lines) <= mostDifferent {
		return lines
	}
	return append(slices.Clone(lines[:mostDifferent]), fmt.Sprintf("and %d lines more", len(lines)-mostDifferent))
}
