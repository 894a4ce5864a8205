package nest

import (
	"encoding/json"
	"fmt"
	"strings"
	"time"
)

// What goes into Nest travels as JSON by the tags of its fields; what has no text of its own gets it here.

// parseMode finds the mode whose name is the text. There are as many modes as names.
func parseMode[M interface {
	~int
	fmt.Stringer
}](text []byte, modes int, what string) (M, error) {
	var names []string
	for m := range M(modes) {
		if m.String() == string(text) {
			return m, nil
		}
		names = append(names, fmt.Sprintf("%q", m.String()))
	}
	return 0, &InputError{what, fmt.Sprintf("%q is not known", text), "write " + strings.Join(names, ", "), ErrUnknownMode}
}

// markMode is the text of a mode, or an error for a number that is none.
func markMode[M interface {
	~int
	fmt.Stringer
}](m M, modes int, what string) ([]byte, error) {
	if m < 0 || int(m) >= modes {
		return nil, &InputError{what, fmt.Sprintf("%d is none of its modes", int(m)), "use one of the constants of its type", ErrUnknownMode}
	}
	return []byte(m.String()), nil
}

// How many modes there are of each kind.
const (
	rotationModes = int(RotateAny) + 1
	mirrorModes   = int(MirrorAlways) + 1
	grainModes    = int(GrainOneWay) + 1
)

// MarshalText writes what String returns.
func (m RotationMode) MarshalText() ([]byte, error) {
	return markMode(m, rotationModes, "Rotations.Mode")
}

// UnmarshalText reads what MarshalText writes. The error is an *InputError.
func (m *RotationMode) UnmarshalText(text []byte) (err error) {
	*m, err = parseMode[RotationMode](text, rotationModes, "Rotations.Mode")
	return err
}

// MarshalText writes what String returns.
func (m Mirror) MarshalText() ([]byte, error) { return markMode(m, mirrorModes, "Mirror") }

// UnmarshalText reads what MarshalText writes. The error is an *InputError.
func (m *Mirror) UnmarshalText(text []byte) (err error) {
	*m, err = parseMode[Mirror](text, mirrorModes, "Mirror")
	return err
}

// MarshalText writes what String returns.
func (m GrainMode) MarshalText() ([]byte, error) { return markMode(m, grainModes, "Grain.Mode") }

// UnmarshalText reads what MarshalText writes. The error is an *InputError.
func (m *GrainMode) UnmarshalText(text []byte) (err error) {
	*m, err = parseMode[GrainMode](text, grainModes, "Grain.Mode")
	return err
}

// firstLayoutText stands for every negative budget.
const firstLayoutText = "first layout"

// plainOptions have the tags of Options but not its methods.
type plainOptions Options

type optionsJSON struct {
	Budget string `json:"budget,omitempty"`
	plainOptions
}

// MarshalJSON writes the options, all but Progress.
func (o Options) MarshalJSON() ([]byte, error) {
	v := optionsJSON{plainOptions: plainOptions(o)}
	switch {
	case o.Budget < 0:
		v.Budget = firstLayoutText
	case o.Budget > 0:
		v.Budget = o.Budget.String()
	}
	return json.Marshal(v)
}

// UnmarshalJSON reads what MarshalJSON writes; Progress stays nil.
func (o *Options) UnmarshalJSON(data []byte) error {
	var v optionsJSON
	if err := json.Unmarshal(data, &v); err != nil {
		return err
	}
	*o = Options(v.plainOptions)
	switch v.Budget {
	case "":
	case firstLayoutText:
		o.Budget = FirstLayoutOnly
	default:
		d, err := time.ParseDuration(v.Budget)
		if err != nil || d <= 0 {
			return &InputError{"Options.Budget", fmt.Sprintf("%q is not a time above zero", v.Budget),
				fmt.Sprintf("write a time such as \"5s\" or %q", firstLayoutText), ErrBadNumber}
		}
		o.Budget = d
	}
	return nil
}
