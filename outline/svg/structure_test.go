package svg_test

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/outline/svg"
	"github.com/vinylgeom/vinyl/units"
)

func TestPhysicalSize(t *testing.T) {
	// 96 px, 72 pt and 6 pc to the inch (CSS Values and Units Level 3).
	for _, c := range []struct {
		attributes    string
		width, height units.Length
		unit          float64 // millimetres to the user unit, along x
	}{
		{`width="100mm" height="50mm"`, 100, 50, 25.4 / 96},
		{`width="4in" height="96"`, 101.6, 25.4, 25.4 / 96},
		{`width="72pt" height="6pc"`, 25.4, 25.4, 25.4 / 96},
		{`width="2.54cm" height="40q"`, 25.4, 10, 25.4 / 96},
		{`width="2.54CM" height="40Q"`, 25.4, 10, 25.4 / 96},
		{`width="100mm" height="50mm" viewBox="0 0 10 5"`, 100, 50, 10},
		{`viewBox="0 0 96 48"`, 25.4, 12.7, 25.4 / 96},
		{`width="100%" height="100%" viewBox="0 0 96 48"`, 25.4, 12.7, 25.4 / 96},
		{`width="50mm" viewBox="0 0 96 48"`, 50, 25, 50.0 / 96},
		{`height="50mm" width="auto" viewBox="0 0 96 48"`, 100, 50, 100.0 / 96},
		{``, 300 * units.Pixel, 150 * units.Pixel, 25.4 / 96},
	} {
		d := read(t, `<svg xmlns="http://www.w3.org/2000/svg" `+c.attributes+`><rect width="1" height="1"/></svg>`)
		assert.InDelta(t, float64(c.width), float64(d.Width), same, c.attributes)
		assert.InDelta(t, float64(c.height), float64(d.Height), same, c.attributes)
		assert.InDelta(t, c.unit, d.Shapes[0].Path.Bounds().Width(), same, c.attributes)
		assert.InDelta(t, float64(c.height), d.Shapes[0].Path.Bounds().Max.Y, same, c.attributes)
	}
	// Artwork saved at 72 pixels to the inch.
	d, err := svg.Read(strings.NewReader(`<svg width="720" height="72"><rect width="72" height="10"/></svg>`), svg.Options{Pixel: units.Point})
	require.NoError(t, err)
	assert.InDelta(t, 254, float64(d.Width), same)
	assert.InDelta(t, 25.4, d.Shapes[0].Path.Bounds().Width(), same)
}

// Every alignment of W3C SVG 2, 8.6, with the spare room worked out by hand: a
// box of 10 by 20 in a page of 100 by 100 is scaled by 5 (meet) or 10 (slice).
func TestPreserveAspectRatio(t *testing.T) {
	for _, c := range []struct {
		value                  string
		left, top, right, base float64 // of the box on the page, y down
	}{
		{"", 25, 0, 75, 100},
		{"xMidYMid", 25, 0, 75, 100},
		{"xMinYMin meet", 0, 0, 50, 100},
		{"xMinYMax meet", 0, 0, 50, 100},
		{"xMaxYMid", 50, 0, 100, 100},
		{"none", 0, 0, 100, 100},
		{"none slice", 0, 0, 100, 100},
		{"xMidYMin slice", 0, 0, 100, 200},
		{"xMaxYMid slice", 0, -50, 100, 150},
		{"xMinYMax slice", 0, -100, 100, 100},
		{"defer xMidYMax", 25, 0, 75, 100},
	} {
		// The box does not start at 0: its corner is mapped too.
		d := read(t, `<svg width="100mm" height="100mm" viewBox="-5 7 10 20" preserveAspectRatio="`+c.value+`"><rect x="-5" y="7" width="10" height="20"/></svg>`)
		assertBox(t, c.left, 100-c.base, c.right, 100-c.top, d.Shapes[0].Path.Bounds())
		sliced := strings.HasSuffix(c.value, "slice") && !strings.HasPrefix(c.value, "none")
		assert.Equal(t, sliced, len(d.Warnings) > 0, c.value)
	}
	// A flat box, so that the vertical alignment tells.
	for value, top := range map[string]float64{"xMidYMin": 0, "xMidYMid": 25, "xMaxYMax": 50} {
		d := read(t, `<svg width="100mm" height="100mm" viewBox="0 0 20 10" preserveAspectRatio="`+value+`"><rect width="20" height="10"/></svg>`)
		assertBox(t, 0, 50-top, 100, 100-top, d.Shapes[0].Path.Bounds())
	}
}

