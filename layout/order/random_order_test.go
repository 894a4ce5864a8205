package order_test

import (
	"io/fs"
	"math/rand/v2"
	"strings"
	"testing/fstest"

	"github.com/go-text/typesetting-utils/opentype"
	"github.com/vinylgeom/vinyl/layout/order"
	"github.com/vinylgeom/vinyl/units"
)

// voice is a font and words to set in it; the fonts lie in folders of
// go-text/typesetting-utils, which only tests use.
type voice struct {
	font  string
	words []string
}

// voices are what random orders say: words that their font can set and words
// that it cannot, in scripts that join, stack, reorder and run from the right,
// and fonts that are odd or none at all.
var voices = []voice{
	{"", []string{"MARLOW", "CREEK", "Ångström", "Ελλάδα", "Наука", "O'Neil", "7B", "i", "WAVE", "science fair club", "½ & ½", "Ñandú", "e\u0301le\u0300ve", "...", "W", "fi ffl"}},
	{"common/FreeSerif.ttf", []string{"विज्ञान मेला", "क्षत्रिय", "שלום", "שָׁלוֹם", "Team שלום 7", "สวัสดี", "வணக்கம்", "a\u0308\u0323\u0301", "☺ ★ ♞", "ক্ষ", "தமிழ் A"}},
	{"common/NotoSansArabic.ttf", []string{"مرحبا", "مدرسة العلوم", "لا إله", "١٢٣", "سَلَام"}},
	{"common/mplus-1p-regular.ttf", []string{"漢字", "科学フェア", "ガガ", "東京 2026", "ひらがな"}},
	{"common/DejaVuSans.ttf", []string{"😀 GO", "שלום", "مرحبا", "Z\u0337a\u0338l\u0335g", "∑∞", "⚙ ⚡", "ﷺ", "👩\u200d🔬"}},
	{"common/Raleway-v4020-Regular.otf", []string{"office", "AVATAR", "Łódź", "Żółć"}},
	{"common/Lmmono-italic.otf", []string{"mono", "Il1|"}},
	{"common/OldaniaADFStd-Bold.otf", []string{"Oldania", "Quay"}},
	{"common/Commissioner-VF.ttf", []string{"Variable", "Ξένος"}},
	// Beyond sound: fonts without most letters, without outlines, or none.
	{"common/NotoSansMongolian-Regular.ttf", []string{"ᠮᠣᠩᠭᠣᠯ"}},
	{"common/open-sans-v15-latin-regular.woff", []string{"packed"}},
	{"bitmap/cherry-10-r.otb", []string{"pixels"}},
	{"toys/Sbix1.ttf", []string{"A"}},
	{"toys/CFF2-VF.otf", []string{"AV"}},
	{"collections/Gacha_9.dfont", []string{"Mac"}},
	{"common", []string{"a folder"}},
	{"nowhere.ttf", []string{"none"}},
}

// sound is how many of the voices have a font that can be cut from.
const sound = 9

// orderFiles are the files beside a random order: the fonts, and what is in
// own.
type orderFiles struct{ own fstest.MapFS }

func (f orderFiles) Open(name string) (fs.File, error) {
	if file, err := f.own.Open(name); err == nil {
		return file, nil
	}
	return opentype.Files.Open(name)
}

// plate is a design without a demo's care: slots at a slant and over an edge, a shape that
// crosses itself, a stroke and a hole as thin as a hair.
const plate = `<svg xmlns="http://www.w3.org/2000/svg" width="80mm" height="60mm" viewBox="0 0 80 60">
<path d="M0,0H80V60H0Z M5,5V10.02H75V5Z"/><path d="M60,40L78,58L78,40L60,58Z"/><path d="M2,58H40" fill="none" stroke="#000" stroke-width="2"/>
<g class="slot" id="upper" data-mode="subtract"><path class="bottom" d="M8,40L58,32"/><path class="top" d="M6,22L56,14"/></g>
<g class="slot" id="lower" data-mode="weld"><path class="bottom" d="M10,57H70"/><path class="top" d="M10,46H70"/></g></svg>`

