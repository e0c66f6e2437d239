package campaign_test

import (
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"math/rand/v2"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"testing"

	"coldstart/debug/campaign"
)

// uneven is a trial whose cost differs much from one number to the next, so that later ones are done first.
func uneven(_ context.Context, number int) (string, error) {
	rng := rand.New(rand.NewPCG(uint64(number), 0))
	sum := [32]byte{byte(number)}
	for range rng.IntN(2000) * (number % 3) {
		sum = sha256.Sum256(sum[:])
	}
	return fmt.Sprintf("%d %x", number, sum[:4]), nil
}

// gathered carries out trials and writes down what came of them.
func gathered(t *testing.T, trials, workers int) string {
	t.Helper()
	var b bytes.Buffer
	err := campaign.Run(context.Background(), trials, workers, uneven, func(number int, result string) error {
		fmt.Fprintln(&b, number, result)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// One worker and many give the same bytes.
func TestSameBytes(t *testing.T) {
	for _, trials := range []int{0, 1, 3, 200} {
		one := gathered(t, trials, 1)
		if n := strings.Count(one, "\n"); n != trials {
			t.Errorf("%d results of %d trials", n, trials)
		}
		for _, workers := range []int{0, 2, 8, 300} {
			if many := gathered(t, trials, workers); many != one {
				t.Errorf("%d trials on %d workers give other bytes than on one:\n%s", trials, workers, many)
			}
		}
	}
}

// What fails is told by its number, the first of several, and all before it have been taken.
func TestFailure(t *testing.T) {
	broken := errors.New("broken")
	tests := []struct {
		name  string
		trial func(number int) (int, error)
		panic bool
	}{
		{"error", func(n int) (int, error) { return n, map[int]error{17: broken, 18: broken, 40: broken}[n] }, false},
		{"panic", func(n int) (int, error) {
			if n == 17 || n == 30 {
				panic(broken)
			}
			return n, nil
		}, true},
	}
	for _, tt := range tests {
		for _, workers := range []int{1, 2, 8} {
			taken := 0
			err := campaign.Run(context.Background(), 50, workers,
				func(_ context.Context, n int) (int, error) { return tt.trial(n) },
				func(int, int) error { taken++; return nil })
			var failed *campaign.Error
			if !errors.As(err, &failed) || failed.Trial != 17 || (failed.Stack != nil) != tt.panic || !strings.Contains(err.Error(), "trial 17: ") || !strings.HasSuffix(err.Error(), "broken") {
				t.Errorf("%s, %d workers: got %v, want trial 17", tt.name, workers, err)
			}
			if !tt.panic && !errors.Is(err, broken) {
				t.Errorf("%s: %v does not wrap the error", tt.name, err)
			}
			if tt.panic && !strings.Contains(string(failed.Stack), "campaign_test") {
				t.Errorf("the stack of a panic does not lead to the trial:\n%s", failed.Stack)
			}
			if taken != 17 {
				t.Errorf("%s, %d workers: %d results taken, want 17", tt.name, workers, taken)
			}
		}
	}
}

// An error of the one who takes results ends it, and is given as it is.
func TestTakeStops(t *testing.T) {
	enough := errors.New("enough")
	err := campaign.Run(context.Background(), 1000, 4, uneven, func(n int, _ string) error {
		if n == 5 {
			return enough
		}
		return nil
	})
	if err != enough {
		t.Errorf("got %v, want %v", err, enough)
	}
}

// A context that ends stops it, also in the middle of trials that wait for nothing else; none goes on behind its back.
func TestStopped(t *testing.T) {
	why := errors.New("the person at the desk")
	for _, workers := range []int{1, 8} {
		ctx, stop := context.WithCancelCause(context.Background())
		var running atomic.Int32
		begun := make(chan struct{})
		once := sync.OnceFunc(func() { close(begun) })
		go func() { <-begun; stop(why) }()
		err := campaign.Run(ctx, 1000, workers, func(ctx context.Context, n int) (int, error) {
			running.Add(1)
			defer running.Add(-1)
			if n == 3 || workers == 1 {
				once()
			}
			<-ctx.Done()
			return 0, ctx.Err()
		}, func(int, int) error { t.Error("a result was taken"); return nil })
		if !errors.Is(err, why) {
			t.Errorf("%d workers: got %v, want %v", workers, err, why)
		}
		if n := running.Load(); n != 0 {
			t.Errorf("%d workers: %d trials still running", workers, n)
		}
	}
}

// No more results are held than a few for each worker, however slow the first trial is.
func TestBounded(t *testing.T) {
	const workers = 3
	var begun atomic.Int32
	var most int32
	release := make(chan struct{})
	err := campaign.Run(context.Background(), 500, workers, func(_ context.Context, n int) (int, error) {
		if n == 0 {
			<-release
		}
		// The last that can begin while the first is held back lets it go; were there no bound, more would have begun.
		if begun.Add(1) == 4*workers-1 {
			close(release)
		}
		return n, nil
	}, func(n int, _ int) error {
		if n == 0 {
			most = begun.Load()
		}
		return nil
	})
	if err != nil || most < 4*workers-1 || most > 4*workers {
		t.Errorf("%d trials had begun when the first was taken, %v; want %d or a little less", most, err, 4*workers)
	}
}

// Every processor of the host is used: as many trials as there are can only end together.
func TestAllProcessors(t *testing.T) {
	n := runtime.GOMAXPROCS(0)
	var meet sync.WaitGroup
	meet.Add(n)
	err := campaign.Run(context.Background(), n, 0, func(context.Context, int) (int, error) {
		meet.Done()
		meet.Wait()
		return 0, nil
	}, func(int, int) error { return nil })
	if err != nil {
		t.Error(err)
	}
}
