package weedability_test

import (
	"context"
	"fmt"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/weedability"
)

// A plate with a hole, and beside it a dot too small to hold.
func Example() {
	p := outline.Path{rect(0, 0, 40, 20), rect(10, 5, 30, 15).Reversed(), rect(45, 0, 46.5, 1.5)}
	report, err := weedability.Inspect(context.Background(), p, weedability.LimitsFor(weedability.Cast), weedability.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%d counter, %d pieces of film\n", len(report.Counters), len(report.Islands))
	for _, f := range report.Findings {
		if f.Kind == weedability.IslandArea {
			fmt.Printf("%v: %v, %.2f %s where %.0f is asked: %s\n", f.Severity, f.Kind, f.Value, f.Unit, f.Limit, f.Remedy)
		}
	}
	// Output:
	// 1 counter, 2 pieces of film
	// caution: island-area, 2.25 mm2 where 4 is asked: drop it, join it to its neighbour by a bridge, or cut larger
}

// Thicken a bar of 0.8 mm between two blocks.
func ExampleThicken() {
	m, err := weedability.Thicken(context.Background(), dumbbell(0.8), weedability.LimitsFor(weedability.Cast), weedability.RemedyOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range m.Changes {
		fmt.Printf("%s from %.1f to %.1f %s\n", c.Done, c.Before, c.After, c.Unit)
	}
	fmt.Println(len(m.New), "new findings")
	// Output:
	// thickened from 0.8 to 2.0 mm
	// 0 new findings
}

// The least size at which a design passes, and why not less.
func ExampleSmallestSafeSize() {
	s, err := weedability.SmallestSafeSize(context.Background(), dumbbell(0.8), weedability.LimitsFor(weedability.Cast), weedability.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f times as large, for a %v of %.1f %s\n", s.Scale, s.Limiting.Kind, s.Limiting.Value, s.Limiting.Unit)
	// Output:
	// 2.50 times as large, for a stroke-thin of 0.8 mm
}
