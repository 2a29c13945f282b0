package calibrate

import (
	"context"
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/lsq"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Result is the body that explains the evidence best.
type Result struct {
	// Body has the legs that were looked at, and trunk and arms if a grip was stated.
	// The elbow keeps its flexion.
	Body rider.Body `json:"body"`
	// Covariance is of its numbers.
	Covariance rider.Covariance `json:"covariance"`
	// Suspects are readings that the recording and the other readings contradict: each could
	// be the wrong one. Their Reading is the index in Evidence.Readings. While there are any,
	// the uncertainties do not hold.
	Suspects []contact.Suspect `json:"suspects,omitempty"`
	// Consistent reports that all agrees as well as chance allows, at 99 %, where the places of
	// the circle tell as much as nine independent ones. A crank that was stated 10 mm wrong is
	// too much for that.
	Consistent bool `json:"consistent"`
}

// Body returns the body that explains the evidence best, by least squares, with its
// uncertainty.
//
// Faults are those of contact.Position.Validate and of readings out of range
// ([contact.ErrRange], [contact.ErrUnit], [contact.ErrUnknown]); [contact.ErrMissing] for a
// position without saddle or feet, for nothing to go by, for a recording without a leg's
// markers, and for a tape without an ankle's profile; [contact.ErrConflict] for a profile beside
// a recording, for a second reading of a quantity and side, for one of a leg that the recording
// does not show, and for a recording or tape that fits no body. If the context ends, the error
// wraps the context's.
func (e Evidence) Body(ctx context.Context) (Result, error) {
	legs, err := e.legs(ctx)
	if err != nil {
		return Result{}, err
	}
	p := newProblem(&e, legs)
	shown := lsq.Solve(p.start(), p.rows(), p.model)
	if err := ctx.Err(); err != nil {
		return Result{}, err
	}
	u, ok := newUpdate(p, &shown, e.Readings)
	if !ok {
		return Result{}, fault.New("motion", "", "what some body shows", contact.ErrConflict)
	}
	fit := u.solve(u.known, nil)
	r := Result{Body: e.body(p, &fit), Consistent: shown.ConsistentOf(p.redundant()) && fit.Consistent()}
	var f fault.List
	f.In("body", r.Body.Validate())
	if faults := contact.Faults(f.Err()); len(faults) > 0 {
		return Result{}, fault.New("evidence", faults[0].Path+" "+faults[0].Value, "what a body within usual ranges explains", contact.ErrConflict)
	}
	if r.Covariance, err = e.covariance(p, &fit); err != nil {
		return Result{}, err
	}
	r.Suspects = u.suspects(&fit)
	return r, nil
}

// start guesses the unknowns.
func (p *problem) start() []float64 {
	x := make([]float64, p.n)
	for _, q := range p.prior {
		if q.with == q.of {
			x[q.of] = q.mean
		} else if q.sign > 0 {
			x[q.of], x[q.with] = q.mean, q.mean
		}
	}
	for i := range p.legs {
		l, at := &p.legs[i], p.at[i]
		if l.seen == nil {
			continue
		}
		x[at+thigh], x[at+shank], x[at+height], x[at+behind], x[forward], x[up] = 0, 0, 0, 0, 0, 0
		for k := range l.seen {
			s := &l.seen[k]
			sin, cos := num.Sincos(s.slope)
			foot := r3.Vec{X: s.at[ankle].X - l.crank*s.sin, Z: s.at[ankle].Z - l.crank*s.cos}
			x[at+behind] -= (foot.X*cos + foot.Z*sin) / places
			x[at+height] += (foot.Z*cos - foot.X*sin - l.sole) / places
			x[at+thigh] += math.Hypot(s.at[knee].X-s.at[hip].X, s.at[knee].Z-s.at[hip].Z) / places
			x[at+shank] += math.Hypot(s.at[knee].X-s.at[ankle].X, s.at[knee].Z-s.at[ankle].Z) / places
			x[forward] += (s.at[hip].X - p.saddle.X) / places
			x[up] += (s.at[hip].Z - p.saddle.Z) / places
		}
	}
	return x
}

// body returns the body of the unknowns.
func (e *Evidence) body(p *problem, fit *lsq.Fit) rider.Body {
	b := rider.Body{HipForward: fit.X[forward], HipUp: fit.X[up]}
	for i := range p.legs {
		is := fit.X[shared+i*own:]
		l := rider.Leg{Thigh: is[thigh], Shank: is[shank], AnkleHeight: is[height], AnkleBehind: is[behind], Ankle: e.Ankle}
		if seen := p.legs[i].seen; seen != nil {
			l.Ankle = rider.Ankle{Given: rider.SolePitch}
			for k := range seen {
				l.Ankle.Profile = append(l.Ankle.Profile, seen[k].slope+is[angle])
			}
		}
		if p.legs[i].side == contact.Right {
			b.Right = l
		} else {
			b.Left = l
		}
	}
	b.Upper, _, _ = e.upper(p, fit)
	return b
}
