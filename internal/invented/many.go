package invented

import (
	"math/rand/v2"
	"slices"
	"strconv"

	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
)

// Stems is n stems of which no two are alike.
func Stems(n int) []part.Stem {
	all := make([]part.Stem, n)
	for i := range all {
		at := float64(i) / float64(n)
		all[i] = part.Stem{Length: 60 + 80*at, Angle: -30 + float64(i%31), Height: 40, SteererDiameter: 28.6, BarDiameter: 31.8, Flippable: true}
	}
	return all
}

// Bars is n drop bars of which no two are alike.
func Bars(n int) []part.Handlebar {
	all := make([]part.Handlebar, n)
	for i := range all {
		at := float64(i) / float64(n)
		all[i] = part.Handlebar{ClampDiameter: 31.8, RotationRange: 8, Drop: part.DropBar{Width: 420, DropsWidth: 440, Reach: 65 + 20*at, Drop: 120 + float64(i%10)}}
	}
	return all
}

// Alike is n times a part.
func Alike[T any](v T, n int) []T { return slices.Repeat([]T{v}, n) }

// Catalogue is n sizes that are drawn, each a road frame that was changed.
func Catalogue(n int, change func(*rand.Rand, *fitgeom.Frame)) []fitgeom.Size {
	rng := rand.New(rand.NewPCG(1, 15))
	all := make([]fitgeom.Size, n)
	for i := range all {
		all[i] = fitgeom.Size{Family: "road", Label: strconv.Itoa(i), Frame: Road54()}
		change(rng, &all[i].Frame)
	}
	return all
}

// WholeRange is an aero bar with the finest steps over whole ranges.
func WholeRange() part.AeroBar {
	return part.AeroBar{
		Name: "aero", BarDiameter: 31.8, Tilt: part.Steps{From: -30, To: 45, Step: 0.5}, PadRise: part.Steps{To: 250, Step: 0.5},
		PadForward: part.Steps{From: -250, To: 250, Step: 0.5}, PadWidth: part.Steps{From: 60, To: 400, Step: 0.5},
		Extension: part.Steps{From: 50, To: 600, Step: 0.5}, ExtensionDrop: 30, ExtensionAngle: 8, ExtensionWidth: 110,
	}
}
