//go:build unix

package lettering

import (
	"syscall"
	"testing"
	"time"
)

// reportCPU adds the processor time per operation to a benchmark, collecting
// garbage included: on a shared machine the clock on the wall tells little.
// Call it before the loop and what it returns after it.
func reportCPU(b *testing.B) (finish func()) {
	start := cpuTime()
	return func() { b.ReportMetric(float64(cpuTime()-start)/float64(b.N), "cpu-ns/op") }
}

func cpuTime() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
