package layout

import (
	"errors"

	"github.com/vinylgeom/vinyl/units"
)

// AcrossRow is how a decal of one size goes across one film, in rows along the
// film that follow one another at the decal's height plus the gap.
type AcrossRow struct {
	Film   string       // its name
	Width  units.Length // its width
	Across int          // decals side by side; 0: it is too wide for the film
	// FilmPerDecal is the film along the roll that a decal takes.
	FilmPerDecal units.Length
	// TurnedAcross and TurnedFilmPerDecal are the same of a decal turned by 90°.
	TurnedAcross       int
	TurnedFilmPerDecal units.Length
	// OneMoreWidth by OneMoreHeight is the largest size, in the same proportions,
	// at which one more goes across; 0: the gaps alone leave no room.
	OneMoreWidth, OneMoreHeight units.Length
	// OneMoreSaves is the share of FilmPerDecal that this size saves, 0 to 1.
	OneMoreSaves float64
}

// AcrossTable works out an [AcrossRow] for each film: decals of the given width
// across the film and height along it, gap apart, between the bed's margins.
// The rows are in the order of films; one film that cannot be used makes an
// error, an [*Error], of the whole.
func AcrossTable(films []Film, b Bed, width, height, gap units.Length) ([]AcrossRow, error) {
	rows := make([]AcrossRow, len(films))
	for i, f := range films {
		r := AcrossRow{Film: f.Name, Width: f.Width}
		var err error
		if r.Across, err = Across(f, b, width, gap); err != nil {
			return nil, err
		}
		if r.TurnedAcross, err = Across(f, b, height, gap); err != nil {
			return nil, err
		}
		if r.Across > 0 {
			r.FilmPerDecal = (height + gap) / units.Length(r.Across)
		}
		if r.TurnedAcross > 0 {
			r.TurnedFilmPerDecal = (width + gap) / units.Length(r.TurnedAcross)
		}
		r.OneMoreWidth, err = LargestAcross(f, b, r.Across+1, gap)
		switch {
		case errors.Is(err, ErrDoesNotFit):
			r.OneMoreWidth = 0
		case err != nil:
			return nil, err
		default:
			r.OneMoreHeight = height * r.OneMoreWidth / width
			if r.Across > 0 {
				r.OneMoreSaves = 1 - float64((r.OneMoreHeight+gap)/units.Length(r.Across+1)/r.FilmPerDecal)
			}
		}
		rows[i] = r
	}
	return rows, nil
}