func TestBasicShapes(t *testing.T) {
	const pi = 3.141592653589793
	for _, c := range []struct {
		element                string
		left, top, right, base float64
		area                   float64
	}{
		{`<rect x="1" y="2" width="10" height="20"/>`, 1, 2, 11, 22, 200},
		{`<rect width="10" height="20" rx="2"/>`, 0, 0, 10, 20, 200 - (4-pi)*4},
		{`<rect width="10" height="20" ry="2"/>`, 0, 0, 10, 20, 200 - (4-pi)*4},
		{`<rect width="10" height="20" rx="2" ry="3"/>`, 0, 0, 10, 20, 200 - (4-pi)*6},
		{`<rect width="10" height="20" rx="99" ry="99"/>`, 0, 0, 10, 20, pi * 50},
		{`<rect width="10" height="20" rx="0" ry="5"/>`, 0, 0, 10, 20, 200},
		{`<rect width="10%" height="50%"/>`, 0, 0, 10, 40, 400},
		{`<rect x="1in" width="25.4mm" height="96px"/>`, 96, 0, 192, 96, 9216},
		{`<circle cx="30" cy="40" r="10"/>`, 20, 30, 40, 50, pi * 100},
		{`<ellipse cx="30" cy="40" rx="10" ry="5"/>`, 20, 35, 40, 45, pi * 50},
		{`<ellipse cx="30" cy="40" rx="auto" ry="5"/>`, 25, 35, 35, 45, pi * 25},
		{`<polygon points="10,10 30,10 30,20"/>`, 10, 10, 30, 20, 100},
		{`<polygon points="10 10-5-5.5 30,20"/>`, -5, -5.5, 30, 20, 92.5 / 2 * 0},
		{`<polyline points="10,10 30,10 30,20"/>`, 10, 10, 30, 20, 100},
	} {
		s := read(t, page(c.element)).Shapes[0]
		assertNearBox(t, c.left, 80-c.base, c.right, 80-c.top, s.Path.Bounds(), 0.005, c.element)
		if c.area > 0 {
			// Within the tolerance along the border.
			assert.InDelta(t, c.area, float64(s.Path.Area()), 0.005*float64(s.Path.Length(0))+same, c.element)
		}
	}
	for _, nothing := range []string{
		`<rect width="0" height="9"/>`, `<rect height="9"/>`, `<circle r="0"/>`, `<ellipse rx="4" ry="0"/>`, `<polygon points=""/>`,
		`<path d=""/>`, `<path d="none"/>`, `<path/>`, `<g/>`,
	} {
		assert.Empty(t, read(t, page(nothing)).Shapes, nothing)
	}
	line := read(t, page(`<line x1="1" y1="2" x2="30" y2="40"/>`)).Shapes[0]
	assert.Empty(t, line.Path, "a line has no inside")
	assert.Empty(t, line.Fill)
	assert.Equal(t, outline.Polyline(outline.Pt(1, 78), outline.Pt(30, 40)), line.Curves[0])
}

func assertNearBox(t *testing.T, minX, minY, maxX, maxY float64, b outline.Box, within float64, about string) {
	t.Helper()
	assert.InDelta(t, minX, b.Min.X, within, about)
	assert.InDelta(t, minY, b.Min.Y, within, about)
	assert.InDelta(t, maxX, b.Max.X, within, about)
	assert.InDelta(t, maxY, b.Max.Y, within, about)
}

