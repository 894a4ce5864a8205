package lettering

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
	"github.com/go-text/typesetting/harfbuzz"
	"github.com/go-text/typesetting/language"
)

// featureSet says which of the usual features are switched off.
type featureSet uint8

const (
	noKerning featureSet = 1 << iota
	noLigatures
	featureSets
)

// features holds the shaper's list for every featureSet. Kerning and the
// ligatures below are on by default in every shaper.
var features = func() (lists [featureSets][]harfbuzz.Feature) {
	off := func(tags ...string) (list []harfbuzz.Feature) {
		for _, tag := range tags {
			list = append(list, harfbuzz.Feature{Tag: opentype.MustNewTag(tag), Start: harfbuzz.FeatureGlobalStart, End: harfbuzz.FeatureGlobalEnd})
		}
		return list
	}
	for set := range lists {
		if featureSet(set)&noKerning != 0 {
			lists[set] = append(lists[set], off("kern")...)
		}
		if featureSet(set)&noLigatures != 0 {
			lists[set] = append(lists[set], off("liga", "clig", "dlig", "hlig")...)
		}
	}
	return lists
}()

// shapedText is a text in font units, line by line from left to right. It is
// shared and never changed.
type shapedText struct {
	glyphs []shapedGlyph
	lines  []shapedLine
	words  []string // in the order of the text
	nodes  int
	paths  int // contours
}

type shapedLine struct {
	first, last int // glyphs[first:last]
	start, end  int // the line in the text, in bytes
	rightToLeft bool
}

type shapedGlyph struct {
	font       *Font
	glyph      *glyph
	id         font.GID
	start, end int32 // the characters it shows, in bytes of the text
	word       int32 // index into words, -1 between words
	advance    float64
	dx, dy     float64 // offset of the drawing from the pen
	tracked    bool    // tracking may follow it
	space      bool    // word spacing follows it
}

// shaper holds what one goroutine needs to shape in one font.
type shaper struct {
	face   *font.Face
	font   *harfbuzz.Font
	buffer *harfbuzz.Buffer
	runs   int
}

func (f *Font) takeShaper() *shaper {
	if s, ok := f.shapers.Get().(*shaper); ok {
		return s
	}
	face := f.newFace()
	// A harfbuzz font's scale is the units per em: positions come out in
	// whole font units.
	f.tables.Lock()
	defer f.tables.Unlock()
	return &shaper{face: face, font: f.newHarfbuzzFont(face), buffer: harfbuzz.NewBuffer()}
}

func (f *Font) returnShaper(s *shaper) {
	if s.runs > maxShaperRuns {
		s.buffer, s.runs = harfbuzz.NewBuffer(), 0
	}
	f.shapers.Put(s)
}

// shape returns text in font units, from memory where it was set before.
func shape(text string, fonts []*Font, opt Options) (*shapedText, error) {
	var set featureSet
	if opt.NoKerning {
		set |= noKerning
	}
	// Letters that are to stand apart must not be drawn as one.
	if opt.NoLigatures || opt.Tracking != 0 {
		set |= noLigatures
	}
	key := shapeKey{text: text, language: opt.Language, direction: opt.Direction, features: set}
	remember := copy(key.fonts[:], fonts) == len(fonts)
	if remember {
		if st := fonts[0].texts.get(key); st != nil {
			return st, nil
		}
	}
	st, err := shapeAnew(text, fonts, key)
	if err != nil {
		return nil, err
	}
	if remember && len(st.glyphs) <= maxCachedGlyphs {
		key.text = strings.Clone(text)
		key.language = strings.Clone(opt.Language)
		fonts[0].texts.put(key, st)
	}
	return st, nil
}

