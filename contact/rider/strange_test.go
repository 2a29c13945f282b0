package rider_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/spatial/r3"
)

// Bodies and positions from all over the ranges that are allowed, at their ends, and
// now and then beyond: nothing may panic, and no NaN may come without an error.
func TestStrangeBodies(t *testing.T) {
	rng := rand.New(rand.NewPCG(84, 1))
	pick := func(lo, hi float64) float64 {
		switch rng.IntN(200) {
		case 0:
			return math.NaN()
		case 1:
			return math.Inf(1 - 2*rng.IntN(2))
		case 2:
			return 0
		}
		switch rng.IntN(4) {
		case 0:
			return lo
		case 1:
			return hi
		}
		return between(rng, lo, hi)
	}
	whole := func(vs ...any) {
		t.Helper()
		if s := fmt.Sprint(vs...); !assert.NotContains(t, s, "NaN") || !assert.NotContains(t, s, "Inf") {
			t.FailNow()
		}
	}
	valid := 0
	n := 1500
	if testing.Short() {
		n /= 10
	}
	for range n {
		profile := make([]float64, 1+rng.IntN(4))
		for i := range profile {
			profile[i] = pick(-70, 50)
		}
		b := rider.Body{
			Right: rider.Leg{
				Thigh: pick(200, 700), Shank: pick(200, 700), AnkleHeight: pick(20, 200), AnkleBehind: pick(10, 300),
				Ankle: rider.Ankle{Given: rider.SolePitch + rider.AnkleAngle(rng.IntN(2)), Profile: profile},
			},
			HipForward: pick(-200, 200), HipUp: pick(20, 250),
			Upper: rider.Upper{
				Trunk: pick(300, 800), UpperArm: pick(150, 500), Forearm: pick(150, 450), WristBack: pick(-250, 250), WristUp: pick(-250, 250),
				Grip: contact.GripLeft, Keep: rider.KeepElbow + rider.UpperAngle(rng.IntN(2)), Angle: pick(0, 120),
			},
		}
		p := contact.New(map[contact.Site]r3.Vec{
			contact.SaddleReference: {X: pick(-900, 100), Z: pick(200, 900)},
			contact.GripRight:       {X: pick(-400, 1000), Y: -300, Z: pick(50, 1000)},
			contact.FootRight:       {X: pick(50, 250), Y: -120, Z: pick(-20, 140)},
		})
		c, err := rider.NewChain(b, p)
		if err != nil {
			continue
		}
		valid++
		for crank := -90.; crank < 360; crank += 45 {
			s, err := c.At(contact.Right, crank)
			whole(s, err)
		}
		for m := rider.KneeFlexion; m <= rider.ElbowFlexion; m++ {
			s, err := c.Span(m, contact.Right)
			assert.NoError(t, err)
			whole(s)
		}
		u, _ := c.Upper()
		far, err := c.FarEnd(contact.Right)
		whole(u, far, err)
		want := between(rng, 0, 150)
		if by, after, err := b.RaiseSaddle(p, contact.Right, want, between(rng, 45, 135)); err == nil {
			s, _ := after.At(contact.SaddleReference)
			whole(by, s)
		}
		if length, after, err := b.CrankLength(p, contact.Right, want); err == nil {
			f, _ := after.At(contact.FootRight)
			whole(length, f)
		}
	}
	assert.Greater(t, valid, n/8)
}
