package fitgeom

import "example.com/fitgeom/internal/enum"

// A Reason is what decides which of two builds, or of two frames with their best builds, comes
// first. The zero Reason is not valid.
type Reason uint8

// The reasons, in the order in which they decide between builds of which one or both hold the
// position. Of builds that do not hold it ByCloseness comes before ByPurchase.
const (
	ByFit        Reason = iota + 1 // parts of the shelf fit on only one of two frames
	ByHolding                      // one of the two holds the position, the other does not
	ByShortfall                    // the room that is wanted: Merit.Shortfall, then Merit.ShortfallSum
	ByPurchase                     // fewer parts must be bought
	ByPreference                   // Merit.Preference: nearer to what is usual
	ByRoom                         // Merit.Room: more room in the least way
	ByCloseness                    // Candidate.Distance is less, counted in steps of the problem
	ByPlace                        // equal in all of these: the place on the shelf or in the catalogue

	reasonCount = int(ByPlace) + 1
)

// reasons is the one table of reasons.
var reasons = [reasonCount]struct{ name, better, worse, unit string }{
	ByFit:        {"fit", "parts fit", "no parts fit", ""},
	ByHolding:    {"holding", "holds the position", "does not hold the position", ""},
	ByShortfall:  {"shortfall", "less short of the room that is wanted", "shorter of the room that is wanted", "mm"},
	ByPurchase:   {"purchase", "fewer parts to buy", "more parts to buy", "parts"},
	ByPreference: {"preference", "nearer to what is usual", "further from what is usual", "points"},
	ByRoom:       {"room", "more room", "less room", "mm"},
	ByCloseness:  {"closeness", "closer to the position", "further from the position", "tolerances"},
	ByPlace:      {"place", "equal, and earlier in the list", "equal, and later in the list", ""},
}

var reasonNames = func() *enum.Names[Reason] {
	names := make([]string, reasonCount)
	for i := range reasons {
		names[i] = reasons[i].name
	}
	return enum.New[Reason]("reason", names)
}()

// String returns the reason's name, such as "preference".
func (r Reason) String() string { return reasonNames.String(r) }

// MarshalText writes the reason's name; it fails for an unknown number.
func (r Reason) MarshalText() ([]byte, error) { return reasonNames.Text(r) }

// UnmarshalText reads a name as [ParseReason] does.
func (r *Reason) UnmarshalText(text []byte) error { return reasonNames.Read(r, text) }

// ParseReason returns the reason of that name, or a [*contact.Error] of class
// [contact.ErrUnknown].
func ParseReason(name string) (Reason, error) { return reasonNames.Parse(name) }

// Words says how the better of two is better, such as "fewer parts to buy", or how the other
// one is worse.
func (r Reason) Words(better bool) string {
	switch {
	case !reasonNames.Valid(r):
		return r.String()
	case better:
		return reasons[r].better
	default:
		return reasons[r].worse
	}
}

// Unit returns the unit of amounts beside the reason: "mm", "points", "tolerances",
// "parts", or "" where there are no amounts.
func (r Reason) Unit() string {
	if !reasonNames.Valid(r) {
		return ""
	}
	return reasons[r].unit
}
