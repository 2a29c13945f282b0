package part

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/field"
	"example.com/fitgeom/internal/num"
)

// A HeadsetCap is the headset's upper cap, which stands on the head tube and
// carries spacers and stem.
type HeadsetCap struct {
	// Name is for people.
	Name string `json:"name"`
	// Height is from the head tube's top to the cap's top.
	Height float64 `json:"height_mm" range:"0 to 60"`
	// SteererDiameter is the diameter of the steerer that it fits.
	SteererDiameter float64 `json:"steerer_diameter_mm" length:"20 to 45"`
	// SteererInterface names what it fits in place of a diameter: see [Stem].
	SteererInterface string `json:"steerer_interface,omitzero" zero:"round, by its diameter"`
}

var headsetCapFields = field.New[HeadsetCap]()

// Validate reports numbers that are out of range.
func (h HeadsetCap) Validate() error { return headsetCapFields.Validate(&h) }

// A Spacer is a kind of ring that goes round the steerer, under or above the
// stem, and how many there are; or a kind of shim that goes under a cleat, and
// how many there are for each foot.
type Spacer struct {
	// Height is in mm, a whole number of tenths.
	Height float64 `json:"height_mm" range:"1 to 60" grid:"0.1"`
	// Count is how many of them the shelf has.
	Count int `json:"count" range:"1 to 20" unit:"pieces"`
}

var spacerFields = field.New[Spacer]()

// Validate reports numbers that are out of range.
func (s Spacer) Validate() error { return spacerFields.Validate(&s) }

// A Stem clamps round the steerer and holds the handlebar; or it is a quill stem, which
// goes into a threaded steerer.
//
// Where two parts meet in a shape that is not round, in a thread, or in a manufacturer's
// own way, both have the same interface: an opaque name, such as "threaded 25.4". Then
// names decide in place of diameters.
type Stem struct {
	// Name is for people.
	Name string `json:"name"`
	// Length is from the steerer's axis to the handlebar's centre, along the stem.
	Length float64 `json:"length_mm" length:"20 to 180"`
	// Angle is from a line square to the steerer, positive when the stem rises towards
	// the handlebar.
	Angle float64 `json:"angle_deg" range:"-60 to 60"`
	// Height is the height of the steerer clamp. The stem's axis leaves the steerer at
	// half of it.
	Height float64 `json:"height_mm" range:"20 to 80"`
	// SteererDiameter and BarDiameter are the diameters that it clamps.
	SteererDiameter float64 `json:"steerer_diameter_mm" length:"20 to 45"`
	BarDiameter     float64 `json:"bar_diameter_mm" length:"20 to 45"`
	// SteererInterface and BarInterface name what it clamps in place of diameters.
	SteererInterface string `json:"steerer_interface,omitzero" zero:"round, by its diameter"`
	BarInterface     string `json:"bar_interface,omitzero" zero:"round, by its diameter"`
	// Angles is what the angle of an adjustable stem can be set to, in steps; Angle does not
	// count then. Zero: it is Angle.
	Angles Steps `json:"angles_deg,omitzero" range:"-60 to 60" steps:"all"`
	// Quill is how far above the headset cap, along the steerer, the axis of a quill stem may
	// leave it, in steps: up to its mark of minimum insertion. It carries no spacers, and
	// half of Height does not count. Zero: it is no quill stem.
	Quill Steps `json:"quill_mm,omitzero" range:"0 to 250" steps:"all"`
	// Sag is how far the handlebar sinks along the steerer under the rider, of a stem with
	// suspension.
	Sag float64 `json:"sag_mm,omitzero" range:"0 to 60"`
	// Flippable says that the stem may be mounted upside down, which changes the sign of
	// Angle.
	Flippable bool `json:"flippable"`
}

var stemFields = field.New[Stem]()

// Validate reports numbers that are out of range.
func (s Stem) Validate() error { return stemFields.Validate(&s) }

// Steps is what a part can be set to: From, From + Step, and so on up to To. With Step 0
// it is any value from From to To. The zero Steps is 0 alone.
type Steps struct {
	// From and To are the least and the greatest value, in the unit of the field.
	From float64 `json:"from"`
	To   float64 `json:"to"`
	// Step is from one value to the next, 0.5 to 1000. Zero: any value from From to To,
	// which fields that say "in steps" do not accept unless From equals To.
	Step float64 `json:"step,omitzero"`
}

