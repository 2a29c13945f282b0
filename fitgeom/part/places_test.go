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
	assert.Equal(t, []part.Place{
		{Site: contact.TopsLeft, At: r3.Vec{Y: 100}},
		{Site: contact.HoodsLeft, At: r3.Vec{X: 80 + 35, Y: 210, Z: 25}},
		{Site: contact.DropsLeft, At: r3.Vec{X: 80 - 60, Y: 220, Z: -125}},
	}, b.Handlebar.Places(b.Lever))

	bare := part.Handlebar{Drop: part.DropBar{Width: 400, Reach: 70, Drop: 130}}
	assert.Equal(t, []part.Place{{Site: contact.HoodsLeft, At: r3.Vec{X: 105, Y: 200, Z: 25}}}, bare.Places(b.Lever), "tops and drops only where they are stated")
	bare.Drop.Flare = 45
	all := bare.Places(b.Lever)
	assert.Len(t, all, 2)
	assert.InDelta(t, 200+130, all[1].At.Y, 1e-9, "a flare of 45° leans out by the drop")

	flat := part.Handlebar{Flat: part.FlatBar{Width: 720, Centre: 120, Rise: 20, Forward: 10, Hand: 65}}
	assert.Equal(t, []part.Place{{Site: contact.GripLeft, At: r3.Vec{X: 10, Y: 360 - 65, Z: 20}}}, flat.Places(part.Lever{}))
	flat.Flat.Backsweep = 30
	grip := flat.Places(part.Lever{})[0].At // the hand is 300/cos 30° - 65 mm along the straight part
	along := 300/math.Cos(math.Pi/6) - 65
	assert.InDelta(t, 10-along/2, grip.X, 1e-9)
	assert.InDelta(t, 60+along*math.Cos(math.Pi/6), grip.Y, 1e-9)

	base := part.Handlebar{Base: part.BaseBar{Width: 400, Reach: 150, Rise: -30}}
	was := []part.Place{{Site: contact.BarClamp}}
	assert.Equal(t, append(was, part.Place{Site: contact.GripLeft, At: r3.Vec{X: 150, Y: 200, Z: -30}}), base.AppendPlaces(was, part.Lever{}))

	assert.Equal(t, [3]part.Place{
		{Site: contact.SaddleReference, At: r3.Vec{X: -130, Z: 48}},
		{Site: contact.SaddleNose, At: r3.Vec{Z: 54}},
		{Site: contact.SaddleRear, At: r3.Vec{X: -270, Z: 54}},
	}, b.Saddle.Places())

	tip := b.Aero.Tip(60, 290)
	sin, cos := math.Sincos(8 * math.Pi / 180)
	assert.InDelta(t, 290*cos, tip.X, 1e-9)
	assert.Equal(t, 55., tip.Y)
	assert.InDelta(t, 60-30+290*sin, tip.Z, 1e-9)
}
