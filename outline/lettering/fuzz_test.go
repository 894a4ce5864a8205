package lettering

import (
	"errors"
	"fmt"
	"testing"
	"time"

	"github.com/go-fonts/liberation/liberationsansregular"
	"golang.org/x/image/font/gofont/gobold"

	"github.com/go-text/typesetting-utils/opentype"

	"github.com/vinylgeom/vinyl/units"
)

// hang is longer than any input may take, on a busy machine too.
const hang = 20 * time.Second

// isTyped reports whether err is one of the errors that Set and ParseFont promise.
func isTyped(err error) bool {
	var (
		fe *FontError
		me *MissingGlyphError
		te *TextError
		oe *OptionError
	)
	return errors.As(err, &fe) || errors.As(err, &me) || errors.As(err, &te) || errors.As(err, &oe)
}

// FuzzSetText sets any text in any manner: the answer is a typed error, or a
// sound path whose parts all name a letter of the text.
func FuzzSetText(f *testing.F) {
	for _, s := range []string{"MARLOW", "AVA To Wave", "مدرسة النهر", "Go مدر 26 كم", "e\u0301\u0302x\u20dd", "office\nffi", "a\u200db\u202ec\u2066d\u2069", "\r\n\u2028", "ที่นี่ हिन्दी", "\xff", "𝔐 🚀"} {
		f.Add(s, 50.8, 0.0, 0.0, uint16(0))
		f.Add(s, 10.0, -1.0, 5.0, uint16(0xffff))
	}
	arabic, err := opentype.Files.ReadFile("common/NotoSansArabic.ttf")
	if err != nil {
		f.Fatal(err)
	}
	var fonts []*Font
	for _, data := range [][]byte{gobold.TTF, liberationsansregular.TTF, arabic} {
		font, err := ParseFont(data, FontOptions{})
		if err != nil {
			f.Fatal(err)
		}
		fonts = append(fonts, font)
	}
	f.Fuzz(func(t *testing.T, text string, height, tracking, slant float64, modes uint16) {
		opt := Options{
			Fonts: fonts, Height: units.Length(height), HeightOf: HeightMeaning(modes & 3), Tracking: units.Length(tracking),
			Align: Align(modes >> 2 & 3), Direction: Direction(modes >> 4 & 3),
			NoKerning: modes>>6&1 != 0, NoLigatures: modes>>7&1 != 0, Slant: units.Angle(slant) * units.Degree,
		}
		alarm := time.AfterFunc(hang, func() { panic(fmt.Sprintf("hangs on %q %+v", text, opt)) })
		defer alarm.Stop()
		got, err := Set(text, opt)
		if err != nil {
			if !isTyped(err) {
				t.Fatalf("%T: %v", err, err)
			}
			return
		}
		if err := got.Path.Check(); err != nil {
			t.Fatal(err)
		}
		for _, c := range got.Path {
			for _, s := range c.Segments {
				if got.glyph(s.Origin) == nil {
					t.Fatalf("origin %d of %d", s.Origin, len(got.Glyphs))
				}
			}
		}
		for _, g := range got.Glyphs {
			if g.Offset < 0 || g.Offset+len(g.Text) > len(text) || text[g.Offset:g.Offset+len(g.Text)] != g.Text {
				t.Fatalf("glyph %+v is not of %q", g, text)
			}
			if g.Word >= len(got.Words) || g.Line >= len(got.Lines) {
				t.Fatalf("glyph %+v", g)
			}
			got.Describe(1)
		}
	})
}

// FuzzFont reads damaged fonts and sets a word in them: a typed error or a
// sound path, in bounded time and memory. The patch is the whole file where
// base is 0, else it overwrites part of a sound font.
func FuzzFont(f *testing.F) {
	bases := [][]byte{nil, gobold.TTF}
	for _, name := range []string{"common/SourceSans-VF.ttf", "common/Estedad-VF.ttf", "common/Raleway-v4020-Regular.otf", "common/OldaniaADFStd-Bold.otf", "common/LiberationMono-Italic.ttf", "collections/Gacha_9.dfont", "morx/One.ttf", "morx/Ten.ttf", "toys/CFF2-VF.otf"} {
		if data, err := opentype.Files.ReadFile(name); err == nil {
			bases = append(bases, data)
		}
	}
	f.Add(uint8(0), uint32(0), []byte("OTTO"))
	f.Add(uint8(0), uint32(0), []byte("wOFF"))
	for i, data := range bases[1:] {
		f.Add(uint8(i+1), uint32(0), []byte{})
		f.Add(uint8(i+1), uint32(len(data)/2), []byte{0xff, 0xff, 0xff, 0xff})
		f.Add(uint8(i+1), uint32(300), []byte{0})
	}
	f.Fuzz(func(t *testing.T, base uint8, at uint32, patch []byte) {
		data := patch
		if base %= uint8(len(bases)); base > 0 {
			data = append([]byte(nil), bases[base]...)
			copy(data[int(at)%len(data):], patch)
		}
		alarm := time.AfterFunc(hang, func() { panic("hangs") })
		defer alarm.Stop()
		font, err := ParseFont(data, FontOptions{})
		if err != nil {
			if !isTyped(err) {
				t.Fatalf("%T: %v", err, err)
			}
			return
		}
		for of := range InkHeight + 1 {
			for _, s := range []string{"Hi, AVA", "ffi l", "ABC"} {
				text, err := Set(s, Options{Fonts: []*Font{font}, Height: 10, HeightOf: of})
				if err != nil {
					if !isTyped(err) {
						t.Fatalf("%T: %v", err, err)
					}
					continue
				}
				if err := text.Path.Check(); err != nil {
					t.Fatal(err)
				}
			}
		}
	})
}