// randomOrder makes an order of one to three items that may or may not make
// sense, and its files.
func randomOrder(r *rand.Rand) (order.Order, fs.FS) {
	files := orderFiles{fstest.MapFS{"plate.svg": {Data: []byte(plate)}}}
	one := func(n int) bool { return r.IntN(n) == 0 } // in n
	mm := func(from, to float64) units.Length { return units.Length(from + (to-from)*r.Float64()) }
	pick := func(list ...string) string { return list[r.IntN(len(list))] }
	speaks := voices[0]
	switch {
	case one(2):
		speaks = voices[r.IntN(sound)]
	case one(8):
		speaks = voices[r.IntN(len(voices))]
	}
	words := func() string {
		if one(40) { // what the font most likely lacks
			return pick(voices[r.IntN(len(voices))].words...)
		}
		return pick(speaks.words...)
	}
	o := order.Order{
		Title:          "random",
		Film:           order.Film{Name: "navy", Colour: "#1d3557", Width: mm(200, 500), Class: pick("", "cast", "reflective", "heat-transfer")},
		Gap:            mm(0, 8),
		EdgeMargin:     mm(0, 15),
		Lead:           mm(0, 30),
		Words:          map[string]string{"upper": words(), "lower": words()},
		Lettering:      order.Lettering{Font: speaks.font, Rule: pick("", "", "fill", "same"), LeastHeight: mm(0, 4)},
		Gang:           pick("", "irregular", "straight"),
		WeedLines:      one(3),
		KeepTogether:   one(4),
		IdenticalLoads: one(8),
	}
	for _, name := range []string{"white", "red"} {
		o.Films = append(o.Films, order.Film{Name: name, Colour: "#c1121f", Width: mm(250, 400)})
	}
	if one(2) {
		o.MaxLoad = mm(250, 550)
	}
	if one(10) {
		o.MaxLoadMinutes = 1 + 10*r.Float64()
	}
	if one(4) {
		o.Tail, o.BorderClearance = mm(0, 20), mm(1, 10)
	}
	if one(5) {
		for range 1 + r.IntN(3) {
			o.Film.Rolls = append(o.Film.Rolls, mm(150, 2500))
		}
	}
	if one(4) {
		o.Leftovers = append(o.Leftovers, order.Leftover{Name: "rest", Length: mm(100, 400), Width: mm(100, 300)})
	}
	if one(6) {
		o.Leftovers = append(o.Leftovers, order.Leftover{Name: "frame", Film: pick("", "white"), Path: pick("M0,0H300V250H0Z M40,40V80H90V40Z", "M0,0L300,20L280,260Q100,300 10,240Z", "M0,0H10", "M0,0L200,200V0L0,200Z", "nonsense")})
	}
	if one(3) {
		o.Machine = order.Machine{KnifeOffset: mm(0, 0.6), Overcut: mm(0, 1), CutSpeed: units.Speed(mm(20, 600)), TestPiece: units.Length(r.IntN(2)) * mm(2, 10)}
	}
	for range []int{1, 1, 1, 2, 2, 3}[r.IntN(6)] { // mostly few, for there are many orders
		o.Items = append(o.Items, randomItem(r, files, one, mm, pick, words))
	}
	o.WeedBorder = pick("", "", "load", "decal", "none")
	if one(6) {
		o.Mend = pick("refuse", "warn", "caution")
	}
	return o, files
}

func randomItem(r *rand.Rand, files orderFiles, one func(int) bool, mm func(from, to float64) units.Length, pick func(...string) string, words func() string) order.Item {
	it := order.Item{
		Design: pick(order.DemoDesigns()...), Copies: 1 + r.IntN(3), Spares: r.IntN(2), Film: pick("", "", "navy", "white"),
		Turn: pick("", "none", "half", "quarter", "any"), InsideGlass: one(4), OnVehicle: one(4), For: pick("", "Class 4", "Class 5"),
	}
	if one(8) {
		it.Design, it.File = "", "plate.svg"
	}
	if one(5) {
		it.PackSize, it.Packs, it.Copies = 1+r.IntN(3), 1+r.IntN(2), 0
	}
	switch size := mm(40, 200); r.IntN(6) {
	case 0:
		it.Width = size
	case 1:
		it.Area = size.Times(size) / 2
	case 2:
		it.CapHeight = size / 12
	default:
		it.Height = size
		if one(4) {
			it.Border = mm(0, 4)
		}
	}
	if one(6) {
		it.Design, it.File, it.Colours = "rocket-colour", "", map[string]string{"#1e3a8a": "navy", "#c81e1e": "red", "#f2a900": pick("white", "red")}
		it.Trap = mm(0, 2)
	}
	switch {
	case one(4):
		it.Wordings = []order.Wording{{Words: map[string]string{"upper": words()}}, {Words: map[string]string{"lower": words()}, Copies: 2}}
	case one(8):
		it.Roster = "roster.csv"
		files.own["roster.csv"] = &fstest.MapFile{Data: []byte("upper;copies\n" + strings.ReplaceAll(words(), ";", "") + ";1\n" + words() + ";2\n")}
	}
	return it
}
