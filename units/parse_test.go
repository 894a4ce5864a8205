package units_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/units"
)

func TestParse(t *testing.T) {
	for _, test := range []struct {
		text string
		mm   float64
	}{
		{"5 3/8 in", 5.375 * 25.4},
		{`5-3/8"`, 5.375 * 25.4},
		{"12in", 304.8},
		{"30.5 cm", 305},
		{"1 ft 2 in", 14 * 25.4},
		{`1'2 1/2"`, 14.5 * 25.4},
		{"63pt", 63 * 25.4 / 72},
		{"480px", 127}, // W3C CSS Values: 96 px to the inch, 5 in = 127 mm
		{"1/4 in", 6.35},
		{".5in", 12.7},
		{"-2 mm", -2},
		{"- 1 1/2 in", -38.1},
		{"+3mm", 3},
		{"10 MM", 10},
		{"40 mil", 1.016},
		{"1e1mm", 10},
		{"80 µm", 0.08},
		{"2 m", 2000},
		{"0", 0},
		{"1 yd 1 ft", 1219.2},
		{"1 pc", 25.4 / 6},
		{"5 1/4″", 133.35},
	} {
		got, err := units.Parse(test.text)
		require.NoError(t, err, test.text)
		assert.InDelta(t, test.mm, got.Millimetres(), 1e-12*math.Max(1, math.Abs(test.mm)), test.text)
	}
}

func TestParseErrors(t *testing.T) {
	for _, test := range []struct {
		text   string
		offset int
	}{
		{"", 0}, {"5", 1}, {"in", 0}, {"5 furlongs", 2}, {"1/0 in", 0}, {"2 in 1 ft", 5}, {"2 in 3 in", 5},
		{"5 inx", 2}, {"1.2.3 mm", 3}, {"NaN mm", 0}, {"Inf mm", 0}, {"1e999 mm", 0}, {"--5mm", 1}, {"5 mm!", 4}, {"1/ in", 0},
	} {
		_, err := units.Parse(test.text)
		var parse *units.ParseError
		require.ErrorAs(t, err, &parse, test.text)
		assert.True(t, errors.Is(err, units.ErrSyntax))
		assert.Equal(t, test.offset, parse.Offset, test.text)
	}
	_, err := units.Parse(string(make([]byte, units.MaxTextLength+1)))
	assert.ErrorIs(t, err, units.ErrSyntax)
	assert.Panics(t, func() { units.MustParse("no") })
}

// Text and Go's own arithmetic give the same bits.
func TestParseAgreesWithConstants(t *testing.T) {
	for name, unit := range map[string]units.Length{
		"um": units.Micrometre, "mm": units.Millimetre, "cm": units.Centimetre, "m": units.Metre,
		"in": units.Inch, "ft": units.Foot, "yd": units.Yard, "mil": units.Mil,
		"pt": units.Point, "pc": units.Pica, "px": units.Pixel,
	} {
		for n := range 200 {
			v := float64(n) / 16
			got, err := units.Parse(fmt.Sprint(v, name))
			require.NoError(t, err)
			assert.Equal(t, units.Length(v)*unit, got, "%v %s", v, name)
		}
	}
}

// The largest and the smallest numbers are written so that they can be read.
func TestStringOfExtremes(t *testing.T) {
	for _, v := range []float64{1e250, -math.MaxFloat64 / 1e3, 5e-324, 1e21, 1e-15, 123456789012345678901} {
		l, err := units.Parse(units.Length(v).String())
		require.NoError(t, err, v)
		assert.Equal(t, units.Length(v), l)
		assert.LessOrEqual(t, len(units.Length(v).String()), 40)
	}
	assert.Equal(t, "0.001 mm", units.Micrometre.String())
	a, err := units.ParseAngle(units.Angle(1e305).String())
	require.NoError(t, err)
	assert.InEpsilon(t, 1e305, a.Radians(), 1e-15)
	assert.Equal(t, "1e+300 in", (1e300 * units.Inch).InchString())
	for _, v := range []any{units.Length(math.NaN()), units.Area(math.Inf(1)), units.Angle(math.Inf(-1)), units.Speed(math.NaN())} {
		_, err := json.Marshal(v)
		assert.ErrorIs(t, err, units.ErrSyntax, "%v", v)
	}
}

// NIST SP 811: the inch is 25.4 mm exactly; CSS: 96 px and 72 pt to the inch.
func TestExactConversions(t *testing.T) {
	assert.Equal(t, 25.4, units.Inch.Millimetres())
	assert.Equal(t, 304.8, units.Foot.Millimetres())
	assert.InDelta(t, 96, float64(units.Inch/units.Pixel), 1e-12)
	assert.InDelta(t, 72, float64(units.Inch/units.Point), 1e-12)
	assert.InDelta(t, 3.779528, float64(units.Millimetre/units.Pixel), 1e-6)
	assert.InDelta(t, 480, float64(127/units.Pixel), 1e-9)
	assert.Equal(t, units.Area(645.16), units.SquareInch)
	assert.InDelta(t, 1, units.Length(1000).Metres(), 0)
}

