package order_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout/order"
	"github.com/vinylgeom/vinyl/nest"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

var quick = order.Options{Budget: nest.FirstLayoutOnly}

func run(t *testing.T, o order.Order, opt order.Options) *order.Result {
	t.Helper()
	r, err := order.Run(context.Background(), o, opt)
	require.NoError(t, err)
	return r
}

// items returns the demo order with the given items only, and without rates.
func items(t *testing.T, list ...order.Item) order.Order {
	t.Helper()
	o := demo(t)
	o.Items, o.Shop = list, order.Shop{}
	return o
}

func TestRosterOfNames(t *testing.T) {
	o := items(t, order.Item{Design: "rocket", Height: 4 * units.Inch, Roster: "class.csv", Copies: 2, Spares: 1})
	files := fstest.MapFS{"class.csv": {Data: []byte("upper,copies\nANNA,\nBEN,1\nBEN,\n")}}
	r := run(t, o, order.Options{Budget: nest.FirstLayoutOnly, Files: files})
	checkResult(t, r)
	require.Len(t, r.Designs, 3)
	assert.Equal(t, []string{"ANNA", "CREEK"}, r.Designs[0].Words(), "a slot that the roster leaves out keeps the order's words")
	assert.Equal(t, []int{3, 2, 3}, []int{r.Designs[0].Copies, r.Designs[1].Copies, r.Designs[2].Copies})
	ids := map[string]bool{}
	spares := 0
	for _, l := range r.Report.Loads {
		for _, d := range l.Decals {
			ids[d.ID] = true
			if d.Spare {
				spares++
			}
		}
	}
	for n := 1; n <= 8; n++ {
		assert.True(t, ids[fmt.Sprintf("A-%02d", n)], n)
	}
	assert.Equal(t, 3, spares, "one for each name, cut and listed")
	assert.Contains(t, strings.Join(r.Report.Notes, "\n"), "same words", "the roster's warnings reach the report")
	files["class.csv"].Data = []byte("upper\nANNA\n漢\n")
	_, err := order.Run(context.Background(), o, order.Options{Budget: nest.FirstLayoutOnly, Files: files})
	assert.ErrorContains(t, err, "line 3", "a name that cannot be set is named by its line")
}

// Markup and formulas in names are cut and printed as they stand.
func TestNamesAreEscaped(t *testing.T) {
	o := items(t, order.Item{Design: "rocket", Height: 5 * units.Inch, Copies: 1, Words: map[string]string{"upper": `<B>&"`, "lower": "=A1+1"}})
	o.Title = "<script>alert(1)</script>"
	o.Customer = `" onload="x`
	r := run(t, o, quick)
	dir := t.TempDir()
	require.NoError(t, r.Write(dir))
	for _, name := range []string{"jobsheet.html", "approval.html", "load-01.svg"} {
		page := readFile(t, dir, name)
		assert.NotContains(t, page, "<script>alert")
		assert.NotContains(t, page, "<B>")
	}
}

func TestSeveralFilmsAndRolls(t *testing.T) {
	o := items(t,
		order.Item{Design: "gear", Height: 4 * units.Inch, Copies: 3},
		order.Item{Design: "leaf", Height: 4 * units.Inch, Copies: 3, Film: "gloss red"})
	o.Films = []order.Film{{Name: "gloss red", Colour: "#c1121f", Width: 15 * units.Inch, Class: "cast"}}
	o.MaxLoad = 0
	o.Film.Rolls = []units.Length{10, 2 * units.Metre}
	r := run(t, o, quick)
	checkResult(t, r)
	require.Len(t, r.Loads, 2)
	navy, red := r.Loads[0], r.Loads[1]
	if navy.Sheet.Film.Name != "matt navy" { // whichever lets the work be finished earlier is first
		navy, red = red, navy
	}
	assert.Equal(t, "matt navy", navy.Sheet.Film.Name)
	assert.Equal(t, 2, navy.Roll, "the first roll is too short")
	assert.Equal(t, 15*units.Inch, red.Sheet.Film.Width)
	assert.Zero(t, red.Roll)
	o.Film.Rolls = []units.Length{10, 20}
	_, err := order.Run(context.Background(), o, quick)
	assert.ErrorContains(t, err, "matt navy", "no load starts on a roll too short")
}

