package photo_test

import (
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey/photo"
	"example.com/fitgeom/internal/wild"
	"gonum.org/v1/gonum/spatial/r3"
)

// Photographs of which some numbers are anything.
func FuzzSurvey(f *testing.F) {
	f.Add([]byte{})
	f.Add([]byte{1, 2, 3, 200, 100, 7, 8})
	f.Add([]byte{0, 4, 9, 9, 90, 91, 92, 93, 94, 95, 96})
	f.Fuzz(func(t *testing.T, data []byte) {
		from := wild.From(data)
		s := session("road", 1+from.Int(2))
		for i := range s.Photographs {
			s.Photographs[i].Marks = append(s.Photographs[i].Marks, photo.Mark{Landmark: photo.Plumb("a"), X: 900, Y: 400}, photo.Mark{Landmark: photo.Plumb("a"), X: 905, Y: 1900})
		}
		from.Spoil(&s)
		_ = s.Validate()
		r, err := s.Solve(t.Context())
		if err != nil {
			if len(contact.Faults(err)) == 0 {
				t.Fatalf("an error of another type: %v", err)
			}
			return
		}
		wild.Must(t, nil, r.Views)
		wild.Must(t, nil, r.Cameras)
		if _, _, ok := (photo.View{Right: r3.Vec{X: 1}, Down: r3.Vec{Y: 1}, Ahead: r3.Vec{Z: 1}}).Pixel(r.Cameras[0], r3.Vec{Z: 1000}); !ok {
			t.Fatalf("a camera that is not valid: %v", r.Cameras[0])
		}
		wild.Must(t, nil, r.Fix.Position)
		for _, n := range r.Findings {
			_ = n.String()
		}
	})
}

// Cameras, views and lines of anything.
func FuzzViews(f *testing.F) {
	f.Add([]byte{}, "set_aside", uint8(3))
	f.Add([]byte{5, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14}, "", uint8(0))
	f.Fuzz(func(t *testing.T, data []byte, name string, n uint8) {
		from := wild.From(data)
		c := photo.Camera{Width: 4000, Height: 3000, Focal: 3000}
		v := photo.View{At: from.Vec(-4000, 4000), Right: r3.Vec{X: 1}, Down: r3.Vec{Z: -1}, Ahead: r3.Vec{Y: 1}}
		from.Spoil(&c)
		from.Spoil(&v)
		if x, y, ok := v.Pixel(c, from.Vec(-1000, 1000)); ok {
			wild.Must(t, nil, [2]float64{x, y})
			if ray, ok := v.Ray(c, x, y); ok {
				wild.Must(t, nil, ray)
			}
		}
		if h, ok := v.Homography(c, from.Float(-1000, 1000)); ok {
			wild.Must(t, nil, h)
		}
		if at, ok := photo.Triangulate([]r3.Vec{from.Vec(-1, 1), from.Vec(-1, 1)}, []r3.Vec{from.Vec(-1, 1), from.Vec(-1, 1)}); ok {
			wild.Must(t, nil, at)
		}
		if err := wild.Names(photo.ParseFindingKind, name, n); err != nil {
			t.Fatal(err)
		}
	})
}

// Plans of which some numbers are anything.
func FuzzPlan(f *testing.F) {
	f.Add([]byte{})
	f.Add([]byte{3, 1, 2, 3, 200, 100, 7, 8})
	f.Fuzz(func(t *testing.T, data []byte) {
		p := plan(photo.Camera{Width: 4000, Height: 3000, Equivalent: 50}, session("road", 1))
		p.Places = []photo.Place{{Around: 90, Far: 4000, High: 1000}, {Around: -90, Far: 4000}}
		wild.From(data).Spoil(&p)
		g, err := p.Forecast(t.Context())
		if err != nil {
			if len(contact.Faults(err)) == 0 {
				t.Fatalf("an error of another type: %v", err)
			}
			return
		}
		wild.Must(t, nil, g)
		if _, g, err := p.Next(t.Context(), p.Places); err == nil {
			wild.Must(t, nil, g)
		}
	})
}
