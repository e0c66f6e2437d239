package cli

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"coldstart/loader/list"
)

func (r *guessReport) print(w io.Writer) {
	fold(w, "", fmt.Sprintf("%s, layout %s: how is the check code made?", strings.Join(r.Files, ", "), r.Layout))
	fold(w, "", fmt.Sprintf("Taken as the code of a block: %s.", r.Code))
	fold(w, "", fmt.Sprintf("Blocks that say something %d; left out: blank %d, like one before %d, of no length the layout knows %d. Lengths in words: %s. (These counts are decimal.)",
		r.Blocks, r.Blank, r.Alike, r.Odd, numbers(r.Lengths)))
	fold(w, "", fmt.Sprintf("Settings tried %d, and of each every final value.", r.Tried))
	fmt.Fprintln(w)
	if len(r.Survivors) == 0 {
		r.printBest(w)
		return
	}
	fmt.Fprintln(w, "What survives:")
	printRows(w, r.Survivors, r.Blocks)
	least := slices.MinFunc(r.Survivors, func(a, b guessRow) int { return a.Accident - b.Accident })
	fmt.Fprintf(w, "As many blocks explained by accident: at most 1 in 10 to the power of %d.\n", least.Accident)
	r.printTwins(w)
	r.printType(w)
}

// printTwins says what cannot be told apart, and why.
func (r *guessReport) printTwins(w io.Writer) {
	for i, row := range r.Survivors {
		if len(row.Apart) == 0 || row.Apart[0] <= i {
			continue // said with an earlier one
		}
		fold(w, "", fmt.Sprintf("Not to be told apart by these blocks: %s.", numbers(append([]int{i + 1}, row.Apart...))))
	}
	if r.OneLength {
		fold(w, "", "The blocks explained are all of one length. Then every start has a final value that fits, and so have complemented bits, "+
			"and a mark that is counted or not. A block of another length tells them apart."+r.likely())
	}
}

// likely says which survivors have values that are likely in themselves.
func (r *guessReport) likely() string {
	var likely []int
	for i, row := range r.Survivors {
		if row.common {
			likely = append(likely, i+1)
		}
	}
	if len(likely) == 0 {
		return ""
	}
	return fmt.Sprintf(" Start and final value are likely ones (0000 or FFFF) in %s; that is a reason, and no proof.", numbers(likely))
}

// printType prints what to type into the layout: for the likely settings, or for all where none is.
func (r *guessReport) printType(w io.Writer) {
	likely := slices.ContainsFunc(r.Survivors, func(row guessRow) bool { return row.common })
	fmt.Fprintln(w)
	fold(w, "", fmt.Sprintf("Type into the layout, in place of %s:", r.Code))
	said := false
	for i, row := range r.Survivors {
		if likely && !row.common {
			continue
		}
		if said {
			fmt.Fprintf(w, "or, for %d:\n", i+1)
		}
		said = true
		for _, line := range row.Type {
			fmt.Fprintln(w, "  "+line)
		}
	}
	fmt.Fprintln(w)
}

// printBest says that nothing survives, and how little it was that came nearest.
func (r *guessReport) printBest(w io.Writer) {
	fmt.Fprintln(w, "What survives: none.")
	switch {
	case r.Blocks == 0:
		fmt.Fprintln(w, "No block says anything about a code.")
		return
	case len(r.Best) == 0:
		fmt.Fprintln(w, "No setting with a likely start and final value explains any block.")
		return
	}
	fmt.Fprintln(w, "The likely ones that explain most, which accident might do as well:")
	printRows(w, r.Best, r.Blocks)
	if at := r.Best[0].Accident; at > 0 {
		fmt.Fprintf(w, "As many blocks explained by accident: up to 1 in 10 to the power of %d.\n", at)
	}
}

// printRows prints settings in a table, and below it what is to be said of reciprocal polynomials.
func printRows(w io.Writer, rows []guessRow, blocks int) {
	fmt.Fprintln(w, "  #  poly  start  final  first bit, word  sense     explains  made of")
	var backwards []string
	for i, row := range rows {
		first, sense := "highest, high", "as it is"
		switch {
		case row.Reflected && row.LowWord:
			first = "lowest, low"
		case row.Reflected:
			first = "lowest, high"
		case row.LowWord:
			first = "highest, low"
		}
		if row.Inverted {
			sense = "inverted"
		}
		line := fmt.Sprintf("%3d  %s  %s   %s   %-15s  %-8s  %-8s  ", i+1, row.Poly, row.Start, row.Final, first, sense, fmt.Sprintf("%d of %d", row.Explains, blocks))
		fmt.Fprintln(w, list.Fold(line+strings.Join(row.Over, " "), strings.Repeat(" ", len(line))))
		if said := fmt.Sprintf("%s is %s on a track read backwards, where start and final value are exchanged.", row.Poly, row.Forwards); row.Forwards != "" && !slices.Contains(backwards, said) {
			backwards = append(backwards, said)
		}
	}
	for _, said := range backwards {
		fold(w, "", said)
	}
}

// numbers writes numbers with commas between.
func numbers(all []int) string {
	if len(all) == 0 {
		return "none"
	}
	return strings.Trim(strings.ReplaceAll(fmt.Sprint(all), " ", ", "), "[]")
}
