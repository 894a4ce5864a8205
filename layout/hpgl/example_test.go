package hpgl_test

import (
	"fmt"
	"strings"

	"github.com/vinylgeom/vinyl/layout/hpgl"
)

func ExampleRead() {
	file, err := hpgl.Read(strings.NewReader("IN;SP1;PA;PU400,400;PD800,400,800,800,400,800,400,400;PU;ZZ7;SP0;"))
	if err != nil {
		fmt.Println(err)
		return
	}
	b := file.Bounds()
	fmt.Println(len(file.Strokes), "stroke,", b.Width(), "by", b.Height(), "mm")
	for _, w := range file.Warnings {
		fmt.Println(w)
	}
	// Output:
	// 1 stroke, 10 by 10 mm
	// byte 57: ZZ: unknown command passed over
}
