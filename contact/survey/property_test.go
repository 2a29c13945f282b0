package survey_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

func init() { trial.Rapid(25, 1000, 1) }

func TestMain(m *testing.M) { trial.Main(m) }

func dice(t *rapid.T) *rand.Rand {
	return rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 5))
}

func vec(t *rapid.T, lo, hi float64) r3.Vec {
	g := rapid.Float64Range(lo, hi)
	return r3.Vec{X: g.Draw(t, "x"), Y: g.Draw(t, "y"), Z: g.Draw(t, "z")}
}

func points(t *rapid.T, n int) (all []r3.Vec) {
	for range n {
		all = append(all, vec(t, -1000, 1000))
	}
	return all
}

// anyBike draws a bike that leans with its wheel turned, as a survey without
// slips reads it with an instrument whose three axes are alike.
func anyBike(t *rapid.T) (bike, survey.Survey, place, *rand.Rand) {
	rng := dice(t)
	b := aBike()
	if rapid.Bool().Draw(t, "head tube") {
		b = b.withHeadTube()
	}
	if rapid.Bool().Draw(t, "wheels") {
		b = b.withWheels()
	}
	from := anywhere(rng)
	steer := rapid.SampledFrom([]float64{0, -12, 4}).Draw(t, "steer")
	s := read(b.turned(steer), from, rapid.IntRange(1, 3).Draw(t, "readings"), 0.1, rng)
	s.UpSigma = 0.1
	return b, s, from, rng
}

func solve(t *rapid.T, s survey.Survey) survey.Fix {
	fix, err := s.Solve()
	require.NoError(t, err)
	return fix
}

// same compares fixes in all their numbers.
func same(t *rapid.T, want, got survey.Fix, tol float64) {
	require.Equal(t, want.Covariance.Coordinates(), got.Covariance.Coordinates())
	for _, a := range want.Covariance.Coordinates() {
		require.InDelta(t, number(want.Position, a), number(got.Position, a), tol, a)
		v, _ := want.Covariance.At(a, a)
		for _, b := range want.Covariance.Coordinates() {
			c, _ := want.Covariance.At(a, b)
			d, _ := got.Covariance.At(a, b)
			w, _ := want.Covariance.At(b, b)
			require.InDelta(t, c, d, tol*(math.Sqrt(v*w)+1e-3), "%v %v", a, b)
		}
	}
	require.InDelta(t, want.Steer, got.Steer, tol)
	require.InDelta(t, want.SteerSigma, got.SteerSigma, tol)
	require.Len(t, got.Findings, len(want.Findings))
	stands, ok := want.Standing()
	stands2, ok2 := got.Standing()
	require.Equal(t, ok, ok2)
	require.InDelta(t, stands.Lean, stands2.Lean, tol)
	require.InDelta(t, stands.LeanSigma, stands2.LeanSigma, tol)
	require.InDelta(t, stands.NoseUp, stands2.NoseUp, tol)
	require.InDelta(t, stands.RaiseFront, stands2.RaiseFront, tol)
	require.InDelta(t, stands.RaiseRear, stands2.RaiseRear, tol)
}

// Wherever the instrument stands, however it is turned, in whatever unit it
// counts and in whatever order it reads.
func TestPropertyInstrumentDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		_, s, _, rng := anyBike(t)
		want := solve(t, s)

		moved := s
		to := anywhere(rng)
		moved.Up = to.turn.Rotate(s.Up)
		moved.Readings = nil
		for _, r := range s.Readings {
			moved.Readings = append(moved.Readings, survey.Reading{Landmark: r.Landmark, At: to.see(r.At)})
		}
		same(t, want, solve(t, moved), 1e-6)

		unit := rapid.SampledFrom([]survey.Unit{survey.Centimetre, survey.Metre, survey.Inch}).Draw(t, "unit")
		mm := map[survey.Unit]float64{survey.Centimetre: 10, survey.Metre: 1000, survey.Inch: 25.4}[unit]
		other := s
		other.Unit, other.Sigma, other.Readings = unit, r3.Scale(1/mm, s.Sigma), nil
		for _, r := range s.Readings {
			other.Readings = append(other.Readings, survey.Reading{Landmark: r.Landmark, At: r3.Scale(1/mm, r.At)})
		}
		same(t, want, solve(t, other), 1e-6)

		shuffled := s
		shuffled.Readings = rapid.Permutation(s.Readings).Draw(t, "order")
		same(t, want, solve(t, shuffled), 1e-7)

		// The same uncertainty as a matrix.
		matrix := s
		v := s.Sigma.X * s.Sigma.X
		matrix.Sigma, matrix.Covariance = r3.Vec{}, [3][3]float64{{v, 0, 0}, {0, v, 0}, {0, 0, v}}
		same(t, want, solve(t, matrix), 1e-7)

		// A longer vector points up as well as a short one.
		up := s
		up.Up = r3.Scale(rapid.Float64Range(0.01, 1e4).Draw(t, "up"), s.Up)
		same(t, want, solve(t, up), 1e-7)
	})
}

