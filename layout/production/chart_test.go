package production_test

import (
	"bytes"
	"context"
	"encoding/xml"
	"errors"
	"image/png"
	"io"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout/production"
)

func plan(t *testing.T) production.Timetable {
	t.Helper()
	stages := []production.Stage{{Name: "cut"}, {Name: "weed <b>", Workers: 2}, {Name: "tape"}}
	var jobs []production.Load
	for i, cut := range []float64{6, 9, 5, 8, 7} {
		jobs = append(jobs, production.Load{Name: "load-0" + string(rune('1'+i)), Minutes: []float64{cut, 21 - cut, 4}})
	}
	p, err := production.Schedule(context.Background(), stages, jobs, production.ScheduleOptions{})
	require.NoError(t, err)
	return p
}

func TestChartSVG(t *testing.T) {
	var b bytes.Buffer
	p := plan(t)
	require.NoError(t, p.WriteSVG(&b))
	if name := os.Getenv("VINYL_CHART"); name != "" { // to look at it by hand
		require.NoError(t, os.WriteFile(name, b.Bytes(), 0o644))
	}
	d := xml.NewDecoder(&b)
	rects := 0
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		if e, ok := token.(xml.StartElement); ok && e.Name.Local == "rect" {
			rects++
		}
	}
	assert.Equal(t, 1+len(p.Tasks), rects, "the ground and a bar for each task")
}

func TestChartPNG(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, plan(t).WritePNG(&b))
	if name := os.Getenv("VINYL_CHART"); name != "" {
		require.NoError(t, os.WriteFile(strings.TrimSuffix(name, ".svg")+".png", b.Bytes(), 0o644))
	}
	img, err := png.Decode(&b)
	require.NoError(t, err)
	assert.Equal(t, 180*8, img.Bounds().Dx())
	b.Reset()
	assert.NoError(t, production.Timetable{}.WritePNG(&b), "an empty plan is an empty chart")
}

// fullWriter takes so many writes, then none.
type fullWriter struct{ left, taken int }

var errDisk = errors.New("disk full")

func (w *fullWriter) Write(p []byte) (int, error) {
	if w.left--; w.left < 0 {
		return 0, errDisk
	}
	w.taken++
	return len(p), nil
}

// The chart stops at the very write that fails, whichever it is, and its error
// is that of the disk.
func TestChartAtEveryWrite(t *testing.T) {
	one, err := production.Sequence([]production.Stage{{Name: "cut"}}, []production.Load{{Name: "load-01", Minutes: []float64{5}}}, []int{0})
	require.NoError(t, err)
	for name, write := range map[string]func(io.Writer) error{"svg": plan(t).WriteSVG, "png": one.WritePNG} {
		all := &fullWriter{left: 1 << 30}
		require.NoError(t, write(all))
		require.Positive(t, all.taken)
		for k := range all.taken {
			w := &fullWriter{left: k}
			require.ErrorIs(t, write(w), errDisk, "%s: write %d of %d", name, k, all.taken)
			require.Equal(t, k, w.taken, "nothing is written after the disk is full")
		}
	}
}

// A timetable that came through a queue may not fit together: it is refused
// before a byte is written, and nothing panics.
func TestChartOfATimetableThatDoesNotFitTogether(t *testing.T) {
	for name, spoil := range map[string]func(*production.Timetable){
		"a load that is none":   func(p *production.Timetable) { p.Tasks[0].Load = 5 },
		"a stage that is none":  func(p *production.Timetable) { p.Tasks[0].Stage = -1 },
		"a worker that is none": func(p *production.Timetable) { p.Tasks[0].Worker = -1 },
		"an order too long":     func(p *production.Timetable) { p.Order = append(p.Order, 7) },
		"a load twice":          func(p *production.Timetable) { p.Order[0] = p.Order[1] },
		"no loads":              func(p *production.Timetable) { p.Loads = nil },
		"no stages":             func(p *production.Timetable) { p.Stages = nil },
		"time running back":     func(p *production.Timetable) { p.Tasks[0].Start = p.Tasks[0].End + 1 },
		"no number":             func(p *production.Timetable) { p.Tasks[0].End = math.NaN() },
		"a span of no number":   func(p *production.Timetable) { p.Span = math.NaN() },
		"a span too short":      func(p *production.Timetable) { p.Span /= 2 },
	} {
		p := plan(t)
		spoil(&p)
		var b bytes.Buffer
		for _, write := range []func(io.Writer) error{p.WriteSVG, p.WritePNG} {
			var e *production.Error
			require.ErrorAs(t, write(&b), &e, name)
			assert.NotEmpty(t, e.Fix)
			assert.Zero(t, b.Len())
		}
	}
}
