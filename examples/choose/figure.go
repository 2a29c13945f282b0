package main

import (
	"example.com/fitgeom/convert"
	"example.com/fitgeom/examples/internal/draw"
)

// bikeFigure draws the best build.
func bikeFigure(a *answers) (*draw.Figure, error) {
	best := a.ranked.Choices[0]
	f, err := draw.Set("choose-bike", name(best.Size)+", as the shelf builds it, mm", best.Best, []draw.Line{
		{Measure: convert.SaddleHeight, At: 150},
		{Measure: convert.SaddleSetback, At: -110},
		{Measure: convert.ReachHoodsHorizontal, At: 790},
		{Measure: convert.BarDropHoods, At: 720},
		{Measure: convert.BarStack, At: 850},
	})
	if err != nil {
		return nil, err
	}
	if _, ok := best.Size.Frame.Geometry.FrontAxle(); !ok {
		f.Caption += " The catalogue does not state the wheels."
	}
	return f, nil
}
