package convert

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/num"
)

// A Dimension is one number of a frame's geometry chart. Where people mean
// different things by one word, each has a Dimension of its own. The zero
// Dimension is [DimStack].
type Dimension uint8

// The dimensions. Lengths are mm and angles degrees; all are in the side view,
// with the bike level on the wheels of the chart.
const (
	DimStack               Dimension = iota // head tube's top centre above the bottom bracket
	DimReach                                // head tube's top centre in front of the bottom bracket
	DimEffectiveTopTube                     // head tube's top centre back to the seat tube's axis, level
	DimHeadAngle                            // steering axis against level
	DimSeatAngle                            // seat tube's axis against level
	DimSeatAngleEffective                   // line from bottom bracket to the seat tube's axis at Chart.SeatAngleHeight, against level
	DimSeatOffset                           // seat tube's axis in front of the bottom bracket, square to it
	DimHeadTube                             // head tube's length
	DimLowerStack                           // lower headset: head tube's lower end to the fork's crown race, along the axis
	DimForkLength                           // crown race to front axle, straight
	DimForkLengthSteerer                    // crown race to the foot of the front axle's offset, along the steering axis
	DimForkOffset                           // front axle in front of the steering axis, square to it
	DimDrop                                 // bottom bracket below the rear axle
	DimDropLine                             // bottom bracket below the line from axle to axle, upright
	DimBottomBracketHeight                  // bottom bracket above the ground
	DimChainstay                            // bottom bracket to rear axle, straight
	DimRearCentre                           // bottom bracket to rear axle, level
	DimFrontCentre                          // bottom bracket to front axle, straight
	DimFrontCentreLevel                     // bottom bracket to front axle, level
	DimWheelbase                            // axle to axle, level
	DimTrail                                // front tyre's contact behind the steering axis, on the ground
	DimFrontRadius                          // front wheel with its tyre
	DimRearRadius                           // rear wheel with its tyre
	DimSeatTubeTop                          // seat tube, bottom bracket's centre to its upper edge, along its axis
	DimSeatTubeCentre                       // seat tube, bottom bracket's centre to the top tube's centre line, along its axis
	DimTopTube                              // top tube, centre to centre along it
	DimStandover                            // top tube above the ground, where the chart takes it

	dimensionCount = int(DimStandover) + 1
)

var dimensions = [dimensionCount]struct {
	name   string
	angle  bool
	lo, hi float64
}{
	DimStack:               {"stack", false, stackMin, stackMax},
	DimReach:               {"reach", false, reachMin, reachMax},
	DimEffectiveTopTube:    {"effective_top_tube", false, 300, 1000},
	DimHeadAngle:           {"head_angle", true, headAngleMin, headAngleMax},
	DimSeatAngle:           {"seat_angle", true, seatAngleMin, seatAngleMax},
	DimSeatAngleEffective:  {"seat_angle_effective", true, seatAngleMin, seatAngleMax},
	DimSeatOffset:          {"seat_offset", false, -100, 100},
	DimHeadTube:            {"head_tube", false, 50, 400},
	DimLowerStack:          {"lower_stack", false, 0, 40},
	DimForkLength:          {"fork_length", false, 250, 700},
	DimForkLengthSteerer:   {"fork_length_steerer", false, 250, 700},
	DimForkOffset:          {"fork_offset", false, offsetMin, offsetMax},
	DimDrop:                {"drop", false, -150, 150},
	DimDropLine:            {"drop_line", false, -150, 150},
	DimBottomBracketHeight: {"bottom_bracket_height", false, 150, 450},
	DimChainstay:           {"chainstay", false, 250, 600},
	DimRearCentre:          {"rear_centre", false, 250, 600},
	DimFrontCentre:         {"front_centre", false, 400, 1100},
	DimFrontCentreLevel:    {"front_centre_level", false, 400, 1100},
	DimWheelbase:           {"wheelbase", false, 700, 1700},
	DimTrail:               {"trail", false, -300, 500},
	DimFrontRadius:         {"front_radius", false, radiusMin, radiusMax},
	DimRearRadius:          {"rear_radius", false, radiusMin, radiusMax},
	DimSeatTubeTop:         {"seat_tube_top", false, 200, 750},
	DimSeatTubeCentre:      {"seat_tube_centre", false, 200, 750},
	DimTopTube:             {"top_tube", false, 300, 1000},
	DimStandover:           {"standover", false, 300, 1000},
}

// Dimensions returns all dimensions, in the order of their constants.
func Dimensions() []Dimension {
	all := make([]Dimension, dimensionCount)
	for i := range all {
		all[i] = Dimension(i)
	}
	return all
}

