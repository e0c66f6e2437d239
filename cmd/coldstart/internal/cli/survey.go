package cli

import (
	"context"
	"errors"
	"fmt"
	"io/fs"

	"github.com/spf13/cobra"

	"coldstart/cpu"
	"coldstart/debug/bringup"
	"coldstart/debug/trail"
	"coldstart/debug/watch"
	"coldstart/loader"
	"coldstart/loader/splice"
	"coldstart/memory"
)

// newSurvey makes the command that says what is on a recording.
func newSurvey(e *env) *cobra.Command {
	s := &surveying{env: e}
	c := &cobra.Command{
		Use:     "survey",
		Short:   "list the blocks of a recording: where they load, their sums, gaps",
		GroupID: before,
		Long: `A line is printed for each block of the office's tapes: where it loads, how many
words, the sum wanted and found, its first words and the text in it; then
overlaps, gaps and totals. Of an office it is also said what a run does with
each word: taken as an order, meant as program but not reached, read as a table,
or never read.
The verdict is about the recording alone: GOOD when every block reads whole,
stands and loads in its place, none is missing, and none loads over another;
else TROUBLE, and each block concerned is named.
With --map the store is drawn instead, a sign for each so many words: what a run
does with them, gaps, what two blocks load, what a damaged block would, and what
was left doubtful when the recording was merged.
With --guess it is found out from the blocks alone how their check code is made,
and what to type into the layout; the verdict is then about that: GOOD when one
setting is left, and explains every block.`,
		Example: "  coldstart survey                  the tapes of the office\n" +
			"  coldstart survey --tape new.tape  another recording, laid out as the office's\n" +
			"  coldstart survey --machine my.machine --layout my.layout --tape my.tape\n" +
			"  coldstart survey --map            the store, drawn\n" +
			"  coldstart survey --guess --layout my.layout --tape my.tape",
		Args: takes(0, 0, "no words, only options"),
		RunE: func(c *cobra.Command, _ []string) error { return s.run(c.Context()) },
	}
	s.office = e.takesOffice(c, teaches)
	s.office.takesFiles(c)
	c.Flags().StringArrayVar(&s.tapes, "tape", nil, "survey this recording `FILE`, and no run; may be given again")
	c.Flags().BoolVar(&s.report.drawn, "map", false, "draw the store instead of listing the blocks")
	c.Flags().BoolVar(&s.guesses, "guess", false, "find out how the check code at the end of blocks is made")
	return c
}

// A surveying is one run of survey.
type surveying struct {
	env    *env
	office *officeOption
	tapes  []string
	report surveyReport

	guesses bool
}

// run surveys the tapes named, or those of the office.
func (s *surveying) run(ctx context.Context) error {
	if s.guesses {
		return s.guess(ctx)
	}
	survey := s.ofOffice
	if len(s.tapes) > 0 {
		survey = s.ofFiles
	} else if s.office.machine+s.office.layout != "" {
		return &unusable{where: "survey", what: "--machine and --layout say how to read a recording, and none is named", next: "add --tape FILE"}
	}
	if err := survey(ctx); err != nil {
		return err
	}
	s.report.verdict = watch.Good
	s.report.witnesses(s.env.inputs)
	for _, t := range s.report.Tapes {
		s.report.blame(t)
	}
	return s.env.show("survey", &s.report)
}

// ofOffice surveys all tapes of an office, and runs it.
func (s *surveying) ofOffice(ctx context.Context) error {
	office, err := s.office.open()
	if err != nil {
		return err
	}
	if len(office.Tapes) == 0 {
		return &unusable{where: s.office.found.name("office.list"), what: "no tape is seated in this office", next: "add a line `tape CHANNEL FILE \"LABEL\"`, or name a recording with --tape FILE"}
	}
	use, came, err := ranWith(ctx, office)
	if err != nil {
		return err
	}
	s.report.Run = came
	for _, t := range office.Tapes {
		survey := loader.NewSurvey(t.Map, t.Recording.Layout, use)
		doubt(survey, t.Lineage)
		s.report.add(survey, t.Recording, t.Lineage != nil, fmt.Sprintf("%q on %s", t.Label, t.Channel.Name))
	}
	return nil
}

// ofFiles surveys single recordings.
func (s *surveying) ofFiles(context.Context) error {
	code, err := s.office.code()
	if err != nil {
		return err
	}
	layout, err := s.office.tapeLayout()
	if err != nil {
		return err
	}
	for _, path := range s.tapes {
		rec, err := s.env.recording(layout, path)
		if err != nil {
			return err
		}
		_, m := loadAll(rec, code)
		survey := loader.NewSurvey(m, layout, nil)
		lineage, err := s.env.lineage(path)
		if err != nil {
			return err
		}
		doubt(survey, lineage)
		s.report.add(survey, rec, lineage != nil, "")
	}
	return nil
}

// ranWith runs an office and tells what became of each word, and how the run ended.
func ranWith(ctx context.Context, office *bringup.Office) (func(memory.Addr) loader.Use, *surveyRun, error) {
	came, err := office.Run(ctx, bringup.Start{})
	if err != nil {
		return nil, nil, err
	}
	use := func(a memory.Addr) loader.Use {
		did := came.Record.Use(a)
		return office.Areas.Use(a, did&trail.Run != 0, did&trail.Read != 0)
	}
	return use, &surveyRun{Ending: came.Ending.String(), Orders: came.Orders, Seconds: float64(came.At) / float64(cpu.Second)}, nil
}

// doubt tells a survey which words a merged recording leaves doubtful; where no lineage says so, none are.
func doubt(s *loader.Survey, l *splice.Lineage) {
	if l == nil {
		return
	}
	for _, d := range l.Doubtful() {
		s.Doubt(d.Number, d.Word)
	}
}

// lineage reads the lineage beside a recording that was read last; nil where there is none.
func (e *env) lineage(path string) (*splice.Lineage, error) {
	recording := e.inputs[len(e.inputs)-1].SHA256
	name := path + bringup.LineageSuffix
	src, err := e.read(name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	l, err := splice.ReadLineage(name, src)
	if err == nil && l.Head.Image.SHA256 != recording {
		err = &unusable{where: name, what: fmt.Sprintf("it is about another recording than %s", path), next: "splice the passes again, or take the file away"}
	}
	return l, err
}
