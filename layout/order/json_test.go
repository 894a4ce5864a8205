package order_test

import (
	"context"
	"encoding/json"
	"flag"
	"maps"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/shopspring/decimal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout/order"
	"github.com/vinylgeom/vinyl/layout/production"
	"github.com/vinylgeom/vinyl/nest"
	"github.com/vinylgeom/vinyl/units"
)

var update = flag.Bool("update", false, "write the golden files anew")

// full is an order that uses every field that can stand beside the others.
func full() order.Order {
	money := decimal.RequireFromString
	return order.Order{
		Title: "Two clubs", Customer: "Riverside & Sons",
		Film:      order.Film{Name: "matt navy", Colour: "#1d3557", Width: 12 * units.Inch, Class: "calendered", Rolls: []units.Length{5 * units.Metre, 10 * units.Metre}},
		Films:     []order.Film{{Name: "gloss red", Colour: "#d62828", Width: 15 * units.Inch, Class: "cast"}},
		Leftovers: []order.Leftover{{Name: "shelf 3", Film: "gloss red", Length: 200, Width: 180}, {Path: "M0,0H220V160H0Z"}},
		Gap:       units.Inch / 4, EdgeMargin: 10, Lead: 25, Tail: 5, MaxLoad: 15 * units.Inch, MaxLoadMinutes: 30,
		BorderClearance: 5, WeedBorder: "load", WeedLines: true, LeastLeftover: 2 * units.Inch, KeepTogether: true, IdenticalLoads: true, Mend: "warn", Gang: "irregular",
		Shop: order.Shop{
			Rates:  production.Rates{Currency: "$", FilmPerMetre: money("5.50"), TapePerMetre: money("1.20"), PerHour: money("26"), SetUp: money("15"), Spoilage: money("0.05"), MarkUp: money("0.40"), ClubShare: money("0.40"), Step: money("0.05")},
			Times:  order.Times{Load: 3, Tape: 1, CutOut: 1, TrimCut: 0.5, Pack: 0.5, Lift: 1},
			People: order.People{Cut: 1, Weed: 2, Tape: 1, Pack: 1},
			Tapes:  []units.Length{6 * units.Inch, 12 * units.Inch}, TapeBorder: units.Inch / 2, Packs: []int{25, 100},
			Deadline: time.Date(2026, 11, 27, 15, 0, 0, 0, time.UTC),
		},
		Machine:   order.Machine{KnifeOffset: 0.25, Overcut: 0.5, CutSpeed: 200, TravelSpeed: 400, LiftSeconds: 0.1, TestPiece: 5},
		Lettering: order.Lettering{Rule: "fill", CondenseTo: 0.7, LeastHeight: 5},
		Words:     map[string]string{"upper": "MARLOW", "lower": "CREEK"},
		Alike:     order.Alike{Height: 80},
		Items: []order.Item{
			{Design: "gear", Height: 90, PackSize: 3, Packs: 1, Spares: 1, For: "Class 4", Turn: "any"},
			{Design: "leaf", Width: 70, Copies: 1, Film: "gloss red", InsideGlass: true, OnVehicle: true, For: "Class 5", Border: 2, Words: map[string]string{"upper": "BEN"}},
			{Design: "trophy", CapHeight: 11, Wordings: []order.Wording{{Words: map[string]string{"lower": "ANNA"}, Copies: 1}}},
			{Design: "rocket", Area: units.SquareInch * 9, Copies: 1},
			{Design: "beaker", Copies: 1},
		},
	}
}

// travelling are values of every type that travels, by the name they have in
// the golden file.
func travelling(t *testing.T) map[string]any {
	t.Helper()
	o := full()
	require.NoError(t, o.Check())
	r := run(t, o, quick)
	plan, err := r.Plan(context.Background())
	require.NoError(t, err)
	quote, err := r.Quote()
	require.NoError(t, err)
	work, err := r.Work()
	require.NoError(t, err)
	ways, err := order.Compare(context.Background(), o, quick)
	require.NoError(t, err)
	o.Leftovers = nil
	lengths, err := order.CompareLengths(context.Background(), o, []units.Length{12 * units.Inch, 20 * units.Inch}, quick)
	require.NoError(t, err)
	tape, err := production.Tape([]production.Strip{{Name: "column 1", Width: 100, Length: 300}}, []production.TapeRoll{{Width: 152.4}}, 12)
	require.NoError(t, err)
	return map[string]any{
		"order": o, "report": r.Report, "layout": r.Layout(), "timetable": plan, "quote": quote, "way": work, "comparison": ways, "lengths": lengths,
		"tape": tape, "strip": production.Strip{Name: "a", Width: 3, Length: 4}, "work": production.Work{Decals: 3, Film: 4.25, RollEnd: 1, Tape: 2.5, Minutes: 7.5, Packs: []int{25}},
	}
}

func TestJSON(t *testing.T) {
	t.Parallel()
	values := travelling(t)
	t.Run("round trip", func(t *testing.T) { roundTrip(t, values) })
	t.Run("names", func(t *testing.T) { fieldNames(t, values) })
}

// What travels comes back the same, and nothing of it is unknown to its type.
func roundTrip(t *testing.T, values map[string]any) {
	for name, v := range values {
		data, err := json.Marshal(v)
		require.NoError(t, err, name)
		back := reflect.New(reflect.TypeOf(v))
		dec := json.NewDecoder(strings.NewReader(string(data)))
		dec.DisallowUnknownFields()
		require.NoError(t, dec.Decode(back.Interface()), name)
		again, err := json.Marshal(back.Elem().Interface())
		require.NoError(t, err, name)
		assert.JSONEq(t, string(data), string(again), name)
	}
}

// The names of fields do not change: programs elsewhere read them.
func fieldNames(t *testing.T, values map[string]any) {
	names := map[string]bool{}
	for name, v := range values {
		data, err := json.Marshal(v)
		require.NoError(t, err)
		var tree any
		require.NoError(t, json.Unmarshal(data, &tree))
		collect(name, tree, names)
	}
	got := strings.Join(slices.Sorted(maps.Keys(names)), "\n") + "\n"
	golden := filepath.Join("testdata", "json-names.golden")
	if *update {
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(golden, []byte(got), 0o644))
	}
	want, err := os.ReadFile(golden)
	require.NoError(t, err)
	assert.Equal(t, string(want), got, "with -update where names change on purpose")
}

// collect adds the paths of all fields of a JSON tree.
func collect(path string, tree any, names map[string]bool) {
	switch v := tree.(type) {
	case map[string]any:
		for k, child := range v {
			if strings.HasSuffix(path, ".words") || strings.HasSuffix(path, ".cap_height_mm") {
				k = "*" // slots, which the design names
			}
			collect(path+"."+k, child, names)
		}
	case []any:
		for _, child := range v {
			collect(path+"[]", child, names)
		}
	default:
		names[path] = true
	}
}

// An order file as an order: read, written and read again it is the same.
func TestOrderFileRoundTrip(t *testing.T) {
	t.Parallel()
	data, err := json.Marshal(full())
	require.NoError(t, err)
	o, err := order.Read(strings.NewReader(string(data)))
	require.NoError(t, err)
	a, b := run(t, full(), order.Options{Budget: nest.FirstLayoutOnly}), run(t, o, order.Options{Budget: nest.FirstLayoutOnly})
	assert.Equal(t, a.Report, b.Report)
}
