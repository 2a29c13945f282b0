package motion_test

import (
	"maps"
	"math"
	"slices"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/internal/wild"
	"gonum.org/v1/gonum/spatial/r3"
)

func sane(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// A recording of which some samples and times are anything, and settings that are.
func FuzzRecording(f *testing.F) {
	f.Add([]byte{}, 0.0)
	f.Add([]byte("\x04\x00\x30\x02\x01\x50\x00\x00\x02\x20\x01\x01\x07\x07\x00\x02\x03\x03\x00\x09"), 90.0)
	f.Add([]byte("\x04\xff\xf0\x14\x01\xff\xf1\x00\x00\x01\x00\x00\x01\x00"), math.NaN())
	good := ride{side: contact.Left, seconds: 1.6, rate: 50, cadence: 90, noise: 1, drop: 0.02}.record(f, fresh(5))
	order := slices.Sorted(maps.Keys(good.Markers))
	f.Fuzz(func(t *testing.T, data []byte, crank float64) {
		s := wild.From(data)
		r := copied(good)
		spoilt := struct {
			Times, Phase []float64
			Crank        float64
			Samples      [8][]motion.Sample
		}{Times: r.Times}
		for i, k := range order {
			spoilt.Samples[i] = r.Markers[k]
		}
		if s.Byte()%4 == 0 {
			spoilt.Phase = slices.Clone(r.Times)
		}
		s.Spoil(&spoilt)
		r.Times, r.Phase, r.Crank, r.Flat = spoilt.Times, spoilt.Phase, spoilt.Crank, s.Byte()%4 == 0
		for i, k := range order {
			r.Markers[k] = spoilt.Samples[i]
		}
		if s.Byte()%4 == 0 {
			a, b := order[int(s.Byte())%8], motion.Marker(s.Byte()%80)
			r.Markers[a], r.Markers[b] = r.Markers[b], r.Markers[a]
		}
		settings := motion.Settings{View: motion.View(s.Byte() % 3), Gap: s.Float(-0.1, 0.6), Harmonics: int(s.Byte()%16) - 1}
		switch s.Byte() % 4 {
		case 0:
			settings.CutOff = s.Float(0, 25)
		case 1:
			settings.ByResiduals = true
		}
		sane(t, wild.Proper(r.Validate()))
		_ = r.Carry(survey.RigidMotion{})
		onBike, residuals, err := r.OnBike(map[motion.Marker]r3.Vec{motion.Bike1: s.Vec(-900, 900), motion.Bike2: {}, motion.Bike3: {X: 100}})
		sane(t, wild.Check(err, residuals))
		_ = onBike
		m, err := r.Analyse(t.Context(), settings)
		if err != nil {
			sane(t, wild.Proper(err))
			return
		}
		sane(t, wild.Sound(m.Quality()))
		for _, found := range m.Quality().Findings {
			_ = found.String()
		}
		for _, rev := range m.Revolutions() {
			sane(t, wild.Sound(rev, rev.Cadence()))
		}
		report, err := m.Report(t.Context())
		sane(t, err)
		for _, c := range report.Curves {
			sane(t, wild.JSON(c, data))
		}
		sane(t, wild.JSON(r, data))
		paths, err := m.Paths(t.Context(), contact.Side(s.Byte()%4), motion.Marker(s.Byte()%40), motion.KneeLeft)
		sane(t, wild.Proper(err))
		for _, p := range paths {
			sane(t, wild.Sound(p.X.Mean(), p.Y.Mean(), p.Z.Mean()))
		}
		for of := range motion.PelvisUp + 2 {
			_ = of.Unit()
			side := contact.Side(s.Byte() % 3)
			c, err := m.Curve(t.Context(), of, side)
			if err != nil {
				sane(t, wild.Proper(err))
				continue
			}
			at, err := c.At(crank)
			sane(t, wild.Check(err, at))
			sane(t, wild.Sound(c.Least(), c.Most(), c.Range(), c.Mean(), c.PerMinute()))
			if by, sigma, ok := at.Sub(c.Mean()); ok {
				sane(t, wild.Sound(by, sigma))
			}
			low, high, _ := c.Most().Range95()
			sane(t, wild.Sound(low, high))
			by, coefficient, _ := c.Repeatability()
			sane(t, wild.Sound(by, coefficient))
			feature, err := c.Feature(motion.Feature(s.Byte() % 8))
			sane(t, wild.Check(err, feature))
			changes, err := motion.Compare([]motion.Curve{c}, []motion.Curve{c}, s.Float(0, 10), motion.LeastOf, motion.AtTop)
			sane(t, wild.Check(err, changes))
		}
	})
}

// Segments anywhere, and curves that are any numbers.
func FuzzJoints(f *testing.F) {
	f.Add([]byte("\x04\x00\x30\x02\x01\x50\x00\x00\x02\x20\x01\x01\x07\x07\x00\x02\x03\x03\x00\x09"), 3.0, 4.0)
	f.Add([]byte{}, math.NaN(), -1.0)
	f.Fuzz(func(t *testing.T, data []byte, left, right float64) {
		s := wild.From(data)
		side := contact.Side(s.Byte() % 3)
		segment := func() motion.Axes {
			a, err := motion.LegAxes(s.Byte()%2 == 0, s.Vec(-900, 900), s.Vec(-900, 900), s.Vec(-900, 900), side)
			sane(t, wild.Check(err, a))
			return a
		}
		pelvis, err := motion.PelvisAxes(s.Vec(-900, 900), s.Vec(-900, 900), s.Vec(-900, 900))
		sane(t, wild.Check(err, pelvis))
		hip, err := motion.HipCentre(s.Vec(-900, 900), s.Vec(-900, 900), s.Vec(-900, 900), s.Float(-10, 1500), side, motion.HipRegression(s.Byte()%4))
		sane(t, wild.Check(err, hip))
		thorax, err := motion.ThoraxAxes(s.Vec(-900, 900), s.Vec(-900, 900), s.Vec(-900, 900), s.Vec(-900, 900))
		sane(t, wild.Check(err, thorax))
		arm, err := motion.ArmAxes(s.Byte()%2 == 0, s.Vec(-900, 900), s.Vec(-900, 900), s.Vec(-900, 900), side)
		sane(t, wild.Check(err, arm))
		elbow, err := motion.JointTurns(thorax, arm, side)
		sane(t, wild.Check(err, elbow))
		turns, err := motion.JointTurns(pelvis, segment(), side)
		sane(t, wild.Check(err, turns))
		var poses [2][]motion.Pose
		var curves [][]float64
		for range s.Byte() % 12 {
			for k := range poses {
				poses[k] = append(poses[k], motion.Pose{Origin: s.Vec(-900, 900), Axes: segment()})
			}
			curves = append(curves, []float64{s.Float(-90, 90), s.Float(-90, 90), s.Float(-90, 90)})
		}
		centre, err := motion.CentreOfRotation(poses[0], poses[1])
		sane(t, wild.Check(err, centre))
		c, common, _, err := motion.MultipleCorrelation(curves)
		sane(t, wild.Check(err, []float64{c, common}))
		if v, ok := motion.SymmetryAngle(left, right); ok {
			sane(t, wild.Sound(v))
		}
		if v, ok := motion.SymmetryIndex(left, right); ok {
			sane(t, wild.Sound(v))
		}
	})
}

// Frames as they come, of which any may be anything.
func FuzzLive(f *testing.F) {
	f.Add([]byte("\x04\x00\x30\x02\x01\x50\x00\x00\x02\x20\x01\x01\x07\x07\x00\x02\x03\x03\x00\x09"))
	f.Fuzz(func(t *testing.T, data []byte) {
		s := wild.From(data)
		settings := motion.LiveSettings{
			Rate: s.Float(0, 300), CutOff: s.Float(0, 20), Side: contact.Left, View: motion.View(s.Byte() % 3), Centre: s.Vec(-100, 100), Flat: s.Byte()%4 == 0,
			Markers: []motion.Marker{motion.PedalLeft, motion.HipLeft, motion.KneeLeft, motion.AnkleLeft}, Of: []motion.Measure{motion.KneeFlexion, motion.Measure(s.Byte() % 20)},
		}
		live, err := motion.NewLive(settings)
		if err != nil {
			sane(t, wild.Proper(err))
			settings = motion.LiveSettings{Rate: 100, CutOff: 8, Side: contact.Left, Markers: settings.Markers, Of: []motion.Measure{motion.KneeFlexion, motion.KneeLine}}
			live, err = motion.NewLive(settings)
			sane(t, err)
		}
		values := make([]float64, 2)
		for range 20 {
			frame := make([]motion.Sample, 4+int(s.Byte()%30)/29)
			for i := range frame {
				frame[i] = motion.Sample{At: s.Vec(-900, 900), Seen: s.Byte()%8 != 0}
			}
			now, err := live.Next(frame, values)
			if err != nil {
				sane(t, wild.Proper(err))
			}
			if !math.IsNaN(now.CrankAngle) {
				sane(t, wild.Sound(now))
			}
		}
	})
}

// Numbers to be filtered, and a circle through points anywhere.
func FuzzNumbers(f *testing.F) {
	f.Add([]byte("\x04\x00\x30\x02\x01\x50\x00\x00\x02\x20\x01\x01\x07\x07\x00\x02\x03\x03\x00\x09"), 100.0, 6.0)
	f.Add([]byte{}, math.NaN(), -1.0)
	f.Fuzz(func(t *testing.T, data []byte, rate, cutOff float64) {
		s := wild.From(data)
		var values []float64
		var points []r3.Vec
		for range s.Byte() {
			values, points = append(values, s.Float(-1000, 1000)), append(points, s.Vec(-1000, 1000))
		}
		low, err := motion.NewFilter(rate, cutOff, int(s.Byte()%12))
		sane(t, wild.Check(err, low))
		if err == nil && !slices.ContainsFunc(values, func(v float64) bool { return !(math.Abs(v) < 1e6) }) {
			share, lag := low.Gain(rate, cutOff)
			sane(t, wild.Sound(low.Both(values), share, lag))
		}
		c, err := motion.ResidualCutOff(values, rate)
		sane(t, wild.Check(err, c))
		circle, err := motion.FitCircle(points, motion.CircleMethod(s.Byte()%5))
		sane(t, wild.Check(err, circle))
	})
}

// Three points anywhere.
func FuzzAngles(f *testing.F) {
	f.Add([]byte("\x40\x10\x00\x40\x20\x00\x40\x30\x00\x40\x50\x00\x40\x60\x00\x40\x90\x00\x40\xa0\x00\x40\xf0\x00\x40\x00\x00\x40\x20\x00"))
	f.Add([]byte{0, 0, 0, 1, 0, 5, 0, 7, 0, 9, 0, 11, 0, 13})
	f.Fuzz(func(t *testing.T, data []byte) {
		s := wild.From(data)
		a, b, c, view := s.Vec(-1000, 1000), s.Vec(-1000, 1000), s.Vec(-1000, 1000), motion.View(s.Byte()%3)
		in, err := motion.IncludedAngle(a, b, c, view)
		sane(t, wild.Check(err, in))
		out, err2 := motion.FlexionAngle(a, b, c, view)
		sane(t, wild.Check(err2, out))
		if (err == nil) != (err2 == nil) || err == nil && !(in >= 0 && in <= 180 && math.Abs(in+out-180) < 1e-9) {
			t.Fatal(in, out, err, err2)
		}
		u, err := motion.AngleSigma(a, b, c, s.Float(0, 100), view)
		sane(t, wild.Check(err, u))
		_ = view.String()
	})
}

func FuzzNames(f *testing.F) {
	f.Add("in_space", uint8(3))
	f.Add("knee_left", uint8(0))
	f.Fuzz(func(t *testing.T, name string, n uint8) {
		sane(t, wild.Names(motion.ParseView, name, n))
		sane(t, wild.Names(motion.ParseMarker, name, n))
		sane(t, wild.Names(motion.ParseMeasure, name, n))
		sane(t, wild.Names(motion.ParseKind, name, n))
		sane(t, wild.Names(motion.ParseFeature, name, n))
		sane(t, wild.Names(motion.ParseCircleMethod, name, n))
		sane(t, wild.Names(motion.ParseHipRegression, name, n))
		m := motion.Marker(n)
		if m.On(m.Side()) != m || len(motion.Markers()) <= len(motion.Measures()) {
			t.Fatal(m)
		}
	})
}
