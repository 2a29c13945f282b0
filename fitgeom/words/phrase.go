package words

import "example.com/fitgeom/internal/enum"

// A Phrase is the code of what a sentence says, and says it in English by its
// [Phrase.Template]. The zero Phrase is none.
type Phrase uint8

// The phrases. Those of set-up sheets tell what to do; those of builds tell what there is.
const (
	Stand                   Phrase = iota + 1 // how a bike stands to be set up
	StandPitched                              // the same, with sag or other tyres
	Mount                                     // a part to mount
	RaiseFoot                                 // a lift of one foot
	ClampRails                                // where the rails are held
	ShimSeatpost                              // a sleeve round the seatpost
	TiltSaddle                                // the tilt of the saddle
	SetSeatpost                               // the extension of the seatpost
	DropperUp                                 // how a dropper seatpost stands
	CheckInsertion                            // what has to be inside the frame
	PutStem                                   // the stem on its spacers
	PutStemFlipped                            // the same, with the stem upside down
	PutSpacersAbove                           // spacers above the stem
	ClampBar                                  // how the bar is rotated
	ShimBar                                   // a sleeve round the bar
	TiltAeroBar                               // the tilt of an aero bar
	SetPadHeight                              // a setting of the pads
	SetPadReach                               // a setting of the pads
	SetPadWidth                               // a setting of the pads
	SetExtensions                             // a setting of the extensions
	Verify                                    // a measure that verifies, which is positive always or not signed
	VerifySigned                              // the same, and when it is positive
	Have                                      // a part of a build
	HaveFlipped                               // a part that is mounted upside down
	BetweenSeatpostAndFrame                   // where a shim is
	BetweenBarAndStem                         // where a shim is
	FootRaised                                // a lift of one foot
	SeatpostOut                               // the extension of the seatpost
	SeatpostLowered                           // a dropper that is not at the top
	RailsHeld                                 // where the rails are held
	SaddleLevel                               // the tilt of the saddle
	SaddleNoseUp                              // the tilt of the saddle
	SaddleNoseDown                            // the tilt of the saddle
	NoSpacers                                 // a stem on the cap
	SpacersUnder                              // spacers under the stem
	SpacersOnTop                              // spacers above the stem
	SteererIsCut                              // a steerer that is cut
	BarRolledUp                               // a bar that is rotated
	BarRolledDown                             // a bar that is rotated
	AeroBarUp                                 // the tilt of an aero bar
	AeroBarDown                               // the tilt of an aero bar
	PadsBefore                                // where the pads are
	PadsBehind                                // where the pads are
	ExtensionsOut                             // how long the extensions are
	TooHigh                                   // a deviation
	TooLow                                    // a deviation
	TooFarForward                             // a deviation
	TooFarBack                                // a deviation
	TooFarOut                                 // a deviation
	TooFarIn                                  // a deviation
	TooFarLeft                                // a deviation on the mid-plane
	TooFarRight                               // a deviation on the mid-plane
	SetLeverUp                                // where levers are on the bend
	SetLeverIn                                // how levers are turned
	SetCleatBack                              // a setting of a cleat
	SetCleatIn                                // a setting of a cleat
	SetToesOut                                // a setting of a cleat
	SetWedge                                  // a setting of a cleat
	LeversUp                                  // levers that are not in their nominal position
	LeversDown                                // levers that are not in their nominal position
	LeversIn                                  // levers that are not in their nominal position
	LeversOut                                 // levers that are not in their nominal position
	CleatBack                                 // a cleat that is set back
	CleatForward                              // a cleat that is set forward
	CleatIn                                   // a cleat that is set inwards
	CleatOut                                  // a cleat that is set outwards
	ToesOut                                   // a cleat that is turned
	ToesIn                                    // a cleat that is turned
	WedgeInner                                // a cleat with a wedge
	WedgeOuter                                // a cleat with a wedge
	TiltedUp                                  // a deviation of a direction
	TiltedDown                                // a deviation of a direction
	TurnedOut                                 // a deviation of a direction
	TurnedIn                                  // a deviation of a direction
	OuterEdgeHigh                             // a deviation of a direction
	InnerEdgeHigh                             // a deviation of a direction
	TurnedLeft                                // a deviation on the mid-plane
	TurnedRight                               // a deviation on the mid-plane
	LeftHigh                                  // a deviation on the mid-plane
	RightHigh                                 // a deviation on the mid-plane
	SetStemAngle                              // the angle of an adjustable stem
	SetQuill                                  // the height of a quill stem
	SetExtensionsWidth                        // a setting of the extensions
	StemRises                                 // an adjustable stem
	StemDrops                                 // an adjustable stem
	QuillOut                                  // a quill stem
	ExtensionsApart                           // extensions whose width is set
	Sinks                                     // a part with suspension
	SidesDiffer                               // an obstacle that no part removes
	RuleBroken                                // a rule that a build breaks
	RuleNotKnown                              // a rule of which it is not known whether a build keeps it
	WithoutRule                               // what a rule costs
	WithoutRules                              // what rules cost together

	phraseCount = int(WithoutRules) + 1
)

