package survey

import "example.com/fitgeom/contact"

// Compare returns what moved from one fix to the next of the same bike, and whether that
// is more than measuring error at a coverage such as 0.95 or 0.99. See
// [contact.Difference.Judge], also for the faults. If both fixes share a datum
// ([Fix.Locate]), its errors cancel; otherwise the two fixes count as independent. The
// saddle is taken to be the same: where both have its tilt from nose and rear, what these
// may differ from its top cancels, unless the reference was read at another width than
// [contact.ReferenceWidth].
func Compare(before, after Fix, coverage float64) ([]contact.Move, []contact.Turn, error) {
	cov, err := differenceCovariance(&before, &after)
	if err != nil {
		return nil, nil, err
	}
	return after.Position.Sub(before.Position).Judge(cov, coverage)
}

// independent returns the covariance of the difference of two fixes that have only the
// saddle in common.
func independent(a, b *Fix) (contact.Covariance, error) {
	sum := a.Covariance.Add(b.Covariance)
	if a.droop == 0 || b.droop == 0 {
		return sum, nil
	}
	coords := sum.Coordinates()
	return contact.NewCovariance(coords, func(i, j int) float64 {
		v, _ := sum.At(coords[i], coords[j])
		if i == j && coords[i] == saddleTilt {
			v -= a.droop*a.droop + b.droop*b.droop
		}
		return v
	})
}

func differenceCovariance(a, b *Fix) (contact.Covariance, error) {
	if a.datum == nil || a.datum != b.datum {
		return independent(a, b)
	}
	type both struct{ i, j int } // indexes of a coordinate in a and in b
	var coords []contact.Coordinate
	var of []both
	in := b.Covariance.Coordinates()
	for i, c := range a.Covariance.Coordinates() {
		for j, e := range in {
			if c == e {
				coords = append(coords, c)
				of = append(of, both{i, j})
			}
		}
	}
	d := a.datum
	// The datum is the same in both: only the rows and the readings differ.
	var diff []row
	var seen []numberVec
	for _, o := range of {
		r := b.rows[o.j].less(&a.rows[o.i])
		diff = append(diff, r)
		seen = append(seen, d.against(&r))
	}
	return contact.NewCovariance(coords, func(i, j int) float64 {
		sum := 0.0
		for k := range seen[j] {
			sum += diff[i].by[k]*(seen[j][k]+diff[j].with[k]) + diff[i].with[k]*diff[j].by[k]
		}
		return sum + d.read(&a.rows[of[i].i], &a.rows[of[j].i]) + d.read(&b.rows[of[i].j], &b.rows[of[j].j])
	})
}
