// Package campaign carries out many trials on all processors of the host. It is the one place where goroutines start:
// a search elsewhere is a pure function of a trial number, and what comes of it is the same whatever the number of workers.
package campaign

import (
	"context"
	"fmt"
	"runtime"
	"runtime/debug"
	"sync"
)

// ahead is how many trials a worker may be ahead of the one whose result is waited for: it bounds what results are held.
const ahead = 4

// A Trial is one trial of a campaign: a pure function of its number, counted from 0. Several are carried out at once, so
// that what they share must not change. The context ends when the campaign is stopped; a long trial looks at it.
type Trial[T any] func(ctx context.Context, number int) (T, error)

// An Error says which trial failed, the first by number. It wraps what the trial gave, or says how it panicked.
type Error struct {
	Trial int
	Err   error
	Stack []byte // of a panic, which is a fault of the program; nil of any other failure
}

// Error gives the number of the trial and what went wrong.
func (e *Error) Error() string { return fmt.Sprintf("trial %d: %v", e.Trial, e.Err) }

// Unwrap gives what went wrong, without the number.
func (e *Error) Unwrap() error { return e.Err }

// Run carries out as many trials as said, on that many workers (below 1: one a processor of the host), and hands every
// result to take in the order of trial numbers, one at a time, on the calling goroutine. It stops at the first trial by
// number that fails, with an *Error, at an error of take, which it gives as it is, or with that of ctx. All it started
// has ended when it returns.
func Run[T any](ctx context.Context, trials, workers int, trial Trial[T], take func(number int, result T) error) error {
	if workers < 1 {
		workers = runtime.GOMAXPROCS(0)
	}
	within, stop := context.WithCancel(ctx)
	c := crew[T]{trial: trial, numbers: make(chan int), done: make(chan outcome[T], ahead*workers)}
	c.room = make(chan struct{}, cap(c.done))
	c.group.Go(func() { c.hand(within, trials) })
	for range min(workers, trials) {
		c.group.Go(func() { c.work(within) })
	}
	defer c.group.Wait()
	defer stop()
	return c.collect(ctx, trials, take)
}

// An outcome is what came of one trial.
type outcome[T any] struct {
	number int
	result T
	err    error
}

// A crew is a campaign at work.
type crew[T any] struct {
	trial   Trial[T]
	numbers chan int
	room    chan struct{}   // holds one token for each trial handed out and not yet collected
	done    chan outcome[T] // has place for all of them, so that no worker ever waits to tell
	group   sync.WaitGroup
}

// hand gives out the numbers in their order, never too far ahead.
func (c *crew[T]) hand(ctx context.Context, trials int) {
	defer close(c.numbers)
	for number := range trials {
		select {
		case c.room <- struct{}{}:
		case <-ctx.Done():
			return
		}
		select {
		case c.numbers <- number:
		case <-ctx.Done():
			return
		}
	}
}

// work carries out trials as long as there are numbers.
func (c *crew[T]) work(ctx context.Context) {
	for number := range c.numbers {
		result, err := c.once(ctx, number)
		c.done <- outcome[T]{number, result, err}
	}
}

// once carries out one trial. A panic comes back as an error, for on a goroutine of its own it would end the program
// without a word about the trial.
func (c *crew[T]) once(ctx context.Context, number int) (result T, err error) {
	defer func() {
		if p := recover(); p != nil {
			err = &Error{Trial: number, Err: fmt.Errorf("panic: %v", p), Stack: debug.Stack()}
		}
	}()
	if result, err = c.trial(ctx, number); err != nil {
		err = &Error{Trial: number, Err: err}
	}
	return result, err
}

// collect takes the outcomes in the order of their numbers, keeping those that came early.
func (c *crew[T]) collect(ctx context.Context, trials int, take func(int, T) error) error {
	early := map[int]outcome[T]{}
	for next := 0; next < trials; next++ {
		for {
			if _, here := early[next]; here {
				break
			}
			select {
			case o := <-c.done:
				early[o.number] = o
			case <-ctx.Done():
				return context.Cause(ctx)
			}
		}
		o := early[next]
		delete(early, next)
		if ctx.Err() != nil { // what a trial says once it was stopped is no failure of its own
			return context.Cause(ctx)
		}
		if o.err != nil {
			return o.err
		}
		if err := take(next, o.result); err != nil {
			return err
		}
		<-c.room
	}
	return nil
}
