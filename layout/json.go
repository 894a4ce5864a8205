package layout

import (
	"encoding/json"
	"fmt"
	"math"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/outline/svg"
	"github.com/vinylgeom/vinyl/units"
)

// Film, Bed and Size travel by the tags of their fields. What holds shapes gets its text here: shapes are SVG path data in
// millimetres, y UP, to the last bit. The Origin of segments is an index into a table that does not travel, so it stays behind.

type sheetJSON struct {
	Name       string        `json:"name"`
	Film       Film          `json:"film"`
	LengthMM   float64       `json:"length_mm"`
	Decals     []PlacedDecal `json:"decals"`
	WeedBorder string        `json:"weed_border_path_mm,omitempty"`
	WeedLines  []string      `json:"weed_line_paths_mm,omitempty"`
	TrimLines  []string      `json:"trim_line_paths_mm,omitempty"`
	Marks      []string      `json:"mark_paths_mm,omitempty"`
}

// MarshalJSON writes the sheet: name, film, length_mm, decals,
// weed_border_path_mm, weed_line_paths_mm, trim_line_paths_mm and
// mark_paths_mm, the paths as SVG path data in millimetres, y UP. Segments lose
// their Origin. An [*Error] names a shape with a coordinate that is not finite.
func (s Sheet) MarshalJSON() ([]byte, error) {
	v := sheetJSON{Name: s.Name, Film: s.Film, LengthMM: float64(s.Length), Decals: s.Decals}
	if v.Decals == nil {
		v.Decals = []PlacedDecal{}
	}
	var err error
	if v.WeedBorder, err = pathText("sheet "+s.Name+": weed border", s.WeedBorder); err != nil {
		return nil, err
	}
	for _, list := range []struct {
		what   string
		curves []outline.Curve
		texts  *[]string
	}{{"weed line", s.WeedLines, &v.WeedLines}, {"trim line", s.TrimLines, &v.TrimLines}, {"mark", s.Marks, &v.Marks}} {
		if *list.texts, err = curveTexts("sheet "+s.Name+": "+list.what, list.curves); err != nil {
			return nil, err
		}
	}
	return json.Marshal(v)
}

// UnmarshalJSON reads what MarshalJSON writes. The error is an [*Error] where
// a path cannot be read.
func (s *Sheet) UnmarshalJSON(data []byte) error {
	var v sheetJSON
	if err := json.Unmarshal(data, &v); err != nil {
		return err
	}
	out := Sheet{Name: v.Name, Film: v.Film, Length: units.Length(v.LengthMM), Decals: v.Decals}
	var err error
	if out.WeedBorder, err = readPath("sheet "+v.Name+": weed border", v.WeedBorder); err != nil {
		return err
	}
	for _, list := range []struct {
		what   string
		texts  []string
		curves *[]outline.Curve
	}{{"weed line", v.WeedLines, &out.WeedLines}, {"trim line", v.TrimLines, &out.TrimLines}, {"mark", v.Marks, &out.Marks}} {
		if *list.curves, err = readCurves("sheet "+v.Name+": "+list.what, list.texts); err != nil {
			return err
		}
	}
	*s = out
	return nil
}

type placedDecalJSON struct {
	ID          string   `json:"id"`
	Design      string   `json:"design"`
	Copy        int      `json:"copy"`
	Words       []string `json:"words,omitempty"`
	Colour      string   `json:"colour,omitempty"`
	Path        string   `json:"path_mm"`
	RotationDeg float64  `json:"rotation_deg"`
	Mirrored    bool     `json:"mirrored"`
}

// MarshalJSON writes the decal: id, design, copy, words, colour, path_mm (SVG
// path data in millimetres, y UP; segments lose their Origin), rotation_deg
// (rounded to 1e-9) and mirrored.
func (d PlacedDecal) MarshalJSON() ([]byte, error) {
	path, err := pathText("decal "+d.ID, d.Path)
	if err != nil {
		return nil, err
	}
	const perDegree = 1e9 // 30° is written as 30
	deg := math.Round(d.Rotation.Degrees()*perDegree) / perDegree
	return json.Marshal(placedDecalJSON{d.ID, d.Design, d.Copy, d.Words, d.Colour, path, deg, d.Mirrored})
}

// UnmarshalJSON reads what MarshalJSON writes. The error is an [*Error] where
// the path cannot be read.
func (d *PlacedDecal) UnmarshalJSON(data []byte) error {
	var v placedDecalJSON
	if err := json.Unmarshal(data, &v); err != nil {
		return err
	}
	path, err := readPath("decal "+v.ID, v.Path)
	if err != nil {
		return err
	}
	*d = PlacedDecal{v.ID, v.Design, v.Copy, v.Words, v.Colour, path, units.Angle(v.RotationDeg) * units.Degree, v.Mirrored}
	return nil
}

