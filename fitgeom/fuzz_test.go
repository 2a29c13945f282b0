package fitgeom_test

import (
	"math"
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
			usual := fitgeom.DefaultPreference(fitgeom.DefaultKeep(p))
			usual.Spacers = fitgeom.Usual{From: s.Float(-2000, 2000), To: s.Float(-2000, 2000), Step: s.Float(0, 10)}
			wild.Must(t, usual.Validate())
			wild.Must(t, fitgeom.RoomWish{Group: contact.Group(s.Byte()), Up: s.Int(40) - 5}.Validate())
			_ = usual.Of(b) + usual.Spacers.Steps(s.Float(-1e9, 1e9)) + len(fitgeom.DefaultRoom())
			_ = usual.StemPoints(&b.Stem, 0, 10, true) + usual.SeatPoints(&b.Seatpost, 0, 10, 5)
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
		c := fitgeom.Candidate{Build: b, Deviations: []fitgeom.Deviation{d}, Rules: []fitgeom.Ruling{{Place: s.Int(2000), Broken: s.Int(2) == 0, Rule: s.Text(8), Found: s.Text(8)}}}
		_ = c.Rules[0].Sentence().String()
		wild.Must(t, c.Rules[0].Validate())
		if c.Holds() && c.Rules[0].Broken {
			t.Fatal("a broken rule")
		}
		if math.IsNaN(c.Score()) || c.Score() != d.Share() {
			t.Fatal(c.Score())
		}
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
