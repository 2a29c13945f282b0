package search

import (
	"math"
)

// A Decision is what the order of two frames hangs on. Numbers grow in the order in which they are asked.
type Decision uint8

// The decisions.
const (
	ByFit Decision = iota + 1
	ByHolding
	ByScore
	ByPurchase
	BySpacers
	ByFlip
	ByRotation
	ByCrank
	ByRails
	ByShelf
	ByPlace
)

// Decide returns what the order of two frames hangs on, and the difference.
func Decide(a, b *Standing) (Decision, float64) {
	off := func(x, y int64, unit float64) float64 { return math.Abs(float64(x-y)) / unit }
	cost, buys := a.cost != b.cost, a.buys != b.buys
	if a.class == holding && buys {
		cost = false
	}
	switch {
	case a.class != b.class && (a.class == unfit || b.class == unfit):
		return ByFit, 0
	case a.class != b.class:
		return ByHolding, 0
	case cost:
		return ByScore, 0
	case buys:
		return ByPurchase, math.Abs(float64(a.buys - b.buys))
	case a.spacers != b.spacers:
		return BySpacers, off(a.spacers, b.spacers, 1/tenth)
	case a.flipped != b.flipped:
		return ByFlip, 0
	case a.roll != b.roll:
		return ByRotation, off(a.roll, b.roll, 1e6)
	case a.front != b.front:
		return ByShelf, 0
	case a.seat[0] != b.seat[0]:
		return ByCrank, off(a.seat[0], b.seat[0], 1e6)
	case a.seat[1] != b.seat[1]:
		return ByRails, off(a.seat[1], b.seat[1], 1e6)
	case a.seat != b.seat:
		return ByShelf, 0
	}
	return ByPlace, 0
}
