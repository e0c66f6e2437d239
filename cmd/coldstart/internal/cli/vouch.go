package cli

import (
	"context"
	"fmt"
	"io"
	"path/filepath"
	"runtime/debug"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"coldstart/cmd/coldstart/internal/school"
	"coldstart/debug/bringup"
	"coldstart/debug/vouch"
	"coldstart/loader/list"
	"coldstart/loader/splice"
)

// newVouch makes the command that issues the confirmation sheet, and holds an old one against what there is now.
func newVouch(e *env) *cobra.Command {
	c, _ := vouchCommand(e)
	return c
}

// vouchCommand makes the command, and gives what its options are read into.
func vouchCommand(e *env) (*cobra.Command, *vouching) {
	v := &vouching{env: e, program: program()}
	c := &cobra.Command{
		Use:     "vouch",
		Short:   "issue the confirmation sheet before write-back, or check one",
		GroupID: after,
		Long: `The office is brought up, twice with unwritten store holding something else each
time, and a sheet for paper says what that run shows of the image and what it
does not: digests, what became of every block, what of the machine file was
used, what nobody is sure of. The sheet is GOOD where the run is, where no block
is missing, no doubtful word was used, no doubt mark was met, nothing was read
before it was written, and no fault was put in. Where the run by itself is GOOD
and no fault was put in, a person may let pass in writing, with --override, what
else stands against it: the sheet says who, why and what. A run that is not GOOD
by itself nobody can let pass: TROUBLE stays TROUBLE, and one that ended badly
after it came by a missing block or used a doubtful word is UNDECIDED, as it
says nothing certain. With --check, an old sheet is made again from its own
command and the files as they are now; what no longer holds is named, and the
sheet is then void.`,
		Example: "  coldstart vouch --by 'A. Person' --out sheet.txt\n" +
			"  coldstart vouch --by 'A. Person' --tape merged.tape --out sheet.txt\n" +
			"  coldstart vouch --check sheet.txt",
		Args: takes(0, 0, "no words, only options"),
	}
	c.RunE = func(c *cobra.Command, words []string) error {
		if v.check != "" {
			return v.hold(c)
		}
		if err := lasting(c, words); err != nil {
			return err
		}
		return v.run(c)
	}
	v.start = e.takesRun(c, decides)
	f := c.Flags()
	f.StringVar(&v.by, "by", "", "the `NAME` of whoever makes the sheet")
	f.StringVar(&v.date, "date", "", "the `DATE` on the sheet, as in 1979-11-25 (default: this computer's)")
	f.StringVar(&v.label, "label", "", "the `TEXT` written on the reel, for a recording given with --tape")
	f.StringVar(&v.override, "override", "", "let pass what stands against a run that is GOOD, for this `REASON`, which is printed")
	f.StringVar(&v.out, "out", "", "write the sheet to this new `FILE` instead of printing it")
	f.StringVar(&v.check, "check", "", "make the sheet in this `FILE` again, and say what no longer holds")
	return c, v
}

// A vouching is one run of vouch.
type vouching struct {
	env      *env
	start    *startOption
	by       string
	date     string
	label    string
	override string
	out      string
	check    string
	program  []string // that makes the sheet
}

// run makes the sheet and writes or prints it.
func (v *vouching) run(c *cobra.Command) error {
	if err := v.signed(); err != nil {
		return err
	}
	if v.out != "" {
		if err := v.env.mayWrite(v.out, false); err != nil { // before the run: nobody should wait for a refusal
			return err
		}
	}
	if v.date == "" {
		// Set as an option, so that the command on the sheet makes the same sheet on another day.
		if err := c.Flags().Set("date", time.Now().Format(time.DateOnly)); err != nil {
			return err
		}
	}
	sheet, err := v.make(c.Context(), typedFor(c, "out"))
	if err != nil {
		return err
	}
	r := &vouchReport{Sheet: sheet, Out: v.out, text: sheet.Text()}
	r.judge(sheet.Verdict())
	r.heading.LookAt, r.heading.ToSettle = sheet.LookAt, sheet.ToSettle
	if v.out != "" {
		if err := v.env.save(false, output{path: v.out, data: []byte(r.text)}); err != nil {
			return err
		}
	}
	return v.env.show("vouch", r)
}

// longestName is how many letters of a name or a label a sheet has room for.
const longestName = 60

// signed refuses what cannot stand on a sheet.
func (v *vouching) signed() error {
	switch {
	case strings.TrimSpace(v.by) == "":
		return &unusable{where: "vouch", what: "a sheet says who made it", next: "add --by NAME"}
	case len(v.by) > longestName || len(v.label) > longestName:
		return &unusable{where: "vouch", what: fmt.Sprintf("a name or a label has more than %d letters, and a sheet has no room for that", longestName), next: "shorten it"}
	case slices.ContainsFunc([]string{v.by, v.label, v.override}, func(s string) bool { return list.Safe(s) != s }):
		return &unusable{where: "vouch", what: "a name, a label or a reason holds what cannot be printed", next: "write it in one line of plain text"}
	case v.date == "":
		return nil
	}
	if _, err := time.Parse(time.DateOnly, v.date); err != nil {
		return &unusable{where: "--date " + v.date, what: "this is no date", next: "write year, month and day, as in 1979-11-25"}
	}
	return nil
}

