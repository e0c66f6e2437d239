package cli

import (
	"bytes"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"coldstart/cpu/assemble"
	"coldstart/cpu/order"
	"coldstart/loader"
	"coldstart/loader/list"
	"coldstart/memory"
)

// newRecite makes the command that lists an image as order text.
func newRecite(e *env) *cobra.Command {
	r := &recital{env: e}
	c := &cobra.Command{
		Use:     "recite [FROM [TO]]",
		Short:   "list the words of an image as orders",
		GroupID: before,
		Long: `The words of the office's image, or of the one named, are listed as order text:
an order where one reads the word, else data. Assembling the listing gives the
same words back. FROM and TO are addresses as the machine file writes them, both
included; FROM-TO is one word for both, and FROM alone lists one order. The
image is what the tapes and the wired words hold before anything runs. A tape
block that cannot be loaded is named, and left out. With -o the words are
written to a new file and nothing is listed.`,
		Example: "  coldstart recite                  the whole image\n" +
			"  coldstart recite 1000-1017        sixteen words of it\n" +
			"  coldstart recite --words          the whole image as plain words\n" +
			"  coldstart recite --machine my.machine --image my.words\n" +
			"  coldstart recite -o ours.s19      the image as S-records, for other programs",
		Args: takes(0, 2, "up to two addresses"),
		RunE: func(_ *cobra.Command, words []string) error { return r.run(words) },
	}
	r.office = e.takesOffice(c, teaches)
	r.office.takesFiles(c)
	c.Flags().StringVar(&r.image, "image", "", "list the image in this `FILE`: "+imageForms)
	c.Flags().StringVarP(&r.to, "out", "o", "", "write the words to this new `FILE`, "+writtenForms)
	c.Flags().BoolVar(&r.replace, "replace", false, "let the file written take the place of an older one")
	c.Flags().BoolVar(&r.plain, "words", false, "print plain words, as a file of plain words has them")
	return c
}

// A recital is one run of recite.
type recital struct {
	env     *env
	office  *officeOption
	image   string
	plain   bool
	to      string
	replace bool
	left    []error // of blocks that are not in the image
	report  reciteReport
}

// run finds the image, takes the part asked for, and lists it.
func (r *recital) run(words []string) error {
	if r.to != "" && r.plain {
		return &unusable{where: "recite", what: "--words prints the words, and -o writes them to a file", next: "leave one of the two out"}
	}
	code, image, err := r.load()
	if err != nil {
		return err
	}
	part, err := takePart(image, code, words)
	if err != nil {
		return err
	}
	switch {
	case r.to != "":
		file, said, err := imageFile(r.to, part, code.Geometry)
		if err != nil {
			return err
		}
		if err := r.env.save(r.replace, file); err != nil {
			return err
		}
		r.report.Wrote, r.report.As = []string{r.to}, []string{said}
		r.report.text = r.heads() + list.Fold(list.Safe(fmt.Sprintf("wrote %s: %s", r.to, said)), "    ") + "\n"
	case r.plain:
		var b bytes.Buffer
		if err := loader.WriteWords(&b, part, code.Geometry); err != nil {
			return err
		}
		r.report.text = b.String()
	default:
		r.report.text = r.heads() + string(assemble.Recite(code, plainWords(part)))
	}
	r.report.LeftOut = reasons(r.left)
	r.report.fill(code, part)
	return r.env.show("recite", &r.report)
}

// load gives the image and the order code to read it by.
func (r *recital) load() (*order.Code, *memory.Image, error) {
	o := r.office
	if r.image == "" {
		if o.machine+o.layout != "" {
			return nil, nil, &unusable{where: "recite", what: "--machine and --layout say how to read an image, and no image is named", next: "add --image FILE"}
		}
		office, err := o.open()
		if err != nil {
			return nil, nil, err
		}
		for _, t := range office.Tapes {
			r.left = append(r.left, unloaded(t.Map)...)
		}
		return office.Code, office.Image, nil
	}
	code, err := o.code()
	if err != nil {
		return nil, nil, err
	}
	var image *memory.Image
	image, r.left, err = o.loadImage(code, r.image)
	return code, image, err
}

// heads says in remarks what is not in the listing.
func (r *recital) heads() string {
	var b strings.Builder
	for _, line := range leftOut(r.left) {
		b.WriteString(list.Fold("# left out: "+line, "#     ") + "\n")
	}
	return b.String()
}
