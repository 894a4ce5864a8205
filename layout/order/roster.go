package order

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
)

// Wording is one set of words of an item: a member's name in a slot.
type Wording struct {
	Words  map[string]string `json:"words"`            // by slot
	Copies int               `json:"copies,omitempty"` // absent: the item's
	Line   int               `json:"-"`                // in the roster file it was read from
}

// Limits of a roster.
const (
	MaxRosterSize = 64 << 20 // bytes
	MaxRosterRows = 100_000
)

// copiesColumn is the heading of the column that counts decals.
const copiesColumn = "copies"

// Warning is something in a roster that is used as it stands but that somebody
// should look at.
type Warning struct {
	Line int
	Text string
}

func (w Warning) String() string { return fmt.Sprintf("line %d: %s", w.Line, w.Text) }

// ReadRoster reads the list of wordings that a club's secretary sends: CSV in
// UTF-8 or Windows-1252, separated by commas, semicolons or tabs. The first
// row names the slots, and "copies" where rows count; every other row is one
// wording. Empty rows are passed over.
//
// Words are taken as they stand. Equal wordings, odd capitals ("mARLOW") and
// cells that a spreadsheet would take for a formula are warned of. Every
// faulty row is reported, with its line: the error joins [*Error] values.
func ReadRoster(r io.Reader) ([]Wording, []Warning, error) {
	data, err := io.ReadAll(io.LimitReader(r, MaxRosterSize+1))
	if err != nil {
		return nil, nil, &Error{Where: "roster", Cause: err}
	}
	if len(data) > MaxRosterSize {
		return nil, nil, &Error{Where: "roster", Cause: ErrTooLarge, Detail: fmt.Sprintf("more than %d bytes", MaxRosterSize), Fix: "split it"}
	}
	text, err := decodeText(data)
	if err != nil {
		return nil, nil, err
	}
	c := csv.NewReader(strings.NewReader(text))
	c.Comma = separator(text)
	c.FieldsPerRecord = -1
	c.TrimLeadingSpace = true
	var out []Wording
	var warnings []Warning
	var problems []error
	var heads []string
	seen := map[string]int{}
	for {
		row, err := c.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		var parse *csv.ParseError
		if errors.As(err, &parse) {
			problems = append(problems, &Error{Where: fmt.Sprintf("roster, line %d", parse.StartLine), Cause: ErrInvalid, Detail: parse.Err.Error(), Fix: `close every quote; write a quote inside quotes twice ("")`})
			if heads == nil || errors.Is(parse.Err, csv.ErrQuote) {
				break // what follows an open quote cannot be told apart
			}
			continue
		}
		if err != nil {
			return nil, nil, &Error{Where: "roster", Cause: err}
		}
		line, _ := c.FieldPos(0)
		for i := range row {
			row[i] = strings.TrimSpace(strings.ReplaceAll(row[i], "\u00a0", " "))
		}
		if !slices.ContainsFunc(row, func(s string) bool { return s != "" }) {
			continue
		}
		if heads == nil {
			if heads, err = headings(row, line); err != nil {
				return nil, nil, err
			}
			continue
		}
		if len(out) == MaxRosterRows {
			problems = append(problems, &Error{Where: fmt.Sprintf("roster, line %d", line), Cause: ErrTooLarge, Detail: fmt.Sprintf("more than %d rows", MaxRosterRows), Fix: "split it"})
			break
		}
		w, err := wording(heads, row, line)
		if err != nil {
			problems = append(problems, err)
			continue
		}
		warnings = append(warnings, w.warn(heads, seen)...)
		out = append(out, w)
	}
	if len(out) == 0 && len(problems) == 0 {
		problems = append(problems, &Error{Where: "roster", Cause: ErrInvalid, Detail: "it has no names", Fix: "put the slots' names in the first row and one wording in each row below"})
	}
	if len(problems) > 0 {
		return nil, warnings, errors.Join(problems...)
	}
	return out, warnings, nil
}

