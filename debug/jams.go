package debug

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"coldstart/cpu/jam"
)

// jam makes a place fail from now on.
func (s *Session) jam(args []string) error {
	j, err := s.parseJam(strings.Join(args, " "))
	if err != nil {
		return err
	}
	if slices.ContainsFunc(s.jams, func(other jam.Jam) bool { return other.String() == j.String() }) {
		s.say("%s is jammed so already", j)
		return nil
	}
	if i := slices.IndexFunc(s.jams, j.Contradicts); i >= 0 {
		return fmt.Errorf("%s contradicts %s: take that one out first, with `unjam %d`", j, s.jams[i], i+1)
	}
	if err := j.Put(s.half); err != nil {
		return fmt.Errorf("%s: %w", j, err)
	}
	s.jams = append(s.jams, j)
	s.eye.lamps()
	s.did("jam", j.String())
	s.noted("jam %s", j)
	return nil
}

// parseJam reads a jam of this machine and its office, in the half that a person is at.
func (s *Session) parseJam(text string) (jam.Jam, error) {
	if s.half.Name != "A" && !strings.HasPrefix(text, "half ") {
		text = "half " + s.half.Name + " " + text
	}
	j, err := jam.Parse(s.code, text, s.plan.Names()...)
	if err == nil && j.In() != s.half.Name {
		return j, fmt.Errorf("%s is about half %s, and this is half %s: `mate` goes to the other half of a pair", j, j.In(), s.half.Name)
	}
	return j, err
}

// shapes are the ways to write a jam, for the help.
func shapes() []string {
	all := []string{"What fails, each with what it is:"}
	for _, form := range jam.Forms {
		all = append(all, shape(form)...)
	}
	all = append(all, "A CELL is PLUG-IN CHIP @ADDRESS, or store ADDRESS bit NUMBER.", "After each, when it is so, and whether now and then:")
	for _, form := range jam.Ends {
		all = append(all, shape(form)...)
	}
	return append(all, jam.Level...)
}

// shape is a way to write a jam on one line, or on two; its example is of another machine.
func shape(form jam.Form) []string {
	if len(form.Shape) < 38 {
		return []string{fmt.Sprintf("  %-38s%s", form.Shape, form.Means)}
	}
	return []string{"  " + form.Shape, strings.Repeat(" ", 40) + form.Means}
}

// listJams lists the jams.
func (s *Session) listJams([]string) error {
	if len(s.jams) == 0 {
		s.say("no jams; `help jam` shows how one is put in")
	}
	for i, j := range s.jams {
		s.say("%d  %s; %s", i+1, j, j.Effect(s.half))
	}
	return nil
}

// unjam makes a jammed place good again.
func (s *Session) unjam(args []string) error {
	i, err := s.findJam(strings.Join(args, " "))
	if err != nil {
		return err
	}
	j := s.jams[i]
	if err := j.Lift(s.half); err != nil {
		return err
	}
	s.jams = slices.Delete(slices.Clone(s.jams), i, i+1)
	s.eye.lamps()
	s.did("unjam", j.String())
	s.noted("unjam %s", j)
	return nil
}

// findJam is the index of the jam that a person means: by its number in the list, by its text, or by its place alone.
func (s *Session) findJam(text string) (int, error) {
	if len(s.jams) == 0 {
		return 0, fmt.Errorf("there is no jam to take out")
	}
	if n, err := count(text); err == nil {
		if n > int64(len(s.jams)) {
			return 0, fmt.Errorf("there is no jam %d: `jams` lists %s", n, counted(int64(len(s.jams)), "jam"))
		}
		return int(n) - 1, nil
	}
	// A place is named as in a jam, its value left out: whichever value it is jammed at is meant.
	var wrong error
	for _, value := range []string{"", " = 0", " = 1", " dark", " lit"} {
		j, err := s.parseJam(text + value)
		if err != nil {
			wrong = cmp.Or(errors.Unwrap(err), err) // without the value that nobody typed
			continue
		}
		if i := slices.IndexFunc(s.jams, func(other jam.Jam) bool { return other.String() == j.String() }); i >= 0 {
			return i, nil
		}
		wrong = nil
	}
	if i := slices.IndexFunc(s.jams, func(j jam.Jam) bool { return begins(j.String(), text) }); i >= 0 {
		return i, nil
	}
	if wrong != nil {
		return 0, wrong
	}
	return 0, fmt.Errorf("%s has no jam: `jams` lists them", text)
}

// begins tells whether a jam begins with the words that a person typed.
func begins(j, text string) bool {
	rest, ok := strings.CutPrefix(j, strings.Join(strings.Fields(text), " "))
	return ok && text != "" && (rest[0] == ' ' || rest[0] == ',')
}
