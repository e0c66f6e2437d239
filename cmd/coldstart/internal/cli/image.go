package cli

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"

	"coldstart/cpu/order"
	"coldstart/loader"
	"coldstart/loader/hexfile"
	"coldstart/loader/list"
	"coldstart/loader/tape"
	"coldstart/memory"
)

// imageForms says to a person what --image takes.
const imageForms = "plain words, Intel HEX, S-records, or a tape where --layout is given"

// loadImage reads an image that no office need name: text, or a tape where a layout was named. What is left out of it is a
// list of errors, one for each block that cannot be loaded.
func (o *officeOption) loadImage(code *order.Code, path string) (image *memory.Image, leftOut []error, err error) {
	if o.layout == "" {
		src, err := o.env.read(path)
		if err != nil {
			return nil, nil, err
		}
		image, err := o.env.textImage(code, path, src)
		return image, nil, err
	}
	layout, err := o.tapeLayout()
	if err != nil {
		return nil, nil, err
	}
	rec, err := o.env.recording(layout, path)
	if err != nil {
		return nil, nil, err
	}
	image, m := loadAll(rec, code)
	left := unloaded(m)
	if image.Len() == 0 {
		u := &unusable{where: path, what: "the recording puts no word in store", next: "look whether it was read whole, and whether the layout is its own"}
		if len(left) > 0 {
			u.cause = left[0]
			u.what = fmt.Sprintf("not one block of it can be loaded; %v", left[0])
		}
		return nil, left, u
	}
	return image, left, nil
}

// textImage reads an image that is text: Intel HEX or S-records, told by how they begin, else plain words. How bytes were
// made words, and what may be a slip in them, is said on standard error, since nothing else would show it.
func (e *env) textImage(code *order.Code, path string, src []byte) (*memory.Image, error) {
	if !hexfile.Is(src) {
		return loader.ReadWords(path, src, code.Geometry)
	}
	h, err := loader.ReadHexImage(path, src, code.Geometry)
	if err != nil {
		return nil, err
	}
	fmt.Fprintf(e.err, "%s: %s\n", list.Safe(path), h.Rule)
	if len(h.Warnings) > 0 {
		fmt.Fprintln(e.err, list.Report(h.Warnings))
	}
	return h.Image, nil
}

// writtenForms says to a person in which form a file of words is written.
const writtenForms = "as S-records where its name ends in .s19, .srec or .mot, as Intel HEX where in .hex, else as plain words"

// imageFile makes the file of an image in the form that its name asks for, and says what is in it; how words were made
// bytes is said too, since Intel HEX has no place for it.
func imageFile(path string, image *memory.Image, g memory.Geometry) (output, string, error) {
	form := loader.FormOf(path)
	var b bytes.Buffer
	rule, err := form.Write(&b, image, g)
	if err != nil {
		return output{}, "", &unusable{where: path, what: err.Error(), next: "give the file another ending, and it is written as plain words", cause: err}
	}
	said := amount(image.Len(), "word")
	if rule != "" {
		said += fmt.Sprintf(" as %v: %s", form, rule)
	}
	return output{path: path, data: b.Bytes()}, said, nil
}

// loadAll loads the blocks of a recording; those missing are told of too.
func loadAll(rec *tape.Recording, code *order.Code) (*memory.Image, *loader.Map) {
	return loader.Place(slices.Concat(rec.Blocks, rec.Missing), code.Geometry)
}

// leftOut says in a line a block what was left out of an image, the first ten, and how many more there are.
func leftOut(left []error) []string {
	var all []string
	for i, err := range left {
		if i == mostLooks {
			return append(all, fmt.Sprintf("%s more; `coldstart survey` says what is wrong with each", amount(len(left)-i, "block")))
		}
		said := err.Error()
		var block *tape.BlockError
		if errors.As(err, &block) && len(said) > list.Paper-len("# left out: ") {
			reason, _, _ := strings.Cut(block.Err.Error(), ": ") // without what was found instead
			said = strings.TrimSuffix(said, block.Err.Error()) + reason
		}
		all = append(all, list.Safe(said))
	}
	return all
}

// reasons says in full, for JSON, why each block was left out of an image.
func reasons(left []error) []string {
	all := []string{}
	for _, err := range left {
		all = append(all, err.Error())
	}
	return all
}

// unloaded gives an error for each block that is not in store.
func unloaded(m *loader.Map) []error {
	var all []error
	for _, l := range m.Loads {
		if l.Err != nil {
			all = append(all, l.Err)
		}
	}
	return all
}
