package region

import (
	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/field"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/rig"
	"gonum.org/v1/gonum/spatial/r3"
)

// A FrontEnd is the front end that [FrameNow] assumes on the frame.
type FrontEnd struct {
	// Up is the total height of headset cap and spacers, 0 to 150 mm.
	Up float64 `json:"up_mm" range:"0 to 150"`
	// Stem holds the handlebar; its diameters do not matter. One that sinks has sunk.
	Stem part.Stem `json:"stem" validate:"own"`
	// Flipped says that the stem is mounted upside down.
	Flipped bool `json:"flipped,omitzero"`
	// StemAngle and Quill are what a stem that can be set is set to, one of its values.
	StemAngle float64 `json:"stem_angle_deg,omitzero" range:"-60 to 60"`
	Quill     float64 `json:"quill_mm,omitzero" range:"0 to 250"`
	// Handlebar, Lever with its Mount and BarRotation (-45 to 45 degrees, positive: hands up)
	// give the place of the clamp from the hands. They do not matter for a position that has
	// the bar clamp.
	Handlebar   part.Handlebar  `json:"handlebar,omitzero" zero:"the position has the bar clamp" validate:"own"`
	Lever       part.Lever      `json:"lever,omitzero" zero:"none" validate:"own"`
	Mount       part.LeverMount `json:"mount,omitzero" zero:"in the middle of the bend"`
	BarRotation float64         `json:"bar_rotation_deg,omitzero" range:"-45 to 45"`
}

// FrameNow returns the reach and stack of the frame that corresponds to a position, for
// example one found on an adjustable fit bike. It assumes the given head angle, 50 to 90
// degrees, and the given front end. It inverts the forward map and is exact to rounding.
//
// Errors are those of [FrontEnd.Clamp], and [contact.ErrRange] for a head angle out of range,
// a reach outside 200 to 600 mm and a stack outside 300 to 800 mm.
func FrameNow(p contact.Position, headAngle float64, a FrontEnd) (HeadPlace, error) {
	var f fault.List
	f.Range("head_angle_deg", headAngle, 50, 90, "degrees")
	clamp := a.clamp(&f, &p)
	if err := f.Err(); err != nil {
		return HeadPlace{}, err
	}
	ch := rig.NewChassis(&chart.Geometry{HeadAngle: headAngle, SeatAngle: headAngle}, 0, 0)
	mount := ch.Mount(&a.Stem, rig.StemSet{Flipped: a.Flipped, Angle: a.StemAngle, Quill: a.Quill})
	d := ch.Clamp(&mount, a.Up)
	at := HeadPlace{Reach: clamp.X - d.X, Stack: clamp.Z - d.Z}
	f.Range("frame.reach_mm", at.Reach, 200, 600, "mm")
	f.Range("frame.stack_mm", at.Stack, 300, 800, "mm")
	if err := f.Err(); err != nil {
		return HeadPlace{}, err
	}
	return at, nil
}

// Validate reports what is wrong with the front end by itself, with all of its parts: what
// does not matter for a place too, such as diameters. Documents hold no other.
func (a FrontEnd) Validate() error {
	var f fault.List
	frontFields.Check(&f, &a)
	f.In("stem", a.Stem.Validate())
	a.settings(&f)
	if a.Handlebar != (part.Handlebar{}) {
		f.In("handlebar", a.Handlebar.Validate())
	}
	if a.Lever != (part.Lever{}) {
		f.In("lever", a.Lever.Validate())
	}
	return f.Err()
}

var frontFields = field.New[FrontEnd]()

// settings reports settings that the stem does not have.
func (a *FrontEnd) settings(f *fault.List) {
	for _, k := range [...]struct {
		name, what, unit string
		value            float64
		in               part.Steps
	}{
		{"stem_angle_deg", "an adjustable stem", "degrees", a.StemAngle, a.Stem.Angles},
		{"quill_mm", "a quill stem", "mm", a.Quill, a.Stem.Quill},
	} {
		if !k.in.Has(k.value) {
			f.Add(k.name, num.Text(k.value, k.unit), "one of the stem's values, or 0 without "+k.what, contact.ErrConflict)
		}
	}
}

// Clamp returns where a position has the centre of the handlebar's clamp, in mm. It is the
// position's own; otherwise the average, on the mid-plane, of the places that follow from
// the handlebar sites in the position. It does not depend on the stem.
//
// Errors are [contact.ErrMissing] if the position has none of these, [contact.ErrRange] for
// numbers of the front end that are out of range, and those of p.Validate and the parts'
// Validate.
func (a FrontEnd) Clamp(p contact.Position) (r3.Vec, error) {
	var f fault.List
	clamp := a.clamp(&f, &p)
	if err := f.Err(); err != nil {
		return r3.Vec{}, err
	}
	return clamp, nil
}

func (a *FrontEnd) clamp(f *fault.List, p *contact.Position) r3.Vec {
	f.In("position", p.Validate())
	f.Range("up_mm", a.Up, 0, 150, "mm")
	f.Length("stem.length_mm", a.Stem.Length, 20, 180)
	f.Range("stem.angle_deg", a.Stem.Angle, -60, 60, "degrees")
	f.Range("stem.height_mm", a.Stem.Height, 20, 80, "mm")
	f.Range("stem.sag_mm", a.Stem.Sag, 0, 60, "mm")
	f.Range("stem_angle_deg", a.StemAngle, -60, 60, "degrees")
	f.Range("quill_mm", a.Quill, 0, 250, "mm")
	a.settings(f)
	if clamp, known := p.At(contact.BarClamp); known {
		return clamp
	}
	f.Range("bar_rotation_deg", a.BarRotation, -45, 45, "degrees")
	f.In("handlebar", a.Handlebar.Validate())
	if a.Handlebar.Drop != (part.DropBar{}) {
		f.In("lever", a.Lever.Validate())
		f.Range("mount.up_mm", a.Mount.Up, -40, 40, "mm")
		f.Range("mount.in_deg", a.Mount.In, -30, 30, "degrees")
	}
	return clampOf(f, p, a)
}

// clampOf returns the place of the bar's clamp, as the average over its sites.
func clampOf(f *fault.List, p *contact.Position, a *FrontEnd) (clamp r3.Vec) {
	sin, cos := num.Sincos(a.BarRotation)
	n := 0.0
	for _, s := range a.Handlebar.Places(a.Lever, a.Mount) {
		for _, site := range s.Site.Both() {
			if at, ok := p.At(site); ok {
				t := num.Turned(s.At, sin, cos)
				clamp.X += at.X - t.X
				clamp.Z += at.Z - t.Z
				n++
			}
		}
	}
	if n == 0 {
		f.Add("position.sites.bar_clamp", "", "the bar clamp or a site of the handlebar to be known", contact.ErrMissing)
		return clamp
	}
	return r3.Vec{X: clamp.X / n, Z: clamp.Z / n}
}
