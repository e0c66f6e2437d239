package cli

import (
	"bytes"
	"context"
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"coldstart/cpu"
	"coldstart/cpu/jam"
	"coldstart/debug/bringup"
	"coldstart/debug/watch"
	"coldstart/loader"
	"coldstart/loader/list"
	"coldstart/memory/overlay"
)

// newBringup makes the command that starts an office and says how far it gets.
func newBringup(e *env) *cobra.Command {
	b := &bringupRun{env: e}
	c := &cobra.Command{
		Use:     "bringup",
		Short:   "start an office and say how far it gets",
		GroupID: bench,
		Long: `The half is powered up with its tapes seated, and runs by the order code of the
machine file until the office's last milestone is reached, or until it can come
to nothing more. GOOD needs every required milestone and every chase of the
office's chase list, and the same again with unwritten store holding something
else. A trap, a halt, or a loop that nothing can end is TROUBLE. A limit reached
while the machine is still running is UNDECIDED.

With --pair half A comes up on-line and B stands by with its power on. Faults
are put into A, but for those that begin with "half B". Milestones are those of
the half that is on-line; a trap or a timer that takes a half off the line is
TROUBLE, though the other half comes up, and so are both halves on-line at once,
and none for good.

With --traffic people call one another, and lines are typed, as a traffic list
says; three who know nothing of each other count the calls, and the run is
TROUBLE where they do not agree, or where something expected was not printed.`,
		Example: "  coldstart bringup                 boot the office here, or the training office\n" +
			"  coldstart bringup --jam 'ST0 U07 @000760 = 0'\n" +
			"  coldstart bringup --pair --key '3 s'\n" +
			"  coldstart bringup --traffic evening.list --network\n" +
			"  coldstart bringup --machine my.machine --image my.words \\\n" +
			"    --start 1000 --until 'A = 12'",
		Args: takes(0, 0, "no words, only options"),
		RunE: func(c *cobra.Command, _ []string) error { return b.run(c.Context(), typedFor(c)) },
	}
	b.start = e.takesStart(c)
	c.Flags().StringVar(&b.dump, "dump", "", "write what the store holds at the end, of a pair that of A, into this new `FILE`, as a dump of the machine would have it, for overlay")
	c.Flags().BoolVar(&b.pair, "pair", false, "bring A up on-line with B standing by, as the machine file's duplex line couples them")
	c.Flags().StringArrayVar(&b.keys, "key", nil, "with --pair, press the changeover key at this simulated `TIME`, such as '3 s' (repeatable)")
	c.Flags().StringVar(&b.skew, "skew", "", "with --pair, let the clock of B run this many `PARTS` in a million slow, less than 0 fast; with a time behind a comma it begins that much later, as in 40,12us")
	c.Flags().Uint16Var(&b.sweep, "sweep", 0, "with --pair, run this many `TIMES` more with other clocks of B, and say whether all come to the same")
	c.Flags().StringVar(&b.traffic, "traffic", "", "let people call and type as this traffic `FILE` says; the run then goes on until the evening is over")
	c.Flags().BoolVar(&b.network, "network", false, "show the network at the end as it was asked for: set, released, and unknown until first commanded")
	c.Flags().StringVar(&b.until, "until", "", "end when this `CONDITION` holds, such as 'store 001000 /= 0'; then that is GOOD")
	c.Flags().StringVar(&b.within, "within", "", "end after this much simulated `TIME` (10 s) or so many orders (5000000 orders) at the latest")
	return c
}

// A bringupRun is one run of bringup.
type bringupRun struct {
	env    *env
	start  *startOption
	until  string
	pair   bool
	keys   []string
	skew   string
	sweep  uint16
	within string
	dump   string

	traffic string
	network bool
}

// otherFill is what unwritten store holds in the second run of a GOOD one; any other seed would do.
const otherFill = 0x5EED

// run brings the office up, a GOOD one twice. The report advises commands as typed gives them.
func (b *bringupRun) run(ctx context.Context, typed func(string) string) error {
	if b.dump != "" {
		if err := b.env.mayWrite(b.dump, false); err != nil { // before a run that takes its time
			return err
		}
	}
	o, err := b.start.load()
	if err != nil {
		return err
	}
	if err := b.start.seated(o); err != nil {
		return err
	}
	s, jams, err := b.start.begin(o)
	if err != nil {
		return err
	}
	s.Typed = typed
	if s.Limits, err = readLimits(b.within, o.Code.Cycle > 0); err != nil {
		return err
	}
	if err := b.couple(o, &s, jams); err != nil {
		return err
	}
	if b.network && !o.Exchange() {
		return &unusable{where: "--network", what: "the office has no network", next: "leave it out, or add a line `device CHANNEL pulser` to the office list"}
	}
	if s.Traffic, err = b.start.evening(o, b.traffic); err != nil {
		return err
	}
	if b.until != "" {
		if s.Until, err = watch.ParseCondition(o.Code, b.until); err != nil {
			return &unusable{where: "--until", what: err.Error(), next: `"coldstart help bringup" shows one`}
		}
	}
	if o.Plan == nil && s.Until == nil && b.within == "" {
		fmt.Fprintln(b.env.err, "nothing is expected of this run: it ends at a trap, a halt or a limit; --until CONDITION says what to wait for")
	}
	report, err := o.BringUp(ctx, s, s.Fill^otherFill)
	if err != nil {
		return err
	}
	if err := b.sweepClocks(ctx, o, s, report); err != nil {
		return err
	}
	if b.dump != "" {
		if err := b.writeDump(o, report); err != nil {
			return err
		}
	}
	shown := newBringupReport(o, report, jams)
	if b.network {
		shown.Network = newNetworkReport(o, report)
	}
	return b.env.show("bringup", shown)
}

