package loader

import (
	"fmt"
	"io"
	"strings"

	"coldstart/loader/list"
	"coldstart/memory"
	"coldstart/memory/overlay"
)

// ReadDump reads a dump of a store of geometry g: a file of plain words as ReadWords reads it, in which the parity columns
// of a word may stand behind it,
//
//	024107: 604210/10 040212/01    # right parity 1, left parity 0; then the other way round
//
// after a stroke, a digit 0 or 1 for each column of its plug-in, in the order the machine file names them. Words with parity
// and without may be mixed. The error is a go/scanner.ErrorList.
func ReadDump(name string, src []byte, g memory.Geometry) (*overlay.Dump, error) {
	records, err := list.Read(name, src)
	if err != nil {
		return nil, err
	}
	f := wordFile{g: &g, image: memory.NewImage(g), columns: map[memory.Addr]memory.Word{}}
	if err := f.read(name, records); err != nil {
		return nil, err
	}
	return &overlay.Dump{Words: f.image, Columns: f.columns}, nil
}

// readParity reads the parity columns of the word at a, which the store has.
func readParity(g *memory.Geometry, a memory.Addr, text string) (columns memory.Word, err error) {
	area := g.Area(a)
	if len(area.Parity) == 0 {
		return 0, fmt.Errorf("%s has no parity; write its words without a stroke", area.Name)
	}
	var names []string
	for i := range area.Parity {
		names = append(names, g.ColumnName(area, area.Width+i))
	}
	if len(text) != len(area.Parity) || strings.Trim(text, "01") != "" {
		return 0, fmt.Errorf("%q is not the parity of a word of %s; behind the stroke belongs a 0 or a 1 for each of: %s",
			list.Safe(list.Brief(text)), area.Name, strings.Join(names, ", "))
	}
	for i := range area.Parity {
		columns |= memory.Word(text[i]-'0') << i
	}
	return columns, nil
}

// WriteDump writes a dump as ReadDump reads it, eight words a line.
func WriteDump(w io.Writer, d *overlay.Dump, g memory.Geometry) error {
	return writeWords(w, d.Words, g, func(a memory.Addr) string {
		columns, read := d.Columns[a]
		if !read {
			return ""
		}
		text := []byte{'/'}
		for i := range g.Area(a).Parity {
			text = append(text, '0'+byte(columns>>i&1))
		}
		return string(text)
	})
}
