package design_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/clearance"
	"example.com/fitgeom/fitgeom/design"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestNames(t *testing.T) {
	trial.Names(t, design.ParseSetting, design.Settings()...)
	assert.Equal(t, "degrees", design.StemAngle.Unit())
	assert.Empty(t, design.Setting(0).Unit())
	assert.Equal(t, "trail 55 to 60 mm", dimension(chart.Trail, 55, 60).String())
	assert.Equal(t, "hands_up at least 10 mm", design.Wish{Subject: set(design.HandsUp), From: 10, To: math.Inf(1)}.String())
	assert.Equal(t, "head_angle at most 73 degrees", dimension(chart.HeadAngle, math.Inf(-1), 73).String())
	assert.Equal(t, "stem_up any", design.Wish{Subject: set(design.StemUp), From: math.Inf(-1), To: math.Inf(1)}.String())
	assert.Equal(t, "subject(0,0,0)", design.Subject{}.String())
	assert.Equal(t, "toe_level", design.Subject{Clearance: clearance.ToeLevel}.String())
	assert.Equal(t, "mm", design.Subject{Clearance: clearance.ToeLevel}.Unit())
	assert.Empty(t, design.Subject{Clearance: clearance.KneeToBar}.Unit(), "no frame decides it")
}

// Each thing that is wrong is a fault at its place.
func TestFaults(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*design.Problem)
		path   string
		class  error
	}{
		"no hands":         {func(p *design.Problem) { p.Target = contact.Position{} }, "target.sites.bar_clamp", contact.ErrMissing},
		"no saddle":        {func(p *design.Problem) { p.Target.Forget(contact.SaddleReference) }, "target.sites.saddle_reference", contact.ErrMissing},
		"a steep saddle":   {func(p *design.Problem) { p.Target.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: 50}) }, "target.sites.saddle_reference.attitude.tilt_deg", contact.ErrRange},
		"a stem":           {func(p *design.Problem) { p.Front.Stem.Length = 10 }, "front.stem.length_mm", contact.ErrUnit},
		"one piece":        {func(p *design.Problem) { p.Target.Forget(contact.BarClamp); p.Front.Handlebar.DrawnAt = 72 }, "front.handlebar.stem", contact.ErrConflict},
		"a cap":            {func(p *design.Problem) { p.Cap = 61 }, "cap_mm", contact.ErrRange},
		"a high cap":       {func(p *design.Problem) { p.Cap, p.MaxUnderStem = 30, 20 }, "cap_mm", contact.ErrConflict},
		"a steerer":        {func(p *design.Problem) { p.MaxUnderStem = math.NaN() }, "max_under_stem_mm", contact.ErrRange},
		"a seatpost":       {func(p *design.Problem) { p.Seatpost.Length = 0 }, "seatpost.length_mm", contact.ErrRange},
		"a short seatpost": {func(p *design.Problem) { p.Seatpost.Length, p.Seatpost.MinInsertion = 120, 100 }, "seatpost.length_mm", contact.ErrConflict},
		"rails":            {func(p *design.Problem) { p.Saddle.RailHeight, p.Seatpost.RailHeight = 7, 9 }, "saddle.rails_from_mm", contact.ErrConflict},
		"a saddle":         {func(p *design.Problem) { p.Saddle = part.Saddle{} }, "saddle.length_mm", contact.ErrRange},
		"a clamp":          {func(p *design.Problem) { p.RailClamp = 10 }, "rail_clamp_mm", contact.ErrRange},
		"tubes":            {func(p *design.Problem) { p.Tubes.Head = 1 }, "tubes.head_mm", contact.ErrRange},
		"a stand":          {func(p *design.Problem) { p.StandAt = 600 }, "stand_at_mm", contact.ErrRange},
		"a bulk":           {func(p *design.Problem) { p.Bulk.FrontTyre = 1 }, "bulk.front_tyre_mm", contact.ErrRange},
		"an inseam":        {func(p *design.Problem) { p.Inseam = 1 }, "inseam_mm", contact.ErrRange},
		"uncertain":        {func(p *design.Problem) { p.Covariance = trial.Independent(t, 1, contact.GripLeft) }, "target.sites.grip_left", contact.ErrMissing},
		"many wishes":      {func(p *design.Problem) { p.Wishes = make([]design.Wish, 101) }, "wishes", contact.ErrRange},
		"no subject":       {func(p *design.Problem) { p.Wishes = []design.Wish{{}} }, "wishes[0].subject", contact.ErrUnknown},
		"a knee":           {wished(design.Subject{Clearance: clearance.KneeToBar}, 0, 1), "wishes[0].subject", contact.ErrUnknown},
		"no number":        {wished(of(chart.Trail), math.NaN(), 60), "wishes[0].from_mm", contact.ErrRange},
		"no end":           {wished(of(chart.Trail), 60, math.NaN()), "wishes[0].to_mm", contact.ErrRange},
		"the wrong way":    {wished(of(chart.Trail), 60, 50), "wishes[0].to_mm", contact.ErrRange},
		"too much":         {wished(of(chart.Trail), 600, 700), "wishes[0].from_mm", contact.ErrRange},
		"too little":       {wished(of(chart.Trail), -700, -600), "wishes[0].to_mm", contact.ErrRange},
		"least room":       {wished(set(design.SaddleUp), 5, 10), "wishes[0].to_mm", contact.ErrRange},
		"inseam":           {wished(design.Subject{Clearance: clearance.StandoverRoom}, 20, math.Inf(1)), "inseam_mm", contact.ErrMissing},
		"no pedals": {func(p *design.Problem) {
			for _, s := range [...]contact.Site{contact.PedalLeft, contact.PedalRight, contact.FootLeft, contact.FootRight} {
				p.Target.Forget(s)
			}
		}, "target.sites.pedal_left", contact.ErrMissing},
		"room of pads":    {rooms(fitgeom.RoomWish{Group: contact.OnAeroBar, Up: 5}), "room_wanted[0].group", contact.ErrConflict},
		"room of no part": {rooms(fitgeom.RoomWish{Group: contact.OnHandlebar, Forward: 5}), "room_wanted[0].forward_mm", contact.ErrConflict},
		"room twice":      {rooms(fitgeom.RoomWish{Group: contact.OnHandlebar}, fitgeom.RoomWish{Group: contact.OnHandlebar}), "room_wanted[1].group", contact.ErrConflict},
		"too much room":   {rooms(fitgeom.RoomWish{Group: contact.OnHandlebar, Up: 50}), "room_wanted[0].up_mm", contact.ErrRange},
	} {
		t.Run(name, func(t *testing.T) {
			p := invention()
			c.change(&p)
			_, err := p.Solve(t.Context())
			assert.True(t, trial.FaultAt(err, c.path, c.class), "%v", err)
			_, err = p.Ranges(t.Context())
			assert.True(t, trial.FaultAt(err, c.path, c.class), "%v", err)
			assert.True(t, trial.FaultAt(p.Validate(), c.path, c.class))
		})
	}
}

