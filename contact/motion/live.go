package motion

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// LiveSettings say what a [Live] gets and what it tells.
type LiveSettings struct {
	// Rate is how many frames there are a second, evenly spaced.
	Rate float64
	// CutOff is that of the low-pass filter, in Hz, above 0 and below half of Rate.
	CutOff float64
	// Side is the side that is looked at.
	Side contact.Side
	// View is how angles are taken, and Flat says that Y is not known.
	View View
	Flat bool
	// Centre is the centre of the pedal's circle, such as [Motion.Quality] has it.
	Centre r3.Vec
	// Markers are what each frame has, in this order; the pedal of the side is among them.
	Markers []Marker
	// Of are the measures that are wanted.
	Of []Measure
}

// A Live tells what a rider does while the frames come in, in constant memory. It is not
// safe for concurrent use. [NewLive] makes one.
//
// The places are filtered by one pass of a Butterworth filter of the second order, which
// lags. Angles and crank angle come of the same places, so that they belong together; Now
// says how late they are.
type Live struct {
	settings LiveSettings
	filter   Filter
	motion   Motion // of one frame
	takers   []func(int) (float64, bool)
	states   []state
	pedal    Marker
	speed    float64 // of the crank, degrees a second
	last     float64 // crank angle of the frame before
	frames   int     // since the crank was seen
}

// A state is the filter's memory of a marker.
type state struct {
	x1, x2, y1, y2 r3.Vec
	frames         int // that it has seen
	hidden         int // frames since then
}

// A Now is what there is to tell after a frame.
type Now struct {
	// CrankAngle is the crank angle of the side that the values belong to, 0 to below 360
	// degrees; NaN while the pedal is not seen.
	CrankAngle float64
	// Delay is how many seconds ago that was, at this cadence.
	Delay float64
	// Crank is where the crank is now, if it turns evenly: CrankAngle and what it turned by in
	// the meantime.
	Crank float64
	// Cadence is the speed over about half a second, revolutions per minute.
	Cadence float64
}

// liveGap is how many seconds of a marker that is not seen are bridged.
const liveGap = 0.1