func TestLeftoversAreUsedFirst(t *testing.T) {
	o := items(t, order.Item{Design: "gear", Height: 3 * units.Inch, Copies: 4})
	o.Leftovers = []order.Leftover{
		{Name: "too small", Length: 20, Width: 20},
		{Name: "L-shaped", Path: "M0 0L260 0L260 110L110 110L110 220L0 220Z"},
	}
	r := run(t, o, quick)
	require.NotEmpty(t, r.Loads)
	assert.Equal(t, "L-shaped", r.Loads[0].Leftover)
	assert.Zero(t, r.Loads[0].Roll)
	shape := outline.Path{outline.Polygon(outline.Pt(0, 0), outline.Pt(260, 0), outline.Pt(260, 110), outline.Pt(110, 110), outline.Pt(110, 220), outline.Pt(0, 220))}
	total := 0
	for _, l := range r.Loads {
		total += len(l.Placed)
		if l.Leftover == "" {
			continue
		}
		assert.GreaterOrEqual(t, l.Edge, o.EdgeMargin)
		for _, d := range l.Sheet.Decals {
			outside, err := outline.Subtract(d.Path, []outline.Path{shape}, outline.BooleanOptions{})
			require.NoError(t, err)
			assert.InDelta(t, 0, float64(outside.Area()), 1e-3, "it lies in the leftover")
		}
	}
	assert.Equal(t, 4, total)
	used := r.FilmUsed()
	o.Leftovers = nil
	assert.Greater(t, run(t, o, quick).FilmUsed(), used, "the roll is spared")
	o.Leftovers = []order.Leftover{{Name: "bad", Path: "M0 0L"}}
	_, err := order.Run(context.Background(), o, quick)
	assert.ErrorContains(t, err, "leftovers[0]")
}

func TestLoadsBoundedByMinutes(t *testing.T) {
	t.Parallel()
	o := items(t, order.Item{Design: "gear", Height: 3 * units.Inch, Copies: 12})
	o.MaxLoad = 0
	whole := run(t, o, quick)
	require.Len(t, whole.Loads, 1)
	minutes := whole.Loads[0].Cut.Seconds() / 60
	o.MaxLoadMinutes = minutes / 2
	r := run(t, o, quick)
	checkResult(t, r)
	assert.Greater(t, len(r.Loads), 1)
	for _, l := range r.Loads {
		assert.LessOrEqual(t, l.Cut.Seconds()/60, o.MaxLoadMinutes)
	}
	o.MaxLoadMinutes = minutes / 1000
	_, err := order.Run(context.Background(), o, quick)
	assert.Error(t, err)
}

func TestPacksSparesAndSizes(t *testing.T) {
	t.Parallel()
	o := items(t,
		order.Item{Design: "gear", Area: 40 * units.SquareCentimetre, Packs: 2, PackSize: 3, Spares: 1},
		order.Item{Design: "leaf", Area: 40 * units.SquareCentimetre, Copies: 1},
		order.Item{Design: "rocket", CapHeight: 12, Copies: 1, OnVehicle: true})
	r := run(t, o, quick)
	assert.Equal(t, 7, r.Designs[0].Copies)
	for _, d := range r.Designs[:2] {
		assert.InDelta(t, 4000, float64(d.Path.Area()), 4, "equal film area")
	}
	assert.InDelta(t, 12, float64(r.Designs[2].Filled.Words[0].CapHeight), 1e-6)
	assert.Contains(t, strings.Join(r.Report.Notes, "\n"), "two car lengths")
}

