package fitgeom_test

import (
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/words"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/wild"
	"gonum.org/v1/gonum/spatial/r3"
)

// Anything that is asked of a build of any numbers.
func FuzzBuild(f *testing.F) {
	invented.FuzzBuild(f, func(t *testing.T, s *wild.Source, b fitgeom.Build) {
		wild.Must(t, b.Validate())
		wild.Must(t, b.Frame.Validate())
		sizes := make([]fitgeom.Size, 6)
		for i := range sizes {
			sizes[i].Frame = b.Frame
			sizes[i].Frame.Geometry.Stack += s.Float(-60, 60)
		}
		wild.Must(t, nil, fitgeom.FamilyFindings(sizes))
		wild.Must(t, b.Wheels.Validate())
		p, err := b.Position()
		wild.Must(t, err, p)
		if err == nil {
			fitgeom.DefaultKeep(p)
			for _, site := range contact.Sites() {
				turn := fitgeom.DefaultTurn(site)
				is, _ := p.Attitude(site)
				wanted := contact.Attitude{Tilt: s.Float(-90, 90), Yaw: s.Float(-180, 180), Roll: s.Float(-180, 180)}
				off := turn.TurnedFrom(wanted, is)
				if wild.Sound(wanted) != nil {
					off, wanted = fitgeom.Turned{}, is
				}
				wild.Must(t, nil, is.Less(wanted), off, turn.Price(), turn.Angles(), turn.Asks(), turn.Holds(off))
			}
		}
		all, err := b.Margins()
		wild.Must(t, err, all)
		for _, m := range all {
			_ = m.String() + m.Limit.Unit()
		}
		described, err := b.Describe()
		wild.Must(t, err, described)
		d := fitgeom.Deviation{Keep: fitgeom.Keep{Site: contact.Site(s.Byte())}, Off: r3.Vec{X: s.Float(-10, 10), Z: s.Float(-10, 10)}}
		_ = words.Text(described) + words.Text(d.Describe())
		cautions, err := b.Cautions()
		wild.Must(t, err, cautions)
		if b.Validate() == nil {
			wild.Must(t, b.Frame.ValidateOn(b.Wheels))
			pitch, ok := b.Frame.Geometry.Pitch(b.Wheels)
			front, _ := b.FrontTyreRoom()
			rear, _ := b.RearTyreRoom()
			bike, err := b.Clearance()
			wild.Must(t, err)
			wild.Must(t, bike.Validate())
			lo, hi := b.Frame.SeatpostRange(b.Seatpost)
			wild.Must(t, nil, pitch, front, rear, lo, hi, b.Frame.SpacerRoom(b.Cap, b.Carrier()))
			if !ok {
				t.Fatal("a sound build whose pitch is not known")
			}
		}
		_ = fitgeom.Limit(s.Byte()).Unit() + fitgeom.Limit(s.Byte()).String() + fitgeom.Limit(s.Byte()).Words() + fitgeom.Caution(s.Byte()).String() + fitgeom.Caution(s.Byte()).Words() + fitgeom.CrankPolicy(s.Byte()).String()
	})
}
