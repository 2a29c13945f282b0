package chart

import (
	"math"

	"example.com/fitgeom/internal/num"
)

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

// parameterNames are the dimensions that name parameters in texts.
var parameterNames = [parameterCount]Dimension{
	pStack: Stack, pReach: Reach, pHead: HeadAngle, pSeat: SeatAngle, pSeatOffset: SeatOffset, pChainstay: Chainstay, pDrop: Drop,
	pOffset: ForkOffset, pFront: FrontRadius, pRear: RearRadius, pLower: LowerHeadset, pFork: AxleToCrown,
	pSeatTop: SeatTubeTop, pSeatCentre: SeatTubeCentre, pTopTube: TopTube, pStandover: Standover,
}

// parameterOf is the parameter that a dimension is, plus one; 0 for those that follow.
var parameterOf = func() (of [dimensionCount]int) {
	for p, d := range parameterNames {
		of[d] = p + 1
	}
	return of
}()

// A side is a side view with what many dimensions need.
type side struct {
	x          [parameterCount]float64
	height     float64 // of the effective seat angle; 0: the stack
	g          Geometry
	sinH, cosH float64
	sinS, cosS float64
	rear       float64 // horizontal distance to the rear axle
	axleX      float64 // of the front axle
	axleZ      float64
}

func newSide(x [parameterCount]float64, height float64) side {
	s := side{x: x, height: height}
	s.g = Geometry{
		Stack: x[pStack], Reach: x[pReach], HeadAngle: x[pHead], SeatAngle: x[pSeat], SeatOffset: x[pSeatOffset],
		Axles: Axles{Chainstay: x[pChainstay], Drop: x[pDrop], ForkOffset: x[pOffset], FrontRadius: x[pFront], RearRadius: x[pRear]},
	}
	s.sinH, s.cosH = num.Sincos(x[pHead])
	s.sinS, s.cosS = num.Sincos(x[pSeat])
	s.rear = math.Sqrt(max(1, (x[pChainstay]-x[pDrop])*(x[pChainstay]+x[pDrop]))) // numbers that a solver tries
	front := s.g.front()
	s.axleX, s.axleZ = front.X, front.Z
	return s
}

// A slot takes how much a dimension changes with a parameter.
type slot func(parameter int, by float64)

// value returns a dimension, and hands its derivatives on if to is not nil.
func (s *side) value(d Dimension, to slot) float64 {
	if to == nil {
		to = func(int, float64) {}
	}
	if p := parameterOf[d]; p > 0 {
		to(p-1, 1)
		return s.x[p-1]
	}
	switch d {
	case EffectiveTopTube, SeatAngleEffective:
		return s.seat(d, to)
	case HeadTube, AxleToCrownSteerer, Trail:
		return s.steering(d, to)
	default:
		return s.wheels(d, to)
	}
}

// seat is the dimensions that depend on the seat tube.
func (s *side) seat(d Dimension, to slot) float64 {
	x := &s.x
	if d == EffectiveTopTube {
		to(pReach, 1)
		to(pStack, s.cosS/s.sinS)
		to(pSeatOffset, -1/s.sinS)
		to(pSeat, (x[pSeatOffset]*s.cosS-x[pStack])/(s.sinS*s.sinS)*num.Rad)
		return s.g.EffectiveTopTube()
	}
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
}

// steering is the dimensions along the steering axis, and the trail.
func (s *side) steering(d Dimension, to slot) float64 {
	x := &s.x
	switch d {
	case HeadTube:
		// From the head tube's top down to the point closest to the axle, less lower
		// headset and fork.
		down := x[pStack] - s.axleZ
		axial := s.axial()
		to(pStack, 1/s.sinH)
		s.byAxleZ(to, -1/s.sinH)
		to(pOffset, s.cosH/s.sinH+x[pOffset]/axial)
		to(pHead, -(x[pOffset]+down*s.cosH)/(s.sinH*s.sinH)*num.Rad)
		to(pLower, -1)
		to(pFork, -x[pFork]/axial)
		return (down+x[pOffset]*s.cosH)/s.sinH - x[pLower] - axial
	case AxleToCrownSteerer:
		axial := s.axial()
		to(pFork, x[pFork]/axial)
		to(pOffset, -x[pOffset]/axial)
		return axial
	default: // Trail
		to(pFront, s.cosH/s.sinH)
		to(pOffset, -1/s.sinH)
		to(pHead, (x[pOffset]*s.cosH-x[pFront])/(s.sinH*s.sinH)*num.Rad)
		trail, _ := s.g.Trail()
		return trail
	}
}

// wheels is the dimensions of axles and ground.
func (s *side) wheels(d Dimension, to slot) float64 {
	x := &s.x
	switch d {
	case DropBelowAxles:
		// The line's height above the bottom bracket: that of the rear axle, and its
		// share of the rise.
		base := s.rear + s.axleX
		rise := s.axleZ - x[pDrop]
		to(pDrop, 1)
		to(pFront, s.rear/base)
		to(pRear, -s.rear/base)
		s.byRear(to, rise*s.axleX/(base*base))
		s.byAxleX(to, -rise*s.rear/(base*base))
		return x[pDrop] + rise*s.rear/base
	case BottomBracketHeight:
		to(pRear, 1)
		to(pDrop, -1)
		return x[pRear] - x[pDrop]
	case RearCentre:
		s.byRear(to, 1)
		return s.rear
	case FrontCentre:
		length := math.Hypot(s.axleX, s.axleZ)
		s.byAxleX(to, s.axleX/length)
		s.byAxleZ(to, s.axleZ/length)
		return length
	case FrontCentreHorizontal:
		s.byAxleX(to, 1)
		return s.axleX
	default: // Wheelbase
		s.byAxleX(to, 1)
		s.byRear(to, 1)
		return s.axleX + s.rear
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