// make brings the office up and states what came of it; typed gives the command line that makes the
// sheet again.
func (v *vouching) make(ctx context.Context, typed func(string) string) (*vouch.Sheet, error) {
	o, err := v.start.load()
	if err != nil {
		return nil, err
	}
	if err := v.start.seated(o); err != nil {
		return nil, err
	}
	named := v.start.office.found.name(school.List)
	switch {
	case len(o.Tapes) == 0:
		return nil, &unusable{where: named, what: "no tape is seated in this office, so there is no image to vouch for", next: "add a line `tape CHANNEL FILE \"LABEL\"`, or give one with --tape FILE"}
	case o.Plan == nil:
		return nil, &unusable{where: named, what: "nothing is expected of a run of this office, so no run can speak for the image", next: "add a line `chase FILE` with the milestones of a bring-up"}
	}
	s, jams, err := v.start.begin(o)
	if err != nil {
		return nil, err
	}
	s.Typed = typed
	report, err := o.BringUp(ctx, s, s.Fill^otherFill)
	if err != nil {
		return nil, err
	}
	f := vouch.Frame{By: v.by, Date: v.date, Label: v.label, Override: v.override, Program: v.program, Command: strings.Split(foldCommand(" ", typed("vouch")), "\n")}
	for _, j := range told(jams, report) {
		f.Jams = append(f.Jams, j.Place+": "+j.Effect)
	}
	if f.Inputs, err = v.inputs(o); err != nil {
		return nil, err
	}
	return vouch.Make(o, report, f), nil
}

// inputs are the files the sheet rests on, those of the office by what they are for.
func (v *vouching) inputs(o *bringup.Office) ([]vouch.Input, error) {
	parts := map[string]string{} // by path
	for _, f := range o.Files {
		parts[v.path(f)] = f.Part
	}
	var all []vouch.Input
	for _, in := range v.env.inputs {
		part := parts[in.Path]
		switch {
		case in.Path == v.check:
			continue
		case part == "":
			part = "faults put in"
		}
		if list.Safe(in.Path) != in.Path {
			return nil, &unusable{where: in.Path, what: "this name cannot be printed on a sheet", next: "give the file a plain name"}
		}
		all = append(all, vouch.Input{Part: part, Path: in.Path, SHA256: in.SHA256})
	}
	return append(all, v.readings(o)...), nil
}

// readings are the files that merged recordings were made of, as their lineages have them.
func (v *vouching) readings(o *bringup.Office) []vouch.Input {
	var all []vouch.Input
	for _, t := range o.Tapes {
		if t.Lineage == nil {
			continue
		}
		at := slices.IndexFunc(o.Files, func(f bringup.File) bool { return f.Part == "lineage of tape "+t.Channel.Name })
		beside := filepath.Dir(v.path(o.Files[at]))
		add := func(part string, in splice.Input) {
			all = append(all, vouch.Input{Part: part, Path: list.Safe(filepath.Join(beside, filepath.FromSlash(in.Path))), SHA256: list.Safe(in.SHA256)})
		}
		for _, in := range t.Lineage.Head.Passes {
			if in.Of != "" {
				add(fmt.Sprintf("%s %s, a decode of %s", vouch.Reading, list.Safe(in.Name), list.Safe(in.Of)), in)
				continue
			}
			add(vouch.Reading+" "+list.Safe(in.Name), in)
		}
		if d := t.Lineage.Head.Decisions; d != nil {
			add(vouch.Reading+" decisions", *d)
		}
	}
	return all
}

// path is where a file of the office lies.
func (v *vouching) path(f bringup.File) string {
	if f.Given {
		return f.Name
	}
	return v.start.office.found.name(f.Name)
}

// program says which program makes the sheet, as far as it knows: what is built without a version control has no version.
func program() []string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return []string{"coldstart, of unknown version"}
	}
	lines := []string{"coldstart " + info.Main.Version, "built by " + info.GoVersion}
	at := slices.IndexFunc(info.Settings, func(s debug.BuildSetting) bool { return s.Key == "vcs.revision" })
	if at >= 0 {
		lines = append(lines, "revision "+info.Settings[at].Value)
	}
	return lines
}

// A vouchReport is a sheet, and where it was written.
type vouchReport struct {
	heading
	Out string `json:"out,omitempty"`
	*vouch.Sheet

	text string
}

// print prints the sheet, or the beginning of one that lies in a file.
func (r *vouchReport) print(w io.Writer) {
	if r.Out == "" {
		io.WriteString(w, r.text)
		return
	}
	fmt.Fprintf(w, "The sheet is in %s.\n", list.Safe(r.Out))
}
