package duplex

import (
	"math/big"
	"math/rand/v2"
	"testing"

	"coldstart/cpu"
)

// A time of a half's own clock is the first at which the line has come to a time: held against exact fractions.
func TestClockIsExact(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 5))
	for range 20_000 {
		c := Clock{Start: cpu.Time(rng.Int64N(1 << 40)), Lasts: 1 + rng.Int64N(1<<rng.IntN(40)), Per: 1 + rng.Int64N(1<<rng.IntN(40))}
		own := cpu.Time(rng.Int64N(1 << (10 + rng.IntN(52))))
		exact := new(big.Int).Mul(big.NewInt(int64(own)), big.NewInt(c.Lasts))
		exact.Div(exact, big.NewInt(c.Per)).Add(exact, big.NewInt(int64(c.Start)))
		want := cpu.Never
		if exact.IsInt64() {
			want = cpu.Time(exact.Int64())
		}
		if got := c.line(own); got != want {
			t.Fatalf("%+v: line(%d) = %d, want %d", c, own, got, want)
		}
		at := c.Start + cpu.Time(rng.Int64N(1<<50))
		first := c.own(at)
		if first != cpu.Never && c.line(first) < at || first > 0 && c.line(first-1) >= at {
			t.Fatalf("%+v: own(%d) = %d is not the first", c, at, first)
		}
	}
	if c := (Clock{Start: 7}); c.line(5) != 12 || c.own(12) != 5 || c.own(3) != 0 || c.own(cpu.Never) != cpu.Never || c.line(cpu.Never) != cpu.Never {
		t.Error("a clock that only began later")
	}
}