func TestUseSymbolNested(t *testing.T) {
	for _, c := range []struct {
		elements               string
		left, top, right, base float64
	}{
		{`<defs><rect id="r" width="4" height="2"/></defs><use href="#r" x="10" y="20"/>`, 10, 20, 14, 22},
		{`<defs><rect id="r" width="4" height="2"/></defs><use xlink:href="#r" transform="scale(2)" x="10"/>`, 20, 0, 28, 4},
		{`<use href="#later"/><defs><g id="later" transform="translate(5 5)"><rect width="4" height="2"/></g></defs>`, 5, 5, 9, 7},
		{`<symbol id="s" viewBox="0 0 10 10"><rect width="10" height="10"/></symbol><use href="#s" x="20" y="10" width="40" height="20"/>`, 30, 10, 50, 30},
		{`<symbol id="s" viewBox="0 0 10 10" preserveAspectRatio="none"><rect width="10" height="10"/></symbol><use href="#s" x="20" y="10" width="40" height="20"/>`, 20, 10, 60, 30},
		{`<symbol id="s" viewBox="0 0 10 10" preserveAspectRatio="xMinYMin"><rect width="10" height="10"/></symbol><use href="#s"/>`, 0, 0, 80, 80},
		{`<symbol id="s"><rect width="50%" height="50%"/></symbol><use href="#s" width="20" height="10"/>`, 0, 0, 10, 5},
		{`<svg x="10" y="10" width="40" height="20" viewBox="0 0 4 4"><circle cx="2" cy="2" r="2"/></svg>`, 20, 10, 40, 30},
		{`<svg width="40" height="20"><svg x="50%" y="50%" width="50%" height="50%"><rect width="100%" height="100%"/></svg></svg>`, 20, 10, 40, 20},
		{`<g transform="translate(10,0)"><g transform="rotate(90)"><rect width="4" height="2"/></g></g>`, 8, 0, 10, 4},
		{`<g transform="translate(50,90) rotate(-45) translate(130,160)"><rect width=".0001" height=".0001"/></g>`, 255.061, 111.213, 255.061, 111.213},
		{`<g style="transform:translate(10px,0)"><rect width="4" height="2"/></g>`, 10, 0, 14, 2},
		{`<style>.m{transform:scale(2)}</style><g class="m" transform="scale(9)"><g><rect width="4" height="2"/></g></g>`, 0, 0, 8, 4},
		{`<a href="x"><rect width="4" height="2"/></a>`, 0, 0, 4, 2},
		{`<switch><rect systemLanguage="xx" width="9" height="9"/><rect width="4" height="2"/><rect width="8" height="8"/></switch>`, 0, 0, 4, 2},
	} {
		d := read(t, page(c.elements))
		require.Len(t, d.Shapes, 1, c.elements)
		assertNearBox(t, c.left, 80-c.base, c.right, 80-c.top, d.Shapes[0].Path.Bounds(), 0.002, c.elements)
	}
}

func TestStyles(t *testing.T) {
	fillOf := func(elements string) string {
		d := read(t, page(elements))
		if len(d.Shapes) == 0 {
			return "not drawn"
		}
		return d.Shapes[0].Fill
	}
	const r = ` width="4" height="2"/>`
	for elements, want := range map[string]string{
		`<rect` + r:                                                                        "#000000",
		`<rect fill="red"` + r:                                                             "#ff0000",
		`<rect fill="red" style="fill:#00f"` + r:                                           "#0000ff",
		`<g fill="red"><rect` + r + `</g>`:                                                 "#ff0000",
		`<g fill="red"><rect fill="inherit"` + r + `</g>`:                                  "#ff0000",
		`<g color="lime"><rect fill="currentColor"` + r + `</g>`:                           "#00ff00",
		`<rect fill="nonsense"` + r:                                                        "#000000",
		`<rect fill="none"` + r:                                                            "",
		`<rect fill-opacity="0"` + r:                                                       "",
		`<rect display="none"` + r:                                                         "not drawn",
		`<g display="none"><rect display="inline"` + r + `</g>`:                            "not drawn",
		`<rect visibility="hidden"` + r:                                                    "not drawn",
		`<g visibility="hidden"><rect visibility="visible"` + r + `</g>`:                   "#000000",
		`<style>.a{fill:red}</style><rect class="a"` + r:                                   "#ff0000",
		`<style>.a{fill:red}</style><rect class="b a" fill="blue"` + r:                     "#ff0000",
		`<style>.a{fill:red}</style><rect class="a" style="fill:blue"` + r:                 "#0000ff",
		`<style>.a{fill:red!important}</style><rect class="a" style="fill:blue"` + r:       "#ff0000",
		`<style>rect{fill:red} .a{fill:lime} rect.a{fill:blue}</style><rect class="a"` + r: "#0000ff",
		`<style>#x{fill:red} .a.b{fill:blue}</style><rect id="x" class="a b"` + r:          "#ff0000",
		`<style>.a{fill:red}.a{fill:lime}</style><rect class="a"` + r:                      "#00ff00",
		`<style>.b,.a{fill:red}</style><rect class="a"` + r:                                "#ff0000",
		`<style>*{fill:red}</style><rect` + r:                                              "#ff0000",
		`<style><![CDATA[ /* c { } */ .a { fill : red ; } ]]></style><rect class="a"` + r:  "#ff0000",
		`<style>@media print{.a{fill:red}}.a{fill:lime}</style><rect class="a"` + r:        "#00ff00",
		`<rect class="a"` + r + `<style>.a{fill:red}</style>`:                              "#ff0000",
		`<style>.g{fill:red}</style><g class="g"><rect` + r + `</g>`:                       "#ff0000",
	} {
		assert.Equal(t, want, fillOf(elements), elements)
	}
}

