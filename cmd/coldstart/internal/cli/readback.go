package cli

import (
	"bytes"
	"fmt"
	"os"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"coldstart/cmd/coldstart/internal/school"
	"coldstart/debug/bringup"
	"coldstart/debug/vouch"
	"coldstart/debug/watch"
	"coldstart/loader"
	"coldstart/loader/tape"
)

// newReadback makes the command that holds what a drive will serve against the image vouched for.
func newReadback(e *env) *cobra.Command {
	r := &readingBack{env: e}
	c := &cobra.Command{
		Use:     "readback [CHANNEL=]FILE",
		Short:   "hold what the replacement drive serves against the vouched image",
		GroupID: after,
		Long: `FILE is the image that the replacement drive will serve, best read back from the
drive itself. It is held block by block against the recording that was vouched
for, through the office's own tape device: the words the machine would get, in
their order, with the gaps between blocks. GOOD where not one word is another,
no block is missing, added or out of order, and nobody may write the file; with
--sheet, only where the sheet is whole, GOOD, and about this very recording.
Where only the write lock is open it is UNDECIDED. The lock of the drive itself
no program can see.`,
		Example: "  coldstart readback served.tape --sheet sheet.txt\n" +
			"  coldstart readback served.tape --against merged.tape",
		Args: takes(1, 1, "the file that the drive serves"),
		RunE: func(_ *cobra.Command, words []string) error { return r.run(words[0]) },
	}
	r.office = e.takesOffice(c, decides)
	c.Flags().StringVar(&r.against, "against", "", "the recording vouched for, in this `FILE` (default: the one seated in the office)")
	c.Flags().StringVar(&r.sheet, "sheet", "", "the confirmation sheet in this `FILE` must be about the recording vouched for")
	return c
}

// A readingBack is one run of readback.
type readingBack struct {
	env     *env
	office  *officeOption
	against string
	sheet   string
}

// run compares and judges.
func (r *readingBack) run(typed string) error {
	channel, path, err := seat("readback", typed)
	if err != nil {
		return err
	}
	seated, office, err := r.vouched(channel)
	if err != nil {
		return err
	}
	src, err := r.env.read(path)
	if err != nil {
		return err
	}
	report := &readbackReport{Served: path, Channel: seated.Channel.Name, Sheet: r.sheet, drive: office.Time, Notes: []string{}}
	served := r.env.inputs[len(r.env.inputs)-1]
	if report.Vouched = r.vouchedPath(office, seated); report.Vouched == path || r.sameFile(report.Vouched, served) {
		return &unusable{where: path, what: "this is the recording vouched for itself, and held against itself it shows nothing", next: "read the image back from the drive into a new file"}
	}
	rec, err := tape.Read(seated.Recording.Layout, path, bytes.NewReader(src))
	if err != nil {
		return err
	}
	report.judge(watch.Good)
	if report.Readback, err = vouch.Compare(office, *seated, rec); err != nil {
		return &unusable{where: path, what: err.Error(), next: "look at the office list"}
	}
	if len(src) > 0 && len(bytes.Trim(src, "\x00")) == 0 {
		report.Hint = "all its bytes are zeros"
		if report.Blockless {
			report.Hint += ", and nothing in it reads as a block"
		}
	}
	r.originals()
	report.Alike = served.SHA256 == r.digest(report.Vouched)
	report.another(served, r.env.inputs)
	if seated.Lineage != nil && !report.Alike {
		for _, in := range seated.Lineage.Head.Passes {
			if in.SHA256 == served.SHA256 {
				report.wrongTape(in.Path + ", a reading that the image was made of")
			}
		}
	}
	report.blame(served.Path)
	report.lock(served)
	if r.sheet != "" {
		if err := r.holdSheet(report); err != nil {
			return err
		}
	}
	return r.env.show("readback", report)
}

