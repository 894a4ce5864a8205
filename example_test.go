package vinyl_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"image/png"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"time"

	"github.com/paulmach/orb"
	"github.com/shopspring/decimal"
	"github.com/vinylgeom/vinyl/layout"
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
	var film outline.Path
	for _, shape := range drawing.Shapes {
		film = append(film, shape.Path...)
	}
	report, err := weedability.Inspect(context.Background(), film, weedability.LimitsFor(weedability.Calendered), weedability.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(len(report.Islands), "pieces,", len(drawing.Warnings), "thing that cannot be cut")
	for _, f := range report.Findings {
		fmt.Printf("%v, %v: %.2f %s at (%.0f, %.0f) mm\n", f.Kind, f.Severity, f.Value, f.Unit, f.At.X, f.At.Y)
	}
	// Output:
	// 2 pieces, 1 thing that cannot be cut
	// island-area, caution: 2.01 mm2 at (30, 10) mm
	// island-narrow, caution: 1.60 mm at (30, 10) mm
}

// Price 200 decals from what they take.
func Example_price() {
	money := decimal.RequireFromString
	rates := production.Rates{Currency: "$", FilmPerMetre: money("6"), TapePerMetre: money("1.5"), PerHour: money("28"), SetUp: money("15"), Margin: money("0.4")}
	quote, err := rates.Price(production.Work{Decals: 200, Film: 18 * units.Metre, Tape: 17 * units.Metre, Minutes: 900})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("price", quote.Price.StringFixed(2), "a decal", quote.PerDecal.StringFixed(2))
	// Output: price 795.90 a decal 3.98
}

// two returns an order of two designs, two copies each.
func two() (order.Order, error) {
	o, err := order.Demo()
	o.Items = []order.Item{
		{Design: "gear", Height: 4 * units.Inch, Copies: 2},
		{Design: "leaf", Height: 4 * units.Inch, Copies: 2, For: "Class 4"},
	}
	return o, err
}

// Nest a day's orders on one film, each customer's decals kept together.
func Example_daysOrders() {
	o, err := two()
	if err != nil {
		fmt.Println(err)
		return
	}
	o.KeepTogether = true
	result, err := order.Run(context.Background(), o, order.Options{Budget: nest.FirstLayoutOnly})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(result.Decals(), "decals,", len(result.Report.Findings) > 0, result.FilmUsed() > 0)
	// Output: 4 decals, true true
}

// A cut list for a design in three colours: one load for each film.
func Example_threeColours() {
	o, err := order.Demo()
	if err != nil {
		fmt.Println(err)
		return
	}
	o.Film = order.Film{Name: "white", Colour: "#f5f5f5", Width: 12 * units.Inch}
	o.Items = []order.Item{{Design: "rocket-colour", Height: 5 * units.Inch, Copies: 2}}
	plain, err := order.Run(context.Background(), o, order.Options{Budget: nest.FirstLayoutOnly})
	if err != nil {
		fmt.Println(err)
		return
	}
	o.Items[0].Colours = map[string]string{}
	for i, layer := range plain.Designs[0].Filled.Layers { // a film for each colour of the design
		name := fmt.Sprintf("film %d", i+1)
		o.Films = append(o.Films, order.Film{Name: name, Colour: layer.Colour, Width: 12 * units.Inch})
		o.Items[0].Colours[layer.Colour] = name
	}
	result, err := order.Run(context.Background(), o, order.Options{Budget: nest.FirstLayoutOnly})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, load := range result.Loads {
		fmt.Println(load.Sheet.Name, load.Sheet.Film.Name, len(load.Sheet.Decals), "parts")
	}
	// Output:
	// load-01 film 1 2 parts
	// load-02 film 2 2 parts
	// load-03 film 3 2 parts
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

// A web handler that answers an order with the proof of its first load. The
// request's context ends the work when the customer goes away.
func Example_proofHandler() {
	handler := func(w http.ResponseWriter, r *http.Request) {
		o, err := order.Read(http.MaxBytesReader(w, r.Body, 1<<20))
		if err != nil {
			http.Error(w, err.Error(), http.StatusBadRequest)
			return
		}
		ctx, cancel := context.WithTimeout(r.Context(), 30*time.Second)
		defer cancel()
		result, err := order.Run(ctx, o, order.Options{Budget: nest.FirstLayoutOnly})
		if err != nil {
			http.Error(w, err.Error(), http.StatusUnprocessableEntity)
			return
		}
		w.Header().Set("Content-Type", "image/png")
		_ = proof.WritePNG(w, result.Loads[0].Sheet, proof.Options{}) // the customer may have gone
	}
	const body = `{"title":"t","film":{"name":"navy","colour":"#1d3557","width":"12 in"},"gap":"1/4 in","edge_margin":"10 mm",
"words":{"upper":"MARLOW","lower":"CREEK"},"items":[{"design":"gear","height":"5 in","copies":2}]}`
	for _, text := range []string{body, `{"items":[]}`} {
		answer := httptest.NewRecorder()
		handler(answer, httptest.NewRequest(http.MethodPost, "/proof", strings.NewReader(text)))
		_, err := png.DecodeConfig(answer.Body)
		fmt.Println(answer.Code, err == nil)
	}
	// Output:
	// 200 true
	// 400 false
}

// A worker that takes a nest job as JSON from a queue and gives a layout back.
func Example_nestWorker() {
	const job = `{"width":"300 mm","gap":"5 mm","outline":[[[0,0],[90,0],[90,40],[0,40],[0,0]]],"count":9}`
	var in struct {
		Width   units.Length `json:"width"`
		Gap     units.Length `json:"gap"`
		Outline orb.Polygon  `json:"outline"`
		Count   int          `json:"count"`
	}
	if err := json.Unmarshal([]byte(job), &in); err != nil {
		fmt.Println(err)
		return
	}
	pieces := []nest.Piece{{ID: "plate", Outline: orb.MultiPolygon{in.Outline}, Count: in.Count}}
	result, err := nest.Nest(context.Background(), nest.Strip{Width: in.Width, Gap: in.Gap}, pieces, nest.Options{Iterations: 20})
	if err != nil {
		fmt.Println(err)
		return
	}
	var answer bytes.Buffer
	if err := json.NewEncoder(&answer).Encode(result); err != nil {
		fmt.Println(err)
		return
	}
	var back nest.Result
	err = json.Unmarshal(answer.Bytes(), &back)
	fmt.Println(len(back.Placements()), "placed, valid:", err == nil && verified(back, nest.Strip{Width: in.Width, Gap: in.Gap}, pieces))
	// Output: 9 placed, valid: true
}

func verified(r nest.Result, strip nest.Strip, pieces []nest.Piece) bool {
	_, err := r.Verify(strip, pieces)
	return err == nil
}

// Leftovers are used before the roll.
func Example_leftovers() {
	o, err := two()
	if err != nil {
		fmt.Println(err)
		return
	}
	o.Leftovers = []order.Leftover{{Name: "end of roll 7", Length: 10 * units.Inch, Width: 12 * units.Inch}}
	result, err := order.Run(context.Background(), o, order.Options{Budget: nest.FirstLayoutOnly})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, load := range result.Loads {
		fmt.Println(load.Sheet.Name, load.Leftover != "")
		break
	}
	_, err = order.Run(context.Background(), order.Order{}, order.Options{})
	fmt.Println(errors.Is(err, order.ErrInvalid))
	// Output:
	// load-01 true
	// true
}
