package cli

import (
	"fmt"

	"github.com/spf13/cobra"

	"coldstart/cmd/coldstart/internal/school"
	"coldstart/cpu/duplex"
	"coldstart/cpu/jam"
	"coldstart/debug/bringup"
)

// A startOption is how the person at the desk says what a half starts from: an office, or an image on a machine file, the
// faults put in, and what unwritten store holds.
type startOption struct {
	office   *officeOption
	tapes    []string
	image    string
	start    string
	direct   bool
	fill     uint64
	resume   uint16
	jams     []string
	jamsFile string
}

// takesStart gives a command the options for a start.
func (e *env) takesStart(c *cobra.Command) *startOption {
	s := e.takesRun(c, teaches)
	s.office.takesFiles(c)
	f := c.Flags()
	f.StringVar(&s.image, "image", "", "run the image in this `FILE` on --machine, without an office: "+imageForms)
	f.StringVar(&s.start, "start", "", "begin at this `ADDRESS` instead of where the boot rule says")
	f.BoolVar(&s.direct, "direct", false, "place the tape's blocks in store by their load addresses, for a starter that is not yet typed in")
	return s
}

// takesRun gives a command the options for a start of an office as its boot rule has it.
func (e *env) takesRun(c *cobra.Command, f fallback) *startOption {
	s := &startOption{office: e.takesOffice(c, f)}
	e.takesTapes(c, &s.tapes)
	s.takesFaults(c)
	c.Flags().Uint16Var(&s.resume, "resume", 0, "press the resume key at a halt, at most this many `TIMES`; a trap that stops the machine is not resumed")
	return s
}

// takesFaults gives a command the options for what is wrong with a half, and for what it holds at first.
func (s *startOption) takesFaults(c *cobra.Command) {
	c.Flags().Uint64Var(&s.fill, "fill", 1, "the `SEED` of what store and registers hold that nothing wrote")
	c.Flags().StringArrayVar(&s.jams, "jam", nil, "put in this `FAULT`, such as 'ST2 U08 @024107 = 1' (repeatable)")
	c.Flags().StringVar(&s.jamsFile, "jams", "", "put in the faults in this `FILE`, one a line")
}

// load reads the office, or the image and its machine file.
func (s *startOption) load() (*bringup.Office, error) {
	if s.image == "" {
		if s.office.machine+s.office.layout != "" {
			return nil, &unusable{what: "--machine and --layout say how to run an image, and no image is named", next: "add --image FILE"}
		}
		seats, err := s.office.env.seats(s.tapes)
		if err != nil {
			return nil, err
		}
		return s.office.open(seats...)
	}
	if len(s.tapes) > 0 {
		return nil, &unusable{where: "--tape", what: "an image alone has no tape drive", next: "leave out --tape or --image"}
	}
	code, err := s.office.code()
	if err != nil {
		return nil, err
	}
	image, left, err := s.office.loadImage(code, s.image)
	if err != nil {
		return nil, err
	}
	for _, line := range leftOut(left) {
		fmt.Fprintln(s.office.env.err, "left out: "+line)
	}
	return bringup.Bare(s.image, code, image), nil
}

// seated refuses an office that has a drive and no tape on any: nothing would ever come.
func (s *startOption) seated(o *bringup.Office) error {
	drives := o.Unseated()
	if len(o.Tapes) > 0 || len(drives) == 0 {
		return nil
	}
	return &unusable{where: s.office.found.name(school.List), what: "the office has a tape drive and no tape is seated",
		next: fmt.Sprintf("add a line `tape %s FILE \"LABEL\"`", drives[0])}
}

// begin says how the half starts, but for what ends its run.
func (s *startOption) begin(o *bringup.Office) (bringup.Start, []jam.Jam, error) {
	b := bringup.Start{Fill: s.fill, Direct: s.direct, Resume: int(s.resume)}
	if s.start != "" {
		a, err := readAddress(s.start, &o.Code.Geometry)
		if err != nil {
			err.where = "--start " + s.start
			return b, nil, err
		}
		b.At = &a
	} else if !o.Code.Starts() {
		return b, nil, &unusable{what: "the machine file's boot rule does not say where to begin", next: "add --start ADDRESS, or a boot rule that sets " + o.Code.Counter.Name}
	}
	jams, err := s.faults(o.Code, o.Plan)
	if err != nil {
		return b, nil, err
	}
	b.Prepare = func(h *duplex.Half) error {
		for _, j := range jams {
			if j.In() != h.Name {
				continue
			}
			if err := j.Put(h); err != nil {
				return &unusable{where: j.String(), what: err.Error(), next: "leave this jam out, or put it right"}
			}
		}
		return nil
	}
	return b, jams, nil
}
