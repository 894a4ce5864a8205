package order

import (
	"runtime"
	"sync/atomic"

	"golang.org/x/sync/errgroup"
)

// each calls f for 0 to n-1, several at a time: workers, or as many as there
// are processors. After an error no further ones begin. Of several errors the
// one of the least index is returned, whichever came sooner.
func each(n, workers int, f func(i int) error) error {
	if workers == 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	var group errgroup.Group
	group.SetLimit(workers)
	errs := make([]error, n)
	var failed atomic.Bool
	for i := range n {
		group.Go(func() error {
			if failed.Load() {
				return nil
			}
			if errs[i] = f(i); errs[i] != nil {
				failed.Store(true)
			}
			return nil
		})
	}
	_ = group.Wait() // errors are in errs
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
