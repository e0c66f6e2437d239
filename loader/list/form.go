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

// Number reads the word as a number of the given radix, from low to high, both included; what says what is being read.
// The result false has been noted in errs.
func (w Word) Number(errs *Errors, what string, radix int, low, high uint64) (uint64, bool) {
	n, err := strconv.ParseUint(w.Text, radix, 64)
	switch {
	case errors.Is(err, strconv.ErrRange):
		errs.Add(w.Pos, "%s is %s, more than 64 bits; it must be from %s to %s", what, w.Text, digits(low, radix), digits(high, radix))
	case err != nil:
		errs.Add(w.Pos, "%q is no number in %s, as %s must be%s", w.Text, RadixName(radix), what, slip(w.Text, radix))
	case n < low || n > high:
		errs.Add(w.Pos, "%s is %s; it must be from %s to %s", what, w.Text, digits(low, radix), digits(high, radix))
	default:
		return n, true
	}
	return 0, false
}

// digits writes n in radix.
func digits(n uint64, radix int) string { return strconv.FormatUint(n, radix) }

// slip hints at the letters that are most often typed, or read by a scanner, for digits.
func slip(text string, radix int) string {
	fixed := strings.NewReplacer("O", "0", "o", "0", "l", "1", "I", "1").Replace(text)
	if _, err := strconv.ParseUint(fixed, radix, 64); err != nil {
		return ""
	}
	return "; with digits for letters it reads " + fixed
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

// radixes are the number styles by name.
var radixes = []struct {
	name  string
	radix int
}{{"binary", 2}, {"octal", 8}, {"decimal", 10}, {"hexadecimal", 16}}

// RadixName gives the name of a radix: binary, octal, decimal or hexadecimal.
func RadixName(radix int) string {
	for _, r := range radixes {
		if r.radix == radix {
			return r.name
		}
	}
	return "radix " + strconv.Itoa(radix)
}

// Radix reads the word as the name of a radix. The result 0 has been noted in errs.
func (w Word) Radix(errs *Errors) int {
	known := make([]string, len(radixes))
	for i, r := range radixes {
		known[i] = r.name
	}
	if i := w.OneOf(errs, "number style", known...); i >= 0 {
		return radixes[i].radix
	}
	return 0
}
