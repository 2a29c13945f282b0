package rider

import (
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/strict"
)

// Documents have the same members for a leg and for an upper body. But a member that is
// there is known, even if all of it is 0; a value that is all 0 is not known.
type (
	legDocument   Leg
	upperDocument Upper
)

func init() {
	strict.Register(Covariance.document, newCovariance)
	strict.Register(
		func(l Leg) legDocument { return legDocument(l) },
		func(d legDocument) (Leg, error) {
			if d.Ankle.Profile == nil {
				d.Ankle.Profile = []float64{}
			}
			return Leg(d), nil
		},
	)
	strict.Register(
		func(u Upper) upperDocument { return upperDocument(u) },
		func(d upperDocument) (Upper, error) {
			if d == (upperDocument{}) {
				return Upper{}, fault.New("", "all 0", "trunk and arms; left out, they are not known", fault.ErrRange)
			}
			return Upper(d), nil
		},
	)
}

// MarshalJSON writes the body as documents of package fitgeom/exchange have it.
func (b Body) MarshalJSON() ([]byte, error) { return strict.JSON(b) }

// UnmarshalJSON reads what MarshalJSON writes.
func (b *Body) UnmarshalJSON(text []byte) error { return strict.Unmarshal(text, b) }

// MarshalJSON refuses: a [Chain] has no document. Its [Body] and its position have.
func (c Chain) MarshalJSON() ([]byte, error) { return nil, strict.NoDocument("rider.Chain") }

// UnmarshalJSON refuses, as MarshalJSON does.
func (c *Chain) UnmarshalJSON([]byte) error { return strict.NoDocument("rider.Chain") }

// MarshalJSON writes the limits with their body.
func (l Limits) MarshalJSON() ([]byte, error) { return strict.JSON(l) }

// UnmarshalJSON reads what MarshalJSON writes.
func (l *Limits) UnmarshalJSON(text []byte) error { return strict.Unmarshal(text, l) }

// MarshalJSON refuses: a [Region] has no document. Its [Limits] and its position have.
func (r Region) MarshalJSON() ([]byte, error) { return nil, strict.NoDocument("rider.Region") }

// UnmarshalJSON refuses, as MarshalJSON does.
func (r *Region) UnmarshalJSON([]byte) error { return strict.NoDocument("rider.Region") }
