package vinyl_test

import (
	"context"
	"fmt"
	"os"

	"github.com/vinylgeom/vinyl/layout/order"
	"github.com/vinylgeom/vinyl/nest"
)

// The whole job: from an order to a folder of cut files, proofs and papers.
func Example() {
	o, err := order.Demo() // or order.Read(file)
	if err != nil {
		fmt.Println(err)
		return
	}
	result, err := order.Run(context.Background(), o, order.Options{Budget: nest.FirstLayoutOnly})
	if err != nil {
		fmt.Println(err)
		return
	}
	dir, err := os.MkdirTemp("", "order")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer os.RemoveAll(dir)
	if err := result.Write(dir); err != nil {
		fmt.Println(err)
		return
	}
	decals := 0
	for _, load := range result.Report.Loads {
		decals += len(load.Decals)
	}
	fmt.Println(decals, "decals of", len(result.Designs), "designs")
	// Output: 96 decals of 12 designs
}
