package production

import (
	"fmt"
	"time"
)

// StartBy returns when work of the given span in minutes, done without a
// break, must begin to be finished by the deadline. Where that is before now
// the error wraps [ErrTooLate] and says how much is missing.
func StartBy(deadline time.Time, spanMinutes float64, now time.Time) (time.Time, error) {
	if !(spanMinutes >= 0 && spanMinutes <= MaxMinutes) {
		return time.Time{}, &Error{Where: "span", Cause: ErrInvalid, Detail: fmt.Sprintf("%v minutes", spanMinutes), Fix: "give zero minutes or more"}
	}
	start := deadline.Add(-time.Duration(spanMinutes * float64(time.Minute)))
	if start.Before(now) {
		return start, &Error{Where: "deadline", Cause: ErrTooLate, Detail: missing(now.Sub(start)) + " too late to begin", Fix: "put more people on the longest stage, cut less, or ask for more time"}
	}
	return start, nil
}

// missing writes a duration for people: minutes, hours or days.
func missing(d time.Duration) string {
	const day = 24 * time.Hour
	minutes := int(d.Round(time.Minute).Minutes())
	switch {
	case d >= 2*day:
		return fmt.Sprintf("%d days", int((d+day/2)/day))
	case minutes >= 60:
		return fmt.Sprintf("%d:%02d hours", minutes/60, minutes%60)
	}
	return fmt.Sprintf("%d minutes", max(1, minutes))
}
