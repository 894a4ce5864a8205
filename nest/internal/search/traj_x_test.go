package search

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"
)

func TestTrajX(t *testing.T) {
	name := os.Getenv("DBG")
	if name == "" {
		t.Skip()
	}
	p := readInstance(t, filepath.Join(dataDir(t), name+".json"))
	area := p.areaOfPieces()
	for seed := range *seedsFlag {
		last := 0.0
		line := ""
		Minimise(context.Background(), p, Options{Seed: uint64(seed + 1), Workers: 2, Deadline: time.Now().Add(*budgetFlag), Progress: func(pr Progress) {
			d := 100 * area / (p.Width * pr.Length)
			if d-last > 0.2 {
				last = d
				line += fmt.Sprintf(" %.1f:%.2f", pr.Elapsed.Seconds(), d)
			}
		}})
		fmt.Println(name, line)
	}
}
