package cli

import (
	"bytes"
	"fmt"

	"github.com/spf13/cobra"

	"coldstart/cpu/order"
	"coldstart/cpu/order/proof"
	"coldstart/debug/bringup"
	"coldstart/loader"
	"coldstart/loader/tape"
	"coldstart/memory"
)

// newProof makes the command that says what is wrong or doubtful in a machine file.
func newProof(e *env) *cobra.Command {
	p := &proving{env: e}
	c := &cobra.Command{
		Use:     "proof",
		Short:   "check a machine file, alone or against an image",
		GroupID: before,
		Long: `Alone, a machine file is held against itself: orders that read the same word,
widths that do not fit, counts the handbook gives, examples kept in the file,
lines that nothing can reach, pages not named, marks of doubt, and words that no
order reads. Against an image, the program is followed from its entry under the
order code, both ways at each condition, past each halt that the resume key can
pass, and at the end from the words of program left over, where the office has a
list of areas. What it comes to is counted for and against each line, but where
no order stands right after a halt that is no evidence: a halt from which nobody
comes back is typed as halt for good. A jump whose target only a run can tell is
counted as unknown, never guessed.
The verdict is TROUBLE where the file contradicts itself, a count differs, an
example does not come out, or the image speaks strongly against a line: at least
three of its jumps and one in twenty end where no order is, or no order follows
it in at least three places and one in four. It is UNDECIDED where a line is in
doubt, an example cannot be tried, the program comes to a word that no order
reads, or an image could not be followed to its end; else GOOD.
--drawing shows how orders were understood, and no image: the pattern of each
below the numbers of its bits, and what each bit is. It takes the name of an
order, in which * stands for anything, or how words begin, such as 011.`,
		Example: "  coldstart proof                   the office's machine file, against its image\n" +
			"  coldstart proof --machine my.machine\n" +
			"  coldstart proof --machine my.machine --image my.words --start 1000\n" +
			"  coldstart proof --machine my.machine --image my.words --next\n" +
			"  coldstart proof --machine my.machine --drawing load\n" +
			"  coldstart proof --drawing '*'     every order, with the numbers of its bits\n" +
			"  coldstart proof --machine my.machine --office FOLDER",
		Args: takes(0, 0, "no words, only options"),
		RunE: func(*cobra.Command, []string) error { return p.run() },
	}
	p.office = e.takesOffice(c, teaches)
	p.office.takesFiles(c)
	f := c.Flags()
	f.StringArrayVar(&p.images, "image", nil, "hold it against the image in this `FILE`: "+imageForms+"; may be given again")
	f.StringArrayVar(&p.starts, "start", nil, "follow the program from this `ADDRESS` instead of where the boot rule says; may be given again")
	f.BoolVar(&p.next, "next", false, "list the words to look up next in the handbook, those nearest the entry first")
	f.StringArrayVar(&p.drawing, "drawing", nil, "draw the `ORDER` of this name below its bit numbers; may be given again")
	return c
}

// A proving is one run of proof.
type proving struct {
	env     *env
	office  *officeOption
	images  []string
	starts  []string
	next    bool
	drawing []string // orders to draw
	report  proofReport
}

// run proves the file, then holds it against the image if there is one and the file can be used.
func (p *proving) run() error {
	src, name, err := p.office.file(p.office.machine, "machine", func(names *loader.Office) string { return names.Machine.Text })
	if err != nil {
		return err
	}
	found, err := proof.Read(name, src)
	if err != nil {
		return err
	}
	p.report.fill(name, found)
	if len(p.drawing) > 0 {
		if err := p.draw(name, found); err != nil {
			return err
		}
	} else if found.Code != nil {
		if err := p.explore(found.Code, name, src); err != nil {
			return err
		}
	}
	p.report.LeftOut = reasons(p.report.left)
	p.report.settle(found, p.next)
	return p.env.show("proof", &p.report)
}

// explore follows the program of the images named, or of the office; it does nothing where there is neither.
func (p *proving) explore(code *order.Code, name string, src []byte) error {
	var image *memory.Image
	var program func(memory.Addr) bool
	var err error
	switch {
	case len(p.images) > 0:
		image, err = p.fromFiles(code)
	case p.office.machine == "" || p.office.folder != "":
		image, program, err = p.fromOffice(name, src)
	case p.next || len(p.starts) > 0 || p.office.layout != "":
		return &unusable{where: "proof", what: "--next, --start and --layout are for an image, and none is named", next: "add --image FILE"}
	default:
		return nil
	}
	if err != nil {
		return err
	}
	var places []memory.Addr
	for _, text := range p.starts {
		a, err := readAddress(text, &code.Geometry)
		if err != nil {
			return err
		}
		places = append(places, code.PlaceOf(a))
	}
	x := proof.Explore(code, image, places, program)
	if len(x.Entries) == 0 {
		return &unusable{where: name, what: "neither its boot rule nor a trap says where a program begins", next: "say --start ADDRESS"}
	}
	p.report.against(code, x)
	return nil
}

// fromFiles reads the images named into one.
func (p *proving) fromFiles(code *order.Code) (*memory.Image, error) {
	all := memory.NewImage(code.Geometry)
	for _, path := range p.images {
		image, left, err := p.read(code, path)
		if err != nil {
			return nil, err
		}
		p.report.left = append(p.report.left, left...)
		for a, e := range image.All() {
			if w, _, there := all.At(a); there && w != e.Word {
				return nil, &unusable{where: path, what: fmt.Sprintf("its word at %s is not the one of the images before it", code.Geometry.Style.Addr(a, code.Geometry.AddrBits)),
					next: "hold the machine file against one of them at a time"}
			}
			if err := all.Set(a, e.Word, e.Origin); err != nil {
				return nil, err
			}
		}
	}
	return all, nil
}

// read reads one image. Where a layout is named it may still be one of text, such as the starter that goes with a
// tape; no recording reads as that.
func (p *proving) read(code *order.Code, path string) (image *memory.Image, left []error, err error) {
	if p.office.layout == "" {
		return p.office.loadImage(code, path)
	}
	src, err := p.env.read(path)
	if err != nil {
		return nil, nil, err
	}
	if image, err := p.env.textImage(code, path, src); err == nil {
		return image, nil, nil
	}
	layout, err := p.office.tapeLayout()
	if err != nil {
		return nil, nil, err
	}
	rec, err := tape.Read(layout, path, bytes.NewReader(src))
	if err != nil {
		return nil, nil, err
	}
	image, m := loadAll(rec, code)
	return image, unloaded(m), nil
}

// fromOffice gives the office's image, and which of its words are said to be program; the machine file proved stands in
// for the office's own.
func (p *proving) fromOffice(machine string, src []byte) (*memory.Image, func(memory.Addr) bool, error) {
	o, err := p.office.openOn(machine, src)
	if err != nil {
		return nil, nil, err
	}
	for _, t := range o.Tapes {
		p.report.left = append(p.report.left, unloaded(t.Map)...)
	}
	return o.Image, programOf(o), nil
}

// programOf tells which words the office's list of areas says are program; nil where it has no such list.
func programOf(o *bringup.Office) func(memory.Addr) bool {
	if len(o.Areas) == 0 {
		return nil
	}
	return func(a memory.Addr) bool {
		area, ok := o.Areas.At(a)
		return ok && area.Kind == "program"
	}
}
