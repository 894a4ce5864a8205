// Command weedcheck tells what weeding a text or a drawing takes when it is cut
// from film, and can mend what breaks the film's limits.
//
//	go run ./examples/weedcheck -text MARLOW -height 1in [-font FILE] [-film cast] [-fix] [-png OUT] [-svg OUT]
//	go run ./examples/weedcheck -in ART.svg [-height 5in] [-film cast] [-fix] [-png OUT] [-svg OUT]
//
// The height of a text is its cap height, that of a drawing the whole of it;
// without one a drawing keeps its size. The report goes to standard output as
// JSON, and the exit status is 0 whatever is found (1 where nothing could be
// inspected, with the reason on standard error). With -fix the design is
// mended first: the report is that of the mended design, "changes" lists what was done,
// "new_findings" what breaks a limit now and did not before, "left" what could not be mended
// at this size. -png draws a proof with numbered markers and their table, -svg
// writes the design that was inspected and nothing else, so that it can be read again.
package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"github.com/vinylgeom/vinyl/examples/internal/command"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/outline/lettering"
	"github.com/vinylgeom/vinyl/outline/svg"
	"github.com/vinylgeom/vinyl/units"
	"github.com/vinylgeom/vinyl/weedability"
)

func main() { command.Main("weedcheck", run) }

// design is what is inspected.
type design struct {
	path     outline.Path
	describe func(origin int32) string
	warnings []string
}

func run(ctx context.Context, args []string, stdout, stderr io.Writer) error {
	flags := command.Flags("weedcheck", "reports what will be hard to weed in words or a drawing, as JSON", stderr)
	text := flags.String("text", "", "the `WORDS` to set")
	fontFile := flags.String("font", "", "the font `FILE` to set them in; Go Bold without")
	in := flags.String("in", "", "the drawing `FILE.svg` to inspect instead")
	height := flags.String("height", "", "cap height of the words, or height of the drawing, such as 1in or \"25 mm\"")
	film := flags.String("film", "cast", "the film's `CLASS`: cast, calendered, reflective, heat-transfer")
	fix := flags.Bool("fix", false, "mend what breaks a limit")
	png := flags.String("png", "", "write a proof with numbered markers to `OUT`")
	svgOut := flags.String("svg", "", "write the design, mended with -fix, to `OUT`")
	if err := command.Parse(flags, args); err != nil {
		return err
	}
	class, err := weedability.ParseFilmClass(*film)
	if err != nil {
		return err
	}
	size, err := readHeight(*height)
	if err != nil {
		return err
	}
	var d design
	switch {
	case *text != "" && *in != "":
		return errors.New("-text and -in exclude each other; give one of them")
	case *text != "":
		d, err = words(*text, *fontFile, size)
	case *in != "" && *fontFile != "":
		return errors.New("-font goes with -text")
	case *in != "":
		d, err = drawing(*in, size)
	default:
		return errors.New("give -text WORDS -height 1in, or -in ART.svg")
	}
	if err != nil {
		return err
	}
	for _, w := range d.warnings {
		fmt.Fprintln(stderr, "weedcheck: warning:", w)
	}
	limits := weedability.LimitsFor(class)
	var mended *weedability.Mended
	if *fix {
		m, err := weedability.Mend(ctx, d.path, limits, weedability.RemedyOptions{Describe: d.describe})
		if err != nil {
			return err
		}
		mended, d.path = &m, m.Path
	}
	report, err := weedability.Inspect(ctx, d.path, limits, weedability.Options{Describe: d.describe})
	if err != nil {
		return err
	}
	safe, err := weedability.SmallestSafeSize(ctx, d.path, limits, weedability.Options{Describe: d.describe})
	if err != nil {
		return err
	}
	// Pictures first: a report on standard output means that all went well.
	if *png != "" {
		if err := write(*png, func(w io.Writer) error { return drawProof(w, d.path, report, safe.Scale) }); err != nil {
			return err
		}
	}
	if *svgOut != "" {
		if err := write(*svgOut, func(w io.Writer) error { return svg.Write(w, d.path, svg.WriteOptions{}) }); err != nil {
			return err
		}
	}
	return printReport(stdout, report, safe.Scale, mended)
}