// NewLive returns what is to be given the frames. Faults are those of [NewFilter];
// [contact.ErrMissing] for a pedal or another marker that is needed and not among
// Markers; [contact.ErrUnknown] for a marker, measure, view or side that does not exist;
// [contact.ErrRange] for a centre that is not finite or beyond 10 m; and
// [contact.ErrConflict] for a marker that is there twice.
func NewLive(s LiveSettings) (*Live, error) {
	var f fault.List
	f.In("", viewNames.Check("view", s.View))
	point(&f, "centre", s.Centre)
	low, err := NewFilter(s.Rate, s.CutOff, 1)
	f.In("", err)
	l := &Live{settings: s, filter: low, pedal: PedalLeft.On(s.Side), states: make([]state, len(s.Markers))}
	l.settings.Markers = append([]Marker(nil), s.Markers...)
	l.motion.settings.View, l.motion.flat = s.View, s.Flat
	if s.Flat {
		l.motion.settings.View = FromSide
	}
	for i, k := range s.Markers {
		if err := markerNames.Check(fault.At("markers", i), k); err != nil {
			f.In("", err)
			continue
		}
		if l.motion.tracks[k] != nil {
			f.Add(fault.At("markers", i), k.String(), "each marker once", contact.ErrConflict)
		}
		l.motion.tracks[k] = []r3.Vec{unseen}
	}
	if l.motion.tracks[l.pedal] == nil {
		f.Add(l.pedal.String(), "", "the samples of this marker", contact.ErrMissing)
	}
	for i, of := range s.Of {
		taker, err := l.motion.taker(of, s.Side)
		f.In(fault.At("of", i), err)
		l.takers = append(l.takers, taker)
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	return l, nil
}

// Next takes a frame and fills in values, one of each measure: NaN for what was not seen for
// 0.1 s, since when it is taken to have gone straight on. It allocates nothing. Faults are
// [contact.ErrConflict] for lists of other lengths and [contact.ErrRange] for seen
// coordinates that are not finite or beyond 10 m; then the frame counts as one that saw
// nothing.
func (l *Live) Next(frame []Sample, values []float64) (Now, error) {
	bad := len(frame) != len(l.states) || len(values) != len(l.takers)
	for i := range frame {
		bad = bad || frame[i].Seen && !bounded(frame[i].At)
	}
	for i, k := range l.settings.Markers {
		s := &l.states[i]
		at := &l.motion.tracks[k][0]
		switch {
		case !bad && frame[i].Seen:
			p := frame[i].At
			if l.settings.Flat {
				p.Y = 0
			}
			s.hidden = 0
			*at = s.next(&l.filter, p)
		case s.frames >= 2 && float64(s.hidden+1) <= liveGap*l.settings.Rate:
			s.hidden++
			*at = s.next(&l.filter, r3.Sub(r3.Scale(2, s.x1), s.x2))
		default:
			*s, *at = state{}, unseen
		}
	}
	for i := range values {
		if values[i] = math.NaN(); i < len(l.takers) && !bad {
			if v, ok := l.takers[i](0); ok {
				values[i] = v
			}
		}
	}
	return l.now(), l.fault(frame, values, bad)
}

// fault says what was wrong with a frame.
func (l *Live) fault(frame []Sample, values []float64, bad bool) error {
	if !bad {
		return nil
	}
	var f fault.List
	if len(frame) != len(l.states) {
		f.Add("frame", num.Text(float64(len(frame)), "samples"), num.Text(float64(len(l.states)), ""), contact.ErrConflict)
	}
	if len(values) != len(l.takers) {
		f.Add("values", num.Text(float64(len(values)), "numbers"), num.Text(float64(len(l.takers)), ""), contact.ErrConflict)
	}
	for i := range frame {
		if frame[i].Seen {
			point(&f, fault.At("frame", i), frame[i].At)
		}
	}
	return f.Err()
}

// next filters a place; the first starts as if it had lasted for ever.
func (s *state) next(f *Filter, p r3.Vec) r3.Vec {
	if s.frames == 0 {
		s.x1, s.x2, s.y1, s.y2 = p, p, p, p
	}
	one := func(x, x1, x2, y1, y2 float64) float64 {
		return f.A0*x + f.A1*x1 + f.A2*x2 + f.B1*y1 + f.B2*y2
	}
	y := r3.Vec{X: one(p.X, s.x1.X, s.x2.X, s.y1.X, s.y2.X), Y: one(p.Y, s.x1.Y, s.x2.Y, s.y1.Y, s.y2.Y), Z: one(p.Z, s.x1.Z, s.x2.Z, s.y1.Z, s.y2.Z)}
	s.x2, s.x1, s.y2, s.y1 = s.x1, p, s.y1, y
	s.frames++
	return y
}

// now tells where the crank is.
func (l *Live) now() (n Now) {
	p := l.motion.tracks[l.pedal][0]
	if math.IsNaN(p.X) {
		l.frames, l.speed = 0, 0
		return Now{CrankAngle: math.NaN(), Crank: math.NaN()}
	}
	n.CrankAngle = num.Turn(num.Atan2(p.X-l.settings.Centre.X, p.Z-l.settings.Centre.Z))
	if l.frames > 0 {
		// The mean of the frames so far, later of about half a second.
		share := max(1/float64(l.frames), 2/max(2, l.settings.Rate))
		l.speed += share * (wrap(n.CrankAngle-l.last)*l.settings.Rate - l.speed)
	}
	l.last = n.CrankAngle
	l.frames++
	n.Cadence = l.speed / 6
	// What a slow movement lags by is √2/ω; at the pedalling frequency it is a little more.
	if frequency := math.Abs(n.Cadence) / 60; frequency > 0.01 && frequency < l.settings.Rate/2 {
		_, n.Delay = l.filter.Gain(l.settings.Rate, frequency)
	} else {
		n.Delay = (l.filter.A1 + 2*l.filter.A2 + l.filter.B1 + 2*l.filter.B2) / l.settings.Rate
	}
	n.Crank = num.Turn(n.CrankAngle + l.speed*n.Delay)
	return n
}