func TestIdenticalLoadsShareAFile(t *testing.T) {
	t.Parallel()
	o := items(t, order.Item{Design: "gear", Height: 5 * units.Inch, Copies: 12})
	o.IdenticalLoads = true
	r := run(t, o, quick)
	checkResult(t, r)
	files := 0
	for i, l := range r.Loads {
		if l.SameAs < 0 {
			files++
			continue
		}
		assert.Less(t, l.SameAs, i)
		assert.Equal(t, r.Loads[l.SameAs].Sheet.Length, l.Sheet.Length)
	}
	assert.Less(t, files, len(r.Loads))
	dir := t.TempDir()
	require.NoError(t, r.Write(dir))
	assert.NoFileExists(t, dir+"/load-02.plt")
	assert.Contains(t, readFile(t, dir, "report.json"), `"same_as": "load-01"`)
}

func TestRecutAndResume(t *testing.T) {
	t.Parallel()
	o := small(t)
	o.Items = o.Items[:6]
	first := run(t, o, quick)
	var b bytes.Buffer
	require.NoError(t, json.NewEncoder(&b).Encode(first.Layout()))
	layout, err := order.ReadLayout(&b)
	require.NoError(t, err)

	r, err := layout.Recut(context.Background(), []string{"B-02", "A-01"}, quick)
	require.NoError(t, err)
	ids := map[string]bool{}
	for _, l := range r.Loads {
		for _, d := range l.Sheet.Decals {
			ids[d.ID] = true
		}
	}
	assert.Equal(t, map[string]bool{"B-02": true, "A-01": true}, ids)
	assert.Equal(t, "recut-01", r.Loads[0].Sheet.Name)
	assert.Len(t, r.Report.Designs, 2, "of what is cut again only")
	for _, f := range r.Report.Findings {
		assert.Contains(t, []string{r.Report.Designs[0].Letter, r.Report.Designs[1].Letter}, f.Design[:1])
	}
	area := func(r *order.Result, design int) float64 { return float64(r.Designs[design].Path.Area()) }
	assert.InDelta(t, area(first, 1), area(r, 1), 1e-6, "the same decal is cut")
	dir := t.TempDir()
	require.NoError(t, first.Write(dir))
	require.NoError(t, r.Write(dir))
	assert.FileExists(t, dir+"/recut-01.plt")
	sheet := readFile(t, dir, "recut-jobsheet.html")
	assert.Contains(t, sheet, `<span class="ids">B-02</span>`)
	assert.NotContains(t, sheet, ">C-01", "nothing of what is not cut again")
	assert.FileExists(t, dir+"/load-01.plt", "what was cut stays")

	load := layout.Loads[0]
	require.Greater(t, len(load.Decals), 1)
	from := load.Decals[1].ID
	rest, err := layout.Resume(context.Background(), load.Name, from, false, quick)
	require.NoError(t, err)
	require.Len(t, rest.Loads, 1)
	require.Len(t, rest.Loads[0].Sheet.Decals, len(load.Decals)-1)
	for _, d := range rest.Loads[0].Sheet.Decals {
		was, err := first.Loads[0].Sheet.Decal(d.ID)
		require.NoError(t, err)
		assert.InDelta(t, was.Path.Bounds().Min.X, d.Path.Bounds().Min.X, 1e-6, "it lies where it was")
		assert.InDelta(t, was.Path.Bounds().Max.Y, d.Path.Bounds().Max.Y, 1e-6)
	}
	moved, err := layout.Resume(context.Background(), load.Name, from, true, quick)
	require.NoError(t, err)
	assert.InDelta(t, float64(o.Lead), moved.Loads[0].Sheet.Bounds().Min.X, 1e-6)
	checkSheetOnly(t, moved)

	for _, call := range []func() error{
		func() error { _, err := layout.Recut(context.Background(), nil, quick); return err },
		func() error { _, err := layout.Recut(context.Background(), []string{"Z-99"}, quick); return err },
		func() error {
			_, err := layout.Recut(context.Background(), []string{"A-01", "A-01"}, quick)
			return err
		},
		func() error {
			_, err := layout.Resume(context.Background(), "load-99", from, false, quick)
			return err
		},
		func() error {
			_, err := layout.Resume(context.Background(), load.Name, "Z-99", false, quick)
			return err
		},
		func() error { _, err := order.ReadLayout(strings.NewReader("{")); return err },
		func() error { _, err := order.ReadLayout(strings.NewReader(`{"loads":[]}`)); return err },
	} {
		var e *order.Error
		require.ErrorAs(t, call(), &e)
		assert.NotEmpty(t, e.Fix)
	}
}