func TestIdentityOfShapes(t *testing.T) {
	d := read(t, page(`
<g xmlns:editor="http://example.org/editor" editor:label="Layer 1" id="layer1" data-film="gold">
	<g class="inner"><path id="p" class="a b" data-mode="weld" data-x="1" d="M0 0H9V9Z"/></g>
</g>`))
	s := d.Shapes[0]
	assert.Equal(t, "p", s.ID)
	assert.Equal(t, "a b", s.Class)
	assert.Equal(t, "path", s.Element)
	assert.Equal(t, 3, s.Line)
	assert.Equal(t, map[string]string{"mode": "weld", "x": "1"}, s.Data)
	assert.Equal(t, []svg.Group{{ID: "layer1", Label: "Layer 1", Data: map[string]string{"film": "gold"}}, {Class: "inner"}}, s.Groups)
}

func TestFillAndStrokeOfTwoColours(t *testing.T) {
	d := read(t, page(`<rect x="10" y="10" width="20" height="10" fill="red" stroke="blue" stroke-width="2"/>`))
	require.Len(t, d.Shapes, 2)
	assert.Equal(t, svg.FillOnly, d.Shapes[0].Part)
	assert.Equal(t, "#ff0000", d.Shapes[0].Fill)
	assert.InDelta(t, 200, float64(d.Shapes[0].Path.Area()), same)
	assert.Equal(t, svg.StrokeOnly, d.Shapes[1].Part)
	assert.Equal(t, "#0000ff", d.Shapes[1].Fill)
	assert.InDelta(t, 22*12-18*8, float64(d.Shapes[1].Path.Area()), same)
	assert.Empty(t, d.Shapes[1].Curves)

	d = read(t, page(`<rect x="10" y="10" width="20" height="10" stroke="#000" stroke-width="2"/>`))
	require.Len(t, d.Shapes, 1)
	assert.Equal(t, svg.Whole, d.Shapes[0].Part)
	assert.InDelta(t, 22*12, float64(d.Shapes[0].Path.Area()), same)
}

func TestOverlappingFills(t *testing.T) {
	// A bow-tie of two triangles of area 25; a five-pointed star whose middle
	// is filled by one rule and open by the other (W3C SVG 2, 13.4.2).
	bow := read(t, page(`<path d="M0 0L10 10V0L0 10Z"/>`)).Shapes[0].Path
	assert.InDelta(t, 50, float64(bow.Area()), 1e-6)
	const star = `d="M50,2 L78.2,40.8 L4.4,16.8 L82,-7.2 L32.6,40.8 z"`
	full := read(t, page(`<path `+star+`/>`)).Shapes[0].Path
	open := read(t, page(`<path fill-rule="evenodd" `+star+`/>`)).Shapes[0].Path
	assert.Greater(t, float64(full.Area()), float64(open.Area())+1)
	for _, p := range []outline.Path{bow, full, open} {
		for _, c := range p {
			require.NoError(t, outline.Path{c}.Check())
		}
	}
	// Two overlapping squares as one path: 2·100 - 25, the middle once or not at all.
	const squares = `d="M0 0H10V10H0ZM5 5H15V15H5Z"`
	assert.InDelta(t, 175, float64(read(t, page(`<path `+squares+`/>`)).Shapes[0].Path.Area()), 1e-6)
	assert.InDelta(t, 150, float64(read(t, page(`<path fill-rule="evenodd" `+squares+`/>`)).Shapes[0].Path.Area()), 1e-6)
}

