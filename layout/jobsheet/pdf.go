package jobsheet

import (
	"bytes"
	"fmt"
	"image"
	"image/draw"
	"image/png"
	"io"
	"slices"
	"strings"
	"time"

	"github.com/go-pdf/fpdf"
	"github.com/vinylgeom/vinyl/layout"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
)

// Paper is a size of paper.
type Paper uint8

// The papers.
const (
	Letter Paper = iota // 8.5 by 11 in (ANSI/ASME Y14.1)
	A4                  // 210 by 297 mm (ISO 216)
)

// String names the paper.
func (p Paper) String() string {
	switch p {
	case Letter:
		return "Letter"
	case A4:
		return "A4"
	}
	return "unknown paper"
}

// PDFOptions say how the PDF is made. The zero value prints on Letter.
type PDFOptions struct {
	Paper Paper
}

// pdfEpoch is the date every PDF carries, so that the same job gives the same
// bytes.
var pdfEpoch = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

const (
	pdfMargin = 12.0 // mm on every side
	pdfLine   = 5.0  // mm from line to line
)

// pdf is a job sheet being laid out on pages.
type pdf struct {
	*fpdf.Fpdf
	width float64      // between the margins
	sizes map[int]bool // widths of the pictures so far, in pixels
}

// WritePDF writes the job sheet as a PDF: the same facts, designs, loads with
// their pictures and picks, plan, packing list, prices, application and
// cautions as the page of [Write]. The error is w's, or names the paper or a
// picture that cannot be read; nothing is written then.
func WritePDF(w io.Writer, job Job, opt PDFOptions) error {
	if opt.Paper > A4 {
		return fmt.Errorf("jobsheet: PDF: Paper is %d; use Letter or A4", opt.Paper)
	}
	f := fpdf.New("P", "mm", opt.Paper.String(), "")
	f.SetCreationDate(pdfEpoch)
	f.SetModificationDate(pdfEpoch)
	f.SetCatalogSort(true)
	f.SetMargins(pdfMargin, pdfMargin, pdfMargin)
	f.SetAutoPageBreak(true, pdfMargin)
	f.AddUTF8FontFromBytes("go", "", goregular.TTF)
	f.AddUTF8FontFromBytes("go", "B", gobold.TTF)
	f.SetTitle("Job sheet: "+job.Title, true)
	f.AddPage()
	pageWidth, _ := f.GetPageSize()
	p := pdf{f, pageWidth - 2*pdfMargin, map[int]bool{}}
	p.heading(16, job.Title)
	if job.Customer != "" {
		p.text("Job sheet for " + job.Customer)
	}
	p.heading(12, "What to load")
	for _, film := range job.Films {
		class := ""
		if film.Class != "" {
			class = ", " + film.Class
		}
		p.text(fmt.Sprintf("Film %s%s, %s wide: %.2f m (%s) in %d loads.", film.Name, class, film.Width.InchString(), film.Length.Metres(), film.Length.InchString(), film.Loads))
	}
	p.text(fmt.Sprintf("%d decals of %s, %d counters to pick. Cutting %s, weeding %s (an estimate).",
		job.Decals(), designsOf(job.Designs), job.Counters(), minutes(job.CutSeconds()/60), minutes(job.WeedMinutes())))
	p.text(fmt.Sprintf("Gap %s, edge margin %.1f mm. Cut the test piece first; set the blade just deeper than film and adhesive.", job.Gap.Fraction(16), float64(job.EdgeMargin)))
	if job.Blade != "" {
		p.text("Blade: " + job.Blade + ".")
	}
	p.list(job.Change)
	p.list(job.Notes)
	if len(job.Designs) > 0 {
		p.heading(12, "Designs")
		rows := [][]string{}
		for _, d := range job.Designs {
			words := ""
			for i, t := range d.Words {
				if i > 0 {
					words += ", "
				}
				words += t.Text
			}
			rows = append(rows, []string{strings.TrimSpace(d.Letter + " " + d.Name + " " + d.IDs), words, fmt.Sprint(d.Copies), d.Width.InchString() + " × " + d.Height.InchString(), fmt.Sprint(d.Counters), care(d)})
		}
		p.table([]string{"Design", "Words", "Copies", "Size", "Counters", "Take care"}, []float64{0.14, 0.15, 0.08, 0.14, 0.09, 0.4}, rows)
	}
	for i, l := range job.Loads {
		p.load(i, l)
	}
	if len(job.PlanPicture) > 0 {
		p.room(90)
		p.heading(12, "Plan")
		p.text("Finished after " + job.Finish + " of work without a break: while one load is weeded the next is cut." + sentence(job.Begin))
		p.picture("plan", job.PlanPicture, 70)
	}
	for _, parcel := range job.Packing {
		title := "Packing list"
		if parcel.For != "" {
			title += " for " + parcel.For
		}
		p.heading(12, title)
		rows := [][]string{}
		for _, l := range parcel.Lines {
			packs := l.Packs
			if packs == "" {
				packs = "loose"
			}
			rows = append(rows, []string{l.IDs, l.Design, l.Words, fmt.Sprint(l.Copies), fmt.Sprint(l.Spares), packs})
		}
		p.table([]string{"Decals", "Design", "Words", "Copies", "Spares", "Packs"}, []float64{0.22, 0.18, 0.27, 0.09, 0.09, 0.15}, rows)
	}
	if len(job.Prices) > 0 {
		p.heading(12, "Price")
		rows := [][]string{}
		for _, l := range job.Prices {
			rows = append(rows, []string{l.What, l.Amount})
		}
		p.table([]string{"", "Amount"}, []float64{0.5, 0.2}, rows)
		if len(job.Packs) > 0 {
			rows := [][]string{}
			for _, k := range job.Packs {
				rows = append(rows, []string{fmt.Sprint(k.Size), k.PerDecal, k.Pack, k.Buyer, k.ClubKeeps})
			}
			p.Ln(2)
			p.table([]string{"Pack of", "A decal", "The pack", "A buyer pays", "The club keeps"}, []float64{0.15, 0.2, 0.2, 0.2, 0.2}, rows)
		}
		if job.Rounding != "" {
			p.text("Rounding: " + job.Rounding + ".")
		}
	}
	p.room(40) // the list stays together
	p.heading(12, "Apply")
	p.list(application)
	p.heading(12, "Cautions")
	p.list(cautions)
	if err := f.Error(); err != nil {
		return fmt.Errorf("jobsheet: PDF: %w", err)
	}
	return f.Output(w)
}

