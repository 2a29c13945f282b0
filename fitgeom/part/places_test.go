package part_test

import (
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/spatial/r3"
)

// Where parts have their sites, by plain reasoning and the arithmetic of one bend.
func TestPlaces(t *testing.T) {
	b := invented.Everything()
	ahead, aside := r3.Vec{X: 1}, r3.Vec{Y: 1}
	assert.Equal(t, []part.Place{
		{Site: contact.TopsLeft, At: r3.Vec{Y: 100}, Forward: ahead, Left: aside},
		{Site: contact.HoodsLeft, At: r3.Vec{X: 80 + 35, Y: 210, Z: 25}, Forward: ahead, Left: aside},
		{Site: contact.DropsLeft, At: r3.Vec{X: 80 - 60, Y: 220, Z: -125}, Forward: ahead, Left: aside},
	}, b.Handlebar.Places(b.Lever, part.LeverMount{}))

	bare := part.Handlebar{Drop: part.DropBar{Width: 400, Reach: 70, Drop: 130}}
	assert.Equal(t, []part.Place{{Site: contact.HoodsLeft, At: r3.Vec{X: 105, Y: 200, Z: 25}, Forward: ahead, Left: aside}}, bare.Places(b.Lever, part.LeverMount{}), "tops and drops only where they are stated")
	bare.Drop.Flare = 45
	all := bare.Places(b.Lever, part.LeverMount{})
	assert.Len(t, all, 2)
	assert.InDelta(t, 200+130, all[1].At.Y, 1e-9, "a flare of 45° leans out by the drop")

	flat := part.Handlebar{Flat: part.FlatBar{Width: 720, Centre: 120, Rise: 20, Forward: 10, Hand: 65}}
	assert.Equal(t, []part.Place{{Site: contact.GripLeft, At: r3.Vec{X: 10, Y: 360 - 65, Z: 20}, Forward: ahead, Left: aside}}, flat.Places(part.Lever{}, part.LeverMount{}))
	flat.Flat.Backsweep = 30
	grip := flat.Places(part.Lever{}, part.LeverMount{})[0].At // the hand is 300/cos 30° - 65 mm along the straight part
	along := 300/math.Cos(math.Pi/6) - 65
	assert.InDelta(t, 10-along/2, grip.X, 1e-9)
	assert.InDelta(t, 60+along*math.Cos(math.Pi/6), grip.Y, 1e-9)

	base := part.Handlebar{Base: part.BaseBar{Width: 400, Reach: 150, Rise: -30}}
	was := []part.Place{{Site: contact.BarClamp}}
	assert.Equal(t, append(was, part.Place{Site: contact.GripLeft, At: r3.Vec{X: 150, Y: 200, Z: -30}, Forward: ahead, Left: aside}), base.AppendPlaces(was, part.Lever{}, part.LeverMount{}))

	assert.Equal(t, [3]part.Place{
		{Site: contact.SaddleReference, At: r3.Vec{X: -130, Z: 48}, Forward: ahead, Left: aside},
		{Site: contact.SaddleNose, At: r3.Vec{Z: 54}, Forward: ahead, Left: aside},
		{Site: contact.SaddleRear, At: r3.Vec{X: -270, Z: 54}, Forward: ahead, Left: aside},
	}, b.Saddle.Places())

	tip := b.Aero.Tip(60, 290)
	sin, cos := math.Sincos(8 * math.Pi / 180)
	assert.InDelta(t, 290*cos, tip.X, 1e-9)
	assert.Equal(t, 55., tip.Y)
	assert.InDelta(t, 60-30+290*sin, tip.Z, 1e-9)
}

// Hoods of a bar whose bends are flared: a right triangle in the plane seen from the
// front, whose long side is the lever's rise. With a rise of 50 mm and a flare of 12 and 20
// degrees a hood comes in by 10.4 and 17.1 mm.
func TestFlaredHoods(t *testing.T) {
	lever := part.Lever{Reach: 40, Rise: 50}
	for _, c := range []struct{ flare, in, down float64 }{{0, 0, 0}, {12, 10.395584, 1.092620}, {20, 17.101007, 3.015369}} {
		b := part.Handlebar{Drop: part.DropBar{Width: 420, Reach: 80, Drop: 120, Flare: c.flare}}
		hood := b.Places(lever, part.LeverMount{})[0]
		assert.InDelta(t, 120, hood.At.X, 1e-9)
		assert.InDelta(t, 210-c.in, hood.At.Y, 1e-6)
		assert.InDelta(t, 50-c.down, hood.At.Z, 1e-6)
		assert.InDelta(t, c.flare, math.Atan2(hood.Left.Z, hood.Left.Y)*180/math.Pi, 1e-9, "it leans as the bend does")
	}
}

// A lever that is moved along the bend by a quarter of its circle stands on its head behind the
// bend, and one that is turned in by 90 degrees points at the other.
func TestMountedLevers(t *testing.T) {
	b := part.Handlebar{Drop: part.DropBar{Width: 420, Reach: 80, Drop: 120, BendRadius: 60, BendBelow: 50}}
	lever := part.Lever{Reach: 40, Rise: 30}
	hood := b.Places(lever, part.LeverMount{Up: 60 * math.Pi / 2})[0]
	// The bend's centre is at (20, -50); the hood was 100 before it and 80 above.
	assert.InDelta(t, 20-80, hood.At.X, 1e-9)
	assert.InDelta(t, -50+100, hood.At.Z, 1e-9)
	assert.InDelta(t, 1, hood.Forward.Z, 1e-12)
	in := b.Places(lever, part.LeverMount{In: 90})[0]
	assert.InDelta(t, 80, in.At.X, 1e-9)
	assert.InDelta(t, 210-40, in.At.Y, 1e-9)
	assert.InDelta(t, -1, in.Forward.Y, 1e-12)
}