func shapeAnew(text string, fonts []*Font, key shapeKey) (st *shapedText, err error) {
	if err := checkText(text); err != nil {
		return nil, err
	}
	shapers := make([]*shaper, len(fonts))
	faces := make([]*font.Face, len(fonts))
	current := fonts[0]
	// The shaper is a port that trusts its font's tables.
	defer func() {
		if r := recover(); r != nil {
			// Its buffers may be in any state: they are not used again.
			st, err = nil, &FontError{current.name, current.index, ErrBadFont, fmt.Sprint(r), "use another file"}
			return
		}
		for i, s := range shapers {
			fonts[i].returnShaper(s)
		}
	}()
	for i, f := range fonts {
		current = f
		shapers[i] = f.takeShaper()
		faces[i] = shapers[i].face
	}
	st = &shapedText{}
	wordAt := st.splitWords(text)
	lang := language.NewLanguage(key.language)
	for start := 0; start <= len(text); {
		end, next := lineEnd(text, start)
		line := shapedLine{first: len(st.glyphs), start: start, end: end}
		trimmed := strings.TrimRightFunc(text[start:end], unicode.IsSpace)
		runes, offsets := decode(trimmed, start)
		if len(runes) > 0 {
			items, rtl := itemize(runes, key.direction, faces)
			line.rightToLeft = rtl
			for _, it := range items {
				current = fonts[it.font]
				if err := st.shapeItem(text, runes, offsets, wordAt, it, fonts, shapers[it.font], lang, key.features); err != nil {
					return nil, err
				}
			}
			st.glyphs[len(st.glyphs)-1].tracked = false
		}
		line.last = len(st.glyphs)
		st.lines = append(st.lines, line)
		if next < 0 {
			break
		}
		start = next
	}
	st.glyphs = slices.Clip(st.glyphs)
	if st.nodes > MaxNodes {
		return nil, &TextError{-1, ErrTooLarge, fmt.Sprintf("%d segments", st.nodes), fmt.Sprintf("set at most %d segments at once", MaxNodes)}
	}
	return st, nil
}

func checkText(text string) error {
	if len(text) > MaxTextBytes {
		return &TextError{-1, ErrTooLarge, fmt.Sprintf("%d bytes", len(text)), fmt.Sprintf("set at most %d bytes at once", MaxTextBytes)}
	}
	if !utf8.ValidString(text) {
		for i, r := range text {
			if r == utf8.RuneError {
				if _, size := utf8.DecodeRuneInString(text[i:]); size == 1 {
					return &TextError{i, ErrNotUTF8, fmt.Sprintf("%#x", text[i]), "convert the text to UTF-8"}
				}
			}
		}
	}
	return nil
}

// lineEnd returns where the line that starts at start ends and where the next
// one starts, -1 after the last. Lines end at the characters that Unicode
// Standard Annex 14 lists as mandatory breaks.
func lineEnd(text string, start int) (end, next int) {
	i := strings.IndexFunc(text[start:], func(r rune) bool {
		switch r {
		case '\n', '\r', '\v', '\f', '\u0085', '\u2028', '\u2029':
			return true
		}
		return false
	})
	if i < 0 {
		return len(text), -1
	}
	end = start + i
	_, size := utf8.DecodeRuneInString(text[end:])
	if strings.HasPrefix(text[end:], "\r\n") {
		size = 2
	}
	return end, end + size
}

// decode returns the runes of a line with each one's place in the text; the
// last offset is the line's end.
func decode(line string, start int) (runes []rune, offsets []int32) {
	n := utf8.RuneCountInString(line)
	runes, offsets = make([]rune, 0, n), make([]int32, 0, n+1)
	for i, r := range line {
		runes, offsets = append(runes, r), append(offsets, int32(start+i))
	}
	return runes, append(offsets, int32(start+len(line)))
}

// splitWords fills in the words, what stands between white space, and returns
// the word of every byte of text, -1 between words.
func (st *shapedText) splitWords(text string) []int32 {
	at := make([]int32, len(text))
	inside := -1 // start of the word being read
	finish := func(end int) {
		if inside >= 0 {
			st.words = append(st.words, strings.Clone(text[inside:end]))
			inside = -1
		}
	}
	for i, r := range text {
		if unicode.IsSpace(r) || r == '\u2028' || r == '\u2029' {
			finish(i)
		} else if inside < 0 {
			inside = i
		}
		word := int32(-1)
		if inside >= 0 {
			word = int32(len(st.words))
		}
		for j := range utf8.RuneLen(r) {
			at[i+j] = word
		}
	}
	finish(len(text))
	return at
}

