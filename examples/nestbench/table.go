package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// publishedMeans are densities in percent: means of 100 runs of 1200 s with three threads on a desktop processor, from J.
// Gardeyn, G. Vanden Berghe, T. Wauters, An open-source heuristic to reboot 2D nesting research, arXiv:2509.13329 (2025),
// Table 2; the last two are jigsaws that tile the strip exactly (R. Dighe, M. J. Jakiela, Evolutionary Computation 3 (1996)
// 239-266). The sets were collected by the EURO working group on cutting and packing (ESICUP).
var publishedMeans = map[string]float64{
	"albano": 89.47, "blaz": 84.68, "dagli": 89.26, "jakobs1": 89.09, "jakobs2": 84.77, "shapes0": 68.60, "shapes1": 75.69,
	"swim": 78.26, "dighe1": 100, "dighe2": 100,
}

// table runs every instance of a folder with several seeds and prints the ratios of the mean densities to the published
// means, or, for rectangles of known optimum, of the mean lengths to the optimum.
func table(s settings, out io.Writer) error {
	var files []string
	for _, pattern := range []string{"*.json", "*.xml"} {
		found, err := filepath.Glob(filepath.Join(s.table, pattern))
		if err != nil {
			return err
		}
		files = append(files, found...)
	}
	slices.Sort(files)
	if len(files) == 0 {
		if _, err := os.Stat(s.table); err != nil {
			return err
		}
		return fmt.Errorf("%s: no instances (*.json, *.xml); the sets are published by ESICUP, see the citation in table.go", s.table)
	}
	fmt.Fprintf(out, "budget %v, seeds %d to %d; density in percent of the nominal width\n\n", s.budget, s.seed, s.seed+uint64(s.seeds)-1)
	fmt.Fprintf(out, "%-16s %6s %8s %8s %8s %8s %9s %8s\n", "instance", "pieces", "first", "worst", "mean", "best", "published", "ratio")
	var ratios, excess []float64
	for _, file := range files {
		in, err := read(file)
		if err != nil {
			return err
		}
		pieces := 0
		for _, p := range in.pieces {
			pieces += p.Count
		}
		var densities, lengths, first []float64
		for n := range s.seeds {
			one := s
			one.seed += uint64(n)
			r, err := solve(in, one)
			if err != nil {
				return fmt.Errorf("%s: %w", file, err)
			}
			densities, lengths, first = append(densities, r.Density), append(lengths, r.Length), append(first, r.FirstDensity)
		}
		row := fmt.Sprintf("%-16s %6d %8.2f %8.2f %8.2f %8.2f", strings.TrimSuffix(filepath.Base(file), filepath.Ext(file)), pieces,
			mean(first), slices.Min(densities), mean(densities), slices.Max(densities))
		switch published, known := publishedMeans[strings.ToLower(in.name)]; {
		case in.optimalLength > 0:
			ratio := mean(lengths) / in.optimalLength
			excess = append(excess, ratio)
			fmt.Fprintf(out, "%s %9.2f %8.4f\n", row, 100.0, 1/ratio)
		case known && filepath.Ext(file) == ".json":
			ratio := mean(densities) / published
			ratios = append(ratios, ratio)
			fmt.Fprintf(out, "%s %9.2f %8.4f\n", row, published, ratio)
		default:
			fmt.Fprintf(out, "%s %9s %8s\n", row, "-", "-")
		}
	}
	if len(ratios) > 0 {
		fmt.Fprintf(out, "\nmean ratio over %d polygon sets: %.4f\n", len(ratios), mean(ratios))
	}
	if len(excess) > 0 {
		fmt.Fprintf(out, "mean length over %d rectangle sets: %.4f of the optimum, worst %.4f\n", len(excess), mean(excess), slices.Max(excess))
	}
	return nil
}

func mean(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x
	}
	return sum / float64(len(v))
}
