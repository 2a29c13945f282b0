package motion

import (
	"fmt"
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/work"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Sample is the place of a marker in one frame. The zero Sample is a marker that was
// not seen.
type Sample struct {
	// At is the centre of the marker in the axes of package contact, mm. It is ignored
	// unless Seen.
	At r3.Vec
	// Seen reports whether the marker was found in the frame. A frame that lost the
	// marker keeps its place with Seen false.
	Seen bool
}

// A Recording holds what a camera system saw of one leg, in the axes of package contact:
// fixed to the bike, with the origin at the bottom bracket. Package contact/survey can
// find these axes. The zero Recording is not valid.
//
// A nil marker was not used. Each of the others has one [Sample] for each of Times.
type Recording struct {
	// Side is contact.Left or contact.Right.
	Side contact.Side
	// Times are the times of the frames in seconds, -1e10 to 1e10. Each is later than the
	// one before by a microsecond or more.
	Times []float64
	// Pedal is at the end of the pedal spindle. Every recording needs it.
	Pedal []Sample
	// Toe and Heel are on the shoe, at the ball of the foot and at the heel, both at the
	// same height above the sole.
	Toe, Heel []Sample
	// Ankle, Knee, Hip and Shoulder are on the outside of the joints.
	Ankle, Knee, Hip, Shoulder []Sample
	// Pelvis is anywhere on the pelvis where it is seen well.
	Pelvis []Sample
}

// Limits of recordings. Common practice, no source.
const (
	maxHole = 20.  // degrees of crank between samples that may be joined by interpolation
	maxStep = 120. // degrees of crank that may pass unseen before the revolution is lost
)

// A marker is one of the markers of a recording.
type marker uint8

const (
	pedal marker = iota
	toe
	heel
	ankle
	knee
	hip
	shoulder
	pelvis

	markerCount = int(pelvis) + 1
)

var markerNames = [markerCount]string{"pedal", "toe", "heel", "ankle", "knee", "hip", "shoulder", "pelvis"}

func (r *Recording) markers() [markerCount][]Sample {
	return [markerCount][]Sample{
		pedal: r.Pedal, toe: r.Toe, heel: r.Heel, ankle: r.Ankle,
		knee: r.Knee, hip: r.Hip, shoulder: r.Shoulder, pelvis: r.Pelvis,
	}
}

// Validate reports a side that is neither left nor right ([contact.ErrUnknown]); a
// recording without times or pedal ([contact.ErrMissing]); times that are not in order
// and markers with another number of samples ([contact.ErrConflict]); and times out of
// range and seen coordinates that are not finite or beyond 10 m ([contact.ErrRange]). Of
// the times and of each marker it reports only the first fault.
func (r Recording) Validate() error { return r.validate(nil) }

func (r *Recording) validate(w *work.Meter) error {
	var f fault.List
	if r.Side != contact.Left && r.Side != contact.Right {
		f.Add("side", r.Side.String(), "left or right", contact.ErrUnknown)
	}
	if len(r.Times) == 0 {
		f.Add("times", "", "at least one", contact.ErrMissing)
	}
	for i, t := range r.Times {
		if !w.Do(1) {
			break
		}
		if !(math.Abs(t) <= 1e10) {
			f.Range(fmt.Sprintf("times[%d]", i), t, -1e10, 1e10, "s")
			break
		}
		if i > 0 && !(t-r.Times[i-1] >= 1e-6) {
			f.Add(fmt.Sprintf("times[%d]", i), num.Text(t, "s"), "later than the one before by a microsecond or more", contact.ErrConflict)
			break
		}
	}
	if r.Pedal == nil {
		f.Add("pedal", "", "the samples of this marker", contact.ErrMissing)
	}
	for k, samples := range r.markers() {
		if n := len(samples); samples != nil && n != len(r.Times) {
			f.Add(markerNames[k], num.Text(float64(n), "samples"), num.Text(float64(len(r.Times)), "")+", one for each time", contact.ErrConflict)
		}
		for i := range samples {
			if !w.Do(1) {
				break
			}
			if s := &samples[i]; s.Seen && !bounded(s.At) {
				point(&f, fmt.Sprintf("%s[%d]", markerNames[k], i), s.At)
				break
			}
		}
	}
	return f.Err()
}
