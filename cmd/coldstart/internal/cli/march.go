package cli

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"coldstart/cpu/channel"
	"coldstart/cpu/duplex"
	"coldstart/cpu/jam"
	"coldstart/cpu/order"
	"coldstart/loader/list"
	"coldstart/memory"
	"coldstart/memory/march"
)

// newMarch makes the command that runs a march test on the store of a machine.
func newMarch(e *env) *cobra.Command {
	m := &marching{env: e}
	c := &cobra.Command{
		Use:     "march",
		Short:   "what a test of the store would have caught",
		GroupID: bench,
		Long: `A march test goes through the store again and again, each time doing the same few
writes and reads on every word before the next. It is run here on the simulated
store of a machine, with the faults put in that --jam names; what the store held
is lost, and no order is carried out. The report says which operations failed, at
which places, which kinds of fault can alone fail so, and which kinds this test
can never see. A test is one of those of the literature, by name, or your own:
elements with a direction (up, down, either), each with operations: r0 and r1
read and expect, w0 and w1 write. Of words, 0 stands for a background and 1 for
its complement; the test is run with several, so that bits of one word differ.
TROUBLE where an operation failed. GOOD where none did, from two different
contents at first: it says nothing of the kinds that the test cannot see.

With --orders the test becomes order text for your machine, to be assembled, run
under jams, and put on a tape. It is made from a template that you write once:
the office names it in a line "march FILE". "coldstart help march-template" says
how; the training office has one, brindlecote.march.`,
		Example: "  coldstart march                   March C- on the whole store\n" +
			"  coldstart march --test MATS++ --area ST2 --orders st2.order\n" +
			"  coldstart march --test SS --area ST2 --jam 'ST2 U08 @024107 = 1'\n" +
			"  coldstart march --test 'up(w0); up(r0,w1); down(r1)' --area 020000-020077\n" +
			"  coldstart march --all             what each test sees: worked out now",
		Args: takes(0, 0, "no words, only options"),
		RunE: func(c *cobra.Command, _ []string) error { return m.run(typedFor(c, "replace", "fill")) },
	}
	m.start = &startOption{office: e.takesOffice(c, teaches)}
	m.start.takesFaults(c)
	f := c.Flags()
	f.StringVar(&m.start.office.machine, "machine", "", "the machine `FILE` (default: the office's)")
	f.StringVar(&m.test, "test", "C-", "the `TEST`: a name, or elements as in 'up(w0); down(r0,w1)'")
	f.StringVar(&m.area, "area", "", "test this `AREA` of store, or FROM-TO (default: all that can be written)")
	f.StringArrayVar(&m.backgrounds, "background", nil, "run it with this `WORD` for 0 (default: as many as bring out every two bits; may be given again)")
	f.StringVar(&m.orders, "orders", "", "run nothing; write the test as order text to this new `FILE`")
	f.StringVar(&m.template, "march", "", "the `FILE` with the template of that text (default: the office's)")
	f.BoolVar(&m.replace, "replace", false, "let the file written take the place of an older one")
	f.BoolVar(&m.all, "all", false, "print what every test sees of each kind of fault, and run none")
	return c
}

// A marching is one run of march.
type marching struct {
	env         *env
	start       *startOption
	test        string
	area        string
	backgrounds []string
	all         bool
	orders      string
	template    string
	replace     bool
}

// run runs the test, works out the table, or writes the test; then it says with typed what to type next.
func (m *marching) run(typed func(string) string) error {
	if err := m.goTogether(); err != nil {
		return err
	}
	test, err := namedTest(m.test)
	if err != nil {
		return err
	}
	if m.all {
		return m.env.show("march", newCoverReport(test))
	}
	code, err := m.start.office.code()
	if err != nil {
		return err
	}
	span, err := m.span(code)
	if err != nil {
		return err
	}
	if span, err = writable(span); err != nil {
		return &unusable{where: "march", what: err.Error(), next: "name with --area what is to be tested: an area that is not wired, or FROM-TO"}
	}
	jams, err := m.start.faults(code, nil)
	if err != nil {
		return err
	}
	if m.orders != "" {
		return m.write(code, test, span, typed)
	}
	report := &marchReport{jams: jams}
	for _, fill := range []uint64{m.start.fill, m.start.fill ^ otherFill} {
		half, err := jammedHalf(code, jams, fill)
		if err != nil {
			return err
		}
		found, err := march.Run(test, half.Store, span)
		if err != nil {
			return err
		}
		report.take(half, fill, found)
		if found.Failed > 0 {
			break // another content cannot mend it
		}
	}
	report.fill(code, test, span)
	return m.env.show("march", report)
}

