package jobsheet

import (
	"embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"math"
	"strings"

	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/outline/svg"
	"github.com/vinylgeom/vinyl/units"
)

// Job is what a job sheet tells.
type Job struct {
	Title    string // the order's name
	Customer string // who it is for; may be empty

	Films      []Film // what to load, in the order of use
	Blade      string // how to set it; empty: as film and machine want it
	Gap        units.Length
	EdgeMargin units.Length

	Loads   []Load
	Designs []Design

	// Change tells, in order, where a roll or a film is changed.
	Change []string
	// Plan is the timetable as SVG, as package production writes it; empty:
	// none. It is put into the page as it stands.
	Plan []byte
	// PlanPicture is the timetable as PNG, for the PDF; empty: none.
	PlanPicture []byte
	// Finish is what the plan promises, such as "4:06 hours".
	Finish string
	// Begin says when to begin for a deadline; empty: there is none.
	Begin string
	// Packing lists what goes to whom.
	Packing []Parcel
	// Prices are the lines of a quote; empty: the order is not priced.
	Prices []Price
	// Packs are prices by pack size; empty: none. Rounding says how all prices
	// are rounded.
	Packs    []PackPrice
	Rounding string
	// Notes are what somebody should look at before cutting.
	Notes []string
}

// Film is a film of the job.
type Film struct {
	Name   string       // such as "matt navy"
	Colour string       // CSS colour
	Class  string       // such as "calendered"
	Width  units.Length // nominal
	Length units.Length // from its rolls, all loads
	Loads  int          // from its rolls or leftovers
}

// PackPrice is what a pack costs, amounts as they are printed.
type PackPrice struct {
	Size                             int
	PerDecal, Pack, Buyer, ClubKeeps string
}

// Parcel is what one customer gets.
type Parcel struct {
	For   string
	Lines []ParcelLine
}

// ParcelLine is the decals of one wording in a parcel.
type ParcelLine struct {
	IDs    string // first and last id, such as "B-01 to B-08"
	Design string
	Words  string
	Copies int // spares not counted
	Spares int
	Packs  string // such as "4 packs of 25"; empty: loose
}

// Price is a line of a quote.
type Price struct{ What, Amount string }

// Load is one load of the job.
type Load struct {
	Name         string
	From         string // the film, and the roll or the leftover
	SameAs       string // cut that load's file again; it has no picture then
	Length       units.Length
	UsedFraction float64 // 0 to 1
	// Pictures are the proof as PNG, with the numbers of Picks on it: one, or one
	// of each stretch of a long load, from its start on (see package proof).
	Pictures [][]byte
	// Picks lists the counters to pick out, in the order of picking, with the
	// numbers on the picture; PicksAs names an earlier load that has the same.
	Picks       []DecalPicks
	PicksAs     string
	Rest        string // what of the film is worth keeping
	Tape        string // what application tape is cut off for it; empty: not planned
	Decals      []string
	Counters    int // to pick out
	CutSeconds  float64
	WeedMinutes float64
}

// DecalPicks is what is picked out of one decal.
type DecalPicks struct {
	ID    string // of the decal, such as B-07
	Picks []Pick
}

// Pick is one counter to pick out.
type Pick struct {
	Number int          // from 1 in the load, as on its picture
	What   string       // such as "the A of MARLOW"
	Width  units.Length // of the largest circle in it
	Narrow bool         // too narrow for a pick tool
}

// Design is one design of the job with its words in it.
type Design struct {
	Letter        string // stands first in the ids of its decals, such as B in B-07
	IDs           string // of its decals, such as "B-01 to B-08"
	Name          string
	Words         []Words
	Copies        int
	Width, Height units.Length
	Colour        string // CSS colour of its film
	Film          string // its film's name; empty: the customer reads the colour
	Mirrored      bool   // cut mirrored, to be read through glass
	Path          outline.Path
	Counters      int
	Islands       int
	Notes         []string // what the weedability report found
	Changed       []string // what was changed of the artwork so that it can be cut
}

// Words is the text of one slot.
type Words struct {
	Slot, Text string
	Readable   units.Length // from how far it can be read at most; zero: not known
}

// FilmLength returns the length of film from rolls.
func (j Job) FilmLength() units.Length {
	var sum units.Length
	for _, f := range j.Films {
		sum += f.Length
	}
	return sum
}

// CutSeconds returns the seconds of cutting of all loads.
func (j Job) CutSeconds() float64 {
	var sum float64
	for _, l := range j.Loads {
		sum += l.CutSeconds
	}
	return sum
}

// WeedMinutes returns the minutes of weeding of all loads.
func (j Job) WeedMinutes() float64 {
	var sum float64
	for _, l := range j.Loads {
		sum += l.WeedMinutes
	}
	return sum
}

// Counters returns the counters to pick in all loads.
func (j Job) Counters() int {
	n := 0
	for _, l := range j.Loads {
		n += l.Counters
	}
	return n
}

// Decals returns the number of decals in all loads.
func (j Job) Decals() int {
	n := 0
	for _, l := range j.Loads {
		n += len(l.Decals)
	}
	return n
}

//go:embed *.gohtml
var files embed.FS

