package search

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"testing"
	"time"

	"github.com/paulmach/orb"
)

func TestManyX(t *testing.T) {
	if os.Getenv("MANY") == "" {
		t.Skip()
	}
	for _, n := range []int{100} {
		for _, distinct := range []int{12, 200} {
			if distinct > n {
				continue
			}
			rng := rand.New(rand.NewPCG(1, 2))
			p := Problem{Width: 600}
			for range distinct {
				var ring orb.Ring
				m := 5 + rng.IntN(8)
				for k := range m {
					r := 15 + 25*rng.Float64()
					a := 2 * math.Pi * float64(k) / float64(m)
					ring = append(ring, orb.Point{r * math.Cos(a), r * math.Sin(a)})
				}
				p.Shapes = append(p.Shapes, orb.MultiPolygon{{ring}})
			}
			for i := range n {
				p.Pieces = append(p.Pieces, Piece{Shape: i % distinct, Angles: []float64{0, math.Pi / 2, math.Pi, 1.5 * math.Pi}})
			}
			area := p.areaOfPieces()
			begin := time.Now()
			sol, err := Minimise(context.Background(), p, Options{Deadline: time.Now().Add(*budgetFlag), Workers: 2})
			fmt.Println(n, distinct, 100*area/p.Width/sol.Length, err, sol.First, 100*area/p.Width/sol.FirstLength, time.Since(begin), sol.Iterations)
		}
	}
}