func TestKeepTogether(t *testing.T) {
	t.Parallel()
	o := items(t,
		order.Item{Design: "gear", Height: 2 * units.Inch, Copies: 5, For: "Class 4"},
		order.Item{Design: "leaf", Height: 2 * units.Inch, Copies: 5, For: "Class 5"},
		order.Item{Design: "rocket", Height: 2 * units.Inch, Copies: 5, For: "Class 4"})
	o.Lettering.LeastHeight = 2
	o.MaxLoad, o.KeepTogether = 0, true
	r := run(t, o, quick)
	checkResult(t, r)
	// In each load the classes' stretches along the film do not overlap.
	require.Len(t, r.Loads, 1, "all classes in one, as there is no greatest length")
	for _, l := range r.Loads {
		spans := map[string]outline.Box{}
		for k, d := range l.Sheet.Decals {
			class := r.Designs[l.Placed[k].Design].Item.For
			if _, ok := spans[class]; !ok {
				spans[class] = outline.EmptyBox()
			}
			spans[class] = spans[class].Union(d.Path.Bounds())
		}
		require.Len(t, spans, 2)
		a, b := spans["Class 4"], spans["Class 5"]
		assert.True(t, a.Max.X <= b.Min.X || b.Max.X <= a.Min.X)
	}
}

// A design in three colours is cut from three films, each with the same
// crosses; the parts lie over one another as drawn.
func TestColours(t *testing.T) {
	o := items(t, order.Item{Design: "rocket-colour", Height: 5 * units.Inch, Copies: 2})
	d := run(t, o, quick).Designs[0]
	require.GreaterOrEqual(t, len(d.Filled.Layers), 3)
	it := &o.Items[0]
	it.Colours = map[string]string{}
	for i, l := range d.Filled.Layers {
		name := fmt.Sprintf("film %d", i)
		it.Colours[l.Colour] = name
		o.Films = append(o.Films, order.Film{Name: name, Colour: l.Colour, Width: 12 * units.Inch})
	}
	r := run(t, o, quick)
	checkResult(t, r)
	require.Len(t, r.Designs, 3)
	for i, part := range r.Designs {
		assert.Equal(t, fmt.Sprintf("A%d", i+1), part.Letter)
		assert.Equal(t, 2, part.Copies)
	}
	films := map[string]int{}
	for _, l := range r.Loads {
		films[l.Sheet.Film.Name] += len(l.Sheet.Decals)
	}
	assert.Equal(t, map[string]int{"film 0": 2, "film 1": 2, "film 2": 2}, films)
	delete(it.Colours, d.Filled.Layers[0].Colour)
	_, err := order.Run(context.Background(), o, quick)
	assert.ErrorContains(t, err, d.Filled.Layers[0].Colour)
	o = items(t, order.Item{Design: "gear", Height: 5 * units.Inch, Copies: 1, Colours: map[string]string{"#000000": "matt navy"}})
	_, err = order.Run(context.Background(), o, quick)
	assert.ErrorContains(t, err, "one colour")
}

