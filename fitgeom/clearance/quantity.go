package clearance

import "example.com/fitgeom/internal/enum"

// A Quantity is one clearance of a [Bike]. The zero Quantity is not valid.
type Quantity uint8

// The quantities. Each is of one side, left or right, but for the last two; lengths are mm
// and angles degrees. Package documentation has the standards that word them.
const (
	// ShoeToWheel is the shortest distance from the shoe to the front tyre or mudguard,
	// whatever way the wheel is turned, over a turn of the crank. Where they overlap it is
	// negative: how far the shoe reaches into the room that the wheel sweeps. It does not
	// tell whether riding ever needs that much steering: ShoeSteering does.
	ShoeToWheel Quantity = iota + 1
	// ShoeSteering is the least steering angle, either way, at which the shoe meets the
	// front tyre or mudguard at some crank angle. It is there only where they meet. It does
	// not tell what a bike needs: at speed a few degrees, in a turn at walking pace 30 and
	// more (common practice, no source).
	ShoeSteering
	// ToeLevel is from the pedal's centre forward, along the bike, to the arc that tyre or
	// mudguard sweeps at the pedal's level, whichever crank angle makes it least. One
	// reading of 16 CFR 1512.17(d) and of JIS D 9301, 5.6.2 b). It does not ask how far the
	// shoe reaches.
	ToeLevel
	// ToePlan is the same in plan view: to the outermost line that tyre or mudguard sweeps,
	// as seen from above, with the crank forward. The other reading; never more than
	// ToeLevel.
	ToePlan
	// ToeParallel is the shortest distance from the pedal's centre to tyre or mudguard in
	// the plane through it that is parallel to the bike's mid-plane, forward or not. A
	// reading of JIS D 9301, 5.6.2 b); never more than ToeLevel where that is positive.
	ToeParallel
	// PedalLean is the angle from the vertical to which the bike can lean until its level
	// pedal, with the crank at the bottom, meets the ground; negative where the pedal is in
	// the ground. 16 CFR 1512.17(c), for the pedal alone: the bike rolls over on its round
	// tyres, front wheel straight. It does not tell what a shoe or a stand does.
	PedalLean
	// HeelToStay is the shortest distance from the shoe to the chainstay over a turn of the
	// crank; negative where they overlap. It does not tell about hub, brake and bags.
	HeelToStay
	// KneeToBar is the shortest distance from the knee to the handlebar, wheel straight,
	// over a turn of the crank; negative where they overlap. The bar goes straight from
	// clamp to tops, hoods and drops, or to grips, as far as the position knows them, and
	// the knee stays above the middle of its foot.
	KneeToBar
	// KneeToPad is the same from the knee to the forearm pad on its side.
	KneeToPad
	// KneeToElbow is the shortest distance from knee to elbow as seen from the side. It
	// does not tell how far one passes beside the other.
	KneeToElbow
	// Standover is the height of the top tube's upper edge above the ground, where the
	// rider stands. No standard defines it.
	Standover
	// StandoverRoom is the rider's inseam less Standover: what is left between crotch and
	// tube with both feet together on the ground. Feet apart have less.
	StandoverRoom

	quantityCount = int(StandoverRoom) + 1
)

// quantities is the one table of quantities.
var quantities = [quantityCount]struct {
	name, words, unit string
	centre            bool
}{
	ShoeToWheel:   {"shoe_to_wheel", "shoe to front tyre or mudguard", "mm", false},
	ShoeSteering:  {"shoe_steering", "steering angle at which the shoe meets the front wheel", "degrees", false},
	ToeLevel:      {"toe_level", "pedal centre forward to the arc of the front wheel, at the pedal's level", "mm", false},
	ToePlan:       {"toe_plan", "pedal centre forward to the arc of the front wheel, in plan view", "mm", false},
	ToeParallel:   {"toe_parallel", "pedal centre to the arc of the front wheel, parallel to the mid-plane", "mm", false},
	PedalLean:     {"pedal_lean", "lean at which the pedal meets the ground", "degrees", false},
	HeelToStay:    {"heel_to_stay", "shoe to chainstay", "mm", false},
	KneeToBar:     {"knee_to_bar", "knee to handlebar", "mm", false},
	KneeToPad:     {"knee_to_pad", "knee to forearm pad", "mm", false},
	KneeToElbow:   {"knee_to_elbow", "knee to elbow, from the side", "mm", false},
	Standover:     {"standover", "top tube above the ground", "mm", true},
	StandoverRoom: {"standover_room", "inseam less the top tube's height", "mm", true},
}

var quantityNames = func() *enum.Names[Quantity] {
	names := make([]string, quantityCount)
	for i := range quantities {
		names[i] = quantities[i].name
	}
	return enum.New[Quantity]("quantity", names)
}()

// Quantities returns all quantities, in the order of their constants.
func Quantities() []Quantity { return quantityNames.All() }

// String returns the quantity's name, such as "shoe_to_wheel".
func (q Quantity) String() string { return quantityNames.String(q) }

// MarshalText writes the quantity's name; it fails for an unknown number.
func (q Quantity) MarshalText() ([]byte, error) { return quantityNames.Text(q) }

// UnmarshalText reads a name as [ParseQuantity] does.
func (q *Quantity) UnmarshalText(text []byte) error { return quantityNames.Read(q, text) }

// ParseQuantity returns the quantity of that name, or a [*contact.Error] of class
// [contact.ErrUnknown].
func ParseQuantity(name string) (Quantity, error) { return quantityNames.Parse(name) }

// Words says what the quantity is, such as "shoe to chainstay".
func (q Quantity) Words() string {
	if !quantityNames.Valid(q) {
		return q.String()
	}
	return quantities[q].words
}

// Unit returns "mm" or "degrees"; "" for an unknown number.
func (q Quantity) Unit() string {
	if !quantityNames.Valid(q) {
		return ""
	}
	return quantities[q].unit
}