// phrases is the one table of phrases.
var phrases = [phraseCount]struct{ name, template string }{
	Stand:                   {"stand", "Stand the bike upright on level ground, front wheel straight."},
	StandPitched:            {"stand_pitched", "Stand the bike upright, front wheel straight, with the frame pitched by this angle from its chart (positive: front up), as it stands under the rider: the seat tube is then at {angle}. Without the rider's weight, prop up one wheel to get this angle."},
	Mount:                   {"mount", "Mount the {part}."},
	RaiseFoot:               {"raise_foot", "Raise the {side} sole above its pedal: shims under the cleat, or where there is none under the sole."},
	ClampRails:              {"clamp_rails", "Clamp the rails of the {saddle} on the {seatpost}: from the saddle's nose back to the clamp's centre, along the rails."},
	ShimSeatpost:            {"shim_seatpost", "Put the {part} between seatpost and frame."},
	TiltSaddle:              {"tilt_saddle", "Tilt the saddle, with a level on a straight edge along its top (positive: nose up)."},
	SetSeatpost:             {"set_seatpost", "Set the seatpost: from the seat tube's upper edge to the rail clamp's centre, along the seatpost."},
	DropperUp:               {"dropper_up", "Have the dropper at the top of its travel."},
	CheckInsertion:          {"check_insertion", "Check how much of the seatpost is inside the frame: at least {least}."},
	PutStem:                 {"put_stem", "Put the {cap} on the head tube, spacers of {spacers}, then the {stem}."},
	PutStemFlipped:          {"put_stem_flipped", "Put the {cap} on the head tube, spacers of {spacers}, then the {stem}, upside down."},
	PutSpacersAbove:         {"put_spacers_above", "Put spacers of {spacers} on top of the stem."},
	ClampBar:                {"clamp_bar", "Clamp the {bar} and rotate it from its nominal position (positive: hands up)."},
	ShimBar:                 {"shim_bar", "Put the {part} between bar and stem."},
	TiltAeroBar:             {"tilt_aero_bar", "Clamp the {part} and tilt it from horizontal (positive: up)."},
	SetPadHeight:            {"set_pad_height", "Set the pads' height: from the bar's centre up to the middle of their surface."},
	SetPadReach:             {"set_pad_reach", "Set the pads' reach: from the bar's centre forward to the middle of their surface (negative: behind)."},
	SetPadWidth:             {"set_pad_width", "Set the pads' width: from middle to middle."},
	SetExtensions:           {"set_extensions", "Set the extensions' length: from above the bar's centre to the tip, along the extension."},
	Verify:                  {"verify", "from {from} to {to}, {along}"},
	VerifySigned:            {"verify_signed", "from {from} to {to}, {along}, positive: {positive}"},
	Have:                    {"have", "{part}"},
	HaveFlipped:             {"have_flipped", "{part}, upside down"},
	BetweenSeatpostAndFrame: {"between_seatpost_and_frame", "{part} between seatpost and frame"},
	BetweenBarAndStem:       {"between_bar_and_stem", "{part} between bar and stem"},
	FootRaised:              {"foot_raised", "{side} sole raised by {by}"},
	SeatpostOut:             {"seatpost_out", "seatpost {by} out of the seat tube"},
	SeatpostLowered:         {"seatpost_lowered", "dropper lowered by {by}"},
	RailsHeld:               {"rails_held", "rails held {by} behind the saddle's nose"},
	SaddleLevel:             {"saddle_level", "saddle level"},
	SaddleNoseUp:            {"saddle_nose_up", "saddle tilted nose up by {by}"},
	SaddleNoseDown:          {"saddle_nose_down", "saddle tilted nose down by {by}"},
	NoSpacers:               {"no_spacers", "no spacers under the stem"},
	SpacersUnder:            {"spacers_under", "{by} of spacers under the stem"},
	SpacersOnTop:            {"spacers_on_top", "{by} of spacers on top of the stem"},
	SteererIsCut:            {"steerer_is_cut", "steerer cut {by} above the head tube"},
	BarRolledUp:             {"bar_rolled_up", "bar rolled up by {by} from its nominal position"},
	BarRolledDown:           {"bar_rolled_down", "bar rolled down by {by} from its nominal position"},
	AeroBarUp:               {"aero_bar_up", "aero bar tilted up by {by}"},
	AeroBarDown:             {"aero_bar_down", "aero bar tilted down by {by}"},
	PadsBefore:              {"pads_before", "pads {rise} above the bar and {by} in front of it, {width} from middle to middle"},
	PadsBehind:              {"pads_behind", "pads {rise} above the bar and {by} behind it, {width} from middle to middle"},
	ExtensionsOut:           {"extensions_out", "extensions {by} long from above the bar"},
	TooHigh:                 {"too_high", "{site} {by} too high"},
	TooLow:                  {"too_low", "{site} {by} too low"},
	TooFarForward:           {"too_far_forward", "{site} {by} too far forward"},
	TooFarBack:              {"too_far_back", "{site} {by} too far back"},
	TooFarOut:               {"too_far_out", "{site} {by} too far out"},
	TooFarIn:                {"too_far_in", "{site} {by} too far in"},
	TooFarLeft:              {"too_far_left", "{site} {by} too far to the left"},
	TooFarRight:             {"too_far_right", "{site} {by} too far to the right"},
	SetLeverUp:              {"set_lever_up", "Move both levers along the bend from their nominal position (positive: up)."},
	SetLeverIn:              {"set_lever_in", "Turn both levers about the bar (positive: inwards)."},
	SetCleatBack:            {"set_cleat_back", "Set the {side} cleat so that the ball of the foot is so far in front of the spindle (negative: behind)."},
	SetCleatIn:              {"set_cleat_in", "Set the {side} cleat inwards under the sole, so that the foot is as much further out (negative: outwards)."},
	SetToesOut:              {"set_toes_out", "Set the {side} cleat so that the toes point so far outwards (negative: inwards)."},
	SetWedge:                {"set_wedge", "Set the {side} cleat with a wedge that slopes the sole so far (positive: the inner edge higher)."},
	LeversUp:                {"levers_up", "levers moved up the bend by {by}"},
	LeversDown:              {"levers_down", "levers moved down the bend by {by}"},
	LeversIn:                {"levers_in", "levers turned inwards by {by}"},
	LeversOut:               {"levers_out", "levers turned outwards by {by}"},
	CleatBack:               {"cleat_back", "ball of the {side} foot {by} in front of the spindle"},
	CleatForward:            {"cleat_forward", "ball of the {side} foot {by} behind the spindle"},
	CleatIn:                 {"cleat_in", "{side} cleat {by} further in under the sole"},
	CleatOut:                {"cleat_out", "{side} cleat {by} further out under the sole"},
	ToesOut:                 {"toes_out", "{side} toes turned outwards by {by}"},
	ToesIn:                  {"toes_in", "{side} toes turned inwards by {by}"},
	WedgeInner:              {"wedge_inner", "wedge of {by} under the inner edge of the {side} foot"},
	WedgeOuter:              {"wedge_outer", "wedge of {by} under the outer edge of the {side} foot"},
	TiltedUp:                {"tilted_up", "{site} tilted {by} too far up in front"},
	TiltedDown:              {"tilted_down", "{site} tilted {by} too far down in front"},
	TurnedOut:               {"turned_out", "{site} turned {by} too far outwards"},
	TurnedIn:                {"turned_in", "{site} turned {by} too far inwards"},
	OuterEdgeHigh:           {"outer_edge_high", "{site} with its outer edge {by} too high"},
	InnerEdgeHigh:           {"inner_edge_high", "{site} with its inner edge {by} too high"},
	TurnedLeft:              {"turned_left", "{site} turned {by} too far to the left"},
	TurnedRight:             {"turned_right", "{site} turned {by} too far to the right"},
	LeftHigh:                {"left_high", "{site} with its left side {by} too high"},
	RightHigh:               {"right_high", "{site} with its right side {by} too high"},
	SetStemAngle:            {"set_stem_angle", "Set the stem's angle, from a line square to the steerer (positive: rising towards the bar)."},
	SetQuill:                {"set_quill", "Set the quill stem: from the headset's top up to where its axis leaves the steerer's, along the steerer."},
	SetExtensionsWidth:      {"set_extensions_width", "Set the extensions' width: from tip to tip."},
	StemRises:               {"stem_rises", "stem set to rise by {by}"},
	StemDrops:               {"stem_drops", "stem set to drop by {by}"},
	QuillOut:                {"quill_out", "quill stem {by} above the headset"},
	ExtensionsApart:         {"extensions_apart", "extensions {by} apart"},
	Sinks:                   {"sinks", "{part} sinks by {by} under the rider"},
	SidesDiffer:             {"sides_differ", "{left} and {right} are wanted further from mirroring each other than these parts allow"},
	RuleBroken:              {"rule_broken", "rule broken: {found} ({rule})"},
	RuleNotKnown:            {"rule_not_known", "rule not known to be kept: {found} ({rule})"},
	WithoutRule:             {"without_rule", "without this rule the position is held: {rule}"},
	WithoutRules:            {"without_rules", "without these rules together the position is held: {rules}"},
}

var phraseNames = func() *enum.Names[Phrase] {
	names := make([]string, phraseCount)
	for i := range phrases {
		names[i] = phrases[i].name
	}
	return enum.New[Phrase]("phrase", names)
}()

// Phrases returns all phrases, in the order of their constants.
func Phrases() []Phrase { return phraseNames.All() }

// Template returns the phrase in English, with {name} for the argument of that name; ""
// for an unknown number.
func (p Phrase) Template() string {
	if !phraseNames.Valid(p) {
		return ""
	}
	return phrases[p].template
}

// String returns the phrase's name, such as "have_flipped".
func (p Phrase) String() string { return phraseNames.String(p) }

// ParsePhrase returns the phrase of that name, or a contact.Error of class
// contact.ErrUnknown.
func ParsePhrase(name string) (Phrase, error) { return phraseNames.Parse(name) }

// MarshalText writes the phrase's name; it fails for an unknown number.
func (p Phrase) MarshalText() ([]byte, error) { return phraseNames.Text(p) }

// UnmarshalText reads a name as [ParsePhrase] does.
func (p *Phrase) UnmarshalText(text []byte) error { return phraseNames.Read(p, text) }
