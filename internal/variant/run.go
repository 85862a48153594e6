package variant

import (
	"context"
	"runtime"
	"sync"
)

// Run works out items 0 to n−1 on all processors (workers 0) and hands them on in
// their order, one after the other. At most a few items for each worker are kept at a
// time, so that n is bounded by nothing. An error of emit, or the end of ctx, ends it. A
// panic of work comes out of Run.
func Run[T any](ctx context.Context, n, workers int, work func(i int) T, emit func(i int, item T) error) error {
	if workers < 1 {
		workers = runtime.GOMAXPROCS(0)
	}
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	type answer struct {
		item  T
		fault any
	}
	type job struct {
		i    int
		done chan answer
	}
	do := func(i int) (a answer) {
		defer func() { a.fault = recover() }()
		a.item = work(i)
		return a
	}
	jobs := make(chan job)
	order := make(chan job, 8*workers)
	var wg sync.WaitGroup
	for range workers {
		wg.Go(func() {
			for j := range jobs {
				j.done <- do(j.i)
			}
		})
	}
	wg.Go(func() {
		defer close(order)
		defer close(jobs)
		for i := range n {
			j := job{i, make(chan answer, 1)}
			select {
			case order <- j:
			case <-ctx.Done():
				return
			}
			select {
			case jobs <- j:
			case <-ctx.Done():
				return
			}
		}
	})
	defer wg.Wait()
	defer stop()
	for j := range order {
		select {
		case a := <-j.done:
			if a.fault != nil {
				panic(a.fault)
			}
			if err := ctx.Err(); err != nil {
				return err
			}
			if err := emit(j.i, a.item); err != nil {
				return err
			}
		case <-ctx.Done():
			return ctx.Err()
		}
	}
	return ctx.Err()
}
