package cli

import (
	"fmt"
	"io"

	"coldstart/cpu/channel/plant"
	"coldstart/debug/bringup"
	"coldstart/debug/vouch"
)

// A networkReport is the network as it was asked for.
type networkReport struct {
	Frames        int                  `json:"frames"`
	Concentrators []concentratorReport `json:"concentrators"`
	Paths         []pathReport         `json:"paths"`
	AskedA        int                  `json:"pulses_by_a"`
	AskedB        int                  `json:"pulses_by_b"`
	Lost          int                  `json:"pulses_lost"`
	Foreign       int                  `json:"pulses_to_no_crosspoint"`
	Standby       int                  `json:"pulses_by_standby"`
	Differences   []string             `json:"map_differs"`
	Mapped        bool                 `json:"map_known"`

	never string // terminals none of whose crosspoints was ever commanded
}

// A concentratorReport is what is known of the crosspoints of a concentrator.
type concentratorReport struct {
	Number   int `json:"number"`
	Set      int `json:"set"`
	Released int `json:"released"`
	Unknown  int `json:"unknown"`
}

// A pathReport is a whole path.
type pathReport struct {
	From    int   `json:"from"`
	To      int   `json:"to"`
	Link    int   `json:"link"`
	Junctor int   `json:"junctor"` // -1 where one link holds both ends
	SincePS int64 `json:"since_ps"`
}

// newNetworkReport puts the network into a report.
func newNetworkReport(o *bringup.Office, r *bringup.Report) *networkReport {
	n := r.Network
	p := &networkReport{
		Frames: n.Frames, AskedA: n.Asked[0], AskedB: n.Asked[1], Lost: n.Lost, Foreign: n.Foreign, Standby: n.Standby,
		Differences: some(n.Differences), Mapped: n.Mapped, Paths: []pathReport{},
	}
	untouched := map[int]int{} // terminals by how many of their crosspoints were never commanded
	for i, c := range n.Concentrators {
		p.Concentrators = append(p.Concentrators, concentratorReport{i, c.Reeds[plant.Set], c.Reeds[plant.Released], c.Reeds[plant.Unknown]})
		for _, x := range c.Never {
			if t, ok := plant.OfTerminal(x); ok {
				untouched[t]++
			}
		}
	}
	var never []int
	for t := range len(n.Concentrators) * plant.TerminalsEach {
		if untouched[t] == plant.Links {
			never = append(never, t)
		}
	}
	p.never = ranges(never)
	for _, path := range n.Paths {
		p.Paths = append(p.Paths, pathReport{path.From, path.To, path.Link, path.Junctor, int64(path.Since)})
	}
	return p
}

// ranges words numbers in rising order, those that follow one another as one.
func ranges(all []int) string {
	var s string
	for i := 0; i < len(all); {
		n := i + 1
		for n < len(all) && all[n] == all[n-1]+1 {
			n++
		}
		if s != "" {
			s += ", "
		}
		s += fmt.Sprint(all[i])
		if n > i+1 {
			s += fmt.Sprintf("-%d", all[n-1])
		}
		i = n
	}
	return s
}

// print prints the table of the third state; nothing where it was not asked for.
func (n *networkReport) print(w io.Writer) {
	if n == nil {
		return
	}
	fmt.Fprintln(w)
	fold(w, "", "the network, as it was asked for: nothing can be read back from it, and a reed that was never commanded may be in either state")
	fmt.Fprintf(w, "  %-16s %6s  %8s  %7s\n", "concentrator", "set", "released", "unknown")
	each := len(n.Concentrators) / n.Frames
	step, what := 1, ""
	if n.Frames > 1 {
		step, what = each, "frame "
	}
	var total concentratorReport
	for i := 0; i < len(n.Concentrators); i += step {
		var row concentratorReport
		for _, c := range n.Concentrators[i : i+step] {
			row.add(c)
		}
		total.add(row)
		fmt.Fprintf(w, "  %-16s %6d  %8d  %7d\n", fmt.Sprintf("%s%02d", what, i/step), row.Set, row.Released, row.Unknown)
	}
	fmt.Fprintf(w, "  %-16s %6d  %8d  %7d\n", "all", total.Set, total.Released, total.Unknown)
	fold(w, "  ", fmt.Sprintf("pulses asked for: %d by A, %d by B; lost at a busy pulser %d, to no crosspoint %d, by a half on standby %d",
		n.AskedA, n.AskedB, n.Lost, n.Foreign, n.Standby))
	if n.never != "" {
		fold(w, "  ", "terminals (decimal) of which no crosspoint was ever commanded: "+n.never)
	}
	var paths []string
	for _, p := range n.Paths {
		paths = append(paths, fmt.Sprintf("%d to %d by link %d", p.From, p.To, p.Link))
	}
	section(w, "whole paths", paths)
	fmt.Fprintln(w)
	switch {
	case !n.Mapped:
		fold(w, "", "nobody says where the program keeps its map: add `map ADDRESS` to the pulser's line in the office list")
	case len(n.Differences) == 0:
		fold(w, "", "the program's map of links says the same as the pulses")
	default:
		section(w, "where the program's map differs", n.Differences)
	}
	section(w, "Before anybody goes to the frame", vouch.Cautions())
}

// add adds the numbers of another row.
func (c *concentratorReport) add(o concentratorReport) {
	c.Set, c.Released, c.Unknown = c.Set+o.Set, c.Released+o.Released, c.Unknown+o.Unknown
}