// designsOf counts designs and, where some have several, their wordings.
func designsOf(list []Design) string {
	letters := map[string]bool{}
	for _, d := range list {
		letters[d.Letter] = true
	}
	text := fmt.Sprintf("%d designs", len(letters))
	if len(letters) == 1 {
		text = "1 design"
	}
	if len(list) > len(letters) {
		text += fmt.Sprintf(", %d wordings", len(list))
	}
	return text
}

var functions = template.FuncMap{
	"designs": designsOf,
	"ids":     func(ids []string) []string { return strings.Split(layout.JoinIDs(ids), ", ") },
	"inch":    func(l units.Length) string { return l.InchString() },
	"ruler":   func(l units.Length) string { return l.Fraction(16) },
	"mm":      func(l units.Length) string { return fmt.Sprintf("%.1f mm", float64(l)) },
	"tenths":  func(l units.Length) string { return fmt.Sprintf("%.1f", float64(l)) }, // of a millimetre, its name said elsewhere
	"metres":  func(l units.Length) string { return fmt.Sprintf("%.2f m", l.Metres()) },
	"far":     func(l units.Length) string { return fmt.Sprintf("%.0f m", math.Floor(l.Metres())) },
	"percent": func(v float64) string { return fmt.Sprintf("%.0f %%", 100*v) },
	"minutes": minutes,
	"seconds": func(s float64) string { return minutes(s / 60) },
	"spelled": spelled,
	"colour":  func(c string) template.CSS { return template.CSS(safeColour(c)) },
	"data": func(png []byte) template.URL {
		return template.URL("data:image/png;base64," + base64.StdEncoding.EncodeToString(png))
	},
	"picture": picture,
	"parts":   pickParts,
	"chart":   func(svg []byte) template.HTML { return template.HTML(svg) },
}

var pages = template.Must(template.New("pages").Funcs(functions).ParseFS(files, "*.gohtml"))

// minutes writes a duration in minutes as a person would say it.
func minutes(m float64) string {
	switch {
	case m < 1.5:
		return fmt.Sprintf("%.0f s", 60*m)
	case m < 100:
		return fmt.Sprintf("%.0f min", m)
	}
	whole := int(math.Round(m))
	return fmt.Sprintf("%d h %02d min", whole/60, whole%60)
}

// spelled writes a word letter by letter, so that the eye checks each.
func spelled(text string) string {
	out := ""
	for i, r := range []rune(text) {
		if i > 0 {
			out += " "
		}
		if r == ' ' {
			r = '␣'
		}
		out += string(r)
	}
	return out
}

// safeColour lets only hexadecimal colours into a style.
func safeColour(c string) string {
	if len(c) == 7 && c[0] == '#' {
		for _, r := range c[1:] {
			if !(r >= '0' && r <= '9' || r >= 'a' && r <= 'f' || r >= 'A' && r <= 'F') {
				return "#222222"
			}
		}
		return c
	}
	return "#222222"
}

// Film that is lighter than lightFilm (luma, 0 to 1) would not be seen on paper: it
// is shown on a dark ground, as on a proof, groundMargin mm past the decal.
const (
	lightFilm    = 0.80
	lightGround  = "#5a616b"
	groundMargin = 3.0
)

// picture returns the design as an inline SVG at its size in millimetres.
func picture(d Design) template.HTML {
	b := d.Path.Bounds()
	if b.IsEmpty() {
		return ""
	}
	colour, ground := safeColour(d.Colour), ""
	if luma(colour) > lightFilm {
		b = b.Grow(groundMargin)
		ground = fmt.Sprintf(`<rect width="%.3f" height="%.3f" fill="%s"/>`, b.Width(), b.Height(), lightGround)
	}
	// SVG runs y down. Which way contours run does not matter to the non-zero
	// rule.
	down := d.Path.Transform(outline.Transform{XX: 1, YY: -1, X0: -b.Min.X, Y0: b.Max.Y})
	return template.HTML(fmt.Sprintf(
		`<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="%s" width="%.2fmm" height="%.2fmm" viewBox="0 0 %.3f %.3f">%s<path fill="%s" d="%s"/></svg>`,
		template.HTMLEscapeString("picture of design "+d.Letter+", "+d.Name), b.Width(), b.Height(), b.Width(), b.Height(), ground, colour,
		svg.PathData(down)))
}

// luma is how light a colour looks, 0 to 1: the weighted sum of its coded values
// (Rec. ITU-R BT.709-6, 3.2). A colour that is none is dark.
func luma(colour string) float64 {
	var r, g, b uint8
	if _, err := fmt.Sscanf(colour, "#%02x%02x%02x", &r, &g, &b); err != nil {
		return 0
	}
	return (0.2126*float64(r) + 0.7152*float64(g) + 0.0722*float64(b)) / 255
}

// Write writes the job sheet as one HTML page. The error is w's.
func Write(w io.Writer, job Job) error { return pages.ExecuteTemplate(w, "jobsheet.gohtml", job) }

// WriteApproval writes the page on which the customer approves the designs.
// The error is w's.
func WriteApproval(w io.Writer, job Job) error {
	return pages.ExecuteTemplate(w, "approval.gohtml", job)
}
