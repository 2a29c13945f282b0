package rider

import (
	"example.com/fitgeom/internal/fault"
)

// A SaddleToPedal is a saddle height from the saddle's top to the axle of the pedal at
// its lowest. It is not a [SaddleToBottomBracket], which is shorter by the crank. On a
// bike, contact.SaddleReference stands for the saddle's top (common practice, no source).
type SaddleToPedal struct {
	// Height is in mm.
	Height float64
}

// ToBottomBracket returns the same height measured to the bottom bracket,
// with the crank in line with the saddle, for a crank of 50 to 250 mm.
// Errors are contact.ErrRange and contact.ErrUnit.
func (h SaddleToPedal) ToBottomBracket(crank float64) (SaddleToBottomBracket, error) {
	var f fault.List
	f.Length("height_mm", h.Height, 400, 1500)
	f.Length("crank_mm", crank, 50, 250)
	if err := f.Err(); err != nil {
		return SaddleToBottomBracket{}, err
	}
	return SaddleToBottomBracket{h.Height - crank}, nil
}

// A SaddleToBottomBracket is a saddle height from the saddle's top to the centre of the
// bottom bracket, along the seat tube. It is not a [SaddleToPedal], which is longer by
// the crank.
type SaddleToBottomBracket struct {
	// Height is in mm.
	Height float64
}

// ToPedal returns the same height measured to the axle of a pedal whose crank,
// 50 to 250 mm long, is in line with the saddle. Errors are contact.ErrRange
// and contact.ErrUnit.
func (h SaddleToBottomBracket) ToPedal(crank float64) (SaddleToPedal, error) {
	var f fault.List
	f.Length("height_mm", h.Height, 300, 1300)
	f.Length("crank_mm", crank, 50, 250)
	if err := f.Err(); err != nil {
		return SaddleToPedal{}, err
	}
	return SaddleToPedal{h.Height + crank}, nil
}

// StartByInseam109 returns 1.09 of the inseam, 400 to 1200 mm: a saddle height to start
// from, not to prescribe. Source: E. J. Hamley, V. Thomas (1967), as cited by W. Peveler
// et al. (2005), Comparing methods for setting saddle height in trained cyclists,
// JEPonline 8(1), 51–55, where the inseam is from the floor to the ischium. Errors are
// contact.ErrRange and contact.ErrUnit.
func StartByInseam109(inseam float64) (SaddleToPedal, error) {
	err := inseamFault(inseam)
	if err != nil {
		return SaddleToPedal{}, err
	}
	return SaddleToPedal{1.09 * inseam}, nil
}

// StartByInseam883 returns 0.883 of the inseam, 400 to 1200 mm: a saddle height to start
// from, not to prescribe. A rule of the 1980s: the factor as Peveler et al. (2005) cite
// it (see [StartByInseam109]), the line to measure along as public pages describe it.
// Both rules agree for a crank of 0.207 of the inseam; with a shorter crank this one
// gives the lower saddle, since it ignores the crank. Errors are contact.ErrRange and
// contact.ErrUnit.
func StartByInseam883(inseam float64) (SaddleToBottomBracket, error) {
	err := inseamFault(inseam)
	if err != nil {
		return SaddleToBottomBracket{}, err
	}
	return SaddleToBottomBracket{0.883 * inseam}, nil
}

// StartByLeastFlexion returns the saddle height, to start from and not to
// prescribe, for a wanted least knee flexion over the stroke (10 to 60
// degrees), by the regression of A. A. Gatti et al. (2021), Equations to
// prescribe bicycle saddle height based on desired joint kinematics and bicycle
// geometry, Eur. J. Sport Sci., doi:10.1080/17461391.2021.1902570: in cm, 7.41
// + 0.82·I − 0.1·k + 0.003·I·s, of inseam I (400 to 1200 mm), flexion k and
// seat tube angle s (65 to 85 degrees); root mean square error 11.5 mm.
//
// Only the abstract was read. It does not say where the height ends: the numbers make
// sense only for the pedal, which is therefore assumed. Errors are contact.ErrRange and
// contact.ErrUnit.
func StartByLeastFlexion(inseam, seatAngle, leastFlexion float64) (SaddleToPedal, error) {
	var f fault.List
	f.Length("inseam_mm", inseam, 400, 1200)
	f.Range("seat_angle_deg", seatAngle, 65, 85, "degrees")
	f.Range("least_flexion_deg", leastFlexion, 10, 60, "degrees")
	if err := f.Err(); err != nil {
		return SaddleToPedal{}, err
	}
	return SaddleToPedal{74.1 + 0.82*inseam - leastFlexion + 0.003*inseam*seatAngle}, nil
}

// StartByMostFlexion is [StartByLeastFlexion] for a wanted most flexion of the
// knee (80 to 140 degrees), by the other regression of the same abstract: in cm,
// 41.63 + 0.78·I − 0.25·m + 0.002·I·s.
func StartByMostFlexion(inseam, seatAngle, mostFlexion float64) (SaddleToPedal, error) {
	var f fault.List
	f.Length("inseam_mm", inseam, 400, 1200)
	f.Range("seat_angle_deg", seatAngle, 65, 85, "degrees")
	f.Range("most_flexion_deg", mostFlexion, 80, 140, "degrees")
	if err := f.Err(); err != nil {
		return SaddleToPedal{}, err
	}
	return SaddleToPedal{416.3 + 0.78*inseam - 2.5*mostFlexion + 0.002*inseam*seatAngle}, nil
}

func inseamFault(inseam float64) error {
	var f fault.List
	f.Length("inseam_mm", inseam, 400, 1200)
	return f.Err()
}
