package convert

import (
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/lsq"
)

// A Solution is the position that a sheet stands for.
type Solution struct {
	// Position has the sites of which the sheet determines all coordinates.
	Position contact.Position
	// Covariance is that of Position's numbers, from the readings' uncertainties.
	Covariance contact.Covariance
	// Others lists positions that fit the sheet as well, where distances leave
	// the choice between two sides of a line.
	Others []contact.Position
	// Free lists what the sheet leaves undetermined of the sites that it speaks of.
	Free []Freedom
	// Checks has one entry for each reading, in their order.
	Checks []Check
	// Chi2 is the sum of squares of what readings are off by, each over its
	// uncertainty, and Redundant how many readings there are more than needed.
	Chi2      float64
	Redundant int
	// Consistent says that Chi2 is no more than chance gives in 99 of 100 sheets.
	Consistent bool
	// Suspects lists the readings that others check, the most likely wrong
	// first, by their place in the sheet. It matters where Consistent is false.
	Suspects []int
}

// A Check is how a reading compares with the others.
type Check struct {
	// Off is the reading less what all readings together say, mm or degrees.
	Off float64
	// Against is the reading less what all others say, without it, and Sigma
	// the standard uncertainty of that, mm or degrees. Both are 0 if Checked is false.
	Against, Sigma float64
	// Checked says that the others tell what the reading should be.
	Checked bool
}

// A Freedom is one way in which a position may change without any reading
// telling.
type Freedom struct {
	// Coordinates is what changes together. Some are of both sides: a change of
	// a left site's y goes with one of the right site's.
	Coordinates []contact.Coordinate
	// Settle lists measures of the sites concerned that would tell, with the
	// side where one has to take them.
	Settle []SidedMeasure
}

// A SidedMeasure is a measure and the side to take it at.
type SidedMeasure struct {
	Measure Measure
	Side    contact.Side
}

// String returns the measure's name and its side, as in "hoods_stack (left)".
func (a SidedMeasure) String() string {
	if a.Side == contact.Centre {
		return a.Measure.String()
	}
	return a.Measure.String() + " (" + a.Side.String() + ")"
}

// String says what is free and what would settle it.
func (f Freedom) String() string { return lsq.Undetermined(f.Coordinates, "free", f.Settle) }

// Solve finds the position that a sheet stands for, by weighted least squares:
// any mix of measures, of either side or the midpoint, more or fewer than
// needed. The basis gives seat angle and height; each reading has its own side.
//
// A sheet cannot tell how far things lie beside the mid-plane: saddle and clamp
// are put on it, and left and right as far from it as one another. Where distances
// leave two positions (above or below a line between two points), the one nearer
// to where sites usually are comes out, and the other one beside it.
//
// An inconsistent sheet is no error, nor is one that leaves something free: the
// Solution says so. Faults are [contact.ErrMissing] for an empty sheet, a
// reading without Sigma, and a seat angle or height that a measure needs;
// [contact.ErrRange] for numbers that are not finite or cannot be; [contact.ErrUnknown]
// for measures and sides that do not exist; [contact.ErrConflict] where no
// position comes near the readings, such as an impossible triangle; and whatever
// contact.Position.Validate finds in the result.
func (s Sheet) Solve() (Solution, error) {
	if err := s.validate(); err != nil {
		return Solution{}, err
	}
	p := newProblem(s)
	fit, others := p.solve()
	var f fault.List
	if !fit.Converged {
		f.Add("sheet", "", "readings that some position comes near", contact.ErrConflict)
		return Solution{}, f.Err()
	}
	sigma := make([]float64, len(s.Entries))
	for i, r := range s.Entries {
		sigma[i] = r.Sigma
	}
	v := fit.Verdict(sigma)
	sol := Solution{Chi2: v.Chi2, Redundant: v.Redundant, Consistent: v.Consistent, Suspects: v.Suspects}
	for _, c := range v.Checks {
		sol.Checks = append(sol.Checks, Check(c))
	}
	if err := p.result(&sol, &fit); err != nil {
		return Solution{}, err
	}
	for _, o := range others {
		if q := p.position(o.X, nil); q.Validate() == nil && !slices.ContainsFunc(sol.Others, func(k contact.Position) bool { return same(k, q) }) && !same(q, sol.Position) {
			sol.Others = append(sol.Others, q)
		}
	}
	return sol, nil
}

// same reports whether two positions are the same to a hundredth of a mm.
func same(p, q contact.Position) bool {
	_, far, _ := p.Sub(q).Largest()
	return far < 0.01
}

func (s Sheet) validate() error {
	var f fault.List
	f.In("", s.Basis.Validate())
	if len(s.Entries) == 0 {
		f.Add("entries", "", "at least one", contact.ErrMissing)
	}
	for i, e := range s.Entries {
		s.checkEntry(&f, fault.At("entries", i), e)
	}
	return f.Err()
}

func (s *Sheet) checkEntry(f *fault.List, path string, r Entry) {
	if err := measureNames.Check("measure", r.Measure); err != nil {
		f.In(path, err)
		return
	}
	e := &measures[r.Measure]
	f.In(path, sideFault(r.Side))
	lo, hi := -2000., 2000.
	switch {
	case e.Unit == "degrees":
		lo, hi = -45, 45
	case e.Positive == "":
		lo = 0
	}
	f.Range(path+".value"+suffix(e.Unit), r.Value, lo, hi, e.Unit)
	if r.Sigma == 0 {
		f.Add(path+".sigma"+suffix(e.Unit), "", "a standard uncertainty", contact.ErrMissing)
	} else {
		f.Range(path+".sigma"+suffix(e.Unit), r.Sigma, math.SmallestNonzeroFloat64, 1000, e.Unit)
	}
	if e.SeatAngle && s.Basis.SeatAngle == 0 {
		f.Add("seat_angle_deg", "", "it for "+e.Name, contact.ErrMissing)
	}
	if e.Ground && s.Basis.BottomBracketHeight == 0 {
		f.Add("bottom_bracket_height_mm", "", "it for "+e.Name, contact.ErrMissing)
	}
}