func wished(s design.Subject, from, to float64) func(*design.Problem) {
	return func(p *design.Problem) { p.Wishes = []design.Wish{{Subject: s, From: from, To: to}} }
}

func rooms(all ...fitgeom.RoomWish) func(*design.Problem) {
	return func(p *design.Problem) { p.RoomWanted = all }
}

// A position for which no frame is in the range of what bicycles have is an error, and so is
// what is free where wishes contradict.
func TestNoFrame(t *testing.T) {
	p := invention()
	p.Target = p.Target.Shifted(contact.Coordinate{Site: contact.BarClamp, Axis: contact.AxisZ}, 700)
	_, err := p.Solve(t.Context())
	assert.True(t, trial.FaultAt(err, "target", contact.ErrConflict), "%v", err)
	p = invention()
	p.Wishes = append(p.Wishes, exactly(of(chart.Trail), 100))
	_, err = p.Ranges(t.Context())
	assert.True(t, trial.FaultAt(err, "wishes", contact.ErrConflict), "%v", err)
}

func TestStopped(t *testing.T) {
	p := invention()
	p.Budget.Work = 100
	_, err := p.Solve(t.Context())
	require.ErrorIs(t, err, contact.ErrBudget)
	_, err = p.Ranges(t.Context())
	require.ErrorIs(t, err, contact.ErrBudget)
	p.Budget.Work = 0
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err = p.Solve(ctx)
	require.ErrorIs(t, err, context.Canceled)
	_, err = p.Ranges(ctx)
	require.ErrorIs(t, err, context.Canceled)
}

// The bike that is built by a design has the room that is wanted, as package solve finds it
// with the build's own parts.
func TestRoom(t *testing.T) {
	p := invention()
	p.RoomWanted = nil
	p.Wishes = append(p.Wishes, design.Wish{Subject: set(design.StemUp), From: 0, To: 60}, design.Wish{Subject: set(design.RailClamp), From: 40, To: 300})
	d, err := p.Solve(t.Context())
	require.NoError(t, err)
	require.True(t, d.Holds(), "%v", d.Contradictions)
	b := bike(t, p, d)
	b.Frame.MaxUnderStem = 50
	shelf := invented.Shelf()
	shelf.Spacers = []part.Spacer{{Height: 1, Count: 10}, {Height: 10, Count: 4}}
	q := solve.Problem{Target: p.Target, Frame: b.Frame, Shelf: shelf}
	for _, w := range fitgeom.DefaultRoom() {
		room, err := q.Room(t.Context(), fitgeom.Candidate{Build: b}, solve.Movement{Group: w.Group, Gap: 1})
		require.NoError(t, err)
		assert.GreaterOrEqual(t, room.Up.MM, w.Up, "%v", w.Group)
		assert.GreaterOrEqual(t, room.Down.MM, w.Down, "%v", w.Group)
		assert.GreaterOrEqual(t, room.Forward.MM, w.Forward, "%v", w.Group)
		assert.GreaterOrEqual(t, room.Back.MM, w.Back, "%v", w.Group)
	}
}