func TestFraction(t *testing.T) {
	for _, test := range []struct {
		length      units.Length
		denominator int
		want        string
	}{
		{5.375 * units.Inch, 16, "5 3/8 in"},
		{units.Inch / 4, 16, "1/4 in"},
		{12 * units.Inch, 32, "12 in"},
		{-1.5 * units.Inch, 16, "-1 1/2 in"},
		{units.Inch / 64, 64, "1/64 in"},
		{-units.Inch / 200, 16, "0 in"},
		{0.999 * units.Inch, 16, "1 in"},
		{3.3 * units.Inch, 0, "3 in"},
		{units.Length(math.Inf(1)), 16, "+Inf mm"},
	} {
		assert.Equal(t, test.want, test.length.Fraction(test.denominator))
	}
}

func TestFractionRoundTrip(t *testing.T) {
	for n := -200; n <= 200; n++ {
		for _, denominator := range []int{16, 32, 64} {
			l := units.Length(n) * units.Inch / units.Length(denominator)
			back, err := units.Parse(l.Fraction(denominator))
			require.NoError(t, err)
			assert.InDelta(t, l.Millimetres(), back.Millimetres(), 1e-9)
		}
	}
}

func TestStringRoundTrip(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 2000 {
		v := math.Ldexp(r.Float64()-0.5, r.IntN(60)-30)
		l, err := units.Parse(units.Length(v).String())
		require.NoError(t, err)
		assert.Equal(t, units.Length(v), l)
		a, err := units.ParseArea(units.Area(v).String())
		require.NoError(t, err)
		assert.Equal(t, units.Area(v), a)
		s, err := units.ParseSpeed(units.Speed(v).String())
		require.NoError(t, err)
		assert.Equal(t, units.Speed(v), s)
		g, err := units.ParseAngle(units.Angle(v).String())
		require.NoError(t, err)
		assert.InDelta(t, v, g.Radians(), 1e-10+1e-14*math.Abs(v))
	}
}

func TestOtherQuantities(t *testing.T) {
	a, err := units.ParseAngle("1/4 turn")
	require.NoError(t, err)
	assert.InDelta(t, 90, a.Degrees(), 1e-12)
	assert.Equal(t, "30 deg", (30 * units.Degree).String())
	s, err := units.ParseSpeed("15 in/s")
	require.NoError(t, err)
	assert.InDelta(t, 381, s.MillimetresPerSecond(), 1e-9)
	area, err := units.ParseArea("1 in²")
	require.NoError(t, err)
	assert.Equal(t, 645.16, area.SquareMillimetres())
	assert.Equal(t, units.Area(6), units.Length(2).Times(3))
	_, err = units.ParseArea("4 mm2 3 mm2")
	assert.ErrorIs(t, err, units.ErrSyntax)
	_, err = units.ParseSpeed("4 mm")
	assert.ErrorIs(t, err, units.ErrSyntax)
}

func TestJSON(t *testing.T) {
	var v struct {
		Height units.Length
		Limit  units.Area
		Turn   units.Angle
		Feed   units.Speed
	}
	require.NoError(t, json.Unmarshal([]byte(`{"Height":"5 1/4 in","Limit":"4 mm2","Turn":"90 deg","Feed":"30 cm/s"}`), &v))
	assert.InDelta(t, 133.35, v.Height.Millimetres(), 1e-12)
	text, err := json.Marshal(v)
	require.NoError(t, err)
	w := v
	require.NoError(t, json.Unmarshal(text, &w))
	assert.Equal(t, v, w)
	assert.Error(t, json.Unmarshal([]byte(`{"Height":5.25}`), &v), "a bare number has no unit")
	for _, bad := range []string{`{"Height":"x"}`, `{"Limit":"x"}`, `{"Turn":"x"}`, `{"Feed":"x"}`} {
		assert.ErrorIs(t, json.Unmarshal([]byte(bad), &v), units.ErrSyntax)
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"5 3/8 in", `5-3/8"`, "1 ft 2 in", "30.5 cm", "-1e3px", "1'2\"", "½ in", "0"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		l, err := units.Parse(text)
		if err != nil {
			var parse *units.ParseError
			require.ErrorAs(t, err, &parse)
			require.LessOrEqual(t, parse.Offset, len(text))
			return
		}
		require.True(t, l.IsFinite())
		back, err := units.Parse(l.String())
		require.NoError(t, err, l.String())
		require.Equal(t, l, back)
	})
}