func TestWarnings(t *testing.T) {
	for elements, want := range map[string]string{
		"\n<text id=\"t\">Marlow</text>":                  `line 2: text#t: text is not cut: convert it to paths, or set it with the lettering package`,
		`<image href="x.png"/>`:                           `line 1: image: an image has no outline to cut: trace it first`,
		`<foreignObject/>`:                                `line 1: foreignObject: foreignObject has no outline to cut`,
		`<rect fill="url(#g)" width="1" height="1"/>`:     `line 1: rect: a gradient or pattern is not applied: the area is cut in one colour`,
		`<rect filter="url(#f)" width="1" height="1"/>`:   `line 1: rect: filter is not applied: it is cut without`,
		`<g style="clip-path:url(#c)"/>`:                  `line 1: g: clip-path is not applied: it is cut without`,
		`<g mask="url(#m)"/>`:                             `line 1: g: mask is not applied: it is cut without`,
		`<path marker-end="url(#m)" d="M0 0h1"/>`:         `line 1: path: marker-end is not applied: it is cut without`,
		`<rect opacity="0.5" width="1" height="1"/>`:      `line 1: rect: opacity is not applied: film is opaque`,
		`<g opacity="0"><rect width="1" height="1"/></g>`: `line 1: g: opacity is 0: it is not cut`,
		`<rect style="rx:3" width="9" height="9"/>`:       `line 1: rect: rx is not applied: it is cut without`,
		`<g transform-origin="5 5"/>`:                     `line 1: g: transform-origin is not applied: it is cut without`,
		`<rect x="95" width="6" height="1"/>`:             `line 1: rect: it reaches beyond the page, to 101 mm across and 80 mm up; it is cut all the same`,
		`<circle r="2" cx="3" cy="1"/>`:                   `line 1: circle: it reaches beyond the page, to 5 mm across and 81 mm up; it is cut all the same`,
		`<circle r="2" cx="1" cy="10"/>`:                  `line 1: circle: it reaches beyond the page, to -1 mm across and 72 mm up; it is cut all the same`,
		`<use href="#nowhere"/>`:                          `line 1: use: what "#nowhere" refers to is not in this file: it is not cut`,
		`<use href="other.svg#x"/>`:                       `line 1: use: what "other.svg#x" refers to is not in this file: it is not cut`,
		`<blob/>`:                                         `line 1: blob: blob is not known: it is not cut`,
		`<style>g rect{fill:red}</style>`:                 `line 1: style: rule "g rect" is not applied: only element names, classes and ids are understood`,
		`<style>@import url(x.css);.a{fill:red}</style>`:  `line 1: style: rule "@import url(x.css)" is not applied: only element names, classes and ids are understood`,
	} {
		d := read(t, page(elements))
		require.Len(t, d.Warnings, 1, elements)
		assert.Equal(t, want, d.Warnings[0].String())
	}
	// Notes of editors and what is not drawn say nothing.
	assert.Empty(t, read(t, page(`<title>x</title><metadata><x/></metadata><e:grid xmlns:e="urn:e"><text>no</text></e:grid><defs><text>x</text></defs><text display="none">x</text>`)).Warnings)
	d := read(t, page(strings.Repeat("<text/>\n", 500)))
	assert.Len(t, d.Warnings, svg.MaxWarnings)
	assert.Equal(t, "301 more warnings", d.Warnings[svg.MaxWarnings-1].Message)
}