// goTogether refuses options that one given beside them makes mean nothing.
func (m *marching) goTogether() error {
	faults := len(m.start.jams) > 0 || m.start.jamsFile != ""
	switch u := (&unusable{where: "march"}); {
	case m.all && (faults || m.orders != "" || m.area != "" || len(m.backgrounds) > 0):
		u.what, u.next = "--all works a table out, and tests no store", "leave out all but --test and --json"
		return u
	case m.orders != "" && faults:
		u.what, u.next = "--orders writes the test, and runs none", "put faults in where the text is run, with `coldstart bringup --jam`"
		return u
	case m.orders == "" && (m.template != "" || m.replace):
		u.what, u.next = "--march and --replace go with --orders, which is not given", "add --orders FILE"
		return u
	}
	return nil
}

// jammedHalf builds a half with its power off and the faults put in. Nothing stands at its channels: only its store is used.
func jammedHalf(code *order.Code, jams []jam.Jam, fill uint64) (*duplex.Half, error) {
	half := duplex.NewHalf("A", code, new(channel.Rack), fill)
	for _, j := range jams {
		if !j.Always() {
			return nil, &unusable{where: j.String(), what: "no order is done here, so this never comes into force", next: "leave out when it does"}
		}
		if err := j.Put(half); err != nil {
			return nil, &unusable{where: j.String(), what: err.Error(), next: "leave one of the two out"}
		}
	}
	return half, nil
}

// namedTest is the test of a name, or of a notation.
func namedTest(text string) (march.Test, error) {
	if t, ok := march.Named(text); ok {
		return t, nil
	}
	if strings.ContainsAny(text, "();") {
		t, err := march.Parse(text)
		if err != nil {
			return t, &unusable{where: "--test", what: err.Error(), next: "write it like `up(w0); up(r0,w1); down(r1,w0)`"}
		}
		return t, nil
	}
	return march.Test{}, &unusable{where: "--test", what: list.Unknown("test", text, testNames()), next: "name a test, or write one like `up(w0); up(r0,w1); down(r1,w0)`"}
}

// testNames are the tests of the literature.
func testNames() []string {
	var names []string
	for _, t := range march.Tests() {
		names = append(names, t.Name)
	}
	return names
}

// span says what is tested, and with what.
func (m *marching) span(code *order.Code) (march.Span, error) {
	g := &code.Geometry
	s := march.Span{Geometry: g, Last: memory.Addr(memory.Mask(g.AddrBits)), Most: mostFailures}
	for _, text := range m.backgrounds {
		w, err := g.Style.Parse(text)
		if err == nil && memory.Word(w) > memory.Mask(g.Width) {
			err = fmt.Errorf("%s has more than the %d bits of a word", text, g.Width)
		}
		if err != nil {
			return s, &unusable{where: "--background", what: err.Error(), next: "write a word as in " + g.Style.Word(0, g.Width) + " (" + g.Style.Name() + ")"}
		}
		s.Backgrounds = append(s.Backgrounds, memory.Word(w))
	}
	if m.area == "" {
		return s, nil
	}
	if at := slices.IndexFunc(g.Areas, func(a memory.Area) bool { return a.Name == m.area }); at >= 0 {
		s.First, s.Last = g.Areas[at].First, g.Areas[at].Last
		return s, nil
	}
	from, to, both := strings.Cut(m.area, "-")
	if !both {
		var names []string
		for _, a := range g.Areas {
			names = append(names, a.Name)
		}
		return s, &unusable{where: "--area", what: list.Unknown("area", m.area, names), next: "name one, or the first and the last address with - between"}
	}
	for _, end := range []struct {
		text string
		to   *memory.Addr
	}{{from, &s.First}, {to, &s.Last}} {
		a, err := readAddress(end.text, g)
		if err != nil {
			err.where = "--area " + m.area
			return s, err
		}
		*end.to = a
	}
	if s.Last < s.First {
		return s, &unusable{where: "--area " + m.area, what: "the second address lies below the first", next: "name the lower address first"}
	}
	return s, nil
}

// mostMarched is how many words a run tests: the longest tests take a few seconds for them.
const mostMarched = 1 << 18

// writable is the span without what lies at its ends and cannot be written.
func writable(s march.Span) (march.Span, error) {
	var ends []memory.Addr
	for _, area := range s.Geometry.Areas {
		if first, last := max(s.First, area.First), min(s.Last, area.Last); !area.Wired && first <= last {
			ends = append(ends, first, last)
		}
	}
	if ends == nil {
		return s, fmt.Errorf("no store that can be written lies from %s to %s",
			s.Geometry.Style.Addr(s.First, s.Geometry.AddrBits), s.Geometry.Style.Addr(s.Last, s.Geometry.AddrBits))
	}
	s.First, s.Last = ends[0], ends[len(ends)-1]
	words := memory.Addr(0)
	for i := 0; i < len(ends); i += 2 {
		words += (ends[i+1] - ends[i]) / memory.Addr(s.Geometry.Step())
	}
	if words >= mostMarched {
		return s, fmt.Errorf("%s and more is too much store for one run", amount(mostMarched, "word"))
	}
	return s, nil
}
