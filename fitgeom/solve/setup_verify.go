package solve

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/words"
	"gonum.org/v1/gonum/spatial/r3"
)

// verify adds a measure with the range that the tolerances allow: on either side, if the
// basis takes it midway and the sides differ by more than that.
func (s *sheeter) verify(basis convert.Basis, m convert.Measure) {
	middle := s.reading(basis, m)
	if d := m.Definition(); basis.Side == contact.Centre && !d.Pair && sided(d) {
		left, right := basis, basis
		left.Side, right.Side = contact.Left, contact.Right
		l, r := s.reading(left, m), s.reading(right, m)
		most := 0.05 // of what has no range, what a sheet shows
		if l.Limited && r.Limited {
			most = min(l.High-l.Low, r.High-r.Low) / 2
		}
		apart := max(math.Abs(l.Value-r.Value), math.Abs((l.High+l.Low)-(r.High+r.Low))/2)
		if apart > most+verifyMM {
			l.Side, r.Side = contact.Left, contact.Right
			s.steps = append(s.steps, l, r)
			return
		}
	}
	s.steps = append(s.steps, middle)
}

// sided reports whether a measure is of one of a pair.
func sided(d convert.Definition) bool {
	for _, s := range append(d.Needs, d.Direction.Site) {
		if s.Side() != contact.Centre {
			return true
		}
	}
	return false
}

// reading is the step for a measure on a basis, which the position has.
func (s *sheeter) reading(basis convert.Basis, m convert.Measure) Step {
	d := m.Definition()
	step := Step{Verify: true, Name: d.Name, Unit: d.Unit}
	step.Value, _ = m.Of(s.position, basis)
	about := []words.Argument{words.Part("from", "", d.From), words.Part("to", "", d.To), words.Part("along", "", d.Along)}
	if d.Positive == "" {
		step.Sentences = []words.Sentence{words.Say(words.Verify, about...)}
	} else {
		step.Sentences = []words.Sentence{words.Say(words.VerifySigned, append(about, words.Part("positive", "", d.Positive))...)}
	}
	s.window(&step, basis, m)
	return step
}

// window sets the range that the tolerances of the kept sites allow.
func (s *sheeter) window(step *Step, basis convert.Basis, m convert.Measure) {
	kept := map[contact.Site]fitgeom.Keep{}
	at := s.position // with the kept sites where they are wanted
	for _, k := range s.c.Deviations {
		kept[k.Site] = k.Keep
		p, _ := s.position.At(k.Site)
		for _, a := range [...]struct {
			to       *float64
			off, tol float64
		}{{&p.X, k.Off.X, k.Tolerance.X}, {&p.Y, k.Off.Y, k.Tolerance.Y}, {&p.Z, k.Off.Z, k.Tolerance.Z}} {
			if a.tol != 0 {
				*a.to -= a.off
			}
		}
		if k.Tolerance != (r3.Vec{}) {
			at.Set(k.Site, p)
		}
		if is, ok := s.position.Attitude(k.Site); ok {
			at.SetAttitude(k.Site, is.Less(contact.Attitude(k.Turned)))
		}
	}
	middle, err := m.Of(at, basis)
	if err != nil {
		return // no such position exists, hence no range
	}
	slopes, err := m.Gradient(at, basis)
	if err != nil {
		return
	}
	wide, free := 0.0, false
	for _, slope := range slopes {
		if math.Abs(slope.By) < 1e-3 {
			continue
		}
		t := tolerance(kept[slope.Coordinate.Site], slope.Coordinate.Axis)
		if t == 0 && slope.Coordinate.Site == contact.SaddleReference && slope.Coordinate.Axis == contact.AxisTilt {
			continue // which is set as it is wanted
		}
		free = free || t == 0
		wide += math.Abs(slope.By) * t
	}
	if !free && wide > 0 {
		step.Low, step.High, step.Limited = middle-wide, middle+wide, true
	}
}

// tolerance returns how far a coordinate or an angle may be off; 0 if it is not asked for.
func tolerance(k fitgeom.Keep, a contact.Axis) float64 {
	return [...]float64{k.Tolerance.X, k.Tolerance.Y, k.Tolerance.Z, k.Turn.Tilt, k.Turn.Yaw, k.Turn.Roll}[a]
}
