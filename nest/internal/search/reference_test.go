package search

import (
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/paulmach/orb"
)

// The ten public polygon sets and the rectangles of Hopper and Turton are read
// from VINYL_NESTING_DATA or ../shared/reference/nesting beside the
// repository; they are not ours to copy.
func dataDir(t testing.TB) string {
	dir := os.Getenv("VINYL_NESTING_DATA")
	if dir == "" {
		dir = filepath.Join("..", "..", "..", "..", "shared", "reference", "nesting")
	}
	if _, err := os.Stat(dir); err != nil {
		t.Skipf("public nesting sets are not here (%v)", err)
	}
	return dir
}

// published are mean densities of 100 runs of 1200 s on three threads (Gardeyn,
// Vanden Berghe, Wauters, arXiv:2509.13329, 2025), and the optimum of the two
// jigsaws.
var published = map[string]float64{
	"albano": 89.47, "blaz": 84.68, "dagli": 89.26, "jakobs1": 89.09, "jakobs2": 84.77,
	"shapes0": 68.60, "shapes1": 75.69, "swim": 78.26, "dighe1": 100, "dighe2": 100,
}

func readInstance(t testing.TB, path string) Problem {
	raw, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var f struct {
		StripWidth float64 `json:"strip_width"`
		Items      []struct {
			Count        int
			RotationsDeg []float64 `json:"rotations_deg"`
			Outline      [][2]float64
			W, H         float64
		}
	}
	if err := json.Unmarshal(raw, &f); err != nil {
		t.Fatal(err)
	}
	p := Problem{Width: f.StripWidth}
	for i, it := range f.Items {
		var ring orb.Ring
		for _, v := range it.Outline {
			ring = append(ring, orb.Point(v))
		}
		angles := []float64{}
		for _, d := range it.RotationsDeg {
			angles = append(angles, d*math.Pi/180)
		}
		if ring == nil {
			ring = orb.Ring{{0, 0}, {it.W, 0}, {it.W, it.H}, {0, it.H}}
			angles = []float64{0}
		}
		p.Shapes = append(p.Shapes, orb.MultiPolygon{{ring}})
		for range it.Count {
			p.Pieces = append(p.Pieces, Piece{Shape: i, Angles: angles})
		}
	}
	return p
}

func (p Problem) areaOfPieces() float64 {
	s := 0.0
	for _, pc := range p.Pieces {
		for _, poly := range p.Shapes[pc.Shape] {
			for i, r := range poly {
				a := 0.0
				for j, v := range r {
					u := r[(j+1)%len(r)]
					a += v[0]*u[1] - v[1]*u[0]
				}
				if a = math.Abs(a) / 2; i > 0 {
					a = -a
				}
				s += a
			}
		}
	}
	return s
}

var (
	recordFlag  = flag.String("record", "", "comma-separated instances (or all) to measure against the published densities")
	budgetFlag  = flag.Duration("budget", 10*time.Second, "wall-clock budget for -record")
	seedsFlag   = flag.Int("seeds", 1, "seeds for -record")
	freeFlag    = flag.Bool("free", false, "let the pieces of -record turn to any angle")
	cpuFlag     = flag.Bool("processor", false, "measure -budget in processor time of all workers")
	workersFlag = flag.Int("workers", 2, "workers for -record")
)

// TestRecord measures by hand: go test -run TestRecord -record all -budget 10s.
func TestRecord(t *testing.T) {
	if *recordFlag == "" {
		t.Skip("measured by hand with -record")
	}
	dir := dataDir(t)
	names := strings.Split(*recordFlag, ",")
	if *recordFlag == "all" {
		names = strings.Split("albano,blaz,dagli,jakobs1,jakobs2,shapes0,shapes1,swim,dighe1,dighe2", ",")
	}
	sum, count := 0.0, 0
	for _, name := range names {
		p := readInstance(t, filepath.Join(dir, name+".json"))
		if *freeFlag {
			for i := range p.Pieces {
				p.Pieces[i].Angles = nil
			}
		}
		area := p.areaOfPieces()
		mean := 0.0
		var each []string
		iters, evals, used := 0, 0.0, 0.0
		for seed := 1; seed <= *seedsFlag; seed++ {
			begin := time.Now()
			o := Options{Seed: uint64(seed), Workers: *workersFlag}
			ctx, cancel := context.WithCancel(context.Background())
			cpu := cpuTime()
			if *cpuFlag {
				// a shared machine: stop when the process has used its share
				go func() {
					for cpuTime()-cpu < time.Duration(*workersFlag)**budgetFlag && ctx.Err() == nil {
						time.Sleep(5 * time.Millisecond)
					}
					cancel()
				}()
			} else {
				o.Deadline = begin.Add(*budgetFlag)
			}
			s, err := Minimise(ctx, p, o)
			cancel()
			used += (cpuTime() - cpu).Seconds()
			if err != nil && !*cpuFlag {
				t.Fatal(err)
			}
			d := 100 * area / (p.Width * s.Length)
			mean += d
			each = append(each, fmt.Sprintf("%.2f", d))
			iters += s.Iterations
			evals += float64(s.evaluations)
			if took := time.Since(begin); !*cpuFlag && took > *budgetFlag+*budgetFlag/20 {
				t.Errorf("%s took %v of %v", name, took, *budgetFlag)
			}
		}
		mean /= float64(*seedsFlag)
		ref, ok := published[name]
		if !ok {
			ref = 100
		}
		fmt.Printf("%-8s %6.2f  ratio %.4f  passes %d  %.2f Meval/cpu-s  %s\n", name, mean, mean/ref, iters / *seedsFlag, evals/used/1e6, strings.Join(each, " "))
		sum += mean / ref
		count++
	}
	fmt.Printf("mean ratio %.4f\n", sum/float64(count))
}

func cpuTime() time.Duration {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
