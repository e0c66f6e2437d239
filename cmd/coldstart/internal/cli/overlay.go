package cli

import (
	"fmt"

	"github.com/spf13/cobra"

	"coldstart/debug/bringup"
	"coldstart/loader"
	"coldstart/loader/hexfile"
	"coldstart/memory/overlay"
)

// newOverlay makes the command that lays the dump of a stopped machine over the image of its tapes.
func newOverlay(e *env) *cobra.Command {
	l := &laying{env: e}
	c := &cobra.Command{
		Use:     "overlay --dump FILE",
		Short:   "lay a dump of a stopped machine over its tape image",
		GroupID: bench,
		Long: `A dump of a machine that ran differs from its tape in hundreds of words that say
nothing. So it is parted as the office's list of areas has it: program and tables
must not differ, office data may have been changed by people, working store and
the network map change as the machine works and are not searched. What differs
is told by word, bit, direction, plug-in, chip and address bits, with counts that
you can make again. Before anything is blamed on the store, the way the dump was
taken is: a wrong length, words moved, halves exchanged, bits inverted or reversed,
a bit alike at every address. The file itself is never changed: --as lays it as
it was before, once you have made sure.

The dump is plain words, an address with a colon and the words from there on. Where
parity was taken down too it stands behind each word after a stroke, a 0 or 1 for
each column in the order the machine file names them:

    024107: 604210/00 400135/00

Intel HEX and S-records are taken as well; they have no place for parity.`,
		Example: "  coldstart overlay --dump crash.words\n" +
			"  coldstart overlay --dump crash.words --office wendle --tape merged.tape",
		Args: takes(0, 0, "no words, only options"),
		RunE: func(c *cobra.Command, _ []string) error { return l.run(typedFor(c, "dump"), typedFor(c)) },
	}
	l.office = e.takesOffice(c, decides)
	e.takesTapes(c, &l.tapes)
	c.Flags().StringVar(&l.as, "as", "", "undo what was done to the dump on its way, by this `READING` that a report names, such as 'halves exchanged'")
	c.Flags().StringVar(&l.dump, "dump", "", "the dump of the stopped machine, in this `FILE`")
	return c
}

// A laying is one run of overlay.
type laying struct {
	env    *env
	office *officeOption
	tapes  []string
	dump   string
	as     string
}

// run lays the dump over the office's image and judges; typed and again give other commands to type, and this one again.
func (l *laying) run(typed, again func(string) string) error {
	if l.dump == "" {
		return &unusable{where: "overlay", what: "no dump is named", next: "add --dump FILE, as `coldstart overlay --help` shows"}
	}
	seats, err := l.env.seats(l.tapes)
	if err != nil {
		return err
	}
	o, err := l.office.open(seats...)
	if err != nil {
		return err
	}
	if o.Image.Len() == 0 {
		return &unusable{where: "overlay", what: "no word is on the tapes of this office, so there is nothing to lay a dump over", next: "seat a recording with --tape FILE"}
	}
	d, err := l.read(o)
	if err != nil {
		return err
	}
	if l.as != "" {
		if d, err = d.As(o.Code.Geometry, l.as); err != nil {
			return &unusable{where: "--as", what: err.Error()}
		}
	}
	r := &overlayReport{Office: o.Name, Machine: o.Code.Name, Dump: l.dump, As: l.as, office: o, typed: typed}
	if l.as == "" {
		r.again = again("overlay")
	}
	r.laid = overlay.Lay(o.Code.Geometry, o.Image, d, o.Areas.Parts())
	r.fill()
	r.decide()
	return l.env.show("overlay", r)
}

// read reads the dump. One that is the recording, or an image made from it, is refused: it shows nothing.
func (l *laying) read(o *bringup.Office) (*overlay.Dump, error) {
	before := len(l.env.inputs)
	src, err := l.env.read(l.dump)
	if err != nil {
		return nil, err
	}
	same := &unusable{where: l.dump, next: "name what was read out of the store of the stopped machine"}
	for _, in := range l.env.inputs[:before] {
		if in.SHA256 == l.env.inputs[before].SHA256 {
			same.what = fmt.Sprintf("this is %s, byte for byte, and laid over itself it shows nothing", in.Path)
			return nil, same
		}
	}
	var d *overlay.Dump
	if hexfile.Is(src) {
		im, err := l.env.textImage(o.Code, l.dump, src)
		if err != nil {
			return nil, err
		}
		d = &overlay.Dump{Words: im}
	} else if d, err = loader.ReadDump(l.dump, src, o.Code.Geometry); err != nil {
		return nil, err
	}
	if d.Words.Digest() == o.Image.Digest() {
		same.what = "it holds the very words of the tape image, there and nowhere else: it was made from the tape, and laid over it shows nothing"
		return nil, same
	}
	return d, nil
}
