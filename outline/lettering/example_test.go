package lettering_test

import (
	"fmt"
	"golang.org/x/image/font/gofont/goregular"
	"strings"
	"testing/fstest"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/outline/lettering"
	"github.com/vinylgeom/vinyl/units"
)

func Example() {
	text, err := lettering.Set("MARLOW", lettering.Options{Height: 2 * units.Inch})
	if err != nil {
		fmt.Println(err)
		return
	}
	box := text.Bounds()
	fmt.Printf("%.1f mm wide, %.1f mm high\n", box.Width(), box.Height())
	for _, contour := range text.Path {
		if contour.Area() < 0 {
			fmt.Println(text.DescribeContour(contour))
		}
	}
	// Output:
	// 317.3 mm wide, 53.3 mm high
	// the counter of the A in MARLOW
	// the counter of the R in MARLOW
	// the counter of the O in MARLOW
}

// Letters condensed to the width of a slot, slanted, and made heavier for a
// border behind them.
func ExampleSet() {
	opt := lettering.Options{Height: 25, MaxWidth: 120, Slant: 8 * units.Degree}
	front, err := lettering.Set("SCIENCE FAIR", opt)
	if err != nil {
		fmt.Println(err)
		return
	}
	opt.MaxWidth, opt.Heavier = 124, 2
	border, err := lettering.Set("SCIENCE FAIR", opt)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("letters %.2f mm, border %.2f mm\n", front.Bounds().Width(), border.Bounds().Width())
	// Output:
	// letters 120.00 mm, border 124.00 mm
}

// A character that no font has is named with its place and the fonts tried.
func ExampleMissingGlyphError() {
	_, err := lettering.Set("Marlow ⚗", lettering.Options{Height: 20})
	fmt.Println(err)
	// Output:
	// lettering: character "⚗" (U+2697) at byte 7: no font has the character; tried Go Bold; add a font that has it to the list, or change the text
}

// What a text looks like, a sign for every 0.75 by 1.5 mm.
func ExampleText() {
	text, err := lettering.Set("FAIR", lettering.Options{Height: 12, Tracking: 1})
	if err != nil {
		fmt.Println(err)
		return
	}
	box := text.Bounds()
	for y := box.Max.Y - 0.5; y > box.Min.Y; y -= 1.5 {
		var line strings.Builder
		for x := box.Min.X + 0.3; x < box.Max.X; x += 0.75 {
			sign := " "
			if text.Path.Contains(outline.Pt(x, y)) {
				sign = "#"
			}
			line.WriteString(sign)
		}
		fmt.Println("|" + strings.TrimRight(line.String(), " "))
	}
	// Output:
	// |###########        ####        ########     ##########
	// |###               ######          ###       ###    ####
	// |###               ## ####         ###       ###     ###
	// |###              ##   ###         ###       ###    ####
	// |##########      ##     ###        ###       ########
	// |###            ############       ###       ###   ####
	// |###            ##       ####      ###       ###     ###
	// |###           ##         ###   ########     ###      ####
}

// The shop's own font, from any file system; a font of several weights is set
// by FontOptions.Axes.
func ExampleOpenFont() {
	shelf := fstest.MapFS{"regular.ttf": {Data: goregular.TTF}} // or os.DirFS("fonts")
	font, err := lettering.OpenFont(shelf, "regular.ttf", lettering.FontOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	text, err := lettering.Set("Marlow", lettering.Options{Height: 20, Fonts: []*lettering.Font{font, lettering.Default()}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(len(text.Glyphs), "letters of", text.Glyphs[0].Font.Name())
	// Output: 6 letters of regular.ttf
}

// The em at which capitals come out an inch high.
func ExampleFont_EmFor() {
	font := lettering.Default()
	em, err := font.EmFor(units.Inch, lettering.CapHeight)
	if err != nil {
		fmt.Println(err)
		return
	}
	m := font.Metrics(em)
	fmt.Printf("em %.1f mm, small letters %.1f mm\n", em.Millimetres(), m.XHeight.Millimetres())
	// Output:
	// em 35.1 mm, small letters 18.8 mm
}
