package cli

import (
	"fmt"
	"strings"

	"coldstart/cpu/jam"
	"coldstart/cpu/order"
	"coldstart/debug/watch"
)

// jamsTopic is the help page that shows how a jam is written.
func jamsTopic() string {
	var b strings.Builder
	b.WriteString("A jam is a fault put in on purpose: --jam 'PLACE = 0' puts in one, --jams FILE a\n" +
		"list with one on each line, and the desk has the word `jam`. Each form, with an\n" +
		"example on the machine of the training office:\n")
	examples(&b, jam.Forms)
	b.WriteString("\nA CELL is PLUG-IN CHIP @ADDRESS, or store ADDRESS bit NUMBER. After each jam may\n" +
		"stand when it is in force, if not from the start on, and then how often it acts,\n" +
		"of the times that it could:\n")
	examples(&b, jam.Ends)
	b.WriteString("\nOf one place there is one jam; two that are about the same are refused.\n\n" +
		strings.Join(jam.Level, "\n") + "\nNumbers are written as the machine file says, bits are counted as it says.")
	return b.String()
}

// examples writes forms, what each means, and a command to try it.
func examples(b *strings.Builder, forms []jam.Form) {
	for _, f := range forms {
		if len(f.Shape) < 39 {
			fmt.Fprintf(b, "\n  %-40s%s\n", f.Shape, f.Means)
		} else {
			fmt.Fprintf(b, "\n  %s\n  %40s%s\n", f.Shape, "", f.Means)
		}
		pair := ""
		if strings.HasPrefix(f.Example, "half ") {
			pair = "--pair "
		}
		fmt.Fprintf(b, "      coldstart bringup %s--jam %s\n", pair, shellWord(f.Example))
	}
}

// faults reads the jams asked for, those of the file first. Two that contradict each other are refused.
func (s *startOption) faults(code *order.Code, plan *watch.Plan) ([]jam.Jam, error) {
	var jams []jam.Jam
	if s.jamsFile != "" {
		src, err := s.office.env.read(s.jamsFile)
		if err != nil {
			return nil, err
		}
		if jams, err = jam.ParseList(code, s.jamsFile, src, plan.Names()...); err != nil {
			return nil, err
		}
	}
	for _, text := range s.jams {
		j, err := jam.Parse(code, text, plan.Names()...)
		if err != nil {
			return nil, &unusable{what: err.Error(), next: `"coldstart help jams" shows every form`}
		}
		jams = append(jams, j)
	}
	if j, other, found := jam.Contradiction(jams); found {
		return nil, contradicted(j, other)
	}
	return jams, nil
}

// present refuses jams of a half that is not there.
func present(jams []jam.Jam, pair bool) error {
	for _, j := range jams {
		if j.In() != "A" && !pair {
			return &unusable{where: "--jam " + j.String(), what: "there is one half here, which is A", next: "add --pair, or leave out half " + j.In()}
		}
	}
	return nil
}

// contradicted refuses a jam that holds a place of an earlier one at another value.
func contradicted(j, other jam.Jam) *unusable {
	u := &unusable{where: "--jam", what: fmt.Sprintf("%s contradicts %s, given before it", j, other), next: "leave one of the two out"}
	if j.Pos.IsValid() {
		u.where = j.Pos.String()
	}
	if other.Pos.IsValid() {
		u.what = fmt.Sprintf("%s contradicts %s at %s", j, other, other.Pos)
	}
	return u
}
