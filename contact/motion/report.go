package motion

import (
	"context"
	"errors"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
)

// A Report is what a [Motion] tells, as plain values that documents have: what the recording
// is worth, and every measure that it shows.
type Report struct {
	Quality Quality `json:"quality"`
	// Revolutions holds the complete revolutions in order of time.
	Revolutions []Revolution `json:"revolutions"`
	// Curves holds the measures over the crank angle, of the left and then of the right.
	Curves []Curve `json:"curves"`
	// Paths is where markers are over the crank angle, if that was asked for.
	Paths []Path `json:"paths,omitempty"`
	// Faults is why measures are missing whose markers are there.
	Faults []contact.Error `json:"faults,omitempty"`
}

// Report returns all that the motion tells but for paths: a curve of every measure whose
// markers were seen, of both sides. If the context ends, the error wraps the context's.
func (m Motion) Report(ctx context.Context) (Report, error) {
	r := Report{Quality: m.Quality(), Revolutions: m.Revolutions()}
	var f fault.List
	for _, side := range []contact.Side{contact.Left, contact.Right} {
		for _, of := range Measures() {
			c, err := m.Curve(ctx, of, side)
			switch {
			case ctx.Err() != nil:
				return Report{}, err
			case err == nil:
				r.Curves = append(r.Curves, c)
			case !errors.Is(err, contact.ErrMissing):
				f.In(side.String()+"."+of.String(), err)
			}
		}
	}
	for _, one := range contact.Faults(f.Err()) {
		r.Faults = append(r.Faults, *one)
	}
	return r, nil
}