// String returns the dimension's name in files and errors, such as "head_tube".
func (d Dimension) String() string {
	if int(d) >= dimensionCount {
		return "dimension?"
	}
	return dimensions[d].name
}

// Unit returns "mm" or "degrees"; it is empty for a number that is no dimension.
func (d Dimension) Unit() string {
	switch {
	case int(d) >= dimensionCount:
		return ""
	case dimensions[d].angle:
		return "degrees"
	default:
		return "mm"
	}
}

// ParseDimension returns the dimension of that name, as [Dimension.String]
// writes it, or a [*contact.Error] of class [contact.ErrUnknown].
func ParseDimension(name string) (Dimension, error) {
	for d := range dimensions {
		if dimensions[d].name == name {
			return Dimension(d), nil
		}
	}
	return 0, &contact.Error{Path: "dimension", Value: name, Want: "a name such as stack or front_centre_level", Class: contact.ErrUnknown}
}

// MarshalText writes the dimension's name. A number that is none gives a
// [*contact.Error] of class [contact.ErrUnknown].
func (d Dimension) MarshalText() ([]byte, error) {
	if int(d) >= dimensionCount {
		return nil, &contact.Error{Path: "dimension", Want: "a dimension of this package", Class: contact.ErrUnknown}
	}
	return []byte(d.String()), nil
}

// UnmarshalText reads a name as [ParseDimension] does.
func (d *Dimension) UnmarshalText(text []byte) error {
	got, err := ParseDimension(string(text))
	if err != nil {
		return err
	}
	*d = got
	return nil
}

// The numbers that a side view is made of; every dimension follows from them.
const (
	pStack = iota
	pReach
	pHead
	pSeat
	pSeatOffset
	pChainstay
	pDrop
	pOffset
	pFront
	pRear
	pLower
	pFork
	pSeatTop
	pSeatCentre
	pTopTube
	pStandover
	parameterCount
)

// usualFrame is where numbers usually are, for the solver to start from.
var usualFrame = [parameterCount]float64{
	pStack: 570, pReach: 390, pHead: 72, pSeat: 74, pChainstay: 420, pDrop: 65, pOffset: 45, pFront: 340, pRear: 340,
	pLower: 5, pFork: 385, pSeatTop: 500, pSeatCentre: 480, pTopTube: 540, pStandover: 780,
}

// parameterNames are the dimensions by which parameters go in words.
var parameterNames = [parameterCount]Dimension{
	pStack: DimStack, pReach: DimReach, pHead: DimHeadAngle, pSeat: DimSeatAngle, pSeatOffset: DimSeatOffset, pChainstay: DimChainstay, pDrop: DimDrop,
	pOffset: DimForkOffset, pFront: DimFrontRadius, pRear: DimRearRadius, pLower: DimLowerStack, pFork: DimForkLength,
	pSeatTop: DimSeatTubeTop, pSeatCentre: DimSeatTubeCentre, pTopTube: DimTopTube, pStandover: DimStandover,
}

// A side is a side view with what many dimensions need.
type side struct {
	x          [parameterCount]float64
	height     float64 // of the effective seat angle; 0: the stack
	sinH, cosH float64
	sinS, cosS float64
	rear       float64 // level distance to the rear axle
	axleZ      float64 // of the front axle
	axleX      float64
}

func newSide(x [parameterCount]float64, height float64) side {
	s := side{x: x, height: height}
	s.sinH, s.cosH = num.Sincos(x[pHead])
	s.sinS, s.cosS = num.Sincos(x[pSeat])
	s.rear = math.Sqrt(max(1, (x[pChainstay]-x[pDrop])*(x[pChainstay]+x[pDrop])))
	s.axleZ = x[pDrop] + x[pFront] - x[pRear]
	s.axleX = x[pReach] + ((x[pStack]-s.axleZ)*s.cosH+x[pOffset])/s.sinH
	return s
}

// A slot takes how much a dimension changes with a parameter.
type slot func(parameter int, by float64)

