package norms

import (
	"example.com/fitgeom/internal/enum"
	"example.com/fitgeom/internal/fault"
)

// A Where is a place of the stroke, or what of it a number is. The zero Where is not valid.
type Where uint8

// The places.
const (
	Least  Where = iota + 1 // the least of the variable over the stroke, as in rider.Span
	Most                    // the most of it
	Range                   // the most less the least
	Lowest                  // with the pedal at its lowest, at 6 o'clock: crank at 180 degrees
)

var whereNames = enum.New[Where]("where", []string{Least: "least", Most: "most", Range: "range", Lowest: "pedal_lowest"})

// String returns the place's name, such as "pedal_lowest".
func (w Where) String() string { return whereNames.String(w) }

// MarshalText writes the place's name; it fails for an unknown number.
func (w Where) MarshalText() ([]byte, error) { return whereNames.Text(w) }

// UnmarshalText reads a name as [ParseWhere] does.
func (w *Where) UnmarshalText(text []byte) error { return whereNames.Read(w, text) }

// ParseWhere returns the place of that name, or a [*contact.Error] of class [contact.ErrUnknown].
func ParseWhere(name string) (Where, error) { return whereNames.Parse(name) }

// A Kind says what a norm is for. The zero Kind is not valid.
type Kind uint8

// The kinds.
const (
	Observed Kind = iota + 1 // what the people of a study did
	Advised                  // what a study advises, to start from
)

var kindNames = enum.New[Kind]("kind", []string{Observed: "observed", Advised: "advised"})

// String returns the kind's name, such as "advised".
func (k Kind) String() string { return kindNames.String(k) }

// MarshalText writes the kind's name; it fails for an unknown number.
func (k Kind) MarshalText() ([]byte, error) { return kindNames.Text(k) }

// UnmarshalText reads a name as [ParseKind] does.
func (k *Kind) UnmarshalText(text []byte) error { return kindNames.Read(k, text) }

// ParseKind returns the kind of that name, or a [*contact.Error] of class [contact.ErrUnknown].
func ParseKind(name string) (Kind, error) { return kindNames.Parse(name) }

// A Pose says whether the rider pedals while an angle is measured. The zero Pose is not valid.
type Pose uint8

// The poses.
const (
	Static  Pose = iota + 1 // seated, the crank held still
	Dynamic                 // pedalling
)

var poseNames = enum.New[Pose]("pose", []string{Static: "static", Dynamic: "dynamic"})

// String returns the pose's name, such as "dynamic".
func (p Pose) String() string { return poseNames.String(p) }

// MarshalText writes the pose's name; it fails for an unknown number.
func (p Pose) MarshalText() ([]byte, error) { return poseNames.Text(p) }

// UnmarshalText reads a name as [ParsePose] does.
func (p *Pose) UnmarshalText(text []byte) error { return poseNames.Read(p, text) }

// ParsePose returns the pose of that name, or a [*contact.Error] of class [contact.ErrUnknown].
func ParsePose(name string) (Pose, error) { return poseNames.Parse(name) }

// An Instrument is what an angle is measured with. The zero Instrument is not valid.
type Instrument uint8

// The instruments.
const (
	Goniometer        Instrument = iota + 1 // arms laid along the limb by hand
	Electrogoniometer                       // arms worn on the limb
	Camera2D                                // one camera from the side, film or video: angles in its picture
	Cameras3D                               // several cameras: angles in space
)

var instrumentNames = enum.New[Instrument]("instrument", []string{Goniometer: "goniometer", Electrogoniometer: "electrogoniometer", Camera2D: "camera_2d", Cameras3D: "cameras_3d"})

// String returns the instrument's name, such as "camera_2d".
func (i Instrument) String() string { return instrumentNames.String(i) }

// MarshalText writes the instrument's name; it fails for an unknown number.
func (i Instrument) MarshalText() ([]byte, error) { return instrumentNames.Text(i) }

// UnmarshalText reads a name as [ParseInstrument] does.
func (i *Instrument) UnmarshalText(text []byte) error { return instrumentNames.Read(i, text) }

// ParseInstrument returns the instrument of that name, or a [*contact.Error] of class
// [contact.ErrUnknown].
func ParseInstrument(name string) (Instrument, error) { return instrumentNames.Parse(name) }

// A Method is how an angle is measured. Methods are the same if they are equal. The zero Method
// is not valid: both must be chosen.
type Method struct {
	Pose       Pose       `json:"pose"`
	Instrument Instrument `json:"instrument"`
}

// String returns the method as in "dynamic by camera_2d".
func (m Method) String() string { return m.Pose.String() + " by " + m.Instrument.String() }

// Validate reports numbers that no pose or instrument has ([contact.ErrUnknown]).
func (m Method) Validate() error {
	var f fault.List
	f.In("", poseNames.Check("pose", m.Pose))
	f.In("", instrumentNames.Check("instrument", m.Instrument))
	return f.Err()
}