func readHeight(text string) (units.Length, error) {
	if text == "" {
		return 0, nil
	}
	h, err := units.Parse(text)
	if err != nil {
		return 0, fmt.Errorf("-height: %w", err)
	}
	if !(h > 0) || !h.IsFinite() {
		return 0, fmt.Errorf("-height is %v; give a height above zero", h)
	}
	return h, nil
}

// words sets the text at a cap height.
func words(text, fontFile string, height units.Length) (design, error) {
	if height == 0 {
		return design{}, errors.New("-text needs a height; give -height 1in or the like")
	}
	opt := lettering.Options{Height: height, Weld: true}
	if fontFile != "" {
		font, err := lettering.OpenFontFile(fontFile, lettering.FontOptions{})
		if err != nil {
			return design{}, err
		}
		opt.Fonts = []*lettering.Font{font}
	}
	set, err := lettering.Set(text, opt)
	if err != nil {
		return design{}, err
	}
	return design{path: set.Path, describe: set.Describe}, nil
}

// drawing reads whatever a file fills, welds it and brings it to a height.
func drawing(name string, height units.Length) (design, error) {
	file, err := os.Open(name)
	if err != nil {
		return design{}, err
	}
	defer file.Close()
	read, err := svg.Read(file, svg.Options{})
	if err != nil {
		return design{}, fmt.Errorf("%s: %w", name, err)
	}
	d := design{}
	for _, w := range read.Warnings {
		d.warnings = append(d.warnings, fmt.Sprint(w))
	}
	// Segments carry the number of the shape they come from, for the report.
	var parts []outline.Path
	var names []string
	for _, s := range read.Shapes {
		if len(s.Path) == 0 {
			continue
		}
		what := s.ID
		if what == "" {
			what = fmt.Sprintf("the %s of line %d", s.Element, s.Line)
		}
		names = append(names, what)
		parts = append(parts, s.Path.WithOrigin(int32(len(names))))
	}
	if len(parts) == 0 {
		return design{}, fmt.Errorf("%s: no closed shape is filled; fill the artwork that is to be cut", name)
	}
	if d.path, err = outline.Weld(parts, outline.BooleanOptions{}); err != nil {
		return design{}, fmt.Errorf("%s: %w", name, err)
	}
	if len(d.path) == 0 {
		return design{}, fmt.Errorf("%s: the shapes enclose no area; draw closed shapes", name)
	}
	if height > 0 {
		b := d.path.Bounds()
		if b.Height() == 0 {
			return design{}, fmt.Errorf("%s: the artwork has no height", name)
		}
		k := float64(height) / b.Height()
		d.path = d.path.Transform(outline.Scale(k, k))
	}
	d.describe = func(origin int32) string {
		if origin < 1 || int(origin) > len(names) {
			return ""
		}
		return names[origin-1]
	}
	return d, nil
}

// printReport writes the report and the smallest safe scale, and with -fix the changes among its fields: what was
// done, what breaks a limit now and did not before, and what could not be mended.
func printReport(w io.Writer, report weedability.Report, safe float64, mended *weedability.Mended) error {
	data, err := json.Marshal(report)
	if err != nil {
		return err
	}
	fields := map[string]json.RawMessage{}
	if err := json.Unmarshal(data, &fields); err != nil {
		return err
	}
	if fields["smallest_safe_scale"], err = json.Marshal(safe); err != nil {
		return err
	}
	if mended != nil {
		for name, v := range map[string]any{"changes": mended.Changes, "new_findings": append([]weedability.Finding{}, mended.New...),
			"left": append([]weedability.Finding{}, mended.Left...)} {
			if fields[name], err = json.Marshal(v); err != nil {
				return err
			}
		}
	}
	encoder := json.NewEncoder(w)
	encoder.SetIndent("", "  ")
	return encoder.Encode(fields)
}

// write writes a file beside its place and renames it, so that nothing half
// written is left.
func write(name string, f func(io.Writer) error) error {
	temp, err := os.CreateTemp(filepath.Dir(name), ".weedcheck-*")
	if err != nil {
		return err
	}
	defer os.Remove(temp.Name()) // fails once it is renamed
	if err := errors.Join(f(temp), temp.Chmod(0o644), temp.Close()); err != nil {
		return err
	}
	return os.Rename(temp.Name(), name)
}
