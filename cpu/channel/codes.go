package channel

import (
	"go/token"
	"slices"
	"strconv"

	"coldstart/cpu/channel/code"
	"coldstart/loader/list"
)

// codeForms are the records of a list of codes: see the manual.
var codeForms = []list.Form{
	{Shape: "code NAME units 5", Min: 3, Max: 3},
	{Shape: "shift letters 31 figures 27", Min: 4, Max: 4},
	{Shape: "letters FIRST CHARACTERS...", Min: 2, Max: -1},
	{Shape: "figures FIRST CHARACTERS...", Min: 2, Max: -1},
}

// ReadCodes reads a list of codes, named file in messages; others are known already. The error is a go/scanner.ErrorList.
func ReadCodes(file string, src []byte, others ...*code.Set) ([]*code.Set, error) {
	records, err := list.Read(file, src)
	if err != nil {
		return nil, err
	}
	r := codeReader{known: names(slices.Concat(code.Sets, others))}
	for _, record := range list.Check(&r.errs, file, records, codeForms) {
		r.record(record)
	}
	r.finish()
	if len(r.sets) == 0 && r.errs.Err() == nil {
		r.errs.Add(token.Position{Filename: file, Line: 1, Column: 1}, "no code is listed; begin with a line `code NAME units 5`")
	}
	return r.sets, r.errs.Err()
}

// A codeReader makes codes of the records of a list.
type codeReader struct {
	errs  list.Errors
	known []string
	sets  []*code.Set

	// The code under way.
	name             list.Word
	units            int // 0: none is under way
	letters, figures []string
	shifts           []int // to letters, to figures
}

// record reads one record.
func (r *codeReader) record(record list.Record) {
	args := record.Args()
	if record.Name() == "code" {
		r.finish()
		r.begin(args)
		return
	}
	switch {
	case r.units == 0:
		r.errs.Add(record.Pos, "no code has begun; a line `code NAME units 5` stands before the lines of its characters")
	case record.Name() == "shift":
		r.shift(args)
	case record.Name() == "letters":
		r.characters(r.letters, args)
	default:
		if r.figures == nil {
			r.figures = make([]string, 1<<r.units)
		}
		r.characters(r.figures, args)
	}
}

// begin begins a code.
func (r *codeReader) begin(args []list.Word) {
	r.name = args[0]
	if slices.Contains(r.known, r.name.Text) {
		r.errs.Add(r.name.Pos, "there is a code %s already; give this one another name", r.name.Text)
	}
	r.known = append(r.known, r.name.Text)
	r.letters, r.figures, r.shifts = nil, nil, nil
	if args[1].OneOf(&r.errs, "setting", "units") < 0 {
		return
	}
	if r.units = r.decimal(args[2], "how many units a character has", 5, 8); r.units > 0 {
		r.letters = make([]string, 1<<r.units)
	}
}

// shift reads the codes that shift.
func (r *codeReader) shift(args []list.Word) {
	if args[0].OneOf(&r.errs, "shift", "letters") < 0 || args[2].OneOf(&r.errs, "shift", "figures") < 0 {
		return
	}
	most := 1<<r.units - 1
	r.shifts = []int{r.decimal(args[1], "a code", 0, most), r.decimal(args[3], "a code", 0, most)}
	if r.shifts[0] == r.shifts[1] {
		r.errs.Add(args[3].Pos, "one code cannot shift to both; look at the table of the code")
	}
}

// characters reads characters whose codes follow one another.
func (r *codeReader) characters(table []string, args []list.Word) {
	first := r.decimal(args[0], "the code of the first character", 0, len(table)-1)
	if first < 0 {
		return
	}
	for i, w := range args[1:] {
		switch c := code.Character(w.Text); {
		case first+i >= len(table):
			r.errs.Add(w.Pos, "%q would have code %d; a code of %d units goes up to %d", w.Text, first+i, r.units, len(table)-1)
			return
		case len([]rune(c)) > 1:
			r.errs.Add(w.Pos, "%q is no character: write one, or NUL, LF, CR, SP, BEL, WRU, or none where there is none", w.Text)
		default:
			table[first+i] = c
		}
	}
}

// decimal reads a decimal number within bounds; -1 where it is none, which is noted.
func (r *codeReader) decimal(w list.Word, what string, low, high int) int {
	n, err := strconv.Atoi(w.Text)
	if err != nil || n < low || n > high {
		r.errs.Add(w.Pos, "%q is not %s: write a decimal number from %d to %d", w.Text, what, low, high)
		return -1
	}
	return n
}

// finish takes the code under way over.
func (r *codeReader) finish() {
	if r.units <= 0 || r.errs.Err() != nil {
		r.units = 0
		return
	}
	if r.figures != nil && r.shifts == nil {
		r.errs.Add(r.name.Pos, "code %s has figures and nothing that shifts to them; add a line `shift letters 31 figures 27`", r.name.Text)
		return
	}
	var letters, figures byte
	if r.shifts != nil {
		letters, figures = byte(r.shifts[0]), byte(r.shifts[1])
	}
	r.sets = append(r.sets, code.New(r.name.Text, r.units, r.letters, r.figures, letters, figures))
	r.units = 0
}
