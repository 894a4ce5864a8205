package order

import (
	"strings"

	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/layout/artwork"
	"github.com/vinylgeom/vinyl/units"
)

// ReadingReport is from how far a line can be read (trade figures: see
// [layout.LegibleAtMost] and [layout.LegibleWithEase]).
type ReadingReport struct {
	AtMostM   float64 `json:"at_most_m"`   // metres
	WithEaseM float64 `json:"with_ease_m"` // metres
}

// allCapitals reports whether a text has capitals and no small letters, such
// as "MARLOW": it is read less far than mixed letters.
func allCapitals(text string) bool {
	return strings.ToUpper(text) == text && strings.ToLower(text) != text
}

// readable returns from how far set words can be read at most.
func readable(w artwork.SetWords) units.Length {
	return layout.LegibleAtMost.ReadingDistance(w.CapHeight, allCapitals(w.Text))
}

func reading(w artwork.SetWords) ReadingReport {
	return ReadingReport{
		AtMostM:   figure(readable(w).Metres()),
		WithEaseM: figure(layout.LegibleWithEase.ReadingDistance(w.CapHeight, allCapitals(w.Text)).Metres()),
	}
}

// AcrossReport is how a design goes across one of the order's films, in straight
// rows, and the size at which one more would.
type AcrossReport struct {
	Film           string  `json:"film"`
	FilmWidthMM    float64 `json:"film_width_mm"`
	Across         int     `json:"across"`
	FilmPerDecalMM float64 `json:"film_per_decal_mm,omitempty"` // along the roll
	// One more goes across at this size, in the same proportions; absent: the
	// gaps alone are too wide.
	OneMoreWidthMM  float64 `json:"one_more_width_mm,omitempty"`
	OneMoreHeightMM float64 `json:"one_more_height_mm,omitempty"`
	// OneMoreSavesMM is the film that it saves, for all decals of the design.
	OneMoreSavesMM float64 `json:"one_more_saves_mm,omitempty"`
}

// across works out how a design goes across the order's films. A film that is
// too narrow for the margins has been refused before.
func (o Order) across(d Design) []AcrossReport {
	shelf := make([]layout.Film, 0, 1+len(o.Films))
	for _, f := range append([]Film{o.Film}, o.Films...) {
		shelf = append(shelf, layout.Film{Name: f.Name, Width: f.Width})
	}
	box := d.Path.Bounds()
	width, height, gap, room := units.Length(box.Width()), units.Length(box.Height()), o.Gap, units.Length(0)
	if o.WeedBorder != borderNone {
		room = o.clearance()
	}
	if o.WeedBorder == borderDecal { // the gap is kept between the borders
		gap += 2 * room
	}
	bed := layout.Bed{EdgeMargin: o.EdgeMargin + room}
	out := []AcrossReport{}
	rows, err := layout.AcrossTable(shelf, bed, height, width, gap)
	if err != nil { // margins and border leave nothing of a film
		return out
	}
	turned, err := layout.AcrossTable(shelf, bed, width, height, gap)
	if err != nil {
		return out
	}
	for i, r := range rows {
		// The decal lies as it reads, its height across the film, or turned where
		// its item allows that and it takes less film.
		lying := d.Item.Turn == "quarter" || d.Item.Turn == "any"
		t := turned[i]
		moreHeight, moreWidth := r.OneMoreWidth, r.OneMoreHeight
		if lying && t.Across > 0 && (r.Across == 0 || t.FilmPerDecal < r.FilmPerDecal) {
			r, moreHeight, moreWidth = t, t.OneMoreHeight, t.OneMoreWidth
		}
		out = append(out, AcrossReport{
			Film: r.Film, FilmWidthMM: figure(float64(r.Width)), Across: r.Across, FilmPerDecalMM: figure(float64(r.FilmPerDecal)),
			OneMoreWidthMM: figure(float64(moreWidth)), OneMoreHeightMM: figure(float64(moreHeight)),
			OneMoreSavesMM: figure(r.OneMoreSaves * float64(r.FilmPerDecal) * float64(d.Copies)),
		})
	}
	return out
}
