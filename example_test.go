package vinyl_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"image"
	"image/png"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"time"

	"github.com/shopspring/decimal"
	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/layout/check"
	"github.com/vinylgeom/vinyl/layout/order"
	"github.com/vinylgeom/vinyl/layout/production"
	"github.com/vinylgeom/vinyl/layout/proof"
	"github.com/vinylgeom/vinyl/nest"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/outline/lettering"
	"github.com/vinylgeom/vinyl/outline/svg"
	"github.com/vinylgeom/vinyl/units"
	"github.com/vinylgeom/vinyl/weedability"
)

// The whole job: from an order to a folder of cut files, proofs and papers.
func Example() {
	o, err := order.Demo() // or order.Read(file)
	if err != nil {
		fmt.Println(err)
		return
	}
	for i := range o.Items {
		o.Items[i].Copies = 1
	}
	result, err := order.Run(context.Background(), o, order.Options{Budget: nest.FirstLayoutOnly})
	if err != nil {
		fmt.Println(err)
		return
	}
	dir, err := os.MkdirTemp("", "order")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer os.RemoveAll(dir)
	if err := result.Write(dir); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(result.Decals(), "decals of", len(result.Designs), "designs")
	// Output: 12 decals of 12 designs
}

// Set a name on an arc.
func Example_nameOnAnArc() {
	text, err := lettering.Set("MARLOW", lettering.Options{Height: units.Inch, Weld: true})
	if err != nil {
		fmt.Println(err)
		return
	}
	flat := text.Path.Bounds()
	arc, err := outline.BetweenArcs(flat, 20*units.Millimetre, 20*units.Millimetre)
	if err != nil {
		fmt.Println(err)
		return
	}
	bent, err := outline.Bend(text.Path, flat, arc, outline.BendOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("flat %.0f mm high, bent %.0f mm\n", flat.Height(), bent.Bounds().Height())
	// Output: flat 27 mm high, bent 45 mm
}

// Check a customer's SVG at the size it will be cut.
func Example_checkArtwork() {
	art := strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="20mm" viewBox="0 0 40 20">
<rect width="20" height="20"/><circle cx="30" cy="10" r="0.8"/><text x="1" y="1">hello</text></svg>`)
	drawing, err := svg.Read(art, svg.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	film, err := drawing.Path(outline.BooleanOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	report, err := weedability.Inspect(context.Background(), film, weedability.LimitsFor(weedability.Calendered), weedability.Options{Describe: drawing.Describe})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(len(report.Islands), "pieces,", len(drawing.Warnings), "thing that cannot be cut")
	for _, f := range report.Findings {
		fmt.Printf("%s: %v, %v: %.2f %s at (%.0f, %.0f) mm\n", f.Of, f.Kind, f.Severity, f.Value, f.Unit, f.At.X, f.At.Y)
	}
	// Output:
	// 2 pieces, 1 thing that cannot be cut
	// the circle of line 2: island-area, caution: 2.01 mm2 at (30, 10) mm
	// the circle of line 2: island-narrow, caution: 1.60 mm at (30, 10) mm
}

// Price 200 decals from what they take.
func Example_price() {
	money := decimal.RequireFromString
	rates := production.Rates{Currency: "$", FilmPerMetre: money("6"), TapePerMetre: money("1.5"), PerHour: money("28"), SetUp: money("15"), MarkUp: money("0.4")}
	quote, err := rates.Price(production.Work{Decals: 200, Film: 18 * units.Metre, Tape: 17 * units.Metre, Minutes: 900})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("price", quote.Price.StringFixed(2), "a decal", quote.PerDecal.StringFixed(2))
	// Output: price 795.90 a decal 3.98
}

// Nest a day's orders on one film, each customer's decals side by side, and
// let the checker, which shares no code with the nest, judge the load.
func Example_daysOrders() {
	o, err := order.Demo()
	if err != nil {
		fmt.Println(err)
		return
	}
	o.KeepTogether = true
	o.Items = []order.Item{
		{Design: "gear", Height: 4 * units.Inch, Copies: 2, For: "Class 3"},
		{Design: "leaf", Height: 4 * units.Inch, Copies: 2, For: "Class 4"},
	}
	result, err := order.Run(context.Background(), o, order.Options{Budget: nest.FirstLayoutOnly})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, load := range result.Loads {
		figures, err := check.Sheet(load.Sheet, check.Rules{Gap: o.Gap, EdgeMargin: o.EdgeMargin})
		fmt.Println(load.Sheet.Name, len(load.Sheet.Decals), "decals,", figures.SmallestGap >= o.Gap, err)
	}
	// Output:
	// load-01 4 decals, true <nil>
}

// A cut list for a design in three colours: a load for each film.
func Example_threeColours() {
	o, err := order.Demo()
	if err != nil {
		fmt.Println(err)
		return
	}
	o.Films = []order.Film{
		{Name: "navy", Colour: "#1d3557", Width: 12 * units.Inch},
		{Name: "red", Colour: "#c81e1e", Width: 12 * units.Inch},
		{Name: "amber", Colour: "#f2a900", Width: 15 * units.Inch},
	}
	o.Items = []order.Item{{Design: "rocket-colour", Height: 5 * units.Inch, Copies: 2,
		Colours: map[string]string{"#1e3a8a": "navy", "#c81e1e": "red", "#f2a900": "amber"}}}
	result, err := order.Run(context.Background(), o, order.Options{Budget: nest.FirstLayoutOnly})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, load := range result.Loads {
		fmt.Printf("%s %s: %d parts, %.1f m to cut\n", load.Sheet.Name, load.Sheet.Film.Name, len(load.Sheet.Decals), load.Job.CutLength().Metres())
	}
	// Output:
	// load-01 navy: 2 parts, 4.4 m to cut
	// load-02 red: 2 parts, 2.9 m to cut
	// load-03 amber: 2 parts, 2.5 m to cut
}

// Roster decals: each member's own name.
func Example_roster() {
	names, warnings, err := order.ReadRoster(strings.NewReader("upper,copies\nANNA,2\nBEN,1\nmIRA,1\n"))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(warnings)
	o, err := order.Demo()
	if err != nil {
		fmt.Println(err)
		return
	}
	o.Items = []order.Item{{Design: "rocket", Height: 5 * units.Inch, Wordings: names}}
	result, err := order.Run(context.Background(), o, order.Options{Budget: nest.FirstLayoutOnly})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, d := range result.Designs {
		fmt.Println(d.Words(), d.Copies)
	}
	// Output:
	// [line 4: "mIRA": odd capitals; it is cut as it stands]
	// [ANNA CREEK] 2
	// [BEN CREEK] 1
	// [mIRA CREEK] 1
}

// How many go across the films on the shelf.
func Example_across() {
	bed := layout.Bed{EdgeMargin: 10 * units.Millimetre}
	for _, width := range []units.Length{12 * units.Inch, 15 * units.Inch, 24 * units.Inch} {
		n, err := layout.Across(layout.Film{Width: width}, bed, 4.8*units.Inch, units.Inch/4)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Println(width.Fraction(16), n)
	}
	// Output:
	// 12 in 2
	// 15 in 2
	// 24 in 4
}

// proofOf draws artwork in SVG at its size, each place that is hard to weed
// numbered.
func proofOf(ctx context.Context, artwork io.Reader) (image.Image, error) {
	drawing, err := svg.Read(artwork, svg.Options{MaxNodes: 20_000})
	if err != nil {
		return nil, err
	}
	film, err := drawing.Path(outline.BooleanOptions{})
	if err != nil {
		return nil, err
	}
	report, err := weedability.Inspect(ctx, film, weedability.LimitsFor(weedability.Calendered), weedability.Options{})
	if err != nil {
		return nil, err
	}
	var opt proof.Options
	for i, f := range report.Findings {
		opt.Markers = append(opt.Markers, proof.Marker{At: f.At, Label: fmt.Sprint(i + 1)})
	}
	return proof.Shape(film, "#1d3557", opt)
}

// proofHandler answers artwork with a proof. The body's size, the nodes and the
// time are bounded, and the work ends when the customer goes away.
func proofHandler(w http.ResponseWriter, r *http.Request) {
	ctx, cancel := context.WithTimeout(r.Context(), 10*time.Second)
	defer cancel()
	picture, err := proofOf(ctx, http.MaxBytesReader(w, r.Body, 1<<20))
	if err != nil {
		http.Error(w, err.Error(), http.StatusUnprocessableEntity)
		return
	}
	w.Header().Set("Content-Type", "image/png")
	_ = png.Encode(w, picture) // fails only where the customer has gone
}

// A web handler that returns a proof.
func Example_proofHandler() {
	gone, leave := context.WithCancel(context.Background())
	leave()
	const good = `<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="20mm" viewBox="0 0 40 20"><circle cx="30" cy="10" r="8"/></svg>`
	many := strings.Replace(good, "<circle", `<path d="M0 0`+strings.Repeat("l1 1", 30_000)+`"/><circle`, 1)
	large := strings.Replace(good, "<circle", strings.Repeat(" ", 1<<20)+"<circle", 1)
	for _, request := range []struct {
		ctx  context.Context
		body string
	}{{context.Background(), good}, {context.Background(), many}, {context.Background(), large}, {gone, good}} {
		answer := httptest.NewRecorder()
		proofHandler(answer, httptest.NewRequestWithContext(request.ctx, http.MethodPost, "/proof", strings.NewReader(request.body)))
		if picture, err := png.DecodeConfig(bytes.NewReader(answer.Body.Bytes())); err == nil {
			fmt.Println(answer.Code, "a picture of", picture.Width, "by", picture.Height)
			continue
		}
		fmt.Print(answer.Code, " ", answer.Body)
	}
	// Output:
	// 200 a picture of 68 by 68
	// 422 svg: line 1: path: d="... 1l1 1l1 1l1 1l1 1l1 1l1 1l1 1l1 1l1 1l1 1l1 1l1 1l1 1l1 1l1..." at byte 80008: the drawing is larger than is read; give fewer nodes there
	// 422 svg: line 1: http: request body too large
	// 422 context canceled
}

// A worker that takes a nest job as JSON from a queue and gives a layout back.
func Example_nestWorker() {
	job := strings.NewReader(`{"strip": {"width": "300 mm", "gap": "5 mm"}, "options": {"iterations": 20},
		"pieces": [{"id": "plate", "outline": [[[[0,0],[90,0],[90,40],[0,40],[0,0]]]], "count": 2}]}`)
	var in struct {
		Strip   nest.Strip
		Pieces  []nest.Piece
		Options nest.Options
	}
	if err := json.NewDecoder(job).Decode(&in); err != nil {
		fmt.Println(err)
		return
	}
	result, err := nest.Nest(context.Background(), in.Strip, in.Pieces, in.Options)
	if err != nil {
		fmt.Println(err)
		return
	}
	if err := json.NewEncoder(os.Stdout).Encode(result); err != nil {
		fmt.Println(err)
	}
	// Output:
	// {"loads":[{"length_mm":90,"density":0.26666666666666666,"smallest_gap_mm":5.000030000000002,"smallest_edge_distance_mm":0,"placements":[{"piece":"plate","copy":1,"load":1,"rotation_deg":0,"mirrored":false,"x_mm":0,"y_mm":0},{"piece":"plate","copy":2,"load":1,"rotation_deg":0,"mirrored":false,"x_mm":0,"y_mm":45.00003}]}],"length_mm":90,"density":0.26666666666666666,"seed":0}
}

// Leftovers are used before the roll.
func Example_leftovers() {
	o, err := order.Demo()
	if err != nil {
		fmt.Println(err)
		return
	}
	o.Items = []order.Item{{Design: "gear", Height: 4 * units.Inch, Copies: 6}}
	o.Leftovers = []order.Leftover{{Name: "end of roll 7", Length: 10 * units.Inch, Width: 12 * units.Inch}}
	result, err := order.Run(context.Background(), o, order.Options{Budget: nest.FirstLayoutOnly})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, load := range result.Loads {
		fmt.Printf("%s: %d decals, leftover %q\n", load.Sheet.Name, len(load.Sheet.Decals), load.Leftover)
	}
	fmt.Printf("%.2f m of the roll\n", result.FilmUsed().Metres())
	// Output:
	// load-01: 5 decals, leftover "end of roll 7"
	// load-02: 1 decals, leftover ""
	// 0.13 m of the roll
}
