package order_test

import (
	"context"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout/check"
	"github.com/vinylgeom/vinyl/layout/order"
	"github.com/vinylgeom/vinyl/nest"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

func demo(t *testing.T) order.Order {
	t.Helper()
	o, err := order.Demo()
	require.NoError(t, err)
	return o
}

// small is the demo order with two copies of each design, so that tests are
// quick.
func small(t *testing.T) order.Order {
	t.Helper()
	o := demo(t)
	for i := range o.Items {
		o.Items[i].Copies = 2
	}
	return o
}

func TestDemoOrderIsWhatItPromises(t *testing.T) {
	o := demo(t)
	assert.GreaterOrEqual(t, len(o.Items), 12)
	turns := map[string]int{}
	for _, it := range o.Items {
		assert.Equal(t, 8, it.Copies)
		assert.InDelta(t, 5.25, it.Height.Inches(), 1e-9)
		turns[it.Turn]++
	}
	assert.Positive(t, turns["quarter"])
	assert.Equal(t, 1, turns["any"])
	assert.Equal(t, map[string]string{"upper": "MARLOW", "lower": "CREEK"}, o.Words)
	assert.InDelta(t, 12, o.Film.Width.Inches(), 1e-9)
	assert.InDelta(t, 0.25, o.Gap.Inches(), 1e-9)
	assert.InDelta(t, 15, o.MaxLoad.Inches(), 1e-9)
	assert.Equal(t, units.Length(10), o.EdgeMargin)
	assert.Equal(t, units.Length(25), o.Lead)
}

func TestRun(t *testing.T) {
	t.Parallel()
	o := small(t)
	r, err := order.Run(context.Background(), o, order.Options{Budget: nest.FirstLayoutOnly})
	require.NoError(t, err)
	checkResult(t, r)
}

// checkResult judges a result by means that share nothing with the nest.
func checkResult(t *testing.T, r *order.Result) {
	t.Helper()
	o := r.Order
	count := map[string]int{}
	ids := map[string]bool{}
	for i, l := range r.Loads {
		s := l.Sheet
		rules := check.Rules{Gap: o.Gap, EdgeMargin: o.EdgeMargin, MaxLength: o.MaxLoad}
		if l.Leftover != "" {
			rules.MaxLength = 0
		}
		figures, err := check.Sheet(s, rules)
		require.NoError(t, err)
		load := r.Report.Loads[i]
		assert.Equal(t, s.Name, load.Name)
		if len(s.Decals) > 1 {
			require.NotNil(t, load.SmallestGapMM)
			assert.GreaterOrEqual(t, *load.SmallestGapMM, float64(o.Gap)-1e-6)
			assert.LessOrEqual(t, *load.SmallestGapMM, float64(figures.SmallestGap)+0.02, "the report never boasts")
		} else {
			assert.Nil(t, load.SmallestGapMM)
		}
		if l.Leftover == "" { // a leftover's ends are edges too
			assert.InDelta(t, float64(figures.SmallestEdgeDistance), load.SmallestEdgeDistanceMM, 1e-5)
		}
		assert.GreaterOrEqual(t, load.SmallestEdgeDistanceMM, float64(o.EdgeMargin)-1e-6)
		require.Len(t, load.Decals, len(s.Decals))
		for j, d := range load.Decals {
			assert.False(t, ids[d.ID], d.ID)
			ids[d.ID] = true
			count[strings.Split(d.ID, "-")[0]]++
			b := s.Decals[j].Path.Bounds()
			assert.InDelta(t, b.Min.X, d.XMM, 1e-5)
			assert.InDelta(t, b.Height(), d.HeightMM, 1e-5)
			if l.Leftover == "" {
				assert.GreaterOrEqual(t, b.Min.X, float64(o.Lead), "the lead stays free")
			}
		}
		// Every stroke of a decal comes before the border and the cut-off line,
		// and decals are finished one by one.
		job := l.Job
		seen := map[string]bool{}
		last := ""
		for _, stroke := range job.Strokes {
			if stroke.ID != last {
				assert.False(t, seen[stroke.ID], "%s is begun twice", stroke.ID)
				seen[stroke.ID], last = true, stroke.ID
			}
			if stroke.ID != "" {
				assert.True(t, stroke.Closed)
				if o.Machine.KnifeOffset == 0 && o.Machine.Overcut == 0 { // else the knife runs past the start
					assert.Equal(t, stroke.Curve.Start, stroke.Curve.End())
				}
			}
		}
	}
	for _, d := range r.Designs {
		count[d.Letter] -= d.Copies
	}
	for letter, n := range count {
		assert.Zero(t, n, "all decals of %s are there", letter)
	}
	for _, d := range r.Designs {
		want := d.Item.Height
		got := d.Path.Bounds().Height()
		if d.Item.Height == 0 && d.Item.Width == 0 || len(d.Item.Colours) > 0 {
			continue
		}
		if d.Item.Width > 0 {
			want, got = d.Item.Width, d.Path.Bounds().Width()
		}
		assert.InDelta(t, float64(want), got, 1e-6, "%s has its size", d.Name)
	}
}

func TestWrite(t *testing.T) {
	t.Parallel()
	o := small(t)
	o.Items = o.Items[:3]
	r, err := order.Run(context.Background(), o, order.Options{Budget: nest.FirstLayoutOnly})
	require.NoError(t, err)
	dir := filepath.Join(t.TempDir(), "a", "b")
	require.NoError(t, os.MkdirAll(dir, 0o755))
	stale := filepath.Join(dir, "load-99.plt")
	theirs := filepath.Join(dir, "notes.txt")
	require.NoError(t, os.WriteFile(stale, []byte("IN;"), 0o644))
	require.NoError(t, os.WriteFile(theirs, []byte("keep"), 0o644))
	require.NoError(t, r.Write(dir))
	assert.NoFileExists(t, stale, "a load of an earlier order must not be cut")
	assert.FileExists(t, theirs)
	for _, name := range []string{"load-01.plt", "load-01.svg", "load-01.dxf", "proof-01.png", "layout.json", "report.json", "approval.html", "jobsheet.html"} {
		info, err := os.Stat(filepath.Join(dir, name))
		require.NoError(t, err)
		assert.Positive(t, info.Size(), name)
	}
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Len(t, entries, 4*len(r.Loads)+6, "nothing else is left behind")

	var report map[string]any
	data, err := os.ReadFile(filepath.Join(dir, "report.json"))
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(data, &report))
	for _, name := range []string{"film_width_mm", "gap_mm", "edge_margin_mm", "film_length_mm", "counters", "findings", "seconds", "loads"} {
		assert.Contains(t, report, name)
	}
	load := report["loads"].([]any)[0].(map[string]any)
	for _, name := range []string{"name", "length_mm", "used_fraction", "cut_length_mm", "smallest_edge_distance_mm", "decals"} {
		assert.Contains(t, load, name)
	}
	decal := load["decals"].([]any)[0].(map[string]any)
	for _, name := range []string{"id", "design", "copy", "x_mm", "y_mm", "width_mm", "height_mm", "rotation_deg", "mirrored"} {
		assert.Contains(t, decal, name)
	}
	page, err := os.ReadFile(filepath.Join(dir, "approval.html"))
	require.NoError(t, err)
	assert.Contains(t, string(page), "M A R L O W")
}

