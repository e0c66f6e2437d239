package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"coldstart/cpu"
	"coldstart/cpu/channel"
	"coldstart/cpu/duplex"
	"coldstart/cpu/jam"
	"coldstart/debug"
	"coldstart/debug/bringup"
	"coldstart/debug/repl"
	"coldstart/loader/list"
)

// newSit makes the command that lets a person sit at the desk of a half.
func newSit(e *env) *cobra.Command {
	s := &sitting{env: e, opens: func(desk *debug.Session, _ io.Writer) repl.Desk { desk.Welcome(); return desk }}
	c := &cobra.Command{
		Use:     "sit",
		Short:   "sit at the desk: order by order, with holds, lamps and jams",
		GroupID: bench,
		Long: `The half is powered up with its tapes seated and stands before its first order.
Words typed at the desk let it take orders, run to a hold or a condition, show
its store, registers and lamps, or jam a place; "help" there lists them. On a
terminal there are history and completion (the TAB key), Ctrl-C stops a running
machine, and Ctrl-D leaves. From a pipe, or from the file that --routine names,
the same words are carried out line by line; what goes wrong ends the session
with the number of the line.`,
		Example: "  coldstart sit                     sit at its desk, order by order\n" +
			"  coldstart sit --jam 'ST0 U07 @000760 = 0'\n" +
			"  coldstart sit --routine evening.desk\n" +
			"  echo 'roll until chase' | coldstart sit",
		Args: takes(0, 0, "no words, only options"),
		RunE: func(c *cobra.Command, _ []string) error { return s.run(c.Context()) },
	}
	s.start = e.takesStart(c)
	c.Flags().BoolVar(&s.pair, "pair", false, "sit at half A with B standing by; at the desk, mate goes to the other half")
	c.Flags().StringVar(&s.traffic, "traffic", "", "let people call and type meanwhile as this traffic `FILE` says")
	c.Flags().StringVar(&s.routine, "routine", "", "carry out the desk words in this `FILE`, then leave")
	return c
}

// A sitting is one run of sit.
type sitting struct {
	env     *env
	start   *startOption
	routine string
	traffic string
	pair    bool
	live    func(now cpu.Time, rows string)                    // shows lamps while the machine runs; nil: nobody looks
	busy    func(what string)                                  // tells a person what takes a while; nil: nobody waits
	opens   func(desk *debug.Session, out io.Writer) repl.Desk // what lines come to, once it has said what it has to say
}

// run powers a half up and lets whoever types the words have it.
func (s *sitting) run(ctx context.Context) error {
	o, err := s.start.load()
	if err != nil {
		return err
	}
	b, jams, err := s.start.begin(o)
	if err != nil {
		return err
	}
	if err := present(jams, s.pair); err != nil {
		return err
	}
	if b.Traffic, err = s.start.evening(o, s.traffic); err != nil {
		return err
	}
	if s.routine == "" && slices.ContainsFunc(s.env.inputs, func(i input) bool { return i.Path == "-" }) {
		return &unusable{what: "standard input has been read as a file, so no words can be typed there", next: "name the file, or put the words into a --routine"}
	}
	if s.routine == "" && s.personSits() {
		return s.converse(o, b, jams)
	}
	name, lines := "standard input", s.env.in
	if s.routine != "" {
		src, err := s.env.read(s.routine)
		if err != nil {
			return err
		}
		if !list.IsText(src) {
			return &unusable{where: s.routine, what: "this is no text: it may be a picture, a program, or text saved as UTF-16", next: "a routine is plain text, a line for each line typed at the desk"}
		}
		name, lines = s.routine, bytes.NewReader(src)
	}
	return s.follow(ctx, o, b, jams, name, lines)
}

// follow carries out the lines of a routine.
func (s *sitting) follow(ctx context.Context, o *bringup.Office, b bringup.Start, jams []jam.Jam, name string, lines io.Reader) error {
	out := io.Writer(folding{promptly{s.env}})
	record := &sitReport{Office: o.Name, Machine: o.Code.Name, Typed: []typedReport{}}
	if s.env.json {
		out = record
	}
	desk, err := s.desk(o, b, jams, out, func() bool { return ctx.Err() != nil })
	if err != nil {
		return err
	}
	lineTo := repl.Desk(desk)
	if !s.env.json {
		lineTo = s.opens(desk, out)
	}
	err = repl.Routine(ctx, lineTo, name, lines, func(prompt, line string) {
		record.Typed = append(record.Typed, typedReport{Line: line, Said: []string{}})
		if !s.env.json {
			fmt.Fprintln(promptly{s.env}, list.Safe(prompt+line)) // as it was typed
		}
	})
	if err != nil || !s.env.json {
		return err
	}
	return s.env.show("sit", record)
}

