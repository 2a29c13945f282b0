package photo

import (
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"gonum.org/v1/gonum/spatial/r3"
)

// A usual is where a landmark usually is. Its X and Z are good to about 100 mm and only to
// start from; its Y counts, with the standard uncertainty aside, since one photograph tells
// nothing of it.
type usual struct {
	at    r3.Vec
	aside float64
}

// frame holds the usual places of left landmarks of the frame. Common practice, no source.
var frame = map[survey.Landmark]usual{
	survey.BottomBracketLeft:  {r3.Vec{Y: 60}, 20},
	survey.RearAxleLeft:       {r3.Vec{X: -410, Y: 75, Z: 70}, 12},
	survey.FrontAxleLeft:      {r3.Vec{X: 590, Y: 55, Z: 70}, 10},
	survey.HeadTubeTopLeft:    {r3.Vec{X: 385, Y: 23, Z: 560}, 5},
	survey.HeadTubeBottomLeft: {r3.Vec{X: 430, Y: 24, Z: 430}, 5},
	survey.RearDropoutLeft:    {r3.Vec{X: -405, Y: 70, Z: 72}, 10},
	survey.FrontDropoutLeft:   {r3.Vec{X: 588, Y: 52, Z: 75}, 8},
	survey.RearRimLeft:        {r3.Vec{X: -300, Y: 12, Z: 350}, 4},
	survey.FrontRimLeft:       {r3.Vec{X: 500, Y: 12, Z: 350}, 4},
	survey.SeatTubeTopLeft:    {r3.Vec{X: -140, Y: 16, Z: 480}, 3},
	survey.SeatTubeBottomLeft: {r3.Vec{X: -25, Y: 17, Z: 80}, 3},
	survey.SaddleEdgeLeft:     {r3.Vec{X: -200, Y: 40, Z: 695}, 2},
	survey.SaddleTopFront:     {r3.Vec{X: -80, Z: 700}, 4},
	survey.SaddleTopRear:      {r3.Vec{X: -300, Z: 702}, 4},
	FrontGround:               {r3.Vec{X: 590, Z: -270}, 8},
	RearGround:                {r3.Vec{X: -410, Z: -270}, 8},
}

// asides are how far from their usual places across the bike sites may be, as a standard
// uncertainty, mm. Common practice, no source.
var asides = map[contact.Site]float64{
	contact.SaddleReference: 4, contact.SaddleNose: 4, contact.SaddleRear: 4, contact.BarClamp: 4,
	contact.TopsLeft: 40, contact.HoodsLeft: 20, contact.DropsLeft: 25, contact.GripLeft: 40, contact.PadLeft: 40,
	contact.ExtensionLeft: 25, contact.PedalLeft: 6, contact.FootLeft: 15,
}

// usually returns where a landmark usually is.
func usually(l survey.Landmark) usual {
	if u, ok := frame[l]; ok {
		return u
	}
	if mate, ok := l.Mate(); ok && isRight(l) {
		u := usually(mate)
		u.at.Y *= -1
		return u
	}
	name, ahead := strings.CutSuffix(string(l), "_ahead")
	name, outer := strings.CutSuffix(name, "_outer")
	if s, err := contact.ParseSite(name); err == nil {
		u := usual{s.Usual(), asides[s.On(contact.Left)]}
		if ahead {
			u.at.X += 60
			u.aside += 10
		}
		if outer {
			u.at.Y += 30
			u.aside += 10
		}
		return u
	}
	u := usual{r3.Vec{X: 100, Z: 300}, 60}
	if strings.HasSuffix(string(l), "_left") {
		u = usual{r3.Vec{X: 100, Y: 30, Z: 300}, 40}
	}
	return u
}

// isRight reports whether a landmark that has a mate is the right one.
func isRight(l survey.Landmark) bool {
	name := strings.TrimSuffix(strings.TrimSuffix(string(l), "_ahead"), "_outer")
	return strings.HasSuffix(name, "_right")
}

// placeless reports whether only the photographs tell where a landmark is.
func placeless(l survey.Landmark) bool {
	_, seat := frame[l]
	mate, ok := l.Mate()
	_, other := frame[mate]
	return strings.HasPrefix(string(l), "mark_") && !seat && !(ok && other)
}

// needed reports whether every survey has the landmark.
func needed(l survey.Landmark) bool {
	for _, n := range always {
		if l == n {
			return true
		}
	}
	return false
}

// always are the landmarks that every survey has, left before right.
var always = [...]survey.Landmark{
	survey.BottomBracketLeft, survey.BottomBracketRight, survey.RearAxleLeft, survey.RearAxleRight,
	survey.FrontAxleLeft, survey.FrontAxleRight,
}

// Usual asymmetry, as standard uncertainties of the difference of left and right, mm: of
// saddles, of bars, and of cranks, which are equally long and opposite. Common practice, no
// source.
const (
	usualSaddle, usualBar, usualCrank = 3, 5, 1
	// usualMiddle is how far from the mid-plane the middle between the ends of an axle may be.
	usualMiddle = 8
	// usualDish is how far from it the middle of a wheel may be.
	usualDish = 1.5
	// usualRimWidth is how far from the wheel's plane circles are that are marked along it,
	// and usualRimSpread how different that may be.
	usualRimWidth, usualRimSpread = 12, 5
	// usualRound is the usual radius of such circles.
	usualRound, usualRoundSpread = 310, 40
	// usualLength is the usual crank length.
	usualLength, usualLengthSpread = 170, 12
	// usualPlace is how well X and Z of usual places are known, so that what nothing tells
	// has a large uncertainty and not an infinite one.
	usualPlace = 200
	// Usual steering geometry, as of package survey.
	usualOffset, usualOffsetSigma = 45, 9.5
	usualAngle, usualAngleSigma   = 71, 4.7
	// usualSteer is how far a front wheel that looks straight may be turned, degrees.
	usualSteer = 10
	// usualLean is how far a bike may lean, or stand on a slope, degrees.
	usualLean = 10
)
