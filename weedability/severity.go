package weedability

import "fmt"

// Severity is how bad a finding is: which tier of its [Limit] the value is below.
type Severity uint8

// The severities, mildest first.
const (
	Caution Severity = iota // it can be done, with care
	Warn                    // expect trouble and losses
	Refuse                  // don't cut it like this
)

var severityNames = [...]string{Caution: "caution", Warn: "warn", Refuse: "refuse"}

// String returns "caution", "warn" or "refuse".
func (s Severity) String() string {
	if int(s) < len(severityNames) {
		return severityNames[s]
	}
	return fmt.Sprintf("unknown severity %d", s)
}

// MarshalText writes the severity's name.
func (s Severity) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads a severity's name. The error is a [*LimitsError].
func (s *Severity) UnmarshalText(text []byte) error {
	for i, n := range severityNames {
		if n == string(text) {
			*s = Severity(i)
			return nil
		}
	}
	return &LimitsError{Field: "severity", Value: fmt.Sprintf("%q", text), Cause: ErrFormat, Fix: "use caution, warn or refuse"}
}
