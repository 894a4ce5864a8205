package production_test

import (
	"bytes"
	"context"
	"encoding/xml"
	"errors"
	"image/png"
	"io"
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
	assert.Error(t, p.WriteSVG(failing{}))
}

type failing struct{}

func (failing) Write([]byte) (int, error) { return 0, errors.New("disk full") }

func TestChartPNG(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, plan(t).WritePNG(&b))
	if name := os.Getenv("VINYL_CHART"); name != "" {
		require.NoError(t, os.WriteFile(strings.TrimSuffix(name, ".svg")+".png", b.Bytes(), 0o644))
	}
	img, err := png.Decode(&b)
	require.NoError(t, err)
	assert.Equal(t, 180*8, img.Bounds().Dx())
	assert.Error(t, plan(t).WritePNG(failing{}))
	b.Reset()
	assert.NoError(t, production.Timetable{}.WritePNG(&b), "an empty plan is an empty chart")
}
