package list

import (
	"errors"
	"go/token"
	"strconv"
	"strings"
)

// A Form is the shape of one kind of record, shown to the user when a record does not have it.
type Form struct {
	Shape    string // such as `tape CHANNEL FILE "label"`; its first word is the name of the record
	Min, Max int    // words wanted after the name; a Max below 0 is no limit
	Once     bool   // a second record of the kind is an error
	Needed   bool   // a list without it is an error
}

// Name gives the name of the records of this form.
func (f Form) Name() string {
	name, _, _ := strings.Cut(f.Shape, " ")
	return name
}

// Check gives those records of file that have one of the forms, in their order, and notes in errs what is wrong with
// the others: unknown names, too few or too many words, a second where one belongs, none where one is needed.
func Check(errs *Errors, file string, records []Record, forms []Form) []Record {
	var good []Record
	first := make([]*Record, len(forms))
	for i := range records {
		r := &records[i]
		f := find(forms, r.Name())
		switch n := len(r.Args()); {
		case f < 0:
			errs.Add(r.Pos, "%s", Unknown("record", r.Name(), names(forms)))
			continue
		case first[f] != nil && forms[f].Once:
			errs.Add(r.Pos, "a second record %q; line %d has the first, and there may be one only", r.Name(), first[f].Pos.Line)
		case n < forms[f].Min || forms[f].Max >= 0 && n > forms[f].Max:
			errs.Add(r.Pos, "the record has %d words after %q; it must look like: %s", n, r.Name(), forms[f].Shape)
		default:
			good = append(good, *r)
		}
		if first[f] == nil {
			first[f] = r
		}
	}
	for f := range forms {
		if first[f] == nil && forms[f].Needed {
			errs.Add(token.Position{Filename: file}, "no record %q; add a line like: %s", forms[f].Name(), forms[f].Shape)
		}
	}
	return good
}

// find gives the index of the form of that name, or -1.
func find(forms []Form, name string) int {
	for i := range forms {
		if forms[i].Name() == name {
			return i
		}
	}
	return -1
}

// names gives the names of the forms in their order.
func names(forms []Form) []string {
	all := make([]string, len(forms))
	for i := range forms {
		all[i] = forms[i].Name()
	}
	return all
}

// Number reads the word as a decimal number from low to high, both included; what says what is being counted. The result
// false has been noted in errs. Numbers in a handbook's own style are no business of lists.
func (w Word) Number(errs *Errors, what string, low, high int) (int, bool) {
	n, err := strconv.ParseUint(w.Text, 10, 64)
	switch {
	case err != nil && !errors.Is(err, strconv.ErrRange):
		errs.Add(w.Pos, "%q is no decimal number; %s must be one, from %d to %d", w.Text, what, low, high)
	case err != nil || n < uint64(low) || n > uint64(high):
		errs.Add(w.Pos, "%s is %s; it must be from %d to %d", what, w.Text, low, high)
	default:
		return int(n), true
	}
	return 0, false
}

// OneOf gives the index of the word among those known. The result -1 has been noted in errs, with the nearest word; kind
// says what kind of word was wanted.
func (w Word) OneOf(errs *Errors, kind string, known ...string) int {
	for i, k := range known {
		if w.Text == k {
			return i
		}
	}
	errs.Add(w.Pos, "%s", Unknown(kind, w.Text, known))
	return -1
}
