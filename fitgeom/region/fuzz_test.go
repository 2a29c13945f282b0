package region_test

import (
	"testing"

	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/region"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/wild"
)

// A region, a seat and a frame of a position, bounds and keep of any numbers.
func FuzzRegion(f *testing.F) {
	f.Add([]byte{}, uint8(1))
	f.Add([]byte("\x04\x00\x00\x20\x00\x03\x30\x40\x00\x09\x00\x02\x00\x10\x50\x60\x01\x00\x00\x00\x11\x22\x33"), uint8(2))
	f.Add([]byte("\x03\x00\x02\x00\x05\x00\x0b\x08\x08\x00\x0c\x30\x30\x00\x00\x01\x02\x03\x04"), uint8(7))
	f.Fuzz(func(t *testing.T, data []byte, seed uint8) {
		s := wild.From(data)
		c := newRegionCase(uint64(seed))
		build := invented.Build()
		in := struct {
			Bounds  region.Bounds
			Keep    []fitgeom.Keep
			Assumed region.FrontEnd
			Build   fitgeom.Build
		}{c.bounds, c.keep, region.FrontEnd{Up: 20, Stem: build.Stem, Handlebar: build.Handlebar, Lever: build.Lever}, build}
		if body, _ := invented.Rider(); seed%2 == 0 {
			in.Bounds.Limits = rider.Limits{Body: body, Joints: []rider.Limit{
				{Variable: rider.TrunkLean, Bound: rider.AtLeast, Angle: 45}, {Variable: rider.ShoulderFlexion, Bound: rider.AtMost, Angle: 80},
			}}
		}
		s.Spoil(&in)
		p := s.Position(c.target)
		sane := func(err error) {
			t.Helper()
			if err != nil {
				t.Fatal(err)
			}
		}
		sane(wild.Proper(in.Bounds.Validate()))
		now, err := region.FrameNow(p, s.Float(50, 90), in.Assumed)
		sane(wild.Check(err, now))
		clamp, err := in.Assumed.Clamp(p)
		sane(wild.Check(err, clamp))
		seat, err := region.NewSeat(p, in.Build.Saddle, s.Float(-100, 100), in.Keep)
		sane(wild.Proper(err))
		lo, hi, ok := seat.Setbacks(s.Float(50, 90))
		if sane(wild.Sound(lo, hi)); ok && lo > hi {
			t.Fatal(lo, hi)
		}
		lo, hi, ok = seat.SeatAngles(s.Float(-50, 50))
		if sane(wild.Sound(lo, hi)); ok && lo > hi {
			t.Fatal(lo, hi)
		}
		if in.Bounds.Budget.Work <= 0 {
			in.Bounds.Budget.Work = 300_000 // the widest bounds would take minutes
		}
		r, err := region.New(t.Context(), p, in.Bounds, in.Keep)
		if err != nil {
			sane(wild.Proper(err))
			return
		}
		if !r.Complete() && !in.Bounds.Budget.Partial {
			t.Fatal("a part that nobody asked for")
		}
		best, ok := r.Best()
		if ok == r.Empty() {
			t.Fatal("best of an empty region")
		}
		at := region.HeadPlace{Reach: best.Reach + s.Float(-20, 20), Stack: best.Stack + s.Float(-20, 20)}
		placing, _ := r.Place(at)
		sane(wild.Sound(best, placing, r.Area(), r.Outlines()))
		room, ok := r.Room(at, 3)
		if ok != r.Holds(at) {
			t.Fatal(at, room)
		}
		level, err := r.AtLeast(t.Context(), room)
		sane(wild.Proper(err))
		sane(wild.Sound(level))
		chance, _ := r.Chance(at, chart.Surveyed{})
		sane(wild.Sound(chance))
		if r.Holds(at) != placing.Holds && len(r.Outlines()) > 0 && wild.Sound(at) == nil {
			t.Fatal(at, placing)
		}
	})
}
