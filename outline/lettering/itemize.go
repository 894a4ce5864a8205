package lettering

import (
	"unicode"

	"github.com/go-text/typesetting/bidi"
	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/language"
	"golang.org/x/text/unicode/norm"
)

// Direction tells which way a line's words follow one another.
type Direction uint8

// The directions of a line. Words of the other direction inside it keep
// theirs (Unicode Standard Annex 9).
const (
	DirectionAuto Direction = iota // by each line's first letter that has a direction
	LeftToRight
	RightToLeft
)

// String names the direction.
func (d Direction) String() string {
	switch d {
	case DirectionAuto:
		return "auto"
	case LeftToRight:
		return "left to right"
	case RightToLeft:
		return "right to left"
	}
	return "unknown direction"
}

// item is a run of runes of one line that one call of the shaper can do.
type item struct {
	start, end int // rune indices in the line
	level      bidi.Level
	script     language.Script
	font       int // index into the list of fonts
}

func (it item) rightToLeft() bool { return it.level%2 == 1 }

// itemize cuts a line wherever direction, script or font changes and returns
// the pieces in visual order from left to right.
func itemize(line []rune, direction Direction, faces []*font.Face) (items []item, rightToLeft bool) {
	var paragraph bidi.Paragraph
	base := bidi.Neutral
	switch direction {
	case LeftToRight:
		base = bidi.LeftToRight
	case RightToLeft:
		base = bidi.RightToLeft
	default:
		rightToLeft = startsRightToLeft(line)
	}
	if direction == RightToLeft {
		rightToLeft = true
	}
	scripts := resolveScripts(line)
	fonts := resolveFonts(line, faces)
	runs := paragraph.Segment(line, base)
	for i := range runs.NumRuns() {
		run := runs.Run(i)
		start := run.Start
		for at := run.Start; at < run.End; at++ {
			if at+1 == run.End || scripts[at+1] != scripts[at] || fonts[at+1] != fonts[at] {
				items = append(items, item{start, at + 1, run.Level, scripts[at], fonts[at]})
				start = at + 1
			}
		}
	}
	reorder(items)
	return items, rightToLeft
}

// startsRightToLeft reports whether the first strong letter of the line is
// from a script written from right to left (rules P2 and P3 of the annex).
func startsRightToLeft(line []rune) bool {
	var paragraph bidi.Paragraph
	for _, r := range line {
		if !unicode.IsLetter(r) {
			continue
		}
		runs := paragraph.Segment([]rune{r}, bidi.Neutral)
		return runs.NumRuns() > 0 && !runs.Run(0).IsLeftToRight()
	}
	return false
}

// reorder puts items from logical into visual order: from the highest level
// down to the lowest odd one, every stretch at or above it is turned round
// (rule L2 of the annex).
func reorder(items []item) {
	var highest bidi.Level
	for _, it := range items {
		highest = max(highest, it.level)
	}
	for level := highest; level >= 1; level-- {
		for i := 0; i < len(items); i++ {
			if items[i].level < level {
				continue
			}
			j := i
			for j+1 < len(items) && items[j+1].level >= level {
				j++
			}
			for a, b := i, j; a < b; a, b = a+1, b-1 {
				items[a], items[b] = items[b], items[a]
			}
			i = j
		}
	}
}

// resolveScripts gives every rune a script: marks, digits, spaces and
// punctuation take that of the letters before them, at the start that of the
// first letters after them.
func resolveScripts(line []rune) []language.Script {
	scripts := make([]language.Script, len(line))
	current := language.Common
	pending := 0 // runes before here have their script
	for i, r := range line {
		if s := language.LookupScript(r); s.Strong() && s != language.Unknown {
			if current == language.Common {
				for ; pending < i; pending++ {
					scripts[pending] = s
				}
			}
			current = s
		}
		scripts[i] = current
	}
	return scripts
}

// resolveFonts gives every rune the first font that can show it with the marks
// on it. Spaces and runes that nobody has stay with the font before them, so
// that they do not break a run; the shaper reports what is really missing.
func resolveFonts(line []rune, faces []*font.Face) []int {
	fonts := make([]int, len(line))
	if len(faces) == 1 {
		return fonts
	}
	current, first := 0, true
	for i := 0; i < len(line); {
		end := i + 1
		for end < len(line) && joins(line[end]) {
			end++
		}
		cluster := line[i:end]
		if !unicode.IsSpace(line[i]) && !ignorable(line[i]) {
			if k, ok := firstFont(cluster, faces); ok {
				current = k
				if first {
					for j := range i {
						fonts[j] = k
					}
					first = false
				}
			}
		}
		for ; i < end; i++ {
			fonts[i] = current
		}
	}
	return fonts
}

// joins reports whether r belongs to the character before it.
func joins(r rune) bool { return unicode.Is(unicode.M, r) || ignorable(r) }

// ignorable reports whether r leaves no mark of its own: joiners, direction
// marks, variation selectors.
func ignorable(r rune) bool {
	return unicode.Is(unicode.Cf, r) || unicode.Is(unicode.Variation_Selector, r) || unicode.Is(unicode.Other_Default_Ignorable_Code_Point, r)
}

// firstFont returns the first font that has the whole cluster, as written,
// composed or decomposed, else the first that has its first rune.
func firstFont(cluster []rune, faces []*font.Face) (int, bool) {
	if len(cluster) == 1 && cluster[0] < 0x80 {
		for k, face := range faces {
			if has(face, cluster) {
				return k, true
			}
		}
		return 0, false
	}
	s := string(cluster)
	forms := [][]rune{cluster, []rune(norm.NFC.String(s)), []rune(norm.NFD.String(s))}
	for k, face := range faces {
		for _, form := range forms {
			if has(face, form) {
				return k, true
			}
		}
	}
	for k, face := range faces {
		if has(face, cluster[:1]) {
			return k, true
		}
	}
	return 0, false
}

func has(face *font.Face, runes []rune) bool {
	for _, r := range runes {
		if ignorable(r) {
			continue
		}
		if _, ok := face.NominalGlyph(r); !ok {
			return false
		}
	}
	return true
}
