package main

import (
	"errors"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// kind tells between which curves words are bent.
type kind uint8

const (
	straight kind = iota
	arc
	sine
	trapezoid
)

func (k *kind) parse(name string) error {
	switch name {
	case "arc":
		*k = arc
	case "sine":
		*k = sine
	case "trapezoid":
		*k = trapezoid
	default:
		return errors.New("use arc, sine or trapezoid")
	}
	return nil
}

// shape is what words are bent to.
type shape struct {
	kind  kind
	rise  units.Length
	waves float64
	top   units.Length // zero: sides that lean a little
}

// bend returns words bent between the curves that the box of their ink has
// for bottom and top.
func (s shape) bend(words outline.Path) (outline.Path, error) {
	box := words.Bounds()
	var w outline.Warp
	var err error
	switch s.kind {
	case straight:
		return words, nil
	case arc:
		w, err = outline.BetweenArcs(box, s.rise, s.rise)
	case sine:
		wave := outline.Sine{Amplitude: s.rise / 2, Periods: s.waves}
		w, err = outline.BetweenSines(box, wave, wave)
	case trapezoid:
		width := units.Length(box.Width())
		top := s.top
		if top == 0 { // sides that lean by a quarter of the height
			top = max(width-units.Length(box.Height())/2, width/2)
		}
		w, err = outline.Trapezoid(box, width, top)
	}
	if err != nil {
		return nil, err
	}
	return outline.Bend(words, box, w, outline.BendOptions{})
}