func TestErrors(t *testing.T) {
	for text, cause := range map[string]error{
		``:                                   svg.ErrNotSVG,
		`plain text`:                         svg.ErrNotSVG,
		`<html></html>`:                      svg.ErrNotSVG,
		`<svg>`:                              svg.ErrXML,
		`<svg/><svg/>`:                       svg.ErrXML,
		`<svg><g></svg>`:                     svg.ErrXML,
		`<svg><g x="<"/></svg>`:              svg.ErrXML,
		`<svg>&nothing;</svg>`:               svg.ErrXML,
		"<svg>\x01</svg>":                    svg.ErrXML,
		`<svg width="0" height="5"/>`:        svg.ErrNoSize,
		`<svg width="-4" height="5"/>`:       svg.ErrNoSize,
		`<svg width="2km" height="5"/>`:      svg.ErrSyntax,
		`<svg width="2em" height="5"/>`:      svg.ErrSyntax,
		`<svg width="1e300" height="5"/>`:    svg.ErrTooFar,
		`<svg width="900000in" height="5"/>`: svg.ErrTooFar,
		`<svg viewBox="0 0 10"/>`:            svg.ErrSyntax,
		`<svg viewBox="0 0 -1 10"/>`:         svg.ErrSyntax,
		`<svg viewBox="0 0 0 10"/>`:          svg.ErrSyntax,
		`<svg viewBox="0 0 1 1" preserveAspectRatio="middle"/>`:              svg.ErrSyntax,
		page(`<path d="M0 0L"/>`):                                            svg.ErrSyntax,
		page(`<rect width="x" height="1"/>`):                                 svg.ErrSyntax,
		page(`<rect width="-1" height="1"/>`):                                svg.ErrSyntax,
		page(`<circle r="-1"/>`):                                             svg.ErrSyntax,
		page(`<polygon points="1 2 3"/>`):                                    svg.ErrSyntax,
		page(`<g transform="rotate(a)"/>`):                                   svg.ErrSyntax,
		page(`<g stroke-width="-1"/>`):                                       svg.ErrSyntax,
		page(`<g style="stroke-dasharray:1,-1"/>`):                           svg.ErrSyntax,
		page(`<g stroke-miterlimit="0.5"/>`):                                 svg.ErrSyntax,
		page(`<use id="a" href="#a"/>`):                                      svg.ErrReference,
		page(`<g id="a"><use href="#b"/></g><g id="b"><use href="#a"/></g>`): svg.ErrReference,
		page(`<g transform="scale(1e6)"><rect width="1" height="2"/></g>`):   svg.ErrTooFar,
		page(`<path d="M0 0` + strings.Repeat("h999999", 1002) + `"/>`):      svg.ErrTooFar,
	} {
		d, err := svg.Read(strings.NewReader(text), svg.Options{})
		assert.Nil(t, d, text)
		var fault *svg.ReadError
		if assert.ErrorAs(t, err, &fault, text) {
			assert.ErrorIs(t, err, cause, text)
			assert.NotEmpty(t, err.Error())
		}
	}
	_, err := svg.Read(strings.NewReader(page("\n\n<g><path id='leaf' d='M0 0L5'/></g>")), svg.Options{})
	assert.EqualError(t, err, `svg: line 3: path#leaf: d="M0 0L5" at byte 6: the value does not follow the SVG grammar; give a number there`)
	_, err = svg.Read(strings.NewReader(page("")), svg.Options{Tolerance: -1})
	assert.ErrorIs(t, err, svg.ErrInvalidOption)
}

