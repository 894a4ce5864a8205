package cutpath

import (
	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// Header is what a writer learns before the first stroke.
type Header struct {
	Title       string       // the sheet's name
	Description string       // a line for whoever opens the file
	Film        layout.Film  // what is loaded
	Length      units.Length // the load's length along x; zero: the end of Bounds
	Bounds      outline.Box  // of everything that is cut
	Home        outline.Point
	Return      bool     // the knife goes back to Home at the end
	Roles       []Role   // the roles that occur, in their numeric order
	Colours     []string // the strokes' colours in order of first use; may hold ""
}

// Writer receives a job stroke by stroke, in the order of cutting: Begin once,
// Stroke for each, End once. A writer keeps no strokes, so that a job of any
// size passes through it; the first error ends the job.
type Writer interface {
	Begin(Header) error
	Stroke(Stroke) error
	End() error
}

// Write sends j through w.
func (j Job) Write(w Writer) error {
	if err := w.Begin(j.Header()); err != nil {
		return err
	}
	for _, s := range j.Strokes {
		if err := w.Stroke(s); err != nil {
			return err
		}
	}
	return w.End()
}

// Header returns what j tells a writer first.
func (j Job) Header() Header {
	h := Header{Title: j.Name, Description: j.Description, Film: j.Film, Length: j.Length,
		Home: j.Home, Return: j.Return, Bounds: j.Bounds()}
	var roles [TestPiece + 1]bool
	colours := map[string]bool{}
	for _, s := range j.Strokes {
		if s.Role <= TestPiece {
			roles[s.Role] = true
		}
		if !colours[s.Colour] {
			colours[s.Colour] = true
			h.Colours = append(h.Colours, s.Colour)
		}
	}
	for r, used := range roles {
		if used {
			h.Roles = append(h.Roles, Role(r))
		}
	}
	return h
}