func mirroredMark(l survey.Landmark) survey.Landmark {
	for _, pair := range [][2]survey.Landmark{
		{survey.BottomBracketLeft, survey.BottomBracketRight},
		{survey.RearAxleLeft, survey.RearAxleRight},
		{survey.FrontAxleLeft, survey.FrontAxleRight},
		{survey.HeadTubeTopLeft, survey.HeadTubeTopRight},
		{survey.HeadTubeBottomLeft, survey.HeadTubeBottomRight},
		{survey.RearDropoutLeft, survey.RearDropoutRight},
		{survey.FrontDropoutLeft, survey.FrontDropoutRight},
		{survey.RearRimLeft, survey.RearRimRight},
		{survey.FrontRimLeft, survey.FrontRimRight},
		{survey.SaddleEdgeLeft, survey.SaddleEdgeRight},
		{survey.Mark("seat_tube_left"), survey.Mark("seat_tube_right")},
	} {
		if i := slices.Index(pair[:], l); i >= 0 {
			return pair[1-i]
		}
	}
	s, err := contact.ParseSite(string(l))
	if err != nil {
		return l // on the mid-plane
	}
	if s.Side() == contact.Left {
		return at(s.On(contact.Right))
	}
	return at(s.On(contact.Left))
}

// A bike and its mirror image, the left of one named as the right of the other.
func TestPropertyMirror(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		_, s, from, _ := anyBike(t)
		want := solve(t, s)
		other := s
		other.Readings = nil
		for _, r := range s.Readings {
			v := from.unsee(r.At)
			other.Readings = append(other.Readings, survey.Reading{Landmark: mirroredMark(r.Landmark), At: from.see(r3.Vec{X: v.X, Y: -v.Y, Z: v.Z})})
		}
		got := solve(t, other)
		p := want.Position.Mirror()
		for _, a := range got.Covariance.Coordinates() {
			require.InDelta(t, number(p, a), number(got.Position, a), 1e-6, a)
			v, _ := got.Covariance.At(a, a)
			m := a
			if a.Site.Side() == contact.Left {
				m.Site = a.Site.On(contact.Right)
			} else {
				m.Site = a.Site.On(contact.Left)
			}
			w, ok := want.Covariance.At(m, m)
			require.True(t, ok)
			require.InDelta(t, w, v, 1e-6*(1+w), a)
		}
		require.InDelta(t, -want.Steer, got.Steer, 1e-6)
		a, _ := want.Standing()
		b, _ := got.Standing()
		require.InDelta(t, -a.Lean, b.Lean, 1e-6)
		require.InDelta(t, a.NoseUp, b.NoseUp, 1e-6)
	})
}

// unsee is the inverse of see.
func (p place) unsee(v r3.Vec) r3.Vec {
	q := p.turn
	q.Imag, q.Jmag, q.Kmag = -q.Imag, -q.Jmag, -q.Kmag
	return q.Rotate(r3.Sub(v, p.at))
}

// Less sure readings never make a surer position, and more of them never a less sure one.
func TestPropertyUncertaintyGrows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		_, s, _, _ := anyBike(t)
		want := solve(t, s)
		worse := s
		worse.Sigma = r3.Scale(1.3, s.Sigma)
		tyres := s
		tyres.RadiusSigma = 2
		more := s
		more.Readings = append(slices.Clone(s.Readings), s.Readings...)
		for name, c := range map[string]struct {
			less, more survey.Fix
		}{"sigma": {want, solve(t, worse)}, "radius": {want, solve(t, tyres)}, "readings": {solve(t, more), want}} {
			for _, k := range want.Covariance.Coordinates() {
				v, _ := c.less.Covariance.At(k, k)
				w, _ := c.more.Covariance.At(k, k)
				require.LessOrEqual(t, v, w*1.001, "%s %v", name, k) // the first order is taken where the fix is
			}
		}
	})
}

