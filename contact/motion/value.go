package motion

import (
	"fmt"
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/work"
	"gonum.org/v1/gonum/spatial/r3"
)

// needs holds the markers of each variable: the ends of one or two lines.
var needs = [...][]marker{
	rider.KneeFlexion:       {knee, hip, knee, ankle},
	rider.HipFlexion:        {hip, shoulder, hip, knee},
	rider.AnkleDorsiflexion: {ankle, knee, heel, toe},
	rider.TrunkLean:         {hip, shoulder},
	rider.KneeOffset:        {toe, knee},
}

// values returns a variable in every frame, NaN where it was not seen.
func (m *Motion) values(w *work.Meter, of rider.Variable) ([]float64, error) {
	var f fault.List
	switch {
	case of.Unit() == "":
		f.Add("variable", "", "one such as knee_flexion", contact.ErrUnknown)
	case int(of) >= len(needs) || needs[of] == nil:
		f.Add(of.String(), "", "a variable that can be computed from markers", contact.ErrMissing)
	default:
		for i, k := range needs[of] {
			if m.markers[k] == nil && !slices.Contains(needs[of][:i], k) {
				f.Add(markerNames[k], "", "the samples of this marker, for "+of.String(), contact.ErrMissing)
			}
		}
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	values := work.Make[float64](w, len(m.crank))
	for i := range values {
		if !w.Do(1) {
			break
		}
		v, ok := m.value(of, i)
		if !ok {
			f.Add(fmt.Sprintf("%s[%d]", markerNames[needs[of][0]], i), "", "at least "+num.Text(shortest, "mm")+" from the next marker", contact.ErrRange)
			return nil, f.Err()
		}
		values[i] = v
	}
	if w.Stopped() {
		return nil, m.stopped(w, 0)
	}
	return values, nil
}

// value returns a variable in one frame, NaN if it was not seen; false for markers that
// coincide.
func (m *Motion) value(of rider.Variable, frame int) (v float64, ok bool) {
	var lines [2]r3.Vec
	for i, k := range needs[of] {
		s := &m.markers[k][frame]
		if !s.Seen {
			return math.NaN(), true
		}
		if i%2 == 0 {
			lines[i/2] = s.At
		} else {
			lines[i/2] = r3.Sub(s.At, lines[i/2])
		}
	}
	if of == rider.KneeOffset {
		if m.side == contact.Right {
			return -lines[0].Y, true
		}
		return lines[0].Y, true
	}
	for i := range len(needs[of]) / 2 {
		lines[i] = m.view.see(lines[i])
		if r3.Norm2(lines[i]) < shortest*shortest {
			return 0, false
		}
	}
	switch of {
	case rider.TrunkLean:
		level := lines[0].X
		if m.view == InSpace {
			level = math.Copysign(math.Hypot(level, lines[0].Y), level)
		}
		return num.Atan2(lines[0].Z, level), true
	case rider.AnkleDorsiflexion:
		return 90 - between(lines[0], lines[1]), true
	case rider.KneeFlexion, rider.HipFlexion:
		return 180 - between(lines[0], lines[1]), true
	case rider.KneeOffset, rider.ShoulderFlexion, rider.ElbowFlexion: // see above, and needs
	}
	return 0, false
}