// What an order left is used to cut its spoiled decals again; a leftover that
// it used up is not.
func TestRecutUsesWhatIsLeft(t *testing.T) {
	o := items(t, order.Item{Design: "gear", Height: 3 * units.Inch, Copies: 2})
	o.Leftovers = []order.Leftover{{Name: "old piece", Length: 5 * units.Inch, Width: 5 * units.Inch}}
	first := run(t, o, quick)
	require.Len(t, first.Loads, 2)
	require.Equal(t, "old piece", first.Loads[0].Leftover)
	require.NotNil(t, first.Loads[1].Rest, "one small decal leaves most of the film's width")
	again, err := first.Layout().Recut(context.Background(), []string{"A-01"}, quick)
	require.NoError(t, err)
	require.Len(t, again.Loads, 1)
	assert.Equal(t, "rest of load-02", again.Loads[0].Leftover)
	assert.Zero(t, again.FilmUsed())
}

// One size for all designs: measured on the outermost cut, save where an item
// has its own.
func TestAlike(t *testing.T) {
	t.Parallel()
	o := items(t, order.Item{Design: "gear", Copies: 1}, order.Item{Design: "leaf", Copies: 1}, order.Item{Design: "atom", Height: 60, Copies: 1})
	o.Mend = ""
	const area = 6000
	for _, c := range []struct {
		alike   order.Alike
		measure func(order.Design) float64
		want    float64
	}{
		{order.Alike{Height: 90}, func(d order.Design) float64 { return d.Path.Bounds().Height() }, 90},
		{order.Alike{Width: 80}, func(d order.Design) float64 { return d.Path.Bounds().Width() }, 80},
		{order.Alike{Area: area}, func(d order.Design) float64 { return float64(d.Path.Area()) }, area},
		{order.Alike{CapHeight: 9}, func(d order.Design) float64 { return float64(d.Filled.Words[0].CapHeight) }, 9},
	} {
		o.Alike = c.alike
		r := run(t, o, quick)
		for _, d := range r.Designs[:2] {
			assert.InDelta(t, c.want, c.measure(d), c.want*1e-6, "%s by %+v", d.Name, c.alike)
		}
		assert.InDelta(t, 60, r.Designs[2].Path.Bounds().Height(), 1e-6)
		// What travels can be cut again without the order's size.
		again, err := r.Layout().Recut(context.Background(), []string{"B-01"}, quick)
		require.NoError(t, err)
		assert.InDelta(t, float64(r.Designs[1].Path.Area()), float64(again.Loads[0].Sheet.Decals[0].Path.Area()), 1e-3)
	}
	o.Alike = order.Alike{Height: 90, Width: 80}
	assert.ErrorIs(t, o.Check(), order.ErrInvalid)
	o.Alike = order.Alike{}
	assert.ErrorIs(t, o.Check(), order.ErrInvalid)
	o.Alike = order.Alike{Height: -3}
	assert.ErrorIs(t, o.Check(), order.ErrInvalid)
}

// A forgotten name is told before it is cut as a blank.
func TestEmptySlotsAreTold(t *testing.T) {
	t.Parallel()
	o := items(t, order.Item{Design: "gear", Height: 4 * units.Inch, Copies: 1}, order.Item{Design: "gear", Height: 4 * units.Inch, Copies: 1, Words: map[string]string{"upper": "MARLOW", "lower": " "}})
	r := run(t, o, quick)
	notes := strings.Join(r.Report.Notes, "\n")
	assert.Contains(t, notes, "B gear: nothing to set in lower: cut without words there")
	assert.NotContains(t, notes, "A gear: nothing")
}

// What all names of a long roster share stands at the top of the job sheet, not
// in every row.
func TestSharedNotesAreSaidOnce(t *testing.T) {
	t.Parallel()
	it := order.Item{Design: "gear", Height: 3 * units.Inch, Copies: 1}
	for n := range 13 {
		it.Wordings = append(it.Wordings, order.Wording{Words: map[string]string{"upper": "KAY" + string(rune('A'+n))}})
	}
	o := items(t, it)
	o.Words, o.Mend = nil, ""
	r := run(t, o, quick)
	dir := t.TempDir()
	require.NoError(t, r.Write(dir))
	assert.Equal(t, 1, strings.Count(readFile(t, dir, "jobsheet.html"), "nothing to set in lower"))
}
