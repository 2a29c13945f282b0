package search

import (
	"slices"

	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/rig"
)

// shimFor returns the shim that makes a part of one diameter fit another, and
// whether the part fits: without one if it does, or else with the first that
// fits, one that is on the bike before others.
func shimFor(s *fitgeom.Shelf, inner, hole float64, now part.Shim) (part.Shim, bool) {
	if rig.Fits(inner, hole) {
		return part.Shim{}, true
	}
	suits := func(h part.Shim) bool { return rig.Fits(h.Inner, inner) && rig.Fits(h.Outer, hole) }
	if suits(now) && slices.Contains(s.Shims, now) {
		return now, true
	}
	if i := slices.IndexFunc(s.Shims, suits); i >= 0 {
		return s.Shims[i], true
	}
	return part.Shim{}, false
}

// bought is a kind of part, unless the bike has the part.
func bought(k part.Kinds, have bool) part.Kinds {
	if have {
		return 0
	}
	return k
}

// boughtShim is bought of a shim, which the bike may have or which may not be needed.
func boughtShim(shim, now part.Shim) part.Kinds {
	return bought(part.Shims, shim == now || shim == part.Shim{})
}
