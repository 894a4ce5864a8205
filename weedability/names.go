package weedability

import (
	"fmt"
	"slices"
	"strings"
)

// nameOf returns the name of a value of one of the small integer types; one without a name is told by its number.
func nameOf[T ~uint8](v T, names []string, what string) string {
	if int(v) < len(names) {
		return names[v]
	}
	return fmt.Sprintf("unknown %s %d", what, v)
}

// textOf is nameOf for text that is read back: a value without a name is a [*LimitsError].
func textOf[T ~uint8](v T, names []string, what string) ([]byte, error) {
	if int(v) >= len(names) {
		return nil, &LimitsError{Field: what, Value: fmt.Sprint(v), Cause: ErrFormat, Fix: "use " + strings.Join(names, ", ")}
	}
	return []byte(names[v]), nil
}

// fromText is the inverse of textOf.
func fromText[T ~uint8](text []byte, names []string, what string) (T, error) {
	if i := slices.Index(names, string(text)); i >= 0 {
		return T(i), nil
	}
	return 0, &LimitsError{Field: what, Value: fmt.Sprintf("%q", text), Cause: ErrFormat, Fix: "use " + strings.Join(names, ", ")}
}
