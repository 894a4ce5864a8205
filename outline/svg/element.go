package svg

import (
	"bufio"
	"compress/gzip"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strings"

	"golang.org/x/text/encoding/htmlindex"
)

// namespace is SVG's; files without any namespace are read as SVG too.
const namespace = "http://www.w3.org/2000/svg"

// element is one SVG element of the file. Elements of other namespaces
// (editors' notes, metadata) have no place in the rendering and are left out.
type element struct {
	name     string
	line     int
	attrs    []xml.Attr
	size     int // bytes of the attributes' names and values
	children []*element
	text     []byte // character data, of style elements only
}

// attribute returns an attribute without namespace.
func attribute(name, value string) xml.Attr {
	return xml.Attr{Name: xml.Name{Local: name}, Value: value}
}

// attr returns an attribute without namespace, "" if absent.
func (e *element) attr(name string) string {
	for i := range e.attrs {
		if e.attrs[i].Name.Local == name && e.attrs[i].Name.Space == "" {
			return e.attrs[i].Value
		}
	}
	return ""
}

// foreign returns an attribute by its local name in any namespace but none:
// xlink:href, or the label an editor gave to a layer.
func (e *element) foreign(name string) string {
	for i := range e.attrs {
		if e.attrs[i].Name.Local == name && e.attrs[i].Name.Space != "" {
			return e.attrs[i].Value
		}
	}
	return ""
}

// href returns the reference of a use element: SVG 2's href goes before
// xlink:href.
func (e *element) href() string {
	if h := e.attr("href"); h != "" {
		return strings.TrimSpace(h)
	}
	return strings.TrimSpace(e.foreign("href"))
}

// label names the element for messages: its name and its id.
func (e *element) label() string {
	if id := e.attr("id"); id != "" {
		return e.name + "#" + excerpt(id, 0)
	}
	return e.name
}

// fail returns the error for a fault in an attribute of e.
func (e *element) fail(attribute string, err error) error {
	r := attributeError(attribute, e.attr(attribute), err)
	r.Element, r.Line = e.label(), e.line
	return r
}

// failure returns the error for a fault of e as a whole.
func (e *element) failure(cause error, fix string) error {
	return &ReadError{Element: e.label(), Line: e.line, Cause: cause, Fix: fix}
}

// attributeError makes a syntaxError, or any other cause, a ReadError.
func attributeError(attribute, value string, err error) *ReadError {
	r := &ReadError{Attribute: attribute, Value: excerpt(value, 0), Cause: err}
	var fault *syntaxError
	if errors.As(err, &fault) {
		r.Value = excerpt(value, fault.offset)
		r.Offset = fault.offset
		r.Cause = fault.Unwrap()
		r.Fix = "give " + fault.want + " there"
	}
	return r
}

// limitedReader counts down and says so when a file is too long, where
// io.LimitReader would end it.
type limitedReader struct {
	r    io.Reader
	left int
}

func (l *limitedReader) Read(b []byte) (int, error) {
	if l.left <= 0 {
		return 0, &ReadError{Cause: ErrTooLarge, Fix: fmt.Sprintf("give a file of at most %d MiB", MaxBytes>>20)}
	}
	if len(b) > l.left {
		b = b[:l.left]
	}
	n, err := l.r.Read(b)
	l.left -= n
	return n, err
}

// entityDeclaration matches <!ENTITY name "text"> of an internal DTD subset,
// which some editors use for namespace names. The text is not expanded again,
// so entities cannot multiply.
var entityDeclaration = regexp.MustCompile(`<!ENTITY\s+([A-Za-z_][\w.-]*)\s+(?:"([^"<]*)"|'([^'<]*)')\s*>`)

// What a DTD may declare, and how much may follow it: each reference of a few
// bytes grows to the entity's text.
const (
	maxEntities    = 200
	maxEntityBytes = 100
	maxEntityFile  = 1 << 20
)

// unpacked returns the file's text: what gzip packed (the standard's .svgz) is
// unpacked.
func unpacked(r io.Reader) (io.Reader, error) {
	b := bufio.NewReader(r)
	if magic, err := b.Peek(2); err != nil || magic[0] != 0x1f || magic[1] != 0x8b {
		return b, nil // a failing reader fails again when it is read
	}
	z, err := gzip.NewReader(b)
	if err != nil {
		return nil, &ReadError{Cause: fmt.Errorf("%w: %w", ErrXML, err), Fix: "save the artwork again as plain SVG"}
	}
	return z, nil
}

