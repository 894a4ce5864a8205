package weedability_test

import (
	"context"
	"encoding/binary"
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/weedability"
)

// pathFrom makes a path of lines and curves from bytes: two for a coordinate of
// 1/100 mm, odd first bytes of a contour for raw float64s.
func pathFrom(data []byte) outline.Path {
	var p outline.Path
	number := func() (v float64, ok bool) {
		if len(data) < 2 {
			return 0, false
		}
		v = float64(int16(binary.LittleEndian.Uint16(data))) / 100
		data = data[2:]
		return v, true
	}
	for len(data) > 2 && len(p) < 20 {
		head := data[0]
		data = data[1:]
		var points []outline.Point
		for range 3 + head%13 {
			x, _ := number()
			y, ok := number()
			if !ok {
				break
			}
			if head == 255 && len(data) >= 8 {
				x = math.Float64frombits(binary.LittleEndian.Uint64(data))
				data = data[8:]
			}
			points = append(points, outline.Pt(x, y))
		}
		if len(points) == 0 {
			break
		}
		c := outline.Contour{Start: points[0]}
		for i := 1; i < len(points); i++ {
			switch {
			case head&16 != 0 && i+2 < len(points):
				c.Segments = append(c.Segments, outline.CubicTo(points[i], points[i+1], points[i+2]))
				i += 2
			case head&32 != 0 && i+1 < len(points):
				c.Segments = append(c.Segments, outline.QuadTo(points[i], points[i+1]))
				i++
			default:
				c.Segments = append(c.Segments, outline.LineTo(points[i]))
			}
		}
		if head&64 == 0 {
			c = c.Curve().Closed()
		}
		if head&128 != 0 {
			c = c.Reversed()
		}
		p = append(p, c)
	}
	return p
}

// FuzzInspect: any path is inspected or refused with a typed error, and what is
// found is finite and breaks its limit.
func FuzzInspect(f *testing.F) {
	f.Add([]byte{1, 0, 0, 0, 0, 232, 3, 0, 0, 232, 3, 232, 3, 0, 0, 232, 3})
	f.Add([]byte{17, 0, 0, 0, 0, 232, 3, 0, 0, 232, 3, 232, 3, 0, 0, 232, 3, 1, 2, 3, 4, 5, 6, 7, 8, 9})
	f.Add([]byte{255, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16})
	f.Add([]byte("0000000000000000000000000000000000000000000000"))
	limits := weedability.LimitsFor(weedability.Cast)
	f.Fuzz(func(t *testing.T, data []byte) {
		for weld, p := range []outline.Path{pathFrom(data), nil} {
			if weld == 1 {
				var err error
				if p, err = outline.Weld([]outline.Path{pathFrom(data)}, outline.BooleanOptions{}); err != nil {
					return
				}
			}
			r, err := weedability.Inspect(context.Background(), p, limits, weedability.Options{})
			if err != nil {
				var se *weedability.ShapeError
				if !errors.As(err, &se) || se.Fix == "" {
					t.Fatalf("untyped error %v", err)
				}
				continue
			}
			if len(r.Counters)+len(r.Islands) > len(p) {
				t.Fatalf("%d counters and %d islands of %d contours", len(r.Counters), len(r.Islands), len(p))
			}
			for _, f := range r.Findings {
				if !f.At.IsFinite() || !(f.Value >= 0) || !(f.Value < f.Limit) || f.Source == "" || f.Remedy == "" {
					t.Fatalf("finding %+v", f)
				}
			}
			if _, err := json.Marshal(r); err != nil {
				t.Fatal(err)
			}
			if lines, err := weedability.WeedLines(context.Background(), p, limits, weedability.WeedLineOptions{}); err != nil {
				t.Fatal(err, lines)
			}
			// Remedies give something that can be inspected, or a typed error.
			if m, err := weedability.Mend(context.Background(), p, limits, weedability.RemedyOptions{}); err == nil {
				if _, err := weedability.Inspect(context.Background(), m.Path, limits, weedability.Options{}); err != nil {
					t.Fatal(err)
				}
			} else if se := (*weedability.ShapeError)(nil); !errors.As(err, &se) {
				t.Fatalf("untyped error %v", err)
			}
		}
	})
}

func FuzzReadLimits(f *testing.F) {
	f.Add(`{"class": "cast", "stroke": {"refuse": "0.5 mm", "warn": "1 mm", "caution": "2 mm"}}`)
	f.Add(`{"tip": {"behind": "1e400 mm"}}`)
	f.Fuzz(func(t *testing.T, text string) {
		l, err := weedability.ReadLimits(strings.NewReader(text))
		if err != nil {
			var le *weedability.LimitsError
			if !errors.As(err, &le) {
				t.Fatalf("untyped error %v", err)
			}
			return
		}
		if err := l.Check(); err != nil {
			t.Fatal(err)
		}
	})
}

// FuzzReportJSON: any text is refused with an error that is typed, unless it is no
// JSON at all, or read, written, read and written again the same.
func FuzzReportJSON(f *testing.F) {
	f.Add(`{"counters": [{"label": "C1", "number": 1, "x_mm": 2.5}], "islands": [{"lift": "likely", "width_mm": 0.3}], "work": {"picks": 2}}`)
	f.Add(`{"findings": [{"kind": "tip-sharp", "severity": "warn", "x_mm": 1e308, "value": -1e-308, "outline_mm": [[], [[1, 2]]]}]}`)
	f.Add(`{"weed_lines": [{"points_mm": []}], "waste": {"border_mm": [1], "necks": null}, "pull": {"direction_deg": 9e99}}`)
	f.Fuzz(func(t *testing.T, text string) {
		var r weedability.Report
		if err := json.Unmarshal([]byte(text), &r); err != nil {
			var le *weedability.LimitsError
			if !errors.As(err, &le) && json.Valid([]byte(text)) {
				t.Fatalf("untyped error %v", err)
			}
			return
		}
		once, err := json.Marshal(r)
		if err != nil {
			t.Fatal(err)
		}
		var back weedability.Report
		if err := json.Unmarshal(once, &back); err != nil {
			t.Fatal(err)
		}
		twice, err := json.Marshal(back)
		if err != nil || string(once) != string(twice) {
			t.Fatalf("%v: %s is not %s", err, once, twice)
		}
		if len(r.Markers(r.WeedLines)) < len(r.Counters)+len(r.Islands) {
			t.Fatal("markers are missing")
		}
	})
}
