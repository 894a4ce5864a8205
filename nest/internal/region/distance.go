package region

import "math"

// distanceTransform replaces f (0 or a value larger than any squared
// distance) by the squared distance, in samples, to the nearest 0. The method
// is the lower envelope of parabolas, first along columns, then along rows
// (Felzenszwalb and Huttenlocher 2012). What lies beyond the raster counts as
// far away, so the raster must have a border of zeros.
func distanceTransform(f []float64, w, h int) {
	n := max(w, h)
	line, out := make([]float64, n), make([]float64, n)
	v, z := make([]int, n), make([]float64, n+1)
	for x := range w {
		for y := range h {
			line[y] = f[y*w+x]
		}
		envelope(line[:h], out[:h], v, z)
		for y := range h {
			f[y*w+x] = out[y]
		}
	}
	for y := range h {
		row := f[y*w : (y+1)*w]
		copy(line, row)
		envelope(line[:w], row, v, z)
	}
}

func envelope(f, d []float64, v []int, z []float64) {
	k := 0
	v[0] = 0
	z[0], z[1] = math.Inf(-1), math.Inf(1)
	for q := 1; q < len(f); q++ {
		for {
			p := v[k]
			s := ((f[q] + float64(q*q)) - (f[p] + float64(p*p))) / float64(2*(q-p))
			if s > z[k] {
				k++
				v[k] = q
				z[k], z[k+1] = s, math.Inf(1)
				break
			}
			k--
		}
	}
	k = 0
	for q := range f {
		for z[k+1] < float64(q) {
			k++
		}
		p := v[k]
		d[q] = float64((q-p)*(q-p)) + f[p]
	}
}
