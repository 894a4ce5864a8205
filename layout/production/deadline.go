package production

import (
	"fmt"
	"time"
)

// StartBy returns when work of the given span in minutes, done without a
// break, must begin to be finished by the deadline. Where that is before now
// the error wraps [ErrTooLate] and says how much is missing.
func StartBy(deadline time.Time, spanMinutes float64, now time.Time) (time.Time, error) {
	if !(spanMinutes >= 0 && spanMinutes < 1e8) {
		return time.Time{}, &Error{Where: "span", Cause: ErrInvalid, Detail: fmt.Sprintf("%v minutes", spanMinutes), Fix: "give zero minutes or more"}
	}
	start := deadline.Add(-time.Duration(spanMinutes * float64(time.Minute)))
	if start.Before(now) {
		return start, &Error{Where: "deadline", Cause: ErrTooLate, Detail: fmt.Sprintf("%s are missing", now.Sub(start).Round(time.Minute)), Fix: "put more people on the longest stage, cut less, or ask for more time"}
	}
	return start, nil
}