// Count returns how many values there are: 0 without steps, where they cannot be counted,
// and of numbers that make no steps, or more than a million.
func (s Steps) Count() int {
	switch {
	case s.From == s.To:
		return 1
	case s.Step == 0:
		return 0
	}
	if n := (s.To - s.From) / s.Step; s.Step > 0 && n >= 0 && n < 1e6 { // not so of NaN
		return int(n+1e-9) + 1
	}
	return 0
}

// At returns the i-th value, for i from 0 to Count less 1, which is not checked.
func (s Steps) At(i int) float64 { return s.From + float64(s.Step*float64(i)) }

// Last returns the greatest value: To, or less where the steps do not end there. It is To
// where there are none to count.
func (s Steps) Last() float64 {
	if n := s.Count(); n > 0 && s.Step != 0 {
		return s.At(n - 1)
	}
	return s.To
}

// Nearest returns the value between lo and hi that is nearest to v, the lower of two that
// are equally near. It returns false if there is none between them; ignore the number
// then. A leeway of 1e-9 (steps, or the unit where there are none) keeps rounding from
// deciding.
func (s Steps) Nearest(v, lo, hi float64) (float64, bool) {
	if math.IsNaN(v) || math.IsNaN(lo) || math.IsNaN(hi) || !num.Finite(s.From, s.To, s.Step) {
		return s.From, false
	}
	const leeway = 1e-9
	count := s.Count()
	switch {
	case s.Step == 0 && s.To < s.From || s.Step != 0 && count == 0:
		return s.From, false
	case s.Step == 0 || s.From == s.To:
		lo, hi = max(lo, s.From), min(hi, s.To)
		return max(s.From, min(s.To, max(lo, min(hi, v)))), lo <= hi+leeway
	}
	first := max(0, math.Ceil((lo-s.From)/s.Step-leeway))
	last := min(float64(count-1), math.Floor((hi-s.From)/s.Step+leeway))
	i := max(first, min(last, math.Ceil((v-s.From)/s.Step-0.5-leeway)))
	return s.At(int(i)), first <= last
}

// Has reports whether v is one of the values, to 1e-6.
func (s Steps) Has(v float64) bool {
	at, ok := s.Nearest(v, math.Inf(-1), math.Inf(1))
	return ok && math.Abs(at-v) < 1e-6
}

// An AeroBar is a pair of forearm pads with extensions, clamped to the handlebar beside
// the stem. Its own axes have their origin at the centre of the handlebar's clamp and are
// horizontal when its tilt is 0; it is the same left and right.
type AeroBar struct {
	// Name is for people.
	Name string `json:"name"`
	// BarDiameter is the diameter of the handlebar that it clamps.
	BarDiameter float64 `json:"bar_diameter_mm" length:"20 to 45"`
	// Tilt is the angle to which the aero bar can be turned on the handlebar, in steps.
	// It counts from the horizontal and not from the handlebar, positive when the
	// extensions point up.
	Tilt Steps `json:"tilt_deg,omitzero" range:"-30 to 45" steps:"all"`
	// PadRise is from the handlebar's centre up to the middle of the pads' surface, in
	// steps.
	PadRise Steps `json:"pad_rise_mm" range:"0 to 250" steps:"all"`
	// PadForward is from the handlebar's centre forward to the middle of the pads'
	// surface; negative when the pads lie behind the handlebar.
	PadForward Steps `json:"pad_forward_mm" range:"-250 to 250" steps:"ends"`
	// PadWidth is from the middle of one pad to that of the other.
	PadWidth Steps `json:"pad_width_mm" range:"60 to 400" steps:"ends"`
	// Extension is from above the handlebar's centre forward to the tip, along the
	// extension.
	Extension Steps `json:"extension_mm" range:"50 to 600" steps:"ends"`
	// ExtensionDrop is how far the extension's line lies below the pads' surface,
	// measured above the handlebar's centre. The line moves with PadRise.
	ExtensionDrop float64 `json:"extension_drop_mm,omitzero" range:"-50 to 150"`
	// ExtensionAngle is the extension's slope in the aero bar's own axes, positive when
	// it rises forward.
	ExtensionAngle float64 `json:"extension_angle_deg,omitzero" range:"-30 to 60"`
	// ExtensionWidth is from centre to centre of the tips.
	ExtensionWidth float64 `json:"extension_width_mm" range:"0 to 400"`
	// ExtensionWidths is what that can be set to; ExtensionWidth does not count then. Zero: it
	// is ExtensionWidth.
	ExtensionWidths Steps `json:"extension_widths_mm,omitzero" range:"0 to 400" steps:"ends"`
	// PadLength and PadBreadth are the size of a pad, along the forearm and across it.
	PadLength  float64 `json:"pad_length_mm,omitzero" range:"30 to 300" zero:"not stated"`
	PadBreadth float64 `json:"pad_breadth_mm,omitzero" range:"30 to 200" zero:"not stated"`
}