// The readings that made a fix, read again by its datum, are where they were;
// nothing moved; and what moved from a to b moved back from b to a.
func TestPropertyCompare(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, s, from, rng := anyBike(t)
		s.Readings = nil
		for _, l := range order(b.points) { // the wheel straight, as Locate wants it
			s.Readings = append(s.Readings, survey.Reading{Landmark: l, At: r3.Add(from.see(b.points[l]), noise(0.05, rng))})
		}
		fix := solve(t, s)
		again, err := fix.Locate(s.Readings)
		require.NoError(t, err)
		moves, turns, err := survey.Compare(fix, again, 0.95)
		require.NoError(t, err)
		for _, m := range moves {
			require.Less(t, r3.Norm(m.By), 0.5, m.Site) // as much as Steer moves what turns with the wheel
			require.False(t, m.Real, m.Site)
		}
		for _, u := range turns {
			require.Less(t, math.Abs(u.By), 1e-6)
		}

		later := slices.Clone(s.Readings)
		by := vec(t, -20, 20)
		for i := range later {
			if l := later[i].Landmark; l == survey.SaddleEdgeLeft || l == survey.SaddleEdgeRight {
				later[i].At = r3.Add(later[i].At, from.turn.Rotate(by))
			}
		}
		moved, err := fix.Locate(later)
		if err != nil {
			return // a saddle that is no saddle
		}
		there, _, err := survey.Compare(again, moved, 0.95)
		require.NoError(t, err)
		back, _, err := survey.Compare(moved, again, 0.95)
		require.NoError(t, err)
		require.Len(t, back, len(there))
		for i, m := range there {
			require.InDelta(t, 0, r3.Norm(r3.Add(m.By, back[i].By)), 1e-9)
			require.InDelta(t, m.Chance, back[i].Chance, 1e-9)
			if m.Site == contact.SaddleReference {
				// The datum's axes are off those of the bike by its errors, 1° at most.
				require.InDelta(t, 0, r3.Norm(r3.Sub(m.By, by)), 0.02*r3.Norm(by)+1e-6)
			}
		}
	})
}

func TestPropertyFitMotion(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := dice(t)
		from := points(t, 6)
		from[0], from[1], from[2], from[3] = r3.Vec{}, r3.Vec{X: 500}, r3.Vec{Y: 400}, r3.Vec{Z: 300}
		one, two := anywhere(rng), anywhere(rng)
		carry := func(m func(r3.Vec) r3.Vec, all []r3.Vec) (out []r3.Vec) {
			for _, v := range all {
				out = append(out, m(v))
			}
			return out
		}
		fit := func(from, to []r3.Vec) survey.RigidMotion {
			m, _, err := survey.FitMotion(from, to)
			require.NoError(t, err)
			return m
		}
		to, far := carry(one.see, from), carry(two.see, carry(one.see, from))
		a, b, both, back := fit(from, to), fit(to, far), fit(from, far), fit(to, from)
		for range 5 {
			v, w := vec(t, -2000, 2000), vec(t, -2000, 2000)
			near := func(want, got r3.Vec) { require.InDelta(t, 0, r3.Norm(r3.Sub(want, got)), 1e-6) }
			near(one.see(v), a.Apply(v))
			near(both.Apply(v), b.Apply(a.Apply(v)))
			near(v, back.Apply(a.Apply(v)))
			near(v, a.Inverse().Apply(a.Apply(v)))
			near(v, a.Apply(a.Inverse().Apply(v)))
			near(a.Turn(r3.Sub(v, w)), r3.Sub(a.Apply(v), a.Apply(w)))
			require.InDelta(t, r3.Norm(r3.Sub(v, w)), r3.Norm(r3.Sub(a.Apply(v), a.Apply(w))), 1e-6)
			near(r3.Cross(a.Turn(v), a.Turn(w)), a.Turn(r3.Cross(v, w))) // never a mirror; numbers up to 1e7
		}

		// With noise: no order, and no motion on either side, changes what is left.
		noisy := carry(func(v r3.Vec) r3.Vec { return r3.Add(v, noise(5, rng)) }, to)
		left := func(from, to []r3.Vec) (sum float64) {
			m := fit(from, to)
			for i := range from {
				sum += r3.Norm2(r3.Sub(to[i], m.Apply(from[i])))
			}
			return sum
		}
		want := left(from, noisy)
		var from2, noisy2 []r3.Vec
		for _, i := range rng.Perm(len(from)) {
			from2, noisy2 = append(from2, from[i]), append(noisy2, noisy[i])
		}
		require.InDelta(t, want, left(from2, noisy2), 1e-6)
		require.InDelta(t, want, left(carry(two.see, from), noisy), 1e-6)
		require.InDelta(t, want, left(noisy, from), 1e-6)
		sum := 0.0 // no motion does better, the true one neither
		for i := range from {
			sum += r3.Norm2(r3.Sub(noisy[i], one.see(from[i])))
		}
		require.LessOrEqual(t, want, sum+1e-6)
	})
}

