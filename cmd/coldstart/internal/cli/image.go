package cli

import (
	"slices"

	"coldstart/cpu/order"
	"coldstart/loader"
	"coldstart/loader/tape"
	"coldstart/memory"
)

// loadImage reads an image that no office need name: plain words, or a tape where a layout was named. What is left out of
// it is a list of errors, one for each block that cannot be loaded.
func (o *officeOption) loadImage(code *order.Code, path string) (image *memory.Image, leftOut []error, err error) {
	if o.layout == "" {
		src, err := o.env.read(path)
		if err != nil {
			return nil, nil, err
		}
		image, err := loader.ReadWords(path, src, code.Geometry)
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
