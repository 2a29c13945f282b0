package strict

import "example.com/fitgeom/internal/fault"

// In returns a number for the member of its unit: one of the two pointers.
func In(v float64, unit string) (mm, deg *float64) {
	if unit == "degrees" {
		return nil, &v
	}
	return &v, nil
}

// Amount returns the number of a member that has name_mm or name_deg, whichever is right
// for the unit, and reports one in the other unit. An empty unit belongs to an unknown
// name, which was reported already.
func Amount(f *fault.List, name, unit string, mm, deg *float64, need bool) float64 {
	has, other, right, wrong := mm, deg, name+"_mm", name+"_deg"
	switch unit {
	case "":
		return 0
	case "degrees":
		has, other, right, wrong = deg, mm, wrong, right
	}
	if other != nil {
		f.Add(wrong, "", right+", the unit of what it belongs to", fault.ErrUnknown)
	}
	switch {
	case has != nil:
		return *has
	case need && other == nil:
		f.Add(right, "", "a number", fault.ErrMissing)
	}
	return 0
}