// writeDump writes the store of the first run, of a pair that of A, as it is seen from outside, not what is behind a fault.
// Parity has no place in the forms of bytes.
func (b *bringupRun) writeDump(o *bringup.Office, r *bringup.Report) error {
	half := r.Half
	if r.Pair != nil {
		half = r.Pair.Half(0)
	}
	d := overlay.Of(o.Code.Geometry, half.Store)
	out, said, err := imageFile(b.dump, d.Words, o.Code.Geometry)
	if err != nil {
		return err
	}
	switch {
	case loader.FormOf(b.dump) != loader.FormOf(""):
		said += "; parity has no place in it"
	default:
		var text bytes.Buffer
		if err := loader.WriteDump(&text, d, o.Code.Geometry); err != nil {
			return err
		}
		out.data = text.Bytes()
	}
	if err := b.env.save(false, out); err != nil {
		return err
	}
	fmt.Fprintf(b.env.err, "the dump is in %s: %s\n", list.Safe(b.dump), said)
	return nil
}

// couple says how a pair starts, where one is asked for.
func (b *bringupRun) couple(o *bringup.Office, s *bringup.Start, jams []jam.Jam) error {
	switch {
	case !b.pair && len(b.keys) > 0:
		return &unusable{what: "--key is the changeover key, and a half alone has none", next: "add --pair, or leave out --key"}
	case !b.pair && (b.skew != "" || b.sweep > 0):
		return &unusable{what: "--skew and --sweep are of the clocks of two halves, and a half alone has one", next: "add --pair, or leave them out"}
	case b.pair && coupled(o) != nil:
		return coupled(o)
	}
	s.Pair = b.pair
	if err := present(jams, b.pair); err != nil {
		return err
	}
	if b.skew != "" {
		clock, err := readSkew(b.skew)
		if err != nil {
			return err
		}
		s.Skew = clock
	}
	for _, key := range b.keys {
		l, err := readLimits(key, true)
		if err != nil || l.Time == 0 {
			return &unusable{where: "--key " + key, what: "this is no time", next: "write it like `10 s` or `250 ms`, more than nothing"}
		}
		s.Keys = append(s.Keys, l.Time)
	}
	return nil
}

// coupled refuses an office whose machine file couples no two halves.
func coupled(o *bringup.Office) error {
	if o.Code.Duplex != nil {
		return nil
	}
	return &unusable{where: "--pair", what: "the machine file has no duplex line, so nothing says which of two halves is on-line",
		next: "leave out --pair, or type the line in: coldstart help machine-file"}
}

// readLimits reads `10 s`, `10s`, `5000000 orders`; "" gives the defaults. A machine without a clock has no time.
func readLimits(text string, clock bool) (bringup.Limits, error) {
	var l bringup.Limits
	if text == "" {
		return l, nil
	}
	digits := strings.TrimRight(text, " abcdefghijklmnopqrstuvwxyz")
	unit := strings.TrimSpace(text[len(digits):])
	digits = strings.TrimSpace(digits)
	var err error
	if unit == "orders" || unit == "order" {
		l.Orders, err = strconv.ParseInt(digits, 10, 64)
	} else {
		l.Time, err = cpu.ParseTime(digits, unit)
	}
	switch {
	case err != nil || l.Orders < 0 || l == bringup.Limits{}:
		return l, &unusable{where: "--within " + text, what: "this is no time and no number of orders", next: "write it like `10 s`, `250 ms` or `5000000 orders`, more than none"}
	case l.Time > 0 && !clock:
		return l, &unusable{where: "--within " + text, what: "the machine file states no clock, so there is no time", next: "write how many orders, like `5000000 orders`"}
	}
	return l, nil
}

// told is a jam and what it did, for whoever put it in.
func told(jams []jam.Jam, r *bringup.Report) []jamReport {
	all := []jamReport{}
	for _, j := range jams {
		half := r.Half
		if r.Pair != nil {
			half = r.Pair.Half(int(j.In()[0] - 'A'))
		}
		all = append(all, jamReport{Place: j.String(), Effect: j.Effect(half)})
	}
	return all
}
