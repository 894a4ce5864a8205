package order

import (
	"embed"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"
)

// demoFiles holds the demo scenario: designs drawn for this library and an
// order of the Marlow Creek Science Fair, an invented fundraiser.
//
//go:embed demo/*.svg demo/order.json
var demoFiles embed.FS

// Demo returns the demo order.
func Demo() (Order, error) {
	f, err := demoFiles.Open("demo/order.json")
	if err != nil {
		return Order{}, &Error{Where: "demo order", Cause: err}
	}
	defer f.Close()
	return Read(f)
}

// DemoDesigns returns the names of the designs that an order can use without a
// file, sorted.
func DemoDesigns() []string {
	names, _ := fs.Glob(demoFiles, "demo/*.svg") // the pattern is well formed
	for i, n := range names {
		names[i] = strings.TrimSuffix(path.Base(n), ".svg")
	}
	slices.Sort(names)
	return names
}

// openDemo opens a demo design.
func openDemo(name string) (fs.File, error) {
	if !slices.Contains(DemoDesigns(), name) {
		return nil, &Error{Cause: ErrUnknownDesign, Detail: fmt.Sprintf("%q", name),
			Fix: "use one of " + strings.Join(DemoDesigns(), ", ") + `, or "file" for an SVG file of your own`}
	}
	return demoFiles.Open("demo/" + name + ".svg")
}