type leftoverJSON struct {
	Name  string `json:"name"`
	Film  string `json:"film,omitempty"`
	Shape string `json:"path_mm"`
}

// MarshalJSON writes the leftover as an order file names it: name, film and
// path_mm, SVG path data in millimetres, y UP.
func (l Leftover) MarshalJSON() ([]byte, error) {
	shape, err := pathText("leftover "+l.Name, l.Shape)
	if err != nil {
		return nil, err
	}
	return json.Marshal(leftoverJSON{l.Name, l.Film, shape})
}

// UnmarshalJSON reads what MarshalJSON writes. The error is an [*Error] where
// the path cannot be read.
func (l *Leftover) UnmarshalJSON(data []byte) error {
	var v leftoverJSON
	if err := json.Unmarshal(data, &v); err != nil {
		return err
	}
	shape, err := readPath("leftover "+v.Name, v.Shape)
	if err != nil {
		return err
	}
	*l = Leftover{v.Name, v.Film, shape}
	return nil
}

type acrossRowJSON struct {
	Film               string  `json:"film,omitempty"`
	FilmWidth          float64 `json:"film_width_mm"`
	Across             int     `json:"across"`
	FilmPerDecal       float64 `json:"film_per_decal_mm,omitempty"`
	TurnedAcross       int     `json:"turned_across"`
	TurnedFilmPerDecal float64 `json:"turned_film_per_decal_mm,omitempty"`
	OneMoreWidth       float64 `json:"one_more_width_mm,omitempty"`
	OneMoreHeight      float64 `json:"one_more_height_mm,omitempty"`
	OneMoreSaves       float64 `json:"one_more_saves,omitempty"`
}

// MarshalJSON writes the row: film, film_width_mm, across, film_per_decal_mm,
// turned_across, turned_film_per_decal_mm, one_more_width_mm,
// one_more_height_mm and one_more_saves.
func (r AcrossRow) MarshalJSON() ([]byte, error) {
	return json.Marshal(acrossRowJSON{r.Film, float64(r.Width), r.Across, float64(r.FilmPerDecal), r.TurnedAcross,
		float64(r.TurnedFilmPerDecal), float64(r.OneMoreWidth), float64(r.OneMoreHeight), r.OneMoreSaves})
}

// UnmarshalJSON reads what MarshalJSON writes.
func (r *AcrossRow) UnmarshalJSON(data []byte) error {
	var v acrossRowJSON
	if err := json.Unmarshal(data, &v); err != nil {
		return err
	}
	*r = AcrossRow{v.Film, units.Length(v.FilmWidth), v.Across, units.Length(v.FilmPerDecal), v.TurnedAcross,
		units.Length(v.TurnedFilmPerDecal), units.Length(v.OneMoreWidth), units.Length(v.OneMoreHeight), v.OneMoreSaves}
	return nil
}

func pathText(what string, p outline.Path) (string, error) {
	if err := p.Check(); err != nil {
		return "", &Error{Op: "write", Subject: what, Cause: ErrInvalid, Detail: err.Error()}
	}
	return svg.PathData(p), nil
}

func readPath(what, text string) (outline.Path, error) {
	p, err := svg.ParsePath(text)
	if err != nil {
		return nil, pathError(what, err)
	}
	return p, nil
}

func curveTexts(what string, curves []outline.Curve) ([]string, error) {
	var out []string
	for i, c := range curves {
		if err := (outline.Path{c.Closed()}).Check(); err != nil {
			return nil, &Error{Op: "write", Subject: fmt.Sprintf("%s %d", what, i), Cause: ErrInvalid, Detail: err.Error()}
		}
		out = append(out, svg.CurveData(c))
	}
	return out, nil
}

func readCurves(what string, texts []string) ([]outline.Curve, error) {
	var out []outline.Curve
	for i, text := range texts {
		what := fmt.Sprintf("%s %d", what, i)
		runs, err := svg.ParsePathData(text)
		if err != nil {
			return nil, pathError(what, err)
		}
		if len(runs) != 1 {
			return nil, pathError(what, fmt.Errorf("%d lines where one is meant", len(runs)))
		}
		out = append(out, runs[0].Curve)
	}
	return out, nil
}

func pathError(what string, err error) error {
	return &Error{Op: "read", Subject: what, Cause: ErrInvalid, Detail: err.Error(), Fix: "give SVG path data in millimetres, y up"}
}
