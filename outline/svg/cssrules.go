package svg

import (
	"slices"
	"sort"
	"strings"
)

// rule is one selector of a style element with its declarations.
type rule struct {
	element, id  string // "" for any
	classes      []string
	specificity  int
	declarations []declaration
}

// matches reports whether e is selected.
func (r *rule) matches(e *element, classes []string) bool {
	if r.element != "" && r.element != e.name {
		return false
	}
	if r.id != "" && r.id != e.attr("id") {
		return false
	}
	for _, c := range r.classes {
		if !slices.Contains(classes, c) {
			return false
		}
	}
	return true
}

// parseRules reads the rules of a style element: selectors made of an element
// name, classes and an id, lists of them, and their declarations. unread gets
// what it leaves out: at-rules and other selectors.
func parseRules(text string) (rules []rule, unread []string) {
	text = stripComments(text)
	for {
		open := strings.IndexByte(text, '{')
		if open < 0 {
			if rest := strings.TrimSpace(text); rest != "" {
				unread = append(unread, rest)
			}
			return rules, unread
		}
		selectors := strings.TrimSpace(text[:open])
		// A rule such as @import ends in a semicolon, without a block.
		if strings.HasPrefix(selectors, "@") {
			if i := strings.IndexByte(selectors, ';'); i >= 0 {
				unread = append(unread, selectors[:i])
				text = text[strings.IndexByte(text, ';')+1:]
				continue
			}
			unread = append(unread, selectors)
			text = text[blockEnd(text, open):]
			continue
		}
		end := blockEnd(text, open)
		body := strings.TrimSuffix(text[open+1:end], "}")
		declarations := parseDeclarations(body)
		for _, s := range strings.Split(selectors, ",") {
			if r, ok := parseSelector(strings.TrimSpace(s)); ok {
				r.declarations = declarations
				rules = append(rules, r)
			} else {
				unread = append(unread, strings.TrimSpace(s))
			}
		}
		text = text[end:]
	}
}

// blockEnd returns the offset behind the block that opens at open.
func blockEnd(text string, open int) int {
	depth := 0
	for i := open; i < len(text); i++ {
		switch text[i] {
		case '{':
			depth++
		case '}':
			if depth--; depth == 0 {
				return i + 1
			}
		}
	}
	return len(text)
}

func stripComments(text string) string {
	text = strings.NewReplacer("<!--", "", "-->", "").Replace(text)
	var b strings.Builder
	for {
		i := strings.Index(text, "/*")
		if i < 0 {
			b.WriteString(text)
			return b.String()
		}
		b.WriteString(text[:i])
		j := strings.Index(text[i+2:], "*/")
		if j < 0 {
			return b.String()
		}
		text = text[i+2+j+2:]
	}
}

// parseSelector reads one compound selector, such as path.band or #upper.
func parseSelector(text string) (rule, bool) {
	var r rule
	s := scanner{text: text}
	name := func() string {
		start := s.at
		for !s.done() && !strings.ContainsRune(".#*:>+~[] \t\r\n\f,", rune(s.peek())) {
			s.at++
		}
		return s.text[start:s.at]
	}
	if s.peek() == '*' {
		s.at++
	} else if r.element = name(); r.element != "" {
		r.specificity++
	}
	for !s.done() {
		mark := s.peek()
		s.at++
		n := name()
		switch {
		case n == "":
			return r, false
		case mark == '.':
			r.classes = append(r.classes, n)
			r.specificity += 100
		case mark == '#' && r.id == "":
			r.id = n
			r.specificity += 10_000
		default:
			return r, false
		}
	}
	return r, text != ""
}

// ruleBook holds rules by what they ask for first, so that an element is
// compared with few of them.
type ruleBook struct {
	rules []rule
	byKey map[string][]int
}

func (b *ruleBook) len() int { return len(b.rules) }

func (b *ruleBook) add(rules []rule) { b.rules = append(b.rules, rules...) }

// sort puts the rules into the order in which they apply: weaker selectors
// first, equal ones as written.
func (b *ruleBook) sort() {
	sort.SliceStable(b.rules, func(i, j int) bool { return b.rules[i].specificity < b.rules[j].specificity })
	b.byKey = make(map[string][]int, len(b.rules))
	for i := range b.rules {
		key := b.rules[i].key()
		b.byKey[key] = append(b.byKey[key], i)
	}
}

// key is what an element must have to match: an id, a class or a name.
func (r *rule) key() string {
	switch {
	case r.id != "":
		return "#" + r.id
	case len(r.classes) > 0:
		return "." + r.classes[0]
	}
	return r.element
}

// matching returns the rules that select e, in order of application.
func (b *ruleBook) matching(e *element) []*rule {
	if len(b.rules) == 0 {
		return nil
	}
	classes := strings.Fields(e.attr("class"))
	keys := []string{"", e.name, "#" + e.attr("id")}
	for i, c := range classes {
		if !slices.Contains(classes[:i], c) && len(keys) < maxClasses {
			keys = append(keys, "."+c)
		}
	}
	var hits []int
	for _, k := range keys {
		for _, i := range b.byKey[k] {
			if b.rules[i].matches(e, classes) {
				hits = append(hits, i)
			}
		}
	}
	sort.Ints(hits)
	rules := make([]*rule, len(hits))
	for i, h := range hits {
		rules[i] = &b.rules[h]
	}
	return rules
}

// maxClasses bounds the classes of one element that rules are sought for.
const maxClasses = 50