// decodeText returns the text as UTF-8: as it is, where it is valid, else read
// as Windows-1252, in which every byte but five is a character.
func decodeText(data []byte) (string, error) {
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	if bytes.HasPrefix(data, []byte{0xff, 0xfe}) || bytes.HasPrefix(data, []byte{0xfe, 0xff}) || bytes.IndexByte(data, 0) >= 0 {
		return "", &Error{Where: "roster", Cause: ErrInvalid, Detail: "it is not plain text in UTF-8 or Windows-1252", Fix: "save it as CSV in UTF-8"}
	}
	if utf8.Valid(data) {
		return string(data), nil
	}
	out, err := charmap.Windows1252.NewDecoder().Bytes(data)
	if err != nil {
		return "", &Error{Where: "roster", Cause: ErrInvalid, Detail: err.Error(), Fix: "save it as CSV in UTF-8"}
	}
	return string(out), nil
}

// separator returns which of comma, semicolon and tab the first line has most
// of; a comma where it has none.
func separator(text string) rune {
	line, _, _ := strings.Cut(strings.TrimLeft(text, "\r\n \u00a0"), "\n")
	best, most := ',', strings.Count(line, ",")
	for _, r := range ";\t" {
		if n := strings.Count(line, string(r)); n > most {
			best, most = r, n
		}
	}
	return best
}

func headings(row []string, line int) ([]string, error) {
	heads := make([]string, len(row))
	for i, h := range row {
		if strings.EqualFold(h, copiesColumn) {
			h = copiesColumn
		}
		if h != "" && slices.Contains(heads[:i], h) {
			return nil, &Error{Where: fmt.Sprintf("roster, line %d", line), Cause: ErrInvalid, Detail: fmt.Sprintf("two columns are named %q", h), Fix: "name every column once"}
		}
		heads[i] = h
	}
	return heads, nil
}

// wording reads one row.
func wording(heads, row []string, line int) (Wording, error) {
	w := Wording{Words: map[string]string{}, Line: line}
	fail := func(detail, fix string) (Wording, error) {
		return w, &Error{Where: fmt.Sprintf("roster, line %d", line), Cause: ErrInvalid, Detail: detail, Fix: fix}
	}
	for i, cell := range row {
		switch {
		case cell == "":
		case i >= len(heads) || heads[i] == "":
			return fail(fmt.Sprintf("%q stands in a column without a name", cell), "name the slot in the first row, or quote a text that has the separator in it")
		case heads[i] == copiesColumn:
			n, err := strconv.Atoi(cell)
			if err != nil || n < 0 || n > MaxCopies {
				return fail(fmt.Sprintf("copies is %q", cell), fmt.Sprintf("give a whole number from 0 to %d", MaxCopies))
			}
			if n == 0 {
				return fail("copies is 0", "leave the row out, or give 1 or more")
			}
			w.Copies = n
		case strings.ContainsFunc(cell, unicode.IsControl):
			return fail(fmt.Sprintf("%q has a line break or a control character in it", cell), "write it in one line")
		default:
			w.Words[heads[i]] = cell
		}
	}
	if len(w.Words) == 0 {
		return fail("it counts copies of nothing", "give the words too")
	}
	return w, nil
}

// warn tells what in a wording looks like a slip. seen holds the line of every
// wording so far.
func (w Wording) warn(heads []string, seen map[string]int) []Warning {
	var out []Warning
	key := ""
	for _, slot := range heads {
		text := w.Words[slot]
		key += text + "\x00"
		if oddCapitals(text) {
			out = append(out, Warning{w.Line, fmt.Sprintf("%q: odd capitals; it is cut as it stands", text)})
		}
		if text != "" && strings.ContainsRune("=+-@", rune(text[0])) {
			out = append(out, Warning{w.Line, fmt.Sprintf("%q: it looks like a formula; it is cut as it stands", text)})
		}
	}
	if first, ok := seen[key]; ok {
		out = append(out, Warning{w.Line, fmt.Sprintf("the same words as in line %d; both are cut", first)})
	} else {
		seen[key] = w.Line
	}
	return out
}

// oddCapitals reports whether a word begins small and goes on in capitals
// ("mARLOW"), or has a single small letter among capitals ("MARLoW").
func oddCapitals(text string) bool {
	for _, word := range strings.Fields(text) {
		upper, lower := 0, 0
		first := rune(0)
		for _, r := range word {
			if first == 0 {
				first = r
			}
			if unicode.IsUpper(r) {
				upper++
			} else if unicode.IsLower(r) {
				lower++
			}
		}
		if unicode.IsLower(first) && upper > 0 || lower == 1 && upper > 2 {
			return true
		}
	}
	return false
}
