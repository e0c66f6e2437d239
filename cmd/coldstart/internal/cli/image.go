package cli

import (
	"fmt"
	"slices"

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
	return image, unloaded(m), nil
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

// loadAll loads the blocks of a recording; those missing are told of too.
func loadAll(rec *tape.Recording, code *order.Code) (*memory.Image, *loader.Map) {
	return loader.Place(slices.Concat(rec.Blocks, rec.Missing), code.Geometry)
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