func TestBadOrders(t *testing.T) {
	const good = `{"title":"t","film":{"name":"f","colour":"#102030","width":"12 in"},"gap":"1/4 in","edge_margin":"10 mm","words":{"upper":"MARLOW","lower":"CREEK"},"items":[{"design":"gear","height":"5 in","copies":2}]}`
	_, err := order.Read(strings.NewReader(good))
	require.NoError(t, err)
	for name, test := range map[string]struct {
		old, new string
		cause    error
		says     string
	}{
		"not JSON":        {good, "decals please", order.ErrNotJSON, "line 1"},
		"empty":           {good, "", order.ErrNotJSON, "order file"},
		"cut short":       {`]}`, ``, order.ErrNotJSON, "order file"},
		"more after it":   {`]}`, `]} {}`, order.ErrNotJSON, "more text"},
		"unknown field":   {`"gap"`, `"gapp":"1 in","gap"`, order.ErrUnknownField, `"gapp"`},
		"no unit":         {`"1/4 in"`, `"0.25"`, order.ErrInvalid, "0.25"},
		"no moment":       {`"gap"`, `"shop":{"deadline":"Friday"},"gap"`, order.ErrInvalid, `"Friday" is no moment; write the day`},
		"no amount":       {`"gap"`, `"shop":{"rates":{"set_up":"ten"}},"gap"`, order.ErrInvalid, "write digits only"},
		"bare number":     {`"1/4 in"`, `6`, order.ErrInvalid, "gap"},
		"negative height": {`"5 in"`, `"-5 in"`, order.ErrInvalid, "items[0].height"},
		"zero height":     {`"5 in"`, `"0 in"`, order.ErrInvalid, "items[0]"},
		"two sizes":       {`"height"`, `"width":"3 in","height"`, order.ErrInvalid, "items[0]"},
		"zero copies":     {`"copies":2`, `"copies":0`, order.ErrInvalid, "items[0].copies"},
		"negative copies": {`"copies":2`, `"copies":-2`, order.ErrInvalid, "items[0].copies"},
		"half a copy":     {`"copies":2`, `"copies":2.5`, order.ErrInvalid, "copies"},
		"too many":        {`"copies":2`, `"copies":2000000`, order.ErrTooLarge, "items"},
		"negative gap":    {`"1/4 in"`, `"-1 mm"`, order.ErrInvalid, "gap"},
		"narrow film":     {`"12 in"`, `"20 mm"`, order.ErrInvalid, "film.width"},
		"zero film":       {`"12 in"`, `"0 mm"`, order.ErrInvalid, "film.width"},
		"unknown turn":    {`"copies":2`, `"copies":2,"turn":"sideways"`, order.ErrInvalid, "turn"},
		"unknown class":   {`"width":"12 in"`, `"width":"12 in","class":"paper"`, order.ErrInvalid, "film.class"},
		"no items":        {`{"design":"gear","height":"5 in","copies":2}`, ``, order.ErrInvalid, "items"},
		"no design":       {`"design":"gear",`, ``, order.ErrInvalid, "items[0]"},
	} {
		t.Run(name, func(t *testing.T) {
			require.Contains(t, good, test.old)
			_, err := order.Read(strings.NewReader(strings.Replace(good, test.old, test.new, 1)))
			require.ErrorIs(t, err, test.cause)
			var e *order.Error
			require.ErrorAs(t, err, &e)
			assert.Contains(t, err.Error(), test.says)
			assert.NotEmpty(t, e.Fix)
		})
	}
}