// A survey fits itself, and the motion back undoes the motion there.
func TestPropertyRegister(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, s, _, rng := anyBike(t)
		there, back := read(b.points, anywhere(rng), 2, 0, rng), read(b.points, anywhere(rng), 2, 0, rng)
		self, err := survey.Register(s, s)
		require.NoError(t, err)
		require.Empty(t, self.Moved)
		out, err := survey.Register(there, back)
		require.NoError(t, err)
		home, err := survey.Register(back, there)
		require.NoError(t, err)
		for range 3 {
			v := vec(t, -1000, 1000)
			require.InDelta(t, 0, r3.Norm(r3.Sub(v, self.Motion.Apply(v))), 1e-6)
			require.InDelta(t, 0, r3.Norm(r3.Sub(v, home.Motion.Apply(out.Motion.Apply(v)))), 1e-6)
			c := out.Covariance(v)
			for i := range 3 {
				require.Greater(t, c[i][i], 0.)
				for j := range 3 {
					require.InDelta(t, c[i][j], c[j][i], 1e-9*(1+math.Abs(c[i][j])))
				}
			}
		}
	})
}

// In whatever order a tape is read.
func TestPropertyTapeOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := sheet(rapid.Float64Range(-3, 3).Draw(t, "slope"))
		rng := dice(t)
		for i := range s.Readings {
			if s.Readings[i].Kind != survey.Tilt {
				s.Readings[i].Value += 0.3 * rng.NormFloat64()
			}
		}
		want, err := s.Solve()
		require.NoError(t, err)
		other := s
		other.Readings = rapid.Permutation(s.Readings).Draw(t, "order")
		got, err := other.Solve()
		require.NoError(t, err)
		same(t, want, got, 1e-6)

		// Read the other way round: a distance is the same one, a level one its opposite.
		for i := range other.Readings {
			r := &other.Readings[i]
			if r.Kind == survey.Tilt || r.From == survey.Ground || !rapid.Bool().Draw(t, "round") {
				continue
			}
			r.From, r.To = r.To, r.From
			if r.Kind != survey.Direct {
				r.Value = -r.Value
			}
		}
		got, err = other.Solve()
		require.NoError(t, err)
		same(t, want, got, 1e-6)
	})
}

