package nest

import "context"

// Gang places the pieces in straight-trim gangs.
func Gang(ctx context.Context, strip Strip, pieces []Piece, options Options) (Result, error) {
	return Nest(ctx, strip, pieces, options)
}
