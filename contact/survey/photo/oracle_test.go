package photo_test

import (
	"math"
	"testing"

	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/contact/survey/photo"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

type (
	oracleView struct{ At, Right, Down, Ahead [3]float64 }
	oracleLens struct{ Width, Height, Focal, X, Y, K1, K2, K3, P1, P2 float64 }
	oracleMark struct {
		Landmark survey.Landmark
		X, Y     float64
	}
	oracleCase struct {
		Input struct {
			Kind          string
			Camera        oracleLens
			View, Second  oracleView
			Placed        oracleView
			Points, Rays  [][3]float64
			Met           [][3]float64
			Pixels, Marks [][2]float64
			Plane         [][2]float64
			Aside         float64
			Boards        []struct {
				View, Placed oracleView
				Marks        [][2]float64
				Error        float64
			}
			Survey        oracleSurvey
			Steer, Chi2   float64
			Focal         float64
			PointsOf      map[survey.Landmark][3]float64 `json:"places"`
			SigmaOfPlaces map[survey.Landmark][3]float64 `json:"sigma"`
		}
	}
	oracleSurvey struct {
		Camera       oracleLens
		Calibrated   bool
		Sigma, Crank float64
		FrontRadius  float64 `json:"front_radius"`
		RearRadius   float64 `json:"rear_radius"`
		RadiusSigma  float64 `json:"radius_sigma"`
		Circle       float64
		CircleSigma  float64 `json:"circle_sigma"`
		CrankSigma   float64 `json:"crank_sigma"`
		Sideways     map[survey.Landmark][2]float64
		Distances    []struct {
			From, To     survey.Landmark
			Value, Sigma float64
		}
		Photographs [][]oracleMark
	}
)

func vec(v [3]float64) r3.Vec { return r3.Vec{X: v[0], Y: v[1], Z: v[2]} }

func vecs(all [][3]float64) (out []r3.Vec) {
	for _, v := range all {
		out = append(out, vec(v))
	}
	return out
}

func (v oracleView) view() photo.View {
	return photo.View{At: vec(v.At), Right: vec(v.Right), Down: vec(v.Down), Ahead: vec(v.Ahead)}
}

func (c oracleLens) camera() photo.Camera {
	if c.Width == 0 {
		c.Width, c.Height = 4000, 3000
	}
	return photo.Camera{Width: c.Width, Height: c.Height, Focal: c.Focal, CentreX: c.X, CentreY: c.Y, K1: c.K1, K2: c.K2, K3: c.K3, P1: c.P1, P2: c.P2}
}

func (o oracleSurvey) survey() photo.Survey {
	c := o.Camera.camera()
	if !o.Calibrated {
		c.CentreX, c.CentreY = 0, 0
	}
	s := photo.Survey{
		Cameras: []photo.Camera{c}, Sigma: o.Sigma, FrontRadius: o.FrontRadius, RearRadius: o.RearRadius, RadiusSigma: o.RadiusSigma,
		FrontCircle: o.Circle, RearCircle: o.Circle, CircleSigma: o.CircleSigma, Crank: o.Crank, CrankSigma: o.CrankSigma,
	}
	for l, w := range o.Sideways {
		s.Sideways = append(s.Sideways, photo.Sideways{Landmark: l, Y: w[0], Sigma: w[1]})
	}
	for _, d := range o.Distances {
		s.Distances = append(s.Distances, photo.Distance{From: d.From, To: d.To, Value: d.Value, Sigma: d.Sigma})
	}
	for _, marks := range o.Photographs {
		var p photo.Photograph
		for _, m := range marks {
			p.Marks = append(p.Marks, photo.Mark{Landmark: m.Landmark, X: m.X, Y: m.Y})
		}
		s.Photographs = append(s.Photographs, p)
	}
	return s
}

// Cameras, and planes that they see, against a general vision library, also those of a published
// calibration of real pictures; and photographs of bikes against a general
// least-squares routine with numerical derivatives (testdata/oracle/photographs.py).
func TestOraclePhotographs(t *testing.T) {
	cases := trial.Cases[oracleCase](t, "../../../testdata/oracle/photographs.json")
	var pixel, ray, pose, met, place, sigma, chi2, steer, plane, board, published trial.Worst
	cameras, bundles, planes, boards := 0, 0, 0, 0
	for i, c := range cases {
		in := &c.Input
		switch in.Kind {
		case "plane":
			planes++
			h, ok := in.View.view().Homography(in.Camera.camera(), in.Aside)
			require.True(t, ok)
			for k, p := range in.Plane {
				var at [3]float64
				for j := range at {
					at[j] = h[j][0]*p[0] + h[j][1]*p[1] + h[j][2]
				}
				require.Positive(t, at[2])
				plane.See(at[0]/at[2]/4000, in.Pixels[k][0]/4000)
				plane.See(at[1]/at[2]/4000, in.Pixels[k][1]/4000)
			}
			continue
		case "published":
			lens, points := in.Camera.camera(), vecs(in.Points)
			for _, b := range in.Boards {
				boards++
				sum := 0.0
				for k, p := range points {
					x, y, ok := b.View.view().Pixel(lens, p)
					require.True(t, ok)
					sum += (x-b.Marks[k][0])*(x-b.Marks[k][0]) + (y-b.Marks[k][1])*(y-b.Marks[k][1])
				}
				published.See(math.Sqrt(sum/float64(len(points)))/b.Error, 1)
				placed, want := photo.Resect(lens, b.View.view(), points, b.Marks), b.Placed.view()
				board.See(r3.Norm(r3.Sub(placed.At, want.At))/r3.Norm(want.At), 0)
				board.See(r3.Norm(r3.Sub(placed.Ahead, want.Ahead))+r3.Norm(r3.Sub(placed.Right, want.Right)), 0)
			}
			continue
		case "bundle":
			bundles++
			s := in.Survey.survey()
			r, err := s.Solve(t.Context())
			require.NoError(t, err, "case %d", i)
			chi2.See(s.Chi2()/in.Chi2, 1)
			steer.See(r.Fix.Steer, in.Steer)
			for l, at := range in.PointsOf {
				got, u, ok := r.Fix.Mark(l)
				if !ok {
					continue
				}
				place.Point(got, at)
				want := in.SigmaOfPlaces[l]
				sigma.See(u.X/want[0], 1)
				sigma.See(u.Y/want[1], 1)
				sigma.See(u.Z/want[2], 1)
			}
			for s, at := range r.Fix.Position.All() {
				if want, ok := in.PointsOf[survey.At(s)]; ok && !s.Group().Crank() {
					place.Point(at, want)
					u, _ := r.Fix.Covariance.Sigma(s)
					sigma.See(u.X/in.SigmaOfPlaces[survey.At(s)][0], 1)
				}
			}
			continue
		}
		cameras++
		lens, view, second := in.Camera.camera(), in.View.view(), in.Second.view()
		points := vecs(in.Points)
		for k, p := range in.Points {
			x, y, ok := view.Pixel(lens, vec(p))
			require.True(t, ok)
			pixel.See(x/in.Pixels[k][0], 1)
			pixel.See(y/in.Pixels[k][1], 1)
			d, ok := view.Ray(lens, in.Pixels[k][0], in.Pixels[k][1])
			require.True(t, ok)
			ray.Point(d, in.Rays[k])
			at, ok := photo.Triangulate([]r3.Vec{view.At, second.At}, []r3.Vec{r3.Sub(vec(p), view.At), r3.Sub(vec(p), second.At)})
			if ok {
				met.See(r3.Norm(r3.Sub(at, vec(in.Met[k])))/1000, 0)
			}
		}
		placed, want := photo.Resect(lens, view, points, in.Marks), in.Placed.view()
		pose.See(r3.Norm(r3.Sub(placed.At, want.At))/r3.Norm(want.At), 0)
		pose.See(r3.Norm(r3.Sub(placed.Ahead, want.Ahead))+r3.Norm(r3.Sub(placed.Right, want.Right)), 0)
	}
	t.Logf("oracle photographs, cameras: %d cases, pixels to %.1e, rays %.1e, poses %.1e, where rays meet %.1e, relative", cameras, pixel, ray, pose, met)
	t.Logf("oracle photographs, bundles: %d cases, places to %.1e mm, their uncertainties %.1e and sums of squares %.1e, relative, steering %.1e degrees", bundles, place, sigma, chi2, steer)
	t.Logf("oracle photographs, planes: %d cases, pixels by homographies to %.1e, relative", planes, plane)
	t.Logf("oracle photographs, published: %d cases of a published calibration, errors as published to %.1e, poses %.1e, relative", boards, published, board)
	const relative = 1e-6
	assert.Less(t, float64(published), 1e-3, "what the corners of the pictures are off by, which the calibration says to 9 digits of its own corners")
	for name, w := range map[string]trial.Worst{"pixel": pixel, "ray": ray, "pose": pose, "met": met, "plane": plane, "board": board, "sigma": sigma, "chi2": chi2} {
		assert.Less(t, float64(w), relative, name)
	}
	assert.Less(t, float64(place), relative*1000, "places, of a bike of a metre")
	assert.Less(t, math.Abs(float64(steer)), 1e-5, "steer")
}