func TestPropertyInstruments(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, "number") }
		a, b, c := survey.Uncertainty{Standard: f(0, 5), Freedom: f(1, 50)}, survey.Uncertainty{Standard: f(0, 5)}, survey.Uncertainty{Standard: f(0, 5), Freedom: f(1, 9)}
		all := combined(t, a, b, c)
		for _, other := range []survey.Uncertainty{combined(t, c, b, a), combined(t, combined(t, a, b), c), combined(t, a, combined(t, c, b))} {
			require.InDelta(t, all.Standard, other.Standard, 1e-9)
			require.InDelta(t, all.Freedom, other.Freedom, 1e-6*(1+all.Freedom))
		}
		require.InDelta(t, all.Standard*all.Standard, a.Standard*a.Standard+b.Standard*b.Standard+c.Standard*c.Standard, 1e-9)

		half, k := f(0, 10), f(0.1, 10)
		once, err := survey.Limits(half)
		require.NoError(t, err)
		times, err := survey.Limits(k * half)
		require.NoError(t, err)
		require.InDelta(t, k*once.Standard, times.Standard, 1e-9)
		lo, hi := f(0.5, 0.9), f(0.9, 0.99)
		e1, err := a.Expanded(lo)
		require.NoError(t, err)
		e2, err := a.Expanded(hi)
		require.NoError(t, err)
		require.LessOrEqual(t, e1, e2)

		l := math.Round(f(0, 9000))
		class := rapid.SampledFrom([]survey.TapeClass{survey.ClassI, survey.ClassII, survey.ClassIII}).Draw(t, "class")
		u := func(class survey.TapeClass, l float64, hook bool) float64 {
			u, err := survey.Tape(class, l, hook)
			require.NoError(t, err)
			return u.Standard
		}
		require.Less(t, u(class, l, false), u(class, l, true))
		require.Less(t, u(class, l, false), u(class, l+1000, false))
		if class != survey.ClassIII {
			require.Less(t, u(class, l, false), u(class+1, l, false))
		}

		values := rapid.SliceOfN(rapid.Float64Range(-100, 100), 2, 8).Draw(t, "values")
		mean, r, err := survey.Repeated(values...)
		require.NoError(t, err)
		mean2, r2, err := survey.Repeated(rapid.Permutation(values).Draw(t, "order")...)
		require.NoError(t, err)
		require.InDelta(t, mean, mean2, 1e-9)
		require.InDelta(t, r.Standard, r2.Standard, 1e-9)
		for i := range values {
			values[i] = 3 + k*values[i]
		}
		mean2, r2, err = survey.Repeated(values...)
		require.NoError(t, err)
		require.InDelta(t, 3+k*mean, mean2, 1e-8)
		require.InDelta(t, k*r.Standard, r2.Standard, 1e-8)
		require.Equal(t, r.Freedom, r2.Freedom)
	})
}

// An instrument that is less sure along one of its axes, and the same one turned:
// then its axes have errors in common. Where one reading slips, too.
func TestPropertyCorrelatedAxes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := dice(t)
		s := read(aBike().turned(0), anywhere(rng), 4, 0.1, rng)
		s.UpSigma = 0.1
		s.Sigma = r3.Vec{X: 0.2, Y: 0.5, Z: 0.9}
		slip := rapid.IntRange(0, len(s.Readings)-1).Draw(t, "slip")
		s.Readings[slip].At = r3.Add(s.Readings[slip].At, vec(t, -6, 6))
		want, err := s.Solve()
		turned := s
		to := anywhere(rng)
		turned.Up, turned.Sigma, turned.Readings = to.turn.Rotate(s.Up), r3.Vec{}, nil
		for _, r := range s.Readings {
			turned.Readings = append(turned.Readings, survey.Reading{Landmark: r.Landmark, At: to.see(r.At)})
		}
		for k, axis := range []r3.Vec{{X: 1}, {Y: 1}, {Z: 1}} { // R·diag(σ²)·Rᵀ
			sigma := []float64{s.Sigma.X, s.Sigma.Y, s.Sigma.Z}[k]
			v := to.turn.Rotate(r3.Scale(sigma, axis))
			x := []float64{v.X, v.Y, v.Z}
			for i := range x {
				for j := range x {
					turned.Covariance[i][j] += x[i] * x[j]
				}
			}
		}
		got, err2 := turned.Solve()
		require.Equal(t, err == nil, err2 == nil, "%v, %v", err, err2)
		if err != nil {
			require.Len(t, contact.Faults(err2), len(contact.Faults(err)))
			return
		}
		same(t, want, got, 1e-5)
		for i, f := range want.Findings {
			require.Equal(t, f.Kind, got.Findings[i].Kind)
			require.Equal(t, f.Reading, got.Findings[i].Reading)
			require.InDelta(t, f.Amount, got.Findings[i].Amount, 1e-6)
		}
	})
}

func TestPastTheLast(t *testing.T) {
	if survey.Scattered.String() == "" || (survey.Scattered+1).String() == survey.Scattered.String() {
		t.Fatal(survey.Scattered + 1)
	}
	s := sheet(0)
	s.Readings[0].To = at(contact.FootLeft) // no tape reads it
	require.ErrorIs(t, s.Validate(), contact.ErrUnknown)
}
