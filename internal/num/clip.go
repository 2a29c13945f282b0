package num

// Clip appends to dst what of a convex polygon, given by its corners, is on one side of a line: where
// left, which is linear, is not negative. Between two corners is a share of the way from the first.
func Clip[P any](dst, of []P, left func(P) float64, between func(a, b P, share float64) P) []P {
	if len(of) == 0 {
		return dst
	}
	a := of[len(of)-1]
	was := left(a)
	for _, b := range of {
		is := left(b)
		if (was >= 0) != (is >= 0) {
			dst = append(dst, between(a, b, was/(was-is)))
		}
		if is >= 0 {
			dst = append(dst, b)
		}
		a, was = b, is
	}
	return dst
}