func TestEveryProblemIsReportedAtOnce(t *testing.T) {
	o := small(t)
	o.Gap = -1
	o.Items[0].Copies = 0
	o.Items[1].Turn = "round"
	err := o.Check()
	for _, where := range []string{"gap", "items[0].copies", "items[1].turn"} {
		assert.ErrorContains(t, err, where)
	}
}

func TestOrdersThatCannotBeRun(t *testing.T) {
	one := func(change func(*order.Order)) order.Order {
		o := small(t)
		o.Items = o.Items[:1]
		change(&o)
		return o
	}
	files := fstest.MapFS{
		"open.svg": {Data: []byte(`<svg xmlns="http://www.w3.org/2000/svg" width="50mm" height="50mm" viewBox="0 0 50 50"><path fill="none" stroke="none" d="M1 1L9 9"/></svg>`)},
		"bad.svg":  {Data: []byte(`<svg`)},
	}
	for name, test := range map[string]struct {
		order order.Order
		says  string
	}{
		"unknown design":     {one(func(o *order.Order) { o.Items[0].Design = "unicorn" }), "unicorn"},
		"unknown slot":       {one(func(o *order.Order) { o.Words = map[string]string{"middle": "X"} }), "middle"},
		"no such character":  {one(func(o *order.Order) { o.Words = map[string]string{"upper": "漢"} }), "漢"},
		"words too long":     {one(func(o *order.Order) { o.Words = map[string]string{"upper": strings.Repeat("MARLOW ", 12)} }), "MARLOW"},
		"larger than film":   {one(func(o *order.Order) { o.Items[0].Height = 20 * units.Inch }), "items[0]"},
		"longer than a load": {one(func(o *order.Order) { o.MaxLoad = 5 * units.Inch }), "items[0]"},
		"no such file":       {one(func(o *order.Order) { o.Items[0].Design, o.Items[0].File = "", "nowhere.svg" }), "nowhere.svg"},
		"no closed shape":    {one(func(o *order.Order) { o.Items[0].Design, o.Items[0].File = "", "open.svg" }), "filled shape"},
		"broken SVG":         {one(func(o *order.Order) { o.Items[0].Design, o.Items[0].File = "", "bad.svg" }), "bad"},
		"file outside":       {one(func(o *order.Order) { o.Items[0].Design, o.Items[0].File = "", "../secret.svg" }), "../secret.svg"},
		"no such font":       {one(func(o *order.Order) { o.Lettering.Font = "nowhere.ttf" }), "lettering.font"},
	} {
		t.Run(name, func(t *testing.T) {
			r, err := order.Run(context.Background(), test.order, order.Options{Budget: nest.FirstLayoutOnly, Files: files})
			require.Error(t, err)
			assert.Nil(t, r)
			assert.ErrorContains(t, err, test.says)
		})
	}
}