// care is what to take care of in a design.
func care(d Design) string {
	notes := slices.Clone(d.Notes)
	for _, c := range d.Changed {
		notes = append(notes, "mended: "+c)
	}
	if len(notes) == 0 {
		return "nothing below the limits"
	}
	return strings.Join(notes, "; ")
}

// sentence is the text as a sentence of its own after another, or nothing.
func sentence(text string) string {
	if text == "" {
		return ""
	}
	return " " + text + "."
}

// application is how a decal is applied: the page's list, in short.
var application = []string{
	"Clean the surface with detergent and water, then with isopropyl alcohol, one wet and one dry lint-free cloth (on plastics detergent and water only); let it dry; test a spot first.",
	"Work between 10 °C and 38 °C, never below 5 °C.",
	"Hinge the decal with tape, peel the liner back on itself, squeegee from the centre outwards with firm, overlapping strokes.",
	"Peel the application tape back flat on itself and press every edge again. Wait some days before washing.",
}

// cautions are the page's, in short.
var cautions = []string{
	"Blades: cut away from yourself, retract the knife, keep fingers from a moving carriage, put dull blades in a sharps box.",
	"Isopropyl alcohol catches fire at room temperature (flash point 12 °C): air the room, no flame or spark, read the safety data sheet.",
	"Never put PVC film under a laser: the fumes are corrosive and harmful.",
	"Keep decals out of a driver's view; rules differ: check your local law.",
	"This sheet does not replace local law, the makers' data sheets or licensed practice.",
}

func (p pdf) heading(size float64, text string) {
	p.room(20)
	p.Ln(2)
	p.SetFont("go", "B", size)
	p.MultiCell(p.width, size*0.5, text, "", "L", false)
	p.SetFont("go", "", 9.5)
}

func (p pdf) text(text string) { p.MultiCell(p.width, pdfLine, text, "", "L", false) }

func (p pdf) list(lines []string) {
	for _, l := range lines {
		p.text("• " + l)
	}
}

// room begins a new page where less than height is left of this one.
func (p pdf) room(height float64) {
	_, pageHeight := p.GetPageSize()
	if p.GetY()+height > pageHeight-pdfMargin {
		p.AddPage()
	}
}

// table writes rows whose columns have the given shares of the width; a cell
// that is too long is broken into lines.
func (p pdf) table(heads []string, shares []float64, rows [][]string) {
	p.SetFont("go", "B", 8.5)
	p.row(heads, shares)
	p.SetFont("go", "", 8.5)
	for _, r := range rows {
		p.row(r, shares)
	}
	p.SetFont("go", "", 9.5)
}

func (p pdf) row(cells []string, shares []float64) {
	const height, padding = 4.2, 2.0
	lines, most := make([][]string, len(cells)), 1
	for i, c := range cells {
		lines[i] = p.SplitText(c, shares[i]*p.width-padding)
		most = max(most, len(lines[i]))
	}
	p.room(float64(most)*height + 1)
	x, y := p.GetXY()
	for i := range cells {
		for k, l := range lines[i] {
			p.SetXY(x, y+float64(k)*height)
			p.CellFormat(shares[i]*p.width, height, l, "", 0, "L", false, 0, "")
		}
		x += shares[i] * p.width
	}
	y += float64(most)*height + 0.6
	p.SetDrawColor(190, 190, 190)
	p.Line(pdfMargin, y, pdfMargin+p.width, y)
	p.SetXY(pdfMargin, y+0.4)
}

