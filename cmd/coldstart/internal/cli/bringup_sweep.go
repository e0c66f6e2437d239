package cli

import (
	"context"
	"strconv"
	"strings"

	"coldstart/cpu/duplex"
	"coldstart/debug/bringup"
	"coldstart/debug/campaign"
)

// mostSkew is how many parts in a million a clock may be off: a clock that is a tenth off is a broken one.
const mostSkew = 100_000

// readSkew reads the clock of B: parts in a million, and how much later it begins.
func readSkew(text string) (duplex.Clock, error) {
	wrong := &unusable{where: "--skew " + text, what: "this is no clock",
		next: "write how many parts in a million B runs slow, at most 100000 either way, and how much later it begins: `40`, `-15` or `40,12us`"}
	parts, late, two := strings.Cut(text, ",")
	n, err := strconv.Atoi(strings.TrimSpace(parts))
	if err != nil || n > mostSkew || n < -mostSkew {
		return duplex.Clock{}, wrong
	}
	c := bringup.Slow(n)
	if two {
		l, err := readLimits(strings.TrimSpace(late), true)
		if err != nil || l.Time == 0 {
			return duplex.Clock{}, wrong
		}
		c.Start = l.Time
	}
	return c, nil
}

// sweepClocks runs a pair again and again with other clocks of B, on all processors of the host.
func (b *bringupRun) sweepClocks(ctx context.Context, o *bringup.Office, s bringup.Start, r *bringup.Report) error {
	if b.sweep == 0 {
		return nil
	}
	var all []bringup.Skewed
	err := campaign.Run(ctx, int(b.sweep), 0,
		func(ctx context.Context, n int) (bringup.Skewed, error) { return o.Skew(ctx, s, n) },
		func(_ int, one bringup.Skewed) error { all = append(all, one); return nil })
	if err != nil {
		return faulty(err)
	}
	r.Sweep(all)
	return nil
}
