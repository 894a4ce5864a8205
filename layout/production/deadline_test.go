package production_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout/production"
)

func TestStartBy(t *testing.T) {
	deadline := time.Date(2026, 12, 4, 17, 0, 0, 0, time.UTC)
	start, err := production.StartBy(deadline, 150, deadline.Add(-24*time.Hour))
	require.NoError(t, err)
	assert.Equal(t, time.Date(2026, 12, 4, 14, 30, 0, 0, time.UTC), start)
	_, err = production.StartBy(deadline, 150, deadline.Add(-time.Hour))
	assert.ErrorIs(t, err, production.ErrTooLate)
	assert.ErrorContains(t, err, "1:30 hours too late")
	_, err = production.StartBy(deadline, 150, deadline.Add(-time.Hour-87*time.Minute))
	assert.ErrorContains(t, err, "3 minutes too late")
	_, err = production.StartBy(deadline, 0, deadline.Add(71*time.Hour))
	assert.ErrorContains(t, err, "3 days too late")
	_, err = production.StartBy(deadline, math.NaN(), deadline)
	assert.ErrorIs(t, err, production.ErrInvalid)
}