// desk powers up a half with a session at it.
func (s *sitting) desk(o *bringup.Office, b bringup.Start, jams []jam.Jam, out io.Writer, stop func() bool) (*debug.Session, error) {
	half, pair, err := s.powered(o, b)
	if err != nil {
		return nil, err
	}
	o.Play(b.Traffic, half)
	image := o.Wired
	if b.Direct {
		image = o.Image
	}
	halves := []*duplex.Half{half}
	if pair != nil {
		halves = append(halves, pair.Half(1))
	}
	for _, h := range halves {
		if err := b.Prepare(h); err != nil {
			return nil, err
		}
	}
	desk := debug.New(debug.Setup{Office: o.Name, Half: half, Pair: pair, Image: image, Plan: o.Plan, Jams: jams, Witness: o.Witness, Resume: b.Resume, Out: out, Stop: stop,
		Tape: s.tape(o), Files: files, Live: s.live, Busy: s.busy,
		Handbook: o.Text, Basis: s.basis(b, jams), Open: s.env.read,
		Save: func(name string, data []byte) error { return s.env.save(false, output{path: name, data: data}) }})
	desk.Start(b.At)
	return desk, nil
}

// tape reads recordings for the drives of an office.
func (s *sitting) tape(o *bringup.Office) func(string) (channel.Blocks, string, error) {
	return func(name string) (channel.Blocks, string, error) {
		data, err := s.env.read(name)
		if err != nil {
			return nil, "", err
		}
		r, err := o.Recording(name, data)
		if err != nil {
			return nil, "", err
		}
		return r, digest(data), nil
	}
}

// files are the names of the files in the working folder, for who completes a line.
func files() (all []string) {
	entries, err := os.ReadDir(".")
	if err != nil {
		return nil // then there is nothing to complete
	}
	for _, e := range entries {
		if name := e.Name(); !e.IsDir() && !strings.ContainsAny(name, " \t") && list.Safe(name) == name {
			all = append(all, name)
		}
	}
	return all
}

// basis is a digest of all that decides what the machine does before anybody touches it.
func (s *sitting) basis(b bringup.Start, jams []jam.Jam) string {
	said := []string{fmt.Sprint(b.Fill, b.Direct, b.Resume, s.pair, s.start.start)}
	for _, i := range s.env.inputs {
		if i.Path != s.routine {
			said = append(said, i.SHA256)
		}
	}
	for _, j := range jams {
		said = append(said, j.String())
	}
	return digest([]byte(strings.Join(said, "\n")))
}

// powered builds the half to sit at, and the pair that it is A of where one is asked for.
func (s *sitting) powered(o *bringup.Office, b bringup.Start) (*duplex.Half, *duplex.Pair, error) {
	if !s.pair {
		half, err := o.Half("A", b.Fill)
		if err == nil && b.Direct {
			err = half.Store.Load(o.Image)
		}
		return half, nil, err
	}
	if err := coupled(o); err != nil {
		return nil, nil, err
	}
	pair, err := o.Pair(b.Fill)
	if err == nil && b.Direct {
		err = errors.Join(pair.Half(0).Store.Load(o.Image), pair.Half(1).Store.Load(o.Image))
	}
	if err != nil {
		return nil, nil, err
	}
	return pair.Half(0), pair, nil
}

// promptly writes results without keeping any back, for whoever waits for an answer.
type promptly struct{ env *env }

func (p promptly) Write(b []byte) (int, error) {
	if n, err := p.env.out.Write(b); err != nil {
		return n, err
	}
	return len(b), p.env.out.Flush()
}

// A sitReport is what was typed at the desk and what it said.
type sitReport struct {
	heading
	Office  string        `json:"office"`
	Machine string        `json:"machine"`
	Typed   []typedReport `json:"typed"`
}

// A typedReport is one line typed, and the lines said about it.
type typedReport struct {
	Line string   `json:"line"`
	Said []string `json:"said"`
}

// Write takes in what the desk says about the line typed last.
func (r *sitReport) Write(b []byte) (int, error) {
	if n := len(r.Typed); n > 0 {
		last := &r.Typed[n-1]
		last.Said = append(last.Said, strings.Split(strings.TrimSuffix(string(b), "\n"), "\n")...)
	}
	return len(b), nil
}

// print is for JSON alone: otherwise the desk has said everything as it came.
func (r *sitReport) print(io.Writer) {}