var aeroBarFields = field.New[AeroBar]()

// Validate reports numbers that are out of range, ranges that end before they begin, and
// steps of less than 0.5.
func (a AeroBar) Validate() error { return aeroBarFields.Validate(&a) }

// A Seatpost carries the saddle in the frame's seat tube; it may be a dropper.
type Seatpost struct {
	// Name is for people.
	Name string `json:"name"`
	// Diameter is in mm.
	Diameter float64 `json:"diameter_mm" length:"20 to 45"`
	// Interface names what it fits in place of a diameter: see [Stem].
	Interface string `json:"interface,omitzero" zero:"round, by its diameter"`
	// Length is from the seatpost's lower end to the centre of the rail clamp, along the
	// seatpost.
	Length float64 `json:"length_mm" length:"100 to 600"`
	// Setback is how far the rail clamp's centre lies behind the seatpost's axis, square
	// to it; negative for a seatpost that is offset forward.
	Setback float64 `json:"setback_mm" range:"-60 to 80"`
	// MinInsertion is the minimum insertion, the length below the manufacturer's mark:
	// how much of the seatpost must be in the frame.
	MinInsertion float64 `json:"min_insertion_mm" range:"20 to 300"`
	// MinExtension is the height of the rail clamp's centre above the seat tube's upper
	// edge with the seatpost fully inserted; of a dropper seatpost, at the top of its
	// travel.
	MinExtension float64 `json:"min_extension_mm" range:"0 to 400"`
	// MaxExtension is the greatest height that the rail clamp's centre may have there,
	// whatever the insertion. Zero: the insertion alone counts.
	MaxExtension float64 `json:"max_extension_mm,omitzero" range:"50 to 600" zero:"the insertion alone counts"`
	// Travel is how far a dropper seatpost can be lowered. Zero: it is not a dropper.
	Travel float64 `json:"travel_mm,omitzero" range:"0 to 300"`
	// Sag is how far the saddle sinks along the seatpost under the rider, of a seatpost with
	// suspension.
	Sag float64 `json:"sag_mm,omitzero" range:"0 to 80"`
	// RailWidth and RailHeight are the section of the rails that its clamp holds, and
	// ClampSpan is how long the clamp is along them.
	RailWidth  float64 `json:"rail_width_mm,omitzero" range:"4 to 15" zero:"not stated: any"`
	RailHeight float64 `json:"rail_height_mm,omitzero" range:"4 to 20" zero:"not stated: any"`
	ClampSpan  float64 `json:"clamp_span_mm,omitzero" range:"5 to 80" zero:"not stated: as long as the saddle's limits are for"`
}

var seatpostFields = field.New[Seatpost]()

// Validate reports numbers that are out of range.
func (p Seatpost) Validate() error { return seatpostFields.Validate(&p) }

// A Saddle is described in its own axes, in which a straight edge that lies lengthwise on
// its highest points, front and rear, is horizontal: so a level shows its tilt. Its rails
// are straight and along that edge.
type Saddle struct {
	// Name is for people.
	Name string `json:"name"`
	// Length is from nose to rear edge, along the straight edge.
	Length float64 `json:"length_mm" length:"180 to 340"`
	// Station is from the nose back to where the saddle is as wide as ReferenceWidth says.
	Station float64 `json:"station_mm" range:"30 to 250"`
	// ReferenceWidth is the width at which Station was measured. The saddle reference is
	// where the saddle is 80 mm wide; if this is another width, Widening must be known.
	ReferenceWidth float64 `json:"reference_width_mm,omitzero" range:"40 to 140" zero:"80 mm"`
	// Widening is how far further back the saddle is a millimetre wider, near its
	// reference, mm for each mm: between the places where it is 70 and 90 mm wide, a
	// twentieth of their distance.
	Widening float64 `json:"widening,omitzero" range:"0.1 to 5" zero:"not known"`
	// Height is from the centre of the clamped rails up to the saddle reference.
	Height float64 `json:"height_mm" range:"15 to 100"`
	// Dip is how far the saddle reference lies below the straight edge.
	Dip float64 `json:"dip_mm,omitzero" range:"-20 to 40"`
	// NoseDroop and RearDroop are how far the foremost point and the rearmost lie below the
	// straight edge.
	NoseDroop float64 `json:"nose_droop_mm,omitzero" range:"0 to 60"`
	RearDroop float64 `json:"rear_droop_mm,omitzero" range:"0 to 60"`
	// RailsFrom and RailsTo are the limits within which the rail clamp's centre may hold
	// the rails, as distances behind the nose.
	RailsFrom float64 `json:"rails_from_mm" range:"40 to 300"`
	RailsTo   float64 `json:"rails_to_mm" range:"40 to 300" atleast:"RailsFrom"`
	// ClampSpan is how long a clamp RailsFrom and RailsTo are for: a longer one has less room
	// at either end, and a shorter one more.
	ClampSpan float64 `json:"clamp_span_mm,omitzero" range:"5 to 80" zero:"not stated: any"`
	// RailWidth and RailHeight are the rails' section.
	RailWidth  float64 `json:"rail_width_mm,omitzero" range:"4 to 15" zero:"not stated"`
	RailHeight float64 `json:"rail_height_mm,omitzero" range:"4 to 20" zero:"not stated"`
}