// value returns a dimension, and hands its slopes on if to is not nil.
func (s *side) value(d Dimension, to slot) float64 {
	x := &s.x
	if to == nil {
		to = func(int, float64) {}
	}
	one := func(p int) float64 {
		to(p, 1)
		return x[p]
	}
	switch d {
	case DimStack:
		return one(pStack)
	case DimReach:
		return one(pReach)
	case DimHeadAngle:
		return one(pHead)
	case DimSeatAngle:
		return one(pSeat)
	case DimSeatOffset:
		return one(pSeatOffset)
	case DimLowerStack:
		return one(pLower)
	case DimForkLength:
		return one(pFork)
	case DimForkOffset:
		return one(pOffset)
	case DimDrop:
		return one(pDrop)
	case DimChainstay:
		return one(pChainstay)
	case DimFrontRadius:
		return one(pFront)
	case DimRearRadius:
		return one(pRear)
	case DimSeatTubeTop:
		return one(pSeatTop)
	case DimSeatTubeCentre:
		return one(pSeatCentre)
	case DimTopTube:
		return one(pTopTube)
	case DimStandover:
		return one(pStandover)
	case DimEffectiveTopTube:
		to(pReach, 1)
		to(pStack, s.cosS/s.sinS)
		to(pSeatOffset, -1/s.sinS)
		to(pSeat, (x[pSeatOffset]*s.cosS-x[pStack])/(s.sinS*s.sinS)*num.Rad)
		return x[pReach] + (x[pStack]*s.cosS-x[pSeatOffset])/s.sinS
	case DimSeatAngleEffective:
		h := s.height
		if h == 0 {
			h = x[pStack]
		}
		back := (h*s.cosS - x[pSeatOffset]) / s.sinS // of the axis at that height
		square := h*h + back*back
		byBack := -h / square / num.Rad
		to(pSeat, byBack*(x[pSeatOffset]*s.cosS-h)/(s.sinS*s.sinS)*num.Rad)
		to(pSeatOffset, -byBack/s.sinS)
		if s.height == 0 {
			to(pStack, back/square/num.Rad+byBack*s.cosS/s.sinS)
		}
		return num.Atan2(h, back)
	case DimHeadTube:
		// From the head tube's top down to the foot of the axle's offset, less lower headset and fork.
		down := x[pStack] - s.axleZ
		axial := s.axial()
		to(pStack, 1/s.sinH)
		s.byAxleZ(to, -1/s.sinH)
		to(pOffset, s.cosH/s.sinH+x[pOffset]/axial)
		to(pHead, -(x[pOffset]+down*s.cosH)/(s.sinH*s.sinH)*num.Rad)
		to(pLower, -1)
		to(pFork, -x[pFork]/axial)
		return (down+x[pOffset]*s.cosH)/s.sinH - x[pLower] - axial
	case DimForkLengthSteerer:
		axial := s.axial()
		to(pFork, x[pFork]/axial)
		to(pOffset, -x[pOffset]/axial)
		return axial
	case DimDropLine:
		// The line's height above the bottom bracket: that of the rear axle, and its share of the rise.
		base := s.rear + s.axleX
		rise := s.axleZ - x[pDrop]
		to(pDrop, 1)
		to(pFront, s.rear/base)
		to(pRear, -s.rear/base)
		s.byRear(to, rise*s.axleX/(base*base))
		s.byAxleX(to, -rise*s.rear/(base*base))
		return x[pDrop] + rise*s.rear/base
	case DimBottomBracketHeight:
		to(pRear, 1)
		to(pDrop, -1)
		return x[pRear] - x[pDrop]
	case DimRearCentre:
		s.byRear(to, 1)
		return s.rear
	case DimFrontCentre:
		length := math.Hypot(s.axleX, s.axleZ)
		s.byAxleX(to, s.axleX/length)
		s.byAxleZ(to, s.axleZ/length)
		return length
	case DimFrontCentreLevel:
		s.byAxleX(to, 1)
		return s.axleX
	case DimWheelbase:
		s.byAxleX(to, 1)
		s.byRear(to, 1)
		return s.axleX + s.rear
	default: // DimTrail
		to(pFront, s.cosH/s.sinH)
		to(pOffset, -1/s.sinH)
		to(pHead, (x[pOffset]*s.cosH-x[pFront])/(s.sinH*s.sinH)*num.Rad)
		return (x[pFront]*s.cosH - x[pOffset]) / s.sinH
	}
}

// axial is the fork's length along the steering axis.
func (s *side) axial() float64 {
	return math.Sqrt(max(1, (s.x[pFork]-s.x[pOffset])*(s.x[pFork]+s.x[pOffset])))
}

func (s *side) byRear(to slot, by float64) {
	to(pChainstay, by*s.x[pChainstay]/s.rear)
	to(pDrop, -by*s.x[pDrop]/s.rear)
}

func (s *side) byAxleZ(to slot, by float64) {
	to(pDrop, by)
	to(pFront, by)
	to(pRear, -by)
}

func (s *side) byAxleX(to slot, by float64) {
	to(pReach, by)
	to(pStack, by*s.cosH/s.sinH)
	s.byAxleZ(to, -by*s.cosH/s.sinH)
	to(pOffset, by/s.sinH)
	to(pHead, -by*(s.x[pStack]-s.axleZ+s.x[pOffset]*s.cosH)/(s.sinH*s.sinH)*num.Rad)
}
