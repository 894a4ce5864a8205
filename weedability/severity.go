package weedability

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
func (s Severity) String() string { return nameOf(s, severityNames[:], "severity") }

// MarshalText writes the severity's name; the error is a [*LimitsError] for a value without one.
func (s Severity) MarshalText() ([]byte, error) { return textOf(s, severityNames[:], "severity") }

// UnmarshalText reads a severity's name. The error is a [*LimitsError].
func (s *Severity) UnmarshalText(text []byte) (err error) {
	*s, err = fromText[Severity](text, severityNames[:], "severity")
	return err
}
