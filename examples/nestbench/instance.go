package main

import (
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/paulmach/orb"
	"github.com/vinylgeom/vinyl/nest"
	"github.com/vinylgeom/vinyl/units"
)

// instance is one set of pieces. Its unit is arbitrary and taken as millimetres.
type instance struct {
	name          string
	stripWidth    float64
	optimalLength float64 // of rectangle sets, 0 if unknown
	pieces        []nest.Piece
}

// read reads an instance: XML if the file name ends so, JSON otherwise.
func read(file string) (instance, error) {
	data, err := os.ReadFile(file)
	if err != nil {
		return instance{}, err
	}
	var in instance
	if strings.EqualFold(filepath.Ext(file), ".xml") {
		in, err = fromXML(data)
	} else {
		in, err = fromJSON(data)
	}
	if err != nil {
		return instance{}, fmt.Errorf("%s: %w", file, err)
	}
	return in, nil
}

// fromJSON reads polygons (outline, rotations_deg) and rectangles (w along x, h along y).
func fromJSON(data []byte) (instance, error) {
	var file struct {
		Name          string  `json:"name"`
		StripWidth    float64 `json:"strip_width"`
		OptimalLength float64 `json:"optimal_length"`
		Items         []struct {
			ID        string         `json:"id"`
			Count     int            `json:"count"`
			Rotations *[]float64     `json:"rotations_deg"`
			Outline   [][2]float64   `json:"outline"`
			Holes     [][][2]float64 `json:"holes"`
			W         float64        `json:"w"`
			H         float64        `json:"h"`
		} `json:"items"`
	}
	if err := json.Unmarshal(data, &file); err != nil {
		return instance{}, fmt.Errorf("not an instance: %w", err)
	}
	in := instance{name: file.Name, stripWidth: file.StripWidth, optimalLength: file.OptimalLength}
	for _, item := range file.Items {
		p := nest.Piece{ID: item.ID, Count: item.Count}
		if item.Count < 1 {
			return instance{}, fmt.Errorf("item %q: count %d; give 1 or more", item.ID, item.Count)
		}
		if len(item.Outline) > 0 {
			polygon := orb.Polygon{ring(item.Outline)}
			for _, h := range item.Holes {
				polygon = append(polygon, ring(h))
			}
			p.Outline = orb.MultiPolygon{polygon}
			p.Rotations.Mode = nest.RotateAny
			if item.Rotations != nil {
				p.Rotations = rotations(*item.Rotations)
			}
		} else {
			p.Outline = orb.MultiPolygon{{{{0, 0}, {item.W, 0}, {item.W, item.H}, {0, item.H}}}}
			p.Rotations = rotations([]float64{0, 90})
			if item.Rotations != nil {
				p.Rotations = rotations(*item.Rotations)
			}
		}
		in.pieces = append(in.pieces, p)
	}
	if len(in.pieces) == 0 {
		return instance{}, errors.New("not an instance: it has no items")
	}
	return in, nil
}

func ring(points [][2]float64) orb.Ring {
	r := make(orb.Ring, len(points))
	for i, p := range points {
		r[i] = orb.Point(p)
	}
	return r
}

func rotations(degrees []float64) nest.Rotations {
	if len(degrees) == 0 {
		return nest.Rotations{}
	}
	r := nest.Rotations{Mode: nest.RotateList}
	for _, d := range degrees {
		r.List = append(r.List, units.Angle(d)*units.Degree)
	}
	return r
}

// number reads attributes such as "  0.0".
type number float64

// UnmarshalXMLAttr reads a number with white space around it.
func (n *number) UnmarshalXMLAttr(attr xml.Attr) error {
	v, err := strconv.ParseFloat(strings.TrimSpace(attr.Value), 64)
	*n = number(v)
	return err
}

// fromXML reads the XML form in which the sets are published: a board, pieces made of components that name polygons, and
// polygons as line segments. y is taken as up, which mirrors the whole instance and changes no length.
func fromXML(data []byte) (instance, error) {
	type component struct {
		Polygon string `xml:"idPolygon,attr"`
		X       number `xml:"xOffset,attr"`
		Y       number `xml:"yOffset,attr"`
	}
	type piece struct {
		ID          string        `xml:"id,attr"`
		Quantity    int           `xml:"quantity,attr"`
		Orientation []enumeration `xml:"orientation>enumeration"`
		Components  []component   `xml:"component"`
		Voids       []component   `xml:"voidComponent"`
	}
	var file struct {
		Name     string  `xml:"name"`
		Boards   []piece `xml:"problem>boards>piece"`
		Lot      []piece `xml:"problem>lot>piece"`
		Polygons []struct {
			ID       string `xml:"id,attr"`
			Segments []struct {
				X0 number `xml:"x0,attr"`
				Y0 number `xml:"y0,attr"`
			} `xml:"lines>segment"`
		} `xml:"polygons>polygon"`
	}
	if err := xml.Unmarshal(data, &file); err != nil {
		return instance{}, fmt.Errorf("not an instance: %w", err)
	}
	polygons := map[string]orb.Ring{}
	for _, p := range file.Polygons {
		for _, s := range p.Segments {
			polygons[p.ID] = append(polygons[p.ID], orb.Point{float64(s.X0), float64(s.Y0)})
		}
	}
	placed := func(c component) (orb.Ring, error) {
		r, known := polygons[c.Polygon]
		if !known {
			return nil, fmt.Errorf("there is no polygon %q", c.Polygon)
		}
		moved := make(orb.Ring, len(r))
		for i, p := range r {
			moved[i] = orb.Point{p[0] + float64(c.X), p[1] + float64(c.Y)}
		}
		return moved, nil
	}
	if len(file.Boards) == 0 || len(file.Boards[0].Components) == 0 || len(file.Lot) == 0 {
		return instance{}, errors.New("not an instance: it has no board or no pieces")
	}
	board, err := placed(file.Boards[0].Components[0])
	if err != nil {
		return instance{}, err
	}
	b := board.Bound()
	in := instance{name: file.Name, stripWidth: b.Max[1] - b.Min[1]}
	for _, p := range file.Lot {
		out := nest.Piece{ID: p.ID, Count: p.Quantity, Rotations: nest.Rotations{Mode: nest.RotateAny}}
		if p.Quantity < 1 {
			continue
		}
		if len(p.Orientation) > 0 {
			var degrees []float64
			for _, o := range p.Orientation {
				degrees = append(degrees, float64(o.Angle))
			}
			out.Rotations = rotations(degrees)
		}
		for _, c := range p.Components {
			r, err := placed(c)
			if err != nil {
				return instance{}, fmt.Errorf("piece %q: %w", p.ID, err)
			}
			out.Outline = append(out.Outline, orb.Polygon{r})
		}
		for _, c := range p.Voids {
			r, err := placed(c)
			if err != nil {
				return instance{}, fmt.Errorf("piece %q: %w", p.ID, err)
			}
			if n := len(out.Outline); n > 0 {
				out.Outline[n-1] = append(out.Outline[n-1], r)
			}
		}
		in.pieces = append(in.pieces, out)
	}
	if len(in.pieces) == 0 {
		return instance{}, errors.New("not an instance: no piece has a quantity of 1 or more")
	}
	return in, nil
}

// enumeration is one allowed rotation in degrees.
type enumeration struct {
	Angle number `xml:"angle,attr"`
}