func TestOutputThatCannotBeWritten(t *testing.T) {
	o := small(t)
	o.Items = o.Items[:1]
	r, err := order.Run(context.Background(), o, order.Options{Budget: nest.FirstLayoutOnly})
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "a file")
	require.NoError(t, os.WriteFile(file, nil, 0o644))
	err = r.Write(filepath.Join(file, "sub"))
	assert.ErrorIs(t, err, order.ErrOutput)
	var e *order.Error
	assert.ErrorAs(t, err, &e)
}

func TestOneCapHeight(t *testing.T) {
	t.Parallel()
	o := small(t)
	o.Items = o.Items[:5]
	o.Lettering.Rule = "same"
	r, err := order.Run(context.Background(), o, order.Options{Budget: nest.FirstLayoutOnly})
	require.NoError(t, err)
	heights := map[units.Length]bool{}
	for _, d := range r.Designs {
		for _, w := range d.Filled.Words {
			heights[units.Length(float64(int(float64(w.CapHeight)*1e6+0.5))/1e6)] = true
		}
	}
	assert.Len(t, heights, 1, "all words are equally high")
}

func TestMirroredAndBordered(t *testing.T) {
	o := small(t)
	o.Items = slices.Clone(o.Items[:2])
	o.Items[0].InsideGlass = true
	o.Items[1].Border = 2
	plain := small(t)
	plain.Items = plain.Items[:2]
	opt := order.Options{Budget: nest.FirstLayoutOnly}
	r, err := order.Run(context.Background(), o, opt)
	require.NoError(t, err)
	checkResult(t, r)
	q, err := order.Run(context.Background(), plain, opt)
	require.NoError(t, err)
	a, b := r.Designs[0].Path, q.Designs[0].Path
	w := b.Bounds().Width()
	assert.InDelta(t, float64(a.Area()), float64(b.Area()), 1e-6)
	assert.InDelta(t, a.Bounds().Width(), w, 1e-9)
	mirrored := b.Transform(outline.MirrorX()).Transform(outline.Translate(outline.Pt(w, 0)))
	rest, err := outline.SymmetricDifference([]outline.Path{a, mirrored}, outline.BooleanOptions{})
	require.NoError(t, err)
	assert.Less(t, float64(rest.Area()), 1.0, "it is the mirror image")
	for _, l := range r.Loads {
		s := l.Sheet
		for _, d := range s.Decals {
			assert.Equal(t, strings.HasPrefix(d.ID, "A-"), d.Mirrored)
		}
	}
}

func TestCancelledBeforeItBegins(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err := order.Run(ctx, small(t), order.Options{})
	assert.True(t, errors.Is(err, context.Canceled), "%v", err)
}

func FuzzRead(f *testing.F) {
	f.Add(`{"title":"t","film":{"name":"f","width":"12 in"},"gap":"1/4 in","items":[{"design":"gear","height":"5 in","copies":2}]}`)
	f.Add(`{"items":[{"copies":1e9}]}`)
	f.Add(`[]`)
	f.Fuzz(func(t *testing.T, text string) {
		o, err := order.Read(strings.NewReader(text))
		if err != nil {
			var e *order.Error
			require.ErrorAs(t, err, &e)
			return
		}
		require.NoError(t, o.Check())
	})
}

func readFile(t *testing.T, dir, name string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(dir, name))
	require.NoError(t, err)
	return string(data)
}

// checkSheetOnly judges the sheets of a result that holds a part of an order.
func checkSheetOnly(t *testing.T, r *order.Result) {
	t.Helper()
	for _, l := range r.Loads {
		_, err := check.Sheet(l.Sheet, check.Rules{Gap: r.Order.Gap, EdgeMargin: r.Order.EdgeMargin})
		require.NoError(t, err)
	}
}
