package convert

import (
	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/lsq"
	"example.com/fitgeom/internal/placed"
	"example.com/fitgeom/internal/saddle"
)

// A Solution is the position that a sheet describes.
type Solution struct {
	// Position has the sites for which the sheet determines all coordinates.
	Position contact.Position `json:"position"`
	// Ranges is where each coordinate that is not free lies, with a probability of 95 %:
	// what to use of one coordinate by itself. It has those that the sheet tells, at
	// sites that are not in Position too. A coordinate that stands on a contradiction, so
	// that it would move without one of the Suspects, has no range and no covariance; nor
	// has any where readings contradict one another and none of them is a suspect.
	Ranges contact.Ranges `json:"ranges,omitempty"`
	// Covariance is the covariance of Position, from the readings' uncertainties, to
	// first order: what to use of several coordinates together. Where a range is of the
	// likelihood, first order says little, and the standard uncertainty is the one that a
	// range of that width would have.
	Covariance contact.Covariance `json:"covariance,omitzero"`
	// Others lists other positions that fit the sheet equally well, or about as well and
	// more than 100 mm away, since distances may not determine on which side of a line a
	// site lies. There are at most 8. Up to 100 mm away, Ranges reach as far as that.
	Others []contact.Position `json:"others,omitempty"`
	// Free lists what the sheet leaves undetermined at the sites it refers to.
	Free []Freedom `json:"free,omitempty"`
	// Checks has one entry for each reading, in their order.
	Checks []Check `json:"checks,omitempty"`
	// Chi2 is the sum of the squared deviations of the readings, each divided by its
	// uncertainty. Redundant is the number of readings beyond those needed.
	Chi2      float64 `json:"chi2"`
	Redundant int     `json:"redundant"`
	// Consistent says that Chi2 is within the range expected by chance in 99 of 100
	// sheets, and that there are no suspects.
	Consistent bool `json:"consistent"`
	// Suspects lists every reading that could be the wrong one where readings contradict
	// one another, in their order, with every usual slip that explains it. Nobody is a
	// suspect whose error is less than the least that is found: 4.13 times the standard
	// uncertainty against the others (W. Baarda 1968). It is empty too where more than three
	// readings would have to be wrong.
	Suspects []contact.Suspect `json:"suspects,omitempty"`
}

// A Check compares a reading with the others.
type Check struct {
	// Off is the reading minus the value from all readings together, mm or degrees.
	Off float64 `json:"off"`
	// Against is the reading minus the value from all other readings, and Sigma is the
	// standard uncertainty of Against, mm or degrees. Both are 0 if Checked is false.
	Against float64 `json:"against,omitzero"`
	Sigma   float64 `json:"sigma,omitzero" range:"0 to 1e9"`
	// Checked says that the other readings determine a value for this one.
	Checked bool `json:"checked"`
}

// A Freedom is one way in which a position may change without affecting any reading, or by
// so little that what changes most would have a range of more than 200 mm or 30 degrees.
type Freedom struct {
	// Coordinates lists the coordinates that change together. A change of a left site's y
	// may include an equal and opposite one of the right site's y.
	Coordinates []contact.Coordinate `json:"coordinates"`
	// Settle lists measures of these sites that would determine them, with the side at
	// which to take each.
	Settle []SidedMeasure `json:"settle,omitempty"`
}

// A SidedMeasure is a measure and the side to take it at.
type SidedMeasure struct {
	Measure Measure      `json:"measure"`
	Side    contact.Side `json:"side,omitzero"`
}

// String returns the measure's name and its side, such as "hoods_stack (left)".
func (a SidedMeasure) String() string {
	if a.Side == contact.Centre {
		return a.Measure.String()
	}
	return a.Measure.String() + " (" + a.Side.String() + ")"
}

// String says in words what is undetermined and which measures would settle it.
func (f Freedom) String() string { return lsq.Undetermined(f.Coordinates, "free", f.Settle) }

