package photo

import (
	"context"

	"gonum.org/v1/gonum/spatial/r3"
)

// Overwork is a computation that takes more work than may be.
func Overwork(ctx context.Context) error {
	return within(ctx, "fits", func(c *counter) {
		c.step()
		c.do(mostWork + 1)
	})
}

// Chi2 is the least sum of squares of a survey, nothing set aside.
func (s Survey) Chi2() float64 {
	m := newModel(&s, nil)
	return m.fit(m.first()).Chi2
}

// Resect returns where a camera stood that saw points at pixels.
func Resect(c Camera, start View, at []r3.Vec, pixels [][2]float64) View {
	l := c.lens(nil)
	m := &model{}
	var marks []*seen
	for i := range at {
		m.landmarks = append(m.landmarks, "mark_"+"x")
		m.steered = append(m.steered, false)
		marks = append(marks, &seen{landmark: i, x: pixels[i][0], y: pixels[i][1], sigma: 1})
	}
	x := make([]float64, 3*len(at))
	for i, p := range at {
		x[3*i], x[3*i+1], x[3*i+2] = p.X, p.Y, p.Z
	}
	g := m.settleView(x, marks, &l, guess{at: start.At, turn: r3mat{start.Right, start.Down, start.Ahead}}, false, false)
	return View{At: g.at, Right: g.turn[0], Down: g.turn[1], Ahead: g.turn[2]}
}
