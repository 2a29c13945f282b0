// Package field reads the table of a struct's fields: the tags beside them. Validation,
// JSON, CSV columns and JSON Schema all use it.
//
//		Length   float64 `json:"length_mm" length:"20 to 180"`
//		Angle    float64 `json:"angle_deg" range:"-60 to 60"`
//		Diameter float64 `json:"diameter_mm,omitzero" range:"20 to 45" zero:"nowhere"`
//		Axles    Axles   `json:"axles,omitzero" zero:"not stated"`
//
//	  - json: the member's name in documents and faults. It ends in _mm or _deg for a
//	    length or an angle.
//	  - range: the values that a number may have. Without it any finite number is valid,
//	    and the struct's own Validate may check more.
//	  - length: a range in mm of a length that is never small, so that a number in another
//	    unit is recognized.
//	  - unit: the unit of a number whose name does not tell it, such as "pieces".
//	  - zero: what the zero value means, where a number may also be 0 or a struct may be
//	    absent. Zero then passes every check.
//	  - steps: for a struct of From, To and Step, whether "all" values are tried one by one
//	    or only the "ends" count; range limits the ends.
//	  - atleast, atmost: another field of the struct that limits the number too.
//	  - grid: the step of which the number must be a whole multiple.
//	  - validate:"own": the struct's own Validate checks more. The code that checks the
//	    outer table calls it.
//
// The range of a slice of numbers is that of each. Other slices are left to the code that
// checks the table.
package field
