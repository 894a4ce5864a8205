package compact_test

import (
	"fmt"

	"github.com/vinylgeom/vinyl/nest/internal/compact"
)

// A piece 2 away from the left edge pushes the end of the strip, now at 10,
// back as far as its trust region of 1.5 allows.
func ExampleProgram() {
	var p compact.Program
	p.Reset(2)
	p.Variable(0, -1.5, 1.5, 0) // move of the piece
	p.Variable(1, -10, 0, 1)    // change of the length
	p.Row(0)                    // the piece's right side touches the end
	p.Set(0, -1)
	p.Set(1, 1)
	v, optimal := p.Solve(100, nil)
	fmt.Println(v, optimal)
	// Output: [-1.5 -1.5] true
}