// Solve finds the position that a sheet describes, by weighted least squares. It accepts
// any mix of measures, at either side or the midpoint, more or fewer than needed. Seat
// angle and bottom bracket height come from the basis; each reading has its own side.
//
// A coordinate whose range would be more than 200 mm or 30 degrees wide is free: as much is
// known of any bicycle. A range is found by the likelihood itself where first order is not
// good to a tenth, as for the height of a bar to which the direct and the horizontal
// distance are nearly equal.
//
// Nose and rear of the saddle lie on the straight line through its reference at its tilt,
// to 6 mm (common practice, no source), unless the basis has the saddle's profile. Where
// readings alone tell nearly as much, or speak against it, this is not assumed. A tilt that
// is read is what a level shows, and not that of the line through nose and rear.
//
// A sheet says nothing of lateral offsets. Saddle and bar clamp are placed on the
// mid-plane, and left and right sites at equal distances from it; where direct distances to
// one side hang on that, to 2 mm and 3 mm. Where distances allow two positions (above or
// below a line between two points), the one closer to typical positions is returned, and
// the other in Others.
//
// A sheet that is inconsistent or leaves something undetermined is not an error: the
// Solution says so. Errors are [contact.ErrMissing] for an empty sheet, a reading without
// Sigma, and a seat angle or height that a measure needs; [contact.ErrRange] for numbers
// that are not finite or out of range; [contact.ErrUnknown] for measures and sides that
// do not exist; [contact.ErrConflict] if no position comes close to the readings, as with
// an impossible triangle, or the saddle's tilt is nearly that of the seat tube; and the
// errors of contact.Position.Validate for the result; the Solution then has Suspects, Chi2 and
// Redundant, and nothing else. Each measure has its [Measure.Range].
func (s Sheet) Solve() (Solution, error) {
	if err := s.solvable(); err != nil {
		return Solution{}, err
	}
	p := newProblem(s)
	found := p.find()
	fit := &found.Best
	var f fault.List
	if !fit.Converged {
		f.Add("sheet", "", "readings that some position comes close to", contact.ErrConflict)
		return Solution{}, f.Err()
	}
	sigma := make([]float64, len(s.Entries))
	for i, r := range s.Entries {
		sigma[i] = r.Sigma
	}
	held := fit.Held(placed.Widest / 2)
	v, wrong := held.Verdict(sigma), p.wrong(s, found, held)
	sol := Solution{Chi2: v.Chi2, Redundant: v.Redundant, Consistent: v.Consistent && len(wrong.Suspects) == 0, Suspects: wrong.Suspects}
	for _, c := range v.Checks {
		sol.Checks = append(sol.Checks, Check(c))
	}
	if err := p.result(&sol, found, &wrong); err != nil {
		return Solution{Suspects: wrong.Suspects, Chi2: v.Chi2, Redundant: v.Redundant}, err
	}
	if err := saddle.Carry(s.Basis.Saddle, &sol.Position, &sol.Covariance, &sol.Ranges, sol.Others); err != nil {
		return Solution{}, err
	}
	return sol, nil
}

// find fits the readings with what is known and supposed of the saddle.
func (p *problem) find() *lsq.Search {
	return p.saddle.Find(p.solve, func(t saddle.Tie, x []float64) []float64 {
		p.place(x)
		jac := make([]float64, len(x))
		p.tied([]saddle.Tie{t}, make([]float64, 1), jac)
		return jac
	})
}

// solvable returns what is wrong with a sheet that is to be solved.
func (s Sheet) solvable() error {
	var f fault.List
	f.In("", s.Basis.Validate())
	if len(s.Entries) == 0 {
		f.Add("entries", "", "at least one", contact.ErrMissing)
	}
	s.checkCount(&f)
	for i, e := range s.Entries[:min(len(s.Entries), mostEntries)] {
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
	r.Measure.checkValue(f, path, r.Value)
	_, sigma := members(e.Unit)
	if r.Sigma == 0 {
		f.Add(path+"."+sigma, "", "a standard uncertainty", contact.ErrMissing)
	} else {
		f.Range(path+"."+sigma, r.Sigma, 0.001, 1000, e.Unit)
	}
	if e.SeatAngle && s.Basis.SeatAngle == 0 {
		f.Add("seat_angle_deg", "", "it for "+e.Name, contact.ErrMissing)
	}
	if e.Ground && s.Basis.BottomBracketHeight == 0 {
		f.Add("bottom_bracket_height_mm", "", "it for "+e.Name, contact.ErrMissing)
	}
	if e.size != nil && e.size(&s.Basis) == 0 {
		f.Add(e.Size, "", "it for "+e.Name, contact.ErrMissing)
	}
}
