package calibrate

import (
	"context"
	"math"
	"slices"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// Evidence is what is known of a rider on a bike. It needs the position and a recording or
// readings.
type Evidence struct {
	// Position is that of the bike which the rider sat on: the saddle reference, and of each
	// leg the foot.
	Position contact.Position
	// Motion is a recording; zero for none. Of a leg it must have the markers of hip,
	// knee, ankle, toe and heel, and better those of the pelvis; a leg without them is left
	// out.
	Motion motion.Motion
	// Loose is by how much more than usual markers lie beside joints and skin slides, 0.2 to 5:
	// all that the package's documentation says of markers is so many times as much. 0 is 1.
	Loose float64
	// Readings are those of a tape, one of each quantity and side: of what was measured
	// repeatedly, the mean. It is not known better by √n, since most of its uncertainty is
	// where the finger takes the bone to be. Readings of legs that the recording leaves out
	// are faults.
	Readings []Reading
	// Stature is the height without shoes, 1000 to 2500 mm, by which Table tells the
	// segments; 0 if it is not to.
	Stature float64
	Table   rider.Table
	// Ankle is what the ankle does over the crank circle where no recording tells; it must
	// be zero where one does.
	Ankle rider.Ankle
	// Grip is where the hands were, such as contact.HoodsLeft, if trunk and arms are to be
	// found from the markers of shoulder, elbow and wrist of a leg's side; zero if not.
	Grip contact.Site
}

// places is how many crank angles are looked at.
const places = 24

// seen is what a recording shows of a leg at a crank angle.
type seen struct {
	sin, cos float64    // of the crank
	basis    [5]float64 // 1, cos, sin, cos 2, sin 2
	slope    float64    // of the line from heel to toe, degrees
	at       [4]r3.Vec  // by what shows
	sigma    [4]float64
	thigh    r3.Vec // its direction, by the markers
}

// What shows where a leg is.
const (
	hip = iota
	centre
	knee
	ankle

	shows
)

// A leg is what is known of one.
type leg struct {
	side         contact.Side
	crank, sole  float64
	seen         []seen   // nil without a recording
	pelvis, rule bool     // whether the pelvis shows, and whether a rule tells the hip in it
	arm          []r3.Vec // where shoulder, elbow and wrist were, in the mean of the circle
}

// needed are the markers without which nothing is known of a leg.
var needed = []motion.Marker{motion.HipLeft, motion.KneeLeft, motion.AnkleLeft, motion.ToeLeft, motion.HeelLeft}

// legs checks the evidence and looks at the recording.
func (e *Evidence) legs(ctx context.Context) ([]leg, error) {
	var f fault.List
	recorded := len(e.Motion.Revolutions()) > 0
	f.In("position", e.Position.Validate())
	if _, ok := e.Position.At(contact.SaddleReference); !ok {
		f.Add("position.sites.saddle_reference", "", "its point", contact.ErrMissing)
	}
	f.Optional("loose", e.Loose, 0.2, 5, "")
	if e.Stature != 0 {
		f.Length("stature_mm", e.Stature, 1000, 2500)
		_, err := e.Table.Length(rider.Thigh, 1700)
		f.In("", err)
	}
	if !recorded && len(e.Readings) == 0 {
		f.Add("evidence", "", "a recording or readings", contact.ErrMissing)
	}
	if len(e.Readings) > mostReadings {
		f.Add("readings", num.Text(float64(len(e.Readings)), ""), num.Span(0, mostReadings, ""), contact.ErrRange)
		return nil, f.Err()
	}
	sides := []contact.Side{contact.Left, contact.Right}
	if recorded {
		sides = slices.DeleteFunc(sides, func(s contact.Side) bool { return !e.shows(s, needed...) })
		if len(sides) == 0 {
			f.Add("motion", "", "hip, knee, ankle, toe and heel of a leg", contact.ErrMissing)
		}
	}
	for i := range e.Readings {
		r := &e.Readings[i]
		r.validate(&f, fault.At("readings", i))
		if k := slices.IndexFunc(e.Readings[:i], func(o Reading) bool { return o.Of == r.Of && o.Side == r.Side }); k >= 0 {
			f.Add(fault.At("readings", i)+".of", r.Of.String(), "one reading of a quantity and side, as "+fault.At("readings", k)+": the mean", contact.ErrConflict)
		}
		if r.Side != contact.Centre && r.Side <= contact.Right && !slices.Contains(sides, r.Side) {
			f.Add(fault.At("readings", i)+".side", r.Side.String(), "a leg that the recording shows", contact.ErrConflict)
		}
	}
	switch {
	case !recorded && len(e.Ankle.Profile) == 0:
		f.Add("ankle", "", "what the ankle does, which no tape tells", contact.ErrMissing)
	case recorded && len(e.Ankle.Profile) > 0:
		f.Add("ankle", "a profile", "none, since the recording tells", contact.ErrConflict)
	}
	if !recorded && len(e.Ankle.Profile) > 0 {
		anybody := rider.Body{Left: rider.Leg{Thigh: 400, Shank: 400, AnkleHeight: 80, AnkleBehind: 120, Ankle: e.Ankle}, HipUp: 90}
		for _, fault := range contact.Faults(anybody.Validate()) {
			f.Add(strings.TrimPrefix(fault.Path, "left."), fault.Value, fault.Want, fault.Class)
		}
	}
	if e.Grip != 0 {
		e.checkGrip(&f, recorded, sides)
	}
	var legs []leg
	for _, side := range sides {
		foot, ok := e.Position.At(contact.FootLeft.On(side))
		if !ok {
			f.Add("position.sites."+contact.FootLeft.On(side).String(), "", "its point", contact.ErrMissing)
		}
		l := leg{side: side, crank: foot.X, sole: foot.Z}
		if pedal, ok := e.Position.At(contact.PedalLeft.On(side)); ok {
			l.crank = pedal.X
		}
		legs = append(legs, l)
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	for i := range legs {
		if recorded {
			f.In("motion", e.look(ctx, &legs[i]))
		}
	}
	return legs, f.Err()
}

// arms are the markers by which trunk and arms are known.
var arms = []motion.Marker{motion.ShoulderLeft, motion.ElbowLeft, motion.WristLeft}

// mostReadings is more than people take.
const mostReadings = 100

// shows reports whether a recording has markers, on that side.
func (e *Evidence) shows(side contact.Side, markers ...motion.Marker) bool {
	has := e.Motion.Quality().Markers
	return !slices.ContainsFunc(markers, func(k motion.Marker) bool {
		return !slices.ContainsFunc(has, func(q motion.MarkerQuality) bool { return q.Marker == k.On(side) && q.Seen > 0 })
	})
}

// look fills in what the recording shows of a leg.
func (e *Evidence) look(ctx context.Context, l *leg) error {
	markers := make([]motion.Marker, 0, 10)
	for _, k := range needed {
		markers = append(markers, k.On(l.side))
	}
	rear := []motion.Marker{motion.PSISLeft, motion.PSISRight}
	if !e.shows(l.side, rear...) {
		rear = []motion.Marker{motion.Sacrum}
	}
	front := []motion.Marker{motion.ASISLeft, motion.ASISRight}
	pelvis := slices.DeleteFunc(slices.Concat(front, rear), func(k motion.Marker) bool { return !e.shows(k.Side(), k) })
	l.pelvis = len(pelvis) > 0
	l.rule = len(pelvis) == len(front)+len(rear)
	arm := len(markers) + len(pelvis)
	markers = append(markers, pelvis...)
	if e.Grip != 0 {
		for _, k := range arms {
			if e.shows(l.side, k) {
				markers = append(markers, k.On(l.side))
			}
		}
	}
	paths, err := e.Motion.Paths(ctx, l.side, markers...)
	if err != nil {
		return err
	}
	if len(markers) == arm+len(arms) {
		for i := range arms {
			p := &paths[arm+i]
			l.arm = append(l.arm, r3.Vec{X: p.X.Mean().Mean, Z: p.Z.Mean().Mean})
		}
	}
	paths, markers = paths[:arm], markers[:len(needed)]
	flat := paths[0].X.Flat
	l.rule = l.rule && !flat
	l.seen = make([]seen, places)
	var mean, middle r3.Vec
	for i := range l.seen {
		s := &l.seen[i]
		at, sigma, err := where(paths, 360*float64(i)/places)
		if err != nil {
			return err
		}
		s.show(at, sigma, 360*float64(i)/places)
		if !l.pelvis {
			continue
		}
		of := at[len(markers):]
		if l.rule {
			back := r3.Scale(1/float64(len(rear)), r3.Add(of[2], of[len(of)-1]))
			if len(rear) == 1 {
				back = of[2]
			}
			if s.at[centre], err = motion.HipCentre(of[0], of[1], back, 0, l.side, motion.Harrington); err != nil {
				return err
			}
		} else {
			for _, v := range of {
				s.at[centre] = r3.Add(s.at[centre], r3.Scale(1/float64(len(of)), v))
			}
		}
		s.sigma[centre] = sigma[len(markers)]
		mean, middle = r3.Add(mean, s.at[hip]), r3.Add(middle, s.at[centre])
	}
	if l.pelvis && !l.rule { // only how it moves is known
		for i := range l.seen {
			l.seen[i].at[centre] = r3.Add(l.seen[i].at[centre], r3.Scale(1./places, r3.Sub(mean, middle)))
		}
	}
	return nil
}

// where returns the places of markers at a crank angle, and how well the revolutions tell
// them.
func where(paths []motion.Path, crank float64) (at []r3.Vec, sigma []float64, err error) {
	for i := range paths {
		p := &paths[i]
		x, err := p.X.At(crank)
		if err != nil {
			return nil, nil, err
		}
		z, err := p.Z.At(crank)
		if err != nil {
			return nil, nil, err
		}
		v := r3.Vec{X: x.Mean, Z: z.Mean}
		if !p.X.Flat {
			y, err := p.Y.At(crank)
			if err != nil {
				return nil, nil, err
			}
			v.Y = y.Mean
		}
		at, sigma = append(at, v), append(sigma, max(x.Sigma, z.Sigma))
	}
	return at, sigma, nil
}

// show takes the places of hip, knee, ankle, toe and heel.
func (s *seen) show(at []r3.Vec, sigma []float64, crank float64) {
	s.sin, s.cos = num.Sincos(crank)
	s.basis = [5]float64{1, s.cos, s.sin, s.cos*s.cos - s.sin*s.sin, 2 * s.sin * s.cos}
	s.at[hip], s.at[knee], s.at[ankle] = at[0], at[1], at[2]
	s.sigma[hip], s.sigma[knee], s.sigma[ankle] = sigma[0], sigma[1], sigma[2]
	s.slope = num.Atan2(at[3].Z-at[4].Z, at[3].X-at[4].X)
	line := r3.Sub(at[1], at[0])
	line.Y = 0
	if length := math.Hypot(line.X, line.Z); length > 1 {
		s.thigh = r3.Scale(1/length, line)
	} else {
		s.thigh = r3.Vec{Z: -1}
	}
}
