package main

import (
	"bytes"
	"fmt"
	"slices"

	"coldstart/cpu/assemble"
	"coldstart/cpu/order"
	"coldstart/loader"
	"coldstart/loader/tape"
	"coldstart/memory"
)

// Files of the office that everything is made from, and those made.
const (
	officeFile  = "office.list"
	machineFile = "brindlecote.machine"
	layoutFile  = "gp.layout"
	tapeFile    = "gp1.tape"
	wiredFile   = "starter.words"
	areasFile   = "areas.list"
	chaseFile   = "chase.list"
)

// sources are the order text in the order it is assembled: a text that begins where another ends stands behind it.
var sources = []string{
	"names.order", "working.order", "starter.order", "second.order",
	"start.order", "cases.order", "bits.order", "codes.order",
	"decimal.order", "dial.order", "wiring.order", "lines.order", "exercise.order", "tables.order", directory, "call-tables.order", "texts.order",
	"base.order", "tasks.order", "calls.order", "advice.order", officeData,
}

// officeData is the order text that is no program: what is peculiar to this one office.
const officeData = "office-data.order"

// directory is the order text that holds the sums of the tables: it changes with office data.
const directory = "directory.order"

// A file is one made file.
type file struct {
	name string
	data []byte
}

// makeOffice makes all files that are made; read gives those that are written by hand.
func makeOffice(read func(name string) ([]byte, error)) ([]file, error) {
	var files []file
	for _, t := range madeTexts {
		files = append(files, file{t.name, []byte(t.make())})
	}
	code, program, err := assembled(read, files)
	if err != nil {
		return nil, err
	}
	recording, err := record(read, program)
	if err != nil {
		return nil, err
	}
	wired, err := wiredWords(code, program)
	if err != nil {
		return nil, err
	}
	chase, err := chaseList(program, code.Geometry)
	if err != nil {
		return nil, err
	}
	return append(files,
		file{tapeFile, recording},
		file{wiredFile, wired},
		file{areasFile, areasList(program, code.Geometry)},
		file{chaseFile, chase},
		file{eveningFile, eveningList()},
	), nil
}

// assembled reads the machine file and assembles all order text, taking made texts as they are made now.
func assembled(read func(string) ([]byte, error), made []file) (*order.Code, *assemble.Program, error) {
	src, err := read(machineFile)
	if err != nil {
		return nil, nil, err
	}
	code, err := order.Read(machineFile, src)
	if err != nil {
		return nil, nil, err
	}
	var all []assemble.Source
	for _, name := range sources {
		s := assemble.Source{Name: name}
		if i := slices.IndexFunc(made, func(f file) bool { return f.name == name }); i >= 0 {
			s.Text = made[i].data
		} else if s.Text, err = read(name); err != nil {
			return nil, nil, err
		}
		all = append(all, s)
	}
	program, err := assemble.Assemble(code, all...)
	return code, program, err
}

// record records the blocks of the program in their order.
func record(read func(string) ([]byte, error), p *assemble.Program) ([]byte, error) {
	src, err := read(layoutFile)
	if err != nil {
		return nil, err
	}
	layout, err := tape.ReadLayout(layoutFile, src)
	if err != nil {
		return nil, err
	}
	var recording []byte
	for _, b := range p.Blocks {
		var words []memory.Word
		for _, w := range p.Block(b) {
			words = append(words, w)
		}
		if recording, err = layout.Append(recording, b.Number, b.First, words); err != nil {
			return nil, err
		}
	}
	return recording, nil
}

// wiredWords is the file of plain words for wired store.
func wiredWords(code *order.Code, p *assemble.Program) ([]byte, error) {
	image := memory.NewImage(code.Geometry)
	for a, w := range p.All() {
		if area := code.Geometry.Area(a); area != nil && area.Wired {
			if err := image.Set(a, w, memory.Origin{}); err != nil {
				return nil, err
			}
		}
	}
	var out bytes.Buffer
	fmt.Fprint(&out, "# The wired starter as words: WS1, from starter.order.\n\n")
	err := loader.WriteWords(&out, image, code.Geometry)
	return out.Bytes(), err
}