// shapeItem appends one item's glyphs.
func (st *shapedText) shapeItem(text string, line []rune, offsets, wordAt []int32, it item, fonts []*Font, s *shaper, lang language.Language, set featureSet) error {
	f := fonts[it.font]
	s.runs++
	b := s.buffer
	b.Clear()
	b.AddRunes(line, it.start, it.end-it.start)
	b.Props.Script, b.Props.Language, b.Props.Direction = it.script, lang, harfbuzz.LeftToRight
	if it.rightToLeft() {
		b.Props.Direction = harfbuzz.RightToLeft
	}
	f.shapeBuffer(s, features[set])

	cursive := joinsLetters(it.script)
	first := len(st.glyphs)
	st.glyphs = slices.Grow(st.glyphs, len(b.Info))
	for i, info := range b.Info {
		pos := b.Pos[i]
		start := line[info.Cluster]
		if info.Glyph == 0 {
			return missing(line, info.Cluster, it.end, offsets, fonts, s.face, ErrNoGlyph)
		}
		g := f.outline(s.face, info.Glyph)
		if g.picture && !unicode.IsSpace(start) && !ignorable(start) {
			return missing(line, info.Cluster, it.end, offsets, fonts, nil, ErrNoOutline)
		}
		if g.err != nil {
			return g.err
		}
		space := unicode.Is(unicode.Zs, start)
		st.nodes += g.nodes
		st.paths += len(g.path)
		st.glyphs = append(st.glyphs, shapedGlyph{
			font: f, glyph: g, id: info.Glyph,
			start: int32(info.Cluster), word: wordAt[offsets[info.Cluster]],
			advance: float64(pos.XAdvance), dx: float64(pos.XOffset), dy: float64(pos.YOffset),
			tracked: !cursive || space, space: space,
		})
	}
	finishClusters(st.glyphs[first:], it, offsets)
	return nil
}

// shapeBuffer shapes what s has in its buffer, while nobody touches the tables.
func (f *Font) shapeBuffer(s *shaper, list []harfbuzz.Feature) {
	f.tables.RLock()
	defer f.tables.RUnlock() // also when the tables make the shaper panic
	s.buffer.Shape(s.font, list)
}

// finishClusters turns the rune index that the shaper gave each glyph into the
// bytes of text that it shows, and lets tracking and word spacing follow only
// the last glyph of each cluster. Glyphs of one cluster stand together.
func finishClusters(glyphs []shapedGlyph, it item, offsets []int32) {
	before := it.end // the cluster to the left
	for a := 0; a < len(glyphs); {
		cluster := int(glyphs[a].start)
		b := a + 1
		for b < len(glyphs) && int(glyphs[b].start) == cluster {
			b++
		}
		end := it.end
		if it.rightToLeft() {
			end = before
		} else if b < len(glyphs) {
			end = int(glyphs[b].start)
		}
		for i := a; i < b; i++ {
			g := &glyphs[i]
			g.start, g.end = offsets[cluster], offsets[end]
			if i < b-1 {
				g.tracked, g.space = false, false
			}
		}
		before = cluster
		a = b
	}
}

// missing names the rune that could not be shown: the first one of the
// cluster, or a mark on it, that the font has not.
func missing(line []rune, cluster, end int, offsets []int32, fonts []*Font, face *font.Face, cause error) error {
	at := cluster
	for i := cluster; face != nil && i < end && (i == cluster || joins(line[i])); i++ {
		if !ignorable(line[i]) && !has(face, line[i:i+1]) {
			at = i
			break
		}
	}
	e := &MissingGlyphError{Rune: line[at], Offset: int(offsets[at]), Cause: cause}
	for _, f := range fonts {
		e.Fonts = append(e.Fonts, f.name)
	}
	return e
}

// joinsLetters reports whether the letters of a script are written joined:
// tracking would tear them apart.
func joinsLetters(s language.Script) bool {
	switch s {
	case language.Arabic, language.Syriac, language.Mongolian, language.Nko, language.Mandaic,
		language.Manichaean, language.Phags_Pa, language.Psalter_Pahlavi, language.Sogdian, language.Adlam, language.Hanifi_Rohingya:
		return true
	}
	return false
}