// vouched opens the office, and gives the recording that the served one is held against.
func (r *readingBack) vouched(channel string) (*bringup.Tape, *bringup.Office, error) {
	var seats []bringup.Seat
	if r.against != "" {
		src, err := r.env.read(r.against)
		if err != nil {
			return nil, nil, err
		}
		seats = append(seats, bringup.Seat{Channel: channel, File: r.against, Data: src})
	}
	office, err := r.office.open(seats...)
	if err != nil {
		return nil, nil, err
	}
	var fit []*bringup.Tape
	var names []string
	for i := range office.Tapes {
		t := &office.Tapes[i]
		names = append(names, t.Channel.Name)
		given := len(seats) == 1 && len(t.Recording.Blocks) > 0 && t.Recording.Blocks[0].File == r.against
		if t.Channel.Name == channel || channel == "" && (given || len(seats) == 0) {
			fit = append(fit, t)
		}
	}
	u := &unusable{where: "readback"}
	switch {
	case len(fit) == 1:
		return fit[0], office, nil
	case len(names) == 0:
		u.what, u.next = "no tape is seated in this office to hold it against", "name the recording with --against FILE"
	case len(fit) == 0:
		u.what, u.next = fmt.Sprintf("no tape is seated on %q", channel), "say one of "+strings.Join(names, ", ")+", as in "+names[0]+"=FILE"
	default:
		u.what, u.next = "tapes are seated on "+strings.Join(names, ", "), "say which of them the drive takes the place of, as in "+names[0]+"=FILE"
	}
	return nil, nil, u
}

// vouchedPath is where the recording vouched for lies.
func (r *readingBack) vouchedPath(o *bringup.Office, t *bringup.Tape) string {
	at := slices.IndexFunc(o.Files, func(f bringup.File) bool { return f.Part == "tape "+t.Channel.Name })
	if f := o.Files[at]; !f.Given {
		return r.office.found.name(f.Name)
	}
	return r.against
}

// sameFile tells whether a path already read is the same file of the host as another input.
func (r *readingBack) sameFile(path string, in input) bool {
	return slices.ContainsFunc(r.env.inputs, func(o input) bool {
		return o.Path == path && o.file != nil && in.file != nil && os.SameFile(o.file, in.file)
	})
}

// originals reads the tapes that the office names, where another recording was vouched for: any of them may have been put
// into the drive by mistake. One that is not there cannot have been.
func (r *readingBack) originals() {
	src, err := r.office.found.read(school.List)
	if err != nil {
		return
	}
	names, err := loader.ReadOffice(school.List, src)
	if err != nil {
		return
	}
	for _, t := range names.Tapes {
		_, _ = r.office.found.read(t.File.Text)
	}
}

// holdSheet holds the sheet against the recording vouched for.
func (r *readingBack) holdSheet(report *readbackReport) error {
	src, err := r.env.read(r.sheet)
	if err != nil {
		return err
	}
	old, err := vouch.Read(string(src))
	if err != nil {
		return &unusable{where: r.sheet, what: err.Error(), next: "name a file that `coldstart vouch --out` has written", cause: err}
	}
	digest := r.digest(report.Vouched)
	about := func(in vouch.Input) bool { return in.SHA256 == digest && strings.HasPrefix(in.Part, "tape ") }
	for _, in := range old.Inputs {
		if in.SHA256 == r.digest(report.Served) && !report.Alike {
			report.wrongTape(in.Path + " of the sheet")
		}
	}
	switch {
	case old.Broken != "":
		report.trouble(r.sheet+": "+old.Broken, "make a new sheet")
	case !slices.ContainsFunc(old.Inputs, about):
		report.trouble(fmt.Sprintf("%s: it is not about %s, whose SHA-256 begins %.8s", r.sheet, report.Vouched, digest), "name the sheet of this recording, or the recording of this sheet with --against")
	case old.Result != watch.Good.String() && !strings.HasPrefix(old.Result, watch.Good.String()+","):
		report.undecided(fmt.Sprintf("%s: its result is %s", r.sheet, old.Result), "settle what stands against the sheet, and make a new one")
	default:
		report.note(fmt.Sprintf("The sheet, %s, is whole and about this recording: made by %s on %s, result %s.", r.sheet, old.By, old.Date, old.Result))
	}
	return nil
}

// digest is that of an input.
func (r *readingBack) digest(path string) string {
	return r.env.inputs[slices.IndexFunc(r.env.inputs, func(in input) bool { return in.Path == path })].SHA256
}