// parseXML reads the whole file into a tree.
func parseXML(r io.Reader) (*element, error) {
	text, err := unpacked(r)
	if err != nil {
		return nil, err
	}
	in := &limitedReader{text, MaxBytes}
	d := xml.NewDecoder(in)
	d.CharsetReader = func(charset string, text io.Reader) (io.Reader, error) {
		enc, err := htmlindex.Get(charset)
		if err != nil {
			return nil, fmt.Errorf("character set %q is not known", charset)
		}
		return enc.NewDecoder().Reader(text), nil
	}
	var root *element
	var stack []*element // nil for an element left out
	count, styleBytes := 0, 0
	for {
		line, _ := d.InputPos()
		token, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			return nil, xmlError(d, err)
		}
		switch t := token.(type) {
		case xml.StartElement:
			if count++; count > MaxElements {
				return nil, &ReadError{Line: line, Cause: ErrTooLarge, Fix: fmt.Sprintf("give a file of at most %d elements", MaxElements)}
			}
			if len(stack) >= MaxDepth {
				return nil, &ReadError{Element: t.Name.Local, Line: line, Cause: ErrTooLarge, Fix: fmt.Sprintf("nest elements at most %d deep", MaxDepth)}
			}
			e, err := startElement(t, line)
			if err != nil {
				return nil, err
			}
			switch {
			case root == nil && (e == nil || e.name != "svg"):
				return nil, &ReadError{Element: t.Name.Local, Line: line, Cause: ErrNotSVG, Fix: "save the artwork as SVG"}
			case root == nil:
				root = e
			case len(stack) == 0:
				return nil, &ReadError{Element: t.Name.Local, Line: line, Cause: fmt.Errorf("%w: a second outermost element", ErrXML), Fix: "save the artwork again as plain SVG"}
			case stack[len(stack)-1] == nil:
				e = nil // inside something foreign
			case e != nil:
				parent := stack[len(stack)-1]
				parent.children = append(parent.children, e)
			}
			stack = append(stack, e)
		case xml.EndElement:
			stack = stack[:len(stack)-1]
		case xml.CharData:
			if n := len(stack); n > 0 && stack[n-1] != nil && stack[n-1].name == "style" {
				if styleBytes += len(t); styleBytes > MaxStyleBytes {
					return nil, stack[n-1].failure(ErrTooLarge, fmt.Sprintf("give style rules of at most %d MiB", MaxStyleBytes>>20))
				}
				stack[n-1].text = append(stack[n-1].text, t...)
			}
		case xml.Directive:
			if readEntities(d, t) {
				in.left = min(in.left, maxEntityFile)
			}
		}
	}
	if root == nil {
		return nil, &ReadError{Cause: ErrNotSVG, Fix: "give a file with an svg element"}
	}
	return root, nil
}

// startElement returns the element for a start tag, nil for one of another
// namespace.
func startElement(t xml.StartElement, line int) (*element, error) {
	if t.Name.Space != namespace && t.Name.Space != "" {
		return nil, nil
	}
	size := 0
	for _, a := range t.Attr {
		size += len(a.Name.Local) + len(a.Value)
	}
	if size > MaxAttributeBytes || len(t.Attr) > MaxAttributes {
		return nil, &ReadError{Element: t.Name.Local, Line: line, Cause: ErrTooLarge, Fix: "split the shape into several"}
	}
	return &element{name: t.Name.Local, line: line, attrs: t.Attr, size: size}, nil
}

// readEntities gives the decoder the entities of a document type declaration
// and reports whether there are any.
func readEntities(d *xml.Decoder, directive xml.Directive) bool {
	if !strings.HasPrefix(string(directive), "DOCTYPE") {
		return false
	}
	for _, m := range entityDeclaration.FindAllSubmatch(directive, maxEntities) {
		value := string(m[2]) + string(m[3])
		if len(value) > maxEntityBytes {
			continue
		}
		if d.Entity == nil {
			d.Entity = map[string]string{}
		}
		d.Entity[string(m[1])] = value
	}
	return len(d.Entity) > 0
}

// xmlError gives a decoder's error its line and cause.
func xmlError(d *xml.Decoder, err error) error {
	var limit *ReadError
	if errors.As(err, &limit) {
		return limit
	}
	line, _ := d.InputPos()
	message := err.Error()
	var syntax *xml.SyntaxError
	if errors.As(err, &syntax) {
		line, message = syntax.Line, syntax.Msg
	} else if !strings.HasPrefix(message, "xml:") {
		// Not the document's fault: the reader failed.
		return &ReadError{Line: line, Cause: err}
	}
	return &ReadError{Line: line, Cause: fmt.Errorf("%w: %s", ErrXML, message), Fix: "save the artwork again as plain SVG"}
}
