package svg

import (
	"fmt"
	"io"
	"math"
	"strings"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// Read reads an SVG document, also one packed by gzip (.svgz). It returns a
// [*ReadError] for a file that is not SVG, whose geometry cannot be understood or
// that is beyond the Max constants, an [*OptionError] for opt, and then no Drawing;
// what cannot be cut is in Drawing.Warnings.
func Read(in io.Reader, opt Options) (*Drawing, error) {
	if !(opt.Tolerance == 0 || opt.Tolerance >= minTolerance && opt.Tolerance <= MaxCoordinate) {
		return nil, &OptionError{"Tolerance", opt.Tolerance.String(), "give at least " + minTolerance.String() + ", or zero for the usual"}
	}
	if !(opt.Pixel == 0 || opt.Pixel >= minTolerance && opt.Pixel <= MaxCoordinate) {
		return nil, &OptionError{"Pixel", opt.Pixel.String(), "give a pixel's size, or zero for 1/96 in"}
	}
	if opt.MaxNodes < 0 || opt.MaxNodes > MaxNodes {
		return nil, &OptionError{"MaxNodes", fmt.Sprint(opt.MaxNodes), fmt.Sprintf("give 1 to %d, or zero for that", MaxNodes)}
	}
	if opt.MaxNodes == 0 {
		opt.MaxNodes = MaxNodes
	}
	if opt.Tolerance == 0 {
		opt.Tolerance = outline.DefaultTolerance
	}
	if opt.Pixel == 0 {
		opt.Pixel = units.Pixel
	}
	root, err := parseXML(in)
	if err != nil {
		return nil, err
	}
	r := &reader{
		opt: opt, drawing: &Drawing{}, ids: map[string]*element{}, said: map[string]bool{},
		drawn: MaxDrawn, bytes: MaxReadBytes, nodes: opt.MaxNodes, dashes: MaxDashes,
		applied: MaxApplied, crossed: MaxCrossings, pairs: MaxPairs,
	}
	r.index(root)
	r.rules.sort()
	if err := r.page(root); err != nil {
		return nil, err
	}
	if r.unsaid > 0 {
		r.drawing.Warnings = append(r.drawing.Warnings, Warning{"svg", root.line, fmt.Sprintf("%d more warnings", r.unsaid)})
	}
	return r.drawing, nil
}

// minTolerance is the smallest tolerance, and the smallest pixel, that options
// can ask for: below a nanometre flattening would be all cost.
const minTolerance units.Length = 1e-6

// reader holds what one call of Read knows; budgets count down.
type reader struct {
	opt     Options
	drawing *Drawing
	ids     map[string]*element
	rules   ruleBook

	drawn, bytes, nodes, dashes, applied, crossed, pairs int

	said   map[string]bool // warnings given, by element, line and text
	unsaid int
}

// warn keeps a warning, once for each element and message.
func (r *reader) warn(e *element, format string, arguments ...any) {
	w := Warning{e.label(), e.line, fmt.Sprintf(format, arguments...)}
	if key := w.String(); r.said[key] {
		return
	} else if len(r.drawing.Warnings) >= MaxWarnings-1 {
		r.unsaid++
		return
	} else {
		r.said[key] = true
	}
	r.drawing.Warnings = append(r.drawing.Warnings, w)
}

// index notes ids and style rules of e and all below it.
func (r *reader) index(e *element) {
	if id := e.attr("id"); id != "" && r.ids[id] == nil {
		r.ids[id] = e
	}
	if e.name == "style" {
		r.readRules(e)
	}
	for _, c := range e.children {
		r.index(c)
	}
}

func (r *reader) readRules(e *element) {
	rules, unread := parseRules(string(e.text))
	if room := MaxRules - r.rules.len(); len(rules) > room {
		r.warn(e, "only the first %d rules are applied", MaxRules)
		rules = rules[:room]
	}
	r.rules.add(rules)
	for _, u := range unread {
		r.warn(e, "rule %q is not applied: only element names, classes and ids are understood", excerpt(u, 0))
	}
}

// context is what a child takes from its surroundings.
type context struct {
	t      outline.Transform // user space to millimetres, y up
	style  style
	groups []Group
	in     frame
	uses   []*element // the use elements being expanded
}

// page draws the outermost svg element.
func (r *reader) page(root *element) error {
	box, boxed := viewBox{}, false
	if text := root.attr("viewBox"); text != "" {
		b, err := parseViewBox(text)
		if err != nil {
			return root.fail("viewBox", err)
		}
		box, boxed = b, true
	}
	width, err := r.pageExtent(root, "width", box.width, boxed, 300)
	if err != nil {
		return err
	}
	height, err := r.pageExtent(root, "height", box.height, boxed, 150)
	if err != nil {
		return err
	}
	if boxed && !fixed(root.attr("width")) && !fixed(root.attr("height")) {
		r.warn(root, "no physical size: the viewBox is taken as pixels of %s, which makes the page %s x %s",
			r.opt.Pixel.String(), units.Length(width).String(), units.Length(height).String())
	}
	// Where the file gives one side only, the viewBox's shape gives the other.
	if boxed {
		hasWidth, hasHeight := fixed(root.attr("width")), fixed(root.attr("height"))
		switch {
		case hasWidth && !hasHeight:
			height = width * box.height / box.width
		case hasHeight && !hasWidth:
			width = height * box.width / box.height
		}
	}
	if !(width > 0 && height > 0) {
		return root.failure(ErrNoSize, "give width and height above zero, or a viewBox")
	}
	if width > MaxCoordinate || height > MaxCoordinate {
		return root.failure(ErrTooFar, "give a page of less than 1 km")
	}
	r.drawing.Width, r.drawing.Height = units.Length(width), units.Length(height)
	pixel := float64(r.opt.Pixel)
	user := outline.Scale(pixel, pixel)
	in := frame{width / pixel, height / pixel}
	if boxed {
		var slice bool
		user, slice, err = box.into(0, 0, width, height, root.attr("preserveAspectRatio"))
		if err != nil {
			return root.fail("preserveAspectRatio", err)
		}
		if slice {
			r.warn(root, "the page shows only a part of the viewBox; what lies outside is cut as well")
		}
		in = frame{box.width, box.height}
	}
	c := context{
		t:     user.Then(outline.Transform{XX: 1, YY: -1, Y0: height}),
		style: initialStyle(), in: in,
	}
	if err := r.compute(root, &c); err != nil {
		return err
	}
	if !c.style.display {
		return nil
	}
	return r.children(root, c)
}

// fixed reports whether text is a length that needs no surroundings.
func fixed(text string) bool {
	text = strings.TrimSpace(text)
	return text != "" && text != "auto" && !strings.HasSuffix(text, "%")
}

// pageExtent returns one side of the page in millimetres. Without it the
// viewBox is taken as pixels, and without that the standard's size of a
// replaced element, 300 by 150 pixels (CSS 2.1, 10.3.2).
func (r *reader) pageExtent(root *element, name string, box float64, boxed bool, fallback float64) (float64, error) {
	pixel := float64(r.opt.Pixel)
	text := root.attr(name)
	if !fixed(text) {
		if boxed {
			return box * pixel, nil
		}
		r.warn(root, "no %s and no viewBox: the page is taken as %g pixels", name, fallback)
		return fallback * pixel, nil
	}
	m, err := parseMeasure(text)
	if err != nil {
		return 0, root.fail(name, err)
	}
	if m.unit == "" || strings.EqualFold(m.unit, "px") {
		return m.value * pixel, nil
	}
	size, _ := cssUnit(m.unit)
	return m.value * float64(size), nil
}

// children draws what is inside a container.
func (r *reader) children(e *element, c context) error {
	for _, child := range e.children {
		if err := r.element(child, c); err != nil {
			return err
		}
	}
	return nil
}

// count takes e from the budgets of drawn elements and their attributes.
func (r *reader) count(e *element) error {
	r.drawn--
	r.bytes -= e.size
	if r.drawn < 0 || r.bytes < 0 {
		return e.failure(ErrTooLarge, fmt.Sprintf("draw at most %d elements and %d MiB of attributes, counting every use", MaxDrawn, MaxReadBytes>>20))
	}
	return nil
}

// element draws e and what it holds; c is its parent's context.
func (r *reader) element(e *element, c context) error {
	if err := r.count(e); err != nil {
		return err
	}
	switch e.name {
	case "defs", "title", "desc", "metadata", "style", "symbol", "linearGradient", "radialGradient", "meshgradient",
		"pattern", "clipPath", "mask", "filter", "marker", "script", "view", "cursor", "font", "color-profile", "solidcolor", "hatch":
		// Drawn only where something refers to it, and then warned about or used.
		return nil
	}
	if err := r.compute(e, &c); err != nil {
		return err
	}
	if !c.style.display {
		return nil
	}
	for _, property := range c.style.uncut {
		r.warn(e, "%s is not applied: it is cut without", property)
	}
	if c.style.opacity == 0 {
		r.warn(e, "opacity is 0: it is not cut")
		return nil
	}
	if c.style.opacity < 1 {
		r.warn(e, "opacity is not applied: film is opaque")
	}
	if text := c.style.transform; text != "" {
		t, err := parseTransform(text)
		if err != nil {
			return e.fail("transform", err)
		}
		c.t = t.Then(c.t)
		if !isBounded(c.t) {
			return e.fail("transform", &syntaxError{want: "a smaller transform", cause: ErrTooFar})
		}
	}
	switch e.name {
	case "g", "a":
		c.groups = append(c.groups[:len(c.groups):len(c.groups)], e.group())
		return r.children(e, c)
	case "switch":
		return r.choose(e, c)
	case "svg":
		return r.nested(e, c, "", "")
	case "use":
		return r.use(e, c)
	case "text", "image", "foreignObject", "video", "audio", "canvas", "iframe":
		if c.style.visible {
			r.warn(e, "%s", uncuttable(e.name))
		}
		return nil
	}
	return r.shape(e, c)
}

func uncuttable(name string) string {
	switch name {
	case "text":
		return "text is not cut: convert it to paths, or set it with the lettering package"
	case "image":
		return "an image has no outline to cut: trace it first"
	}
	return name + " has no outline to cut"
}

// group returns what e says about the shapes in it.
func (e *element) group() Group {
	return Group{ID: e.attr("id"), Class: e.attr("class"), Label: e.foreign("label"), Data: e.data()}
}

// data returns the data-* attributes without that prefix.
func (e *element) data() map[string]string {
	var m map[string]string
	for _, a := range e.attrs {
		if name, ok := strings.CutPrefix(a.Name.Local, "data-"); ok && a.Name.Space == "" {
			if m == nil {
				m = map[string]string{}
			}
			m[name] = a.Value
		}
	}
	return m
}

// compute gives c the style of e: attributes, then rules, then the style
// attribute, then what is important.
func (r *reader) compute(e *element, c *context) error {
	parent := c.style
	s := &c.style
	s.reset()
	for _, a := range e.attrs {
		if a.Name.Space != "" || !presentation[a.Name.Local] {
			continue
		}
		if err := s.apply(a.Name.Local, strings.TrimSpace(a.Value), &parent); err != nil {
			return e.fail(a.Name.Local, err)
		}
	}
	var important []declaration
	set := func(attribute string, list []declaration) error {
		for _, d := range list {
			if d.important {
				important = append(important, d)
				continue
			}
			if err := s.apply(d.property, d.value, &parent); err != nil {
				return e.fail(attribute, &syntaxError{want: d.property + " as CSS has it"})
			}
		}
		return nil
	}
	for _, rule := range r.rules.matching(e) {
		if r.applied--; r.applied < 0 {
			return e.failure(ErrTooLarge, fmt.Sprintf("let style rules apply at most %d times", MaxApplied))
		}
		if err := set("class", rule.declarations); err != nil {
			return err
		}
	}
	if text := e.attr("style"); text != "" {
		if err := set("style", parseDeclarations(text)); err != nil {
			return err
		}
	}
	for _, d := range important {
		if err := s.apply(d.property, d.value, &parent); err != nil {
			return e.fail("style", &syntaxError{want: d.property + " as CSS has it"})
		}
	}
	return nil
}

// choose draws the first child of a switch that asks for nothing special.
func (r *reader) choose(e *element, c context) error {
	for _, child := range e.children {
		if child.attr("requiredExtensions") != "" || child.attr("systemLanguage") != "" || child.name == "foreignObject" {
			continue
		}
		return r.element(child, c)
	}
	return nil
}

// nested draws an svg element inside another, or a symbol; width and height,
// where not "", are those of the use element that shows it.
func (r *reader) nested(e *element, c context, width, height string) error {
	sized := *e
	if width != "" || height != "" {
		sized.attrs = nil
		for _, a := range e.attrs {
			if !(a.Name.Space == "" && (a.Name.Local == "width" && width != "" || a.Name.Local == "height" && height != "")) {
				sized.attrs = append(sized.attrs, a)
			}
		}
		sized.attrs = append(sized.attrs, attribute("width", width), attribute("height", height))
	}
	l := lengths{e: &sized, in: c.in}
	x, _ := l.get("x", c.in.width)
	y, _ := l.get("y", c.in.height)
	w, okW := l.size("width", c.in.width)
	h, okH := l.size("height", c.in.height)
	if l.err != nil {
		return l.err
	}
	if !okW {
		w = c.in.width
	}
	if !okH {
		h = c.in.height
	}
	if w == 0 || h == 0 {
		return nil
	}
	inner := outline.Translate(outline.Pt(x, y))
	in := frame{w, h}
	if text := e.attr("viewBox"); text != "" {
		box, err := parseViewBox(text)
		if err != nil {
			return e.fail("viewBox", err)
		}
		t, slice, err := box.into(x, y, w, h, e.attr("preserveAspectRatio"))
		if err != nil {
			return e.fail("preserveAspectRatio", err)
		}
		if slice {
			r.warn(e, "only a part of the viewBox is shown; what lies outside is cut as well")
		}
		inner = t
		in = frame{box.width, box.height}
	}
	c.t, c.in = inner.Then(c.t), in
	if !isBounded(c.t) {
		return e.failure(ErrTooFar, "give it a smaller scale")
	}
	c.groups = append(c.groups[:len(c.groups):len(c.groups)], e.group())
	return r.children(e, c)
}

// use draws the element that e refers to, shifted by its x and y.
func (r *reader) use(e *element, c context) error {
	href := e.href()
	target := r.ids[strings.TrimPrefix(href, "#")]
	if !strings.HasPrefix(href, "#") || target == nil {
		r.warn(e, "what %q refers to is not in this file: it is not cut", excerpt(href, 0))
		return nil
	}
	for _, u := range c.uses {
		if u == e {
			return e.failure(ErrReference, "remove the reference to an element around it")
		}
	}
	if len(c.uses) >= MaxUseDepth {
		return e.failure(ErrTooLarge, fmt.Sprintf("let use elements lead to others at most %d deep", MaxUseDepth))
	}
	l := lengths{e: e, in: c.in}
	x, _ := l.get("x", c.in.width)
	y, _ := l.get("y", c.in.height)
	if l.err != nil {
		return l.err
	}
	c.t = outline.Translate(outline.Pt(x, y)).Then(c.t)
	c.uses = append(c.uses[:len(c.uses):len(c.uses)], e)
	c.groups = append(c.groups[:len(c.groups):len(c.groups)], e.group())
	switch target.name {
	case "symbol", "svg":
		if err := r.count(target); err != nil {
			return err
		}
		if err := r.compute(target, &c); err != nil {
			return err
		}
		if !c.style.display {
			return nil
		}
		if text := c.style.transform; text != "" {
			t, err := parseTransform(text)
			if err != nil {
				return target.fail("transform", err)
			}
			c.t = t.Then(c.t)
			if !isBounded(c.t) {
				return target.failure(ErrTooFar, "give it a smaller scale")
			}
		}
		return r.nested(target, c, e.attr("width"), e.attr("height"))
	}
	return r.element(target, c)
}

// shape draws a shape element, or warns of one that is not known.
func (r *reader) shape(e *element, c context) error {
	stretch := stretchOf(c.t)
	if !(stretch > 0) {
		return nil // flattened to nothing
	}
	tolerance := float64(r.opt.Tolerance) / stretch
	subpaths, ok, err := r.geometry(e, c.in, tolerance)
	if err != nil {
		return err
	}
	if !ok {
		r.warn(e, "%s is not known: it is not cut", e.name)
		return nil
	}
	if !c.style.visible || len(subpaths) == 0 {
		return nil
	}
	for _, s := range subpaths {
		r.nodes -= max(1, len(s.Segments))
	}
	if r.nodes < 0 {
		return e.failure(ErrTooLarge, fmt.Sprintf("draw at most %d nodes, counting every use", r.opt.MaxNodes))
	}
	s := Shape{
		ID: e.attr("id"), Class: e.attr("class"), Element: e.name, Line: e.line,
		Groups: c.groups, Data: e.data(),
	}
	inPlace := make([]Subpath, len(subpaths))
	for i, p := range subpaths {
		inPlace[i] = Subpath{p.Curve.Transform(c.t), p.Closed}
		s.Curves = append(s.Curves, inPlace[i].Curve)
		if b := inPlace[i].Bounds(); !(math.Abs(b.Min.X) <= MaxCoordinate && math.Abs(b.Min.Y) <= MaxCoordinate && math.Abs(b.Max.X) <= MaxCoordinate && math.Abs(b.Max.Y) <= MaxCoordinate) {
			return e.failure(ErrTooFar, "keep the drawing within 1 km of its page")
		}
	}
	return r.paint(e, c, s, subpaths, inPlace)
}
