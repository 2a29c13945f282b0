package request

import "example.com/fitgeom/internal/enum"

// Wanted is what answers a request. The zero Wanted is [Builds].
type Wanted uint8

// What answers a request.
const (
	// Builds are the best builds, of one frame or each of one size; or the position, of a
	// request that asks for no bike.
	Builds Wanted = iota
	// Obstacles are what is in the way of the best build of one frame, none if it holds the target
	// ([solve.Problem.Explain]).
	Obstacles
	// Steps set the best build of one frame up, in working order ([solve.SetUp], by the angle of
	// the frame's seat tube and with all measures that apply).
	Steps
	// Ranking is the best sizes of a catalogue with how they were compared (rank.Ranking).
	Ranking
)

var wantedNames = enum.New[Wanted]("want", []string{"builds", "obstacles", "steps", "ranking"})

// String returns the name, such as "builds".
func (w Wanted) String() string { return wantedNames.String(w) }

// MarshalText writes the name; it fails for an unknown number.
func (w Wanted) MarshalText() ([]byte, error) { return wantedNames.Text(w) }

// UnmarshalText reads a name as [ParseWanted] does.
func (w *Wanted) UnmarshalText(text []byte) error { return wantedNames.Read(w, text) }

// ParseWanted returns what answers a request by that name, or a [*contact.Error] of class
// [contact.ErrUnknown].
func ParseWanted(name string) (Wanted, error) { return wantedNames.Parse(name) }
