package search

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"
)

func TestCopiesX(t *testing.T) {
	name := os.Getenv("COPIES")
	if name == "" {
		t.Skip()
	}
	p := readInstance(t, filepath.Join(dataDir(t), name+".json"))
	for s := range p.Shapes {
		q := Problem{Width: p.Width, Shapes: p.Shapes}
		for range 200 {
			q.Pieces = append(q.Pieces, Piece{Shape: s, Angles: p.Pieces[0].Angles})
		}
		area := q.areaOfPieces()
		for _, rep := range []bool{false, true} {
			_ = rep
			begin := time.Now()
			sol, err := Minimise(context.Background(), q, Options{Deadline: time.Now().Add(*budgetFlag), Workers: 2})
			fmt.Println(name, s, rep, 100*area/q.Width/sol.Length, err, sol.First, 100*area/q.Width/sol.FirstLength, time.Since(begin), sol.Iterations)
		}
	}
}