// Files that ask for more than any artwork: each must fail early and say why.
func TestLimits(t *testing.T) {
	doubling := func(levels int, leaf string) string {
		s := `<g id="u0">` + leaf + `</g>`
		for i := 1; i <= levels; i++ {
			s += fmt.Sprintf(`<g id="u%d"><use href="#u%d"/><use href="#u%d"/></g>`, i, i-1, i-1)
		}
		return page(`<defs>` + s + `</defs>` + fmt.Sprintf(`<use href="#u%d"/>`, levels))
	}
	zigzag := func(n int) string {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, "%d %d ", i*7919%100, i*104729%101)
		}
		return b.String()
	}
	for name, text := range map[string]string{
		"deep":          page(strings.Repeat("<g>", svg.MaxDepth+1)),
		"many elements": page(strings.Repeat("<g/>", svg.MaxElements+1)),
		"doubling uses": doubling(17, `<g/>`),
		"deep uses":     doubling(svg.MaxUseDepth+1, ""),
		"nodes by use":  doubling(12, `<path fill="none" d="M0 0`+strings.Repeat("h1v1", 1000)+`"/>`),
		"many attributes": page(`<g ` + func() (s string) {
			var b strings.Builder
			for i := range svg.MaxAttributes + 1 {
				fmt.Fprintf(&b, ` a%d=""`, i)
			}
			return b.String()
		}() + `/>`),
		"style":            page(`<style>` + strings.Repeat("x", svg.MaxStyleBytes+1) + `</style>`),
		"rules times uses": page(`<style>` + strings.Repeat(".a{fill:red}", svg.MaxRules) + `</style>` + strings.Repeat(`<g class="a"/>`, svg.MaxApplied/svg.MaxRules+1)),
		"crossings":        page(`<polygon points="` + zigzag(6000) + `"/>`),
		"wide pen":         page(`<polyline fill="none" stroke="#000" stroke-width="50" points="` + zigzag(3000) + `"/>`),
		"dashes":           page(`<path stroke="#000" stroke-dasharray="0.0001" d="M0 0H100"/>`),
		"tiny dashes":      page(`<path stroke="#000" stroke-dasharray="1e-300" d="M0 0H100"/>`),
		"dash array":       page(`<g stroke-dasharray="` + strings.Repeat("1 ", 2000) + `"/>`),
		"entities":         `<!DOCTYPE svg [<!ENTITY a "` + strings.Repeat("x", 99) + `">]>` + page(`<g id="`+strings.Repeat("x", 1<<20+8192)+`"/>`),
	} {
		t.Run(name, func(t *testing.T) {
			d, err := svg.Read(strings.NewReader(text), svg.Options{})
			assert.Nil(t, d)
			var fault *svg.ReadError
			require.ErrorAs(t, err, &fault)
			assert.ErrorIs(t, err, svg.ErrTooLarge)
		})
	}
}

type failing struct{}

func (failing) Read([]byte) (int, error) { return 0, fmt.Errorf("the disk is gone") }

func TestReaderErrorIsKept(t *testing.T) {
	_, err := svg.Read(failing{}, svg.Options{})
	assert.ErrorContains(t, err, "the disk is gone")
	assert.NotErrorIs(t, err, svg.ErrXML)
}

func TestEncodings(t *testing.T) {
	const body = `<svg width="1in" height="1in"><g id="caf` + "%s" + `"><rect width="9" height="9"/></g></svg>`
	for name, text := range map[string]string{
		"utf-8":         fmt.Sprintf(body, "é"),
		"byte order":    "\ufeff" + fmt.Sprintf(body, "é"),
		"declared":      `<?xml version="1.0" encoding="UTF-8"?>` + fmt.Sprintf(body, "é"),
		"latin 1":       `<?xml version="1.0" encoding="ISO-8859-1"?>` + fmt.Sprintf(body, "\xe9"),
		"entity":        `<!DOCTYPE svg [<!ENTITY e "é">]>` + fmt.Sprintf(body, "&e;"),
		"character ref": fmt.Sprintf(body, "&#233;"),
	} {
		d, err := svg.Read(strings.NewReader(text), svg.Options{})
		require.NoError(t, err, name)
		assert.Equal(t, "café", d.Shapes[0].Groups[0].ID, name)
	}
	_, err := svg.Read(strings.NewReader(`<?xml version="1.0" encoding="klingon"?><svg/>`), svg.Options{})
	assert.ErrorIs(t, err, svg.ErrXML)

	var packed bytes.Buffer
	w := gzip.NewWriter(&packed)
	fmt.Fprintf(w, body, "é")
	require.NoError(t, w.Close())
	d, err := svg.Read(&packed, svg.Options{})
	require.NoError(t, err)
	assert.Len(t, d.Shapes, 1)
}