var saddleFields = field.New[Saddle]()

// Validate reports numbers that are out of range, rails that end before they begin, a
// Station at another width than 80 mm where Widening is not known, and a reference that
// does not lie on the saddle by these.
func (s Saddle) Validate() error {
	var f fault.List
	saddleFields.Check(&f, &s)
	if s.Widening == 0 && s.ReferenceWidth != 0 && s.ReferenceWidth != contact.ReferenceWidth {
		f.Add("widening", "", "to be known, since the station is not at 80 mm", contact.ErrMissing)
	} else if r := s.Reference(); s.ReferenceWidth != 0 && !(r >= 0 && r <= s.Length) {
		f.Add("widening", num.Text(s.Widening, ""), "one that leaves the place where the saddle is 80 mm wide on it", contact.ErrConflict)
	}
	return f.Err()
}

// Rails returns within which distances behind the nose the centre of a seatpost's clamp may
// hold the rails: those of RailsFrom and RailsTo, and where both spans are stated by half
// their difference less at either end. None are left where the last is less than the first.
func (s Saddle) Rails(p Seatpost) (from, to float64) { return s.rails(&p) }

func (s *Saddle) rails(p *Seatpost) (from, to float64) {
	less := 0.0
	if s.ClampSpan != 0 && p.ClampSpan != 0 {
		less = (p.ClampSpan - s.ClampSpan) / 2
	}
	return s.RailsFrom + less, s.RailsTo - less
}

// Holds reports whether the seatpost's clamp holds a saddle's rails: they have the section
// that it states, if both state one, and are long enough.
func (p Seatpost) Holds(s Saddle) bool {
	same := func(a, b float64) bool { return a == 0 || b == 0 || math.Abs(a-b) < 0.05 }
	from, to := s.rails(&p)
	return same(p.RailWidth, s.RailWidth) && same(p.RailHeight, s.RailHeight) && from <= to
}

// Profile returns the shape of the saddle as surveys and sheets take it.
func (s Saddle) Profile() contact.SaddleProfile {
	return contact.SaddleProfile{
		NoseAhead: s.Station, RearBehind: s.Length - s.Station, NoseAbove: s.Dip - s.NoseDroop, RearAbove: s.Dip - s.RearDroop,
		Sigma: 0, Width: s.ReferenceWidth, Widening: s.Widening,
	}
}

// Reference returns how far behind the nose the saddle reference lies: where the saddle is
// 80 mm wide.
func (s Saddle) Reference() float64 {
	if s.ReferenceWidth == 0 {
		return s.Station
	}
	return s.Station + s.Widening*(contact.ReferenceWidth-s.ReferenceWidth)
}

// A Shim is a sleeve that makes a thin seatpost fit a wide seat tube, or a thin handlebar
// a wide stem.
type Shim struct {
	// Name is for people.
	Name string `json:"name"`
	// Inner is the diameter of the seatpost or handlebar in it, and Outer the one that
	// frame or stem holds.
	Inner float64 `json:"inner_diameter_mm" length:"20 to 45"`
	Outer float64 `json:"outer_diameter_mm" length:"20 to 45" atleast:"Inner"`
}

var shimFields = field.New[Shim]()

// Validate reports numbers that are out of range.
func (s Shim) Validate() error { return shimFields.Validate(&s) }