// An adjustable stem and a quill stem are set as the problem has them, and come back so.
func TestStems(t *testing.T) {
	for _, stem := range []part.Stem{
		{Length: 100, Height: 40, Angles: part.Steps{From: -10, To: 40, Step: 5}, SteererDiameter: 28.6, BarDiameter: 31.8},
		{Length: 90, Angle: -17, Height: 30, Quill: part.Steps{From: 30, To: 80, Step: 1}, SteererDiameter: 28.6, BarDiameter: 31.8},
	} {
		p := invention()
		b := invented.Build()
		p.Front.Stem = stem
		b.Stem = stem
		if stem.Quill != (part.Steps{}) {
			p.Front.Quill, b.Settings.Quill = 50, 50
			p.Front.Up, b.Settings.Spacers = p.Cap, 0
		} else {
			p.Front.StemAngle, b.Settings.StemAngle = 10, 10
		}
		p.Target = invented.Position(b)
		p.RoomWanted = []fitgeom.RoomWish{}
		g := b.Frame.Geometry
		p.Wishes = []design.Wish{exactly(of(chart.HeadAngle), g.HeadAngle), exactly(of(chart.FrontRadius), 340)}
		d, err := p.Solve(t.Context())
		require.NoError(t, err)
		require.True(t, d.Holds())
		assert.InDelta(t, g.Reach, d.Geometry().Reach, 1e-9)
		assert.InDelta(t, g.Stack, d.Geometry().Stack, 1e-9)
		assert.InDelta(t, p.Front.StemAngle, d.Front().StemAngle, 1e-9)
		assert.Equal(t, p.Front.Quill, d.Front().Quill)
	}
}

// A catalogue beside a design stands in the order of package rank, with the differences of
// each size.
func TestNearest(t *testing.T) {
	p := invention()
	d, err := p.Solve(t.Context())
	require.NoError(t, err)
	sizes := invented.Catalogue(50, func(*rand.Rand, *fitgeom.Frame) {})
	index, err := rank.NewIndex(t.Context(), sizes)
	require.NoError(t, err)
	q := solve.Problem{Shelf: invented.Shelf(), Limit: 5}
	near, err := d.Nearest(t.Context(), index, q)
	require.NoError(t, err)
	q.Target = p.Target
	want, err := index.Rank(t.Context(), q)
	require.NoError(t, err)
	require.Len(t, near, 5)
	for i, n := range near {
		assert.Equal(t, want.Choices[i], n.Choice)
		g := n.Choice.Size.Frame.Geometry
		for _, o := range n.Off {
			is, _, ok := d.Get(o.Dimension)
			require.True(t, ok)
			switch o.Dimension {
			case chart.Reach:
				assert.InDelta(t, g.Reach, is+o.By, 1e-9)
			case chart.Trail:
				trail, _ := g.Trail()
				assert.InDelta(t, trail, is+o.By, 1e-9)
			case chart.SeatTubeTop:
				assert.InDelta(t, n.Choice.Size.Frame.SeatTubeTop, is+o.By, 1e-9)
			}
		}
	}
	_, err = design.Design{}.Nearest(t.Context(), index, q)
	assert.True(t, trial.FaultAt(err, "design", contact.ErrMissing))
	_, err = d.Nearest(t.Context(), index, solve.Problem{})
	require.Error(t, err)
}

// The zero Design says that it has nothing.
func TestZero(t *testing.T) {
	var d design.Design
	assert.False(t, d.Holds())
	assert.Zero(t, d.Geometry())
	assert.Zero(t, d.Front())
	assert.Empty(t, d.Chart(chart.Rounding{}).Entries)
	_, _, ok := d.Get(chart.Stack)
	assert.False(t, ok)
	_, ok = d.Covariance(chart.Stack, chart.Stack)
	assert.False(t, ok)
	_, err := d.MarshalJSON()
	require.Error(t, err)
	require.Error(t, d.UnmarshalJSON(nil))
}

// A report and the ranges name the clearance that was wished for, in the range of the wish, and no
// other: those that were not wished for take long to find.
func TestReportNamesClearances(t *testing.T) {
	p := invention()
	d, err := p.Solve(t.Context())
	require.NoError(t, err)
	ranges, err := p.Ranges(t.Context())
	require.NoError(t, err)
	var named, free []clearance.Quantity
	for _, v := range d.Report().Values {
		if v.Subject.Clearance != 0 {
			named = append(named, v.Subject.Clearance)
			assert.GreaterOrEqual(t, v.Value, 89-1e-6)
		}
	}
	for _, r := range ranges {
		if r.Subject.Clearance != 0 {
			free = append(free, r.Subject.Clearance)
			assert.GreaterOrEqual(t, r.From, 89-1e-6)
		}
	}
	assert.Equal(t, []clearance.Quantity{clearance.ToeLevel}, named)
	assert.Equal(t, []clearance.Quantity{clearance.ToeLevel}, free)
}