// load writes a load, on one page if its picks fit below its picture: what it
// is, the picture and the picks.
func (p pdf) load(i int, l Load) {
	pictureHeight := 150.0 // so that the pick numbers can be read
	if len(l.Pictures) > 1 {
		pictureHeight = 118 // two on a page
	}
	picks := p.pickLines(l)
	if l.SameAs == "" && len(l.Pictures) > 0 {
		need := pictureHeight + 25
		for _, lines := range picks {
			need += pickLine * float64(len(lines))
		}
		_, pageHeight := p.GetPageSize()
		p.room(min(need, pageHeight-2*pdfMargin))
	}
	title := l.Name + ": " + l.Length.InchString() + " of film"
	if l.From != "" {
		title += ", " + l.From
	}
	p.heading(11, title)
	text := fmt.Sprintf("%d decals, %d counters to pick, cutting %s, weeding %s: %s.", len(l.Decals), l.Counters, minutes(l.CutSeconds/60), minutes(l.WeedMinutes), layout.JoinIDs(l.Decals))
	if l.Tape != "" {
		text += " Tape: " + l.Tape + "."
	}
	if l.Rest != "" {
		text += " Keep and label: " + l.Rest + "."
	}
	if l.SameAs != "" {
		text += " Cut the file of " + l.SameAs + " again."
	}
	p.text(text)
	if l.SameAs == "" {
		for k, picture := range l.Pictures {
			if k > 0 {
				p.room(pictureHeight + 3)
			}
			p.picture(fmt.Sprintf("load %d, %d", i, k), picture, pictureHeight)
		}
	}
	if l.PicksAs != "" {
		p.text("Picks: the same numbers as in " + l.PicksAs + ".")
	}
	p.SetFont("go", "", pickFont)
	for _, lines := range picks {
		p.paragraph(lines, l.Name+", continued")
	}
	p.SetFont("go", "", 9.5)
}

// The size of the picks' letters in points, and from line to line in mm: below
// the picture of a load 19 lines fit on Letter, some 90 picks.
const (
	pickFont = 7.5
	pickLine = 3.4
)

// pickLines lists what is picked out of a load, a paragraph of lines a decal.
func (p pdf) pickLines(l Load) [][]string {
	size, _ := p.GetFontSize()
	p.SetFont("go", "", pickFont)
	defer p.SetFont("go", "", size)
	var out [][]string
	for _, d := range l.Picks {
		picks := make([]string, len(d.Picks))
		for k, pick := range d.Picks {
			picks[k] = fmt.Sprintf("%d %s, %.1f mm", pick.Number, pick.What, float64(pick.Width))
			if pick.Narrow {
				picks[k] += " (needle)"
			}
		}
		out = append(out, p.SplitText("Pick from "+d.ID+": "+strings.Join(picks, "; ")+".", p.width-2*p.GetCellMargin()))
	}
	return out
}

// paragraph writes lines of picks; a page that it begins has the heading. No
// page ends with a paragraph's first line alone.
func (p pdf) paragraph(lines []string, heading string) {
	_, pageHeight := p.GetPageSize()
	for i, line := range lines {
		need := pickLine
		if i == 0 && len(lines) > 1 {
			need = 2 * pickLine
		}
		if p.GetY()+need > pageHeight-pdfMargin {
			p.AddPage()
			p.heading(11, heading)
			p.SetFont("go", "", pickFont)
		}
		p.CellFormat(p.width, pickLine, line, "", 1, "L", false, 0, "")
	}
}

// picture puts a PNG below what has been written, as high as given or as wide
// as the page.
func (p pdf) picture(name string, data []byte, height float64) {
	picture, err := p.ownWidth(data)
	if err != nil {
		p.SetError(err)
		return
	}
	info := p.RegisterImageOptionsReader(name, fpdf.ImageOptions{ImageType: "PNG"}, bytes.NewReader(picture))
	if p.Err() || info == nil {
		return
	}
	h := height
	w := h * info.Width() / info.Height()
	if w > p.width {
		w, h = p.width, p.width*info.Height()/info.Width()
	}
	p.ImageOptions(name, pdfMargin, p.GetY()+1, w, h, false, fpdf.ImageOptions{ImageType: "PNG"}, 0, "")
	p.SetY(p.GetY() + h + 2)
}

// ownWidth returns the picture with as many columns of white added as make its
// width differ from those of the pictures before: fpdf writes pictures sorted
// by width, and equal ones in a random order.
func (p pdf) ownWidth(picture []byte) ([]byte, error) {
	img, err := png.Decode(bytes.NewReader(picture))
	if err != nil {
		return nil, err
	}
	b := img.Bounds()
	width := b.Dx()
	for p.sizes[width] {
		width++
	}
	p.sizes[width] = true
	if width == b.Dx() {
		return picture, nil
	}
	var wider draw.Image = image.NewRGBA(image.Rect(0, 0, width, b.Dy()))
	if p, ok := img.(*image.Paletted); ok { // a third as large
		wider = image.NewPaletted(wider.Bounds(), p.Palette)
	}
	draw.Draw(wider, wider.Bounds(), image.White, image.Point{}, draw.Src)
	draw.Draw(wider, b.Sub(b.Min), img, b.Min, draw.Src)
	var out bytes.Buffer
	err = png.Encode(&out, wider)
	return out.Bytes(), err
}
