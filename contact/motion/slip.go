package motion

import (
	"math"
	"slices"

	"example.com/fitgeom/internal/work"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// What tells a slipped marker. Common practice, no source.
const (
	slipLeast  = 6.   // mm by which a length changes
	slipSigmas = 6.   // and so many standard deviations of that
	slipUsual  = 25.  // mm that a marker slips by, as a standard deviation
	slipLoose  = 2.5  // mm by which lengths change otherwise
	slipFrames = 3000 // how many frames are looked at
)

// A step is how a length changes at a frame and stays so.
type step struct {
	link
	along     r3.Vec // the mean direction from a to b
	at        int    // the first frame after it
	by, sigma float64
	real      bool
}

// slips finds markers that moved on the body: lengths to them change at once and for good.
// Which marker it was is told by what explains the changes of all lengths with the least
// movement of one marker.
func (m *Motion) slips(w *work.Meter) {
	for range 3 {
		var all []step
		worst := -1
		for _, l := range m.lengths(w) {
			s, ok := m.step(w, l, -1)
			if w.Stopped() {
				return
			}
			if !ok {
				continue
			}
			all = append(all, s)
			if s.real && (worst < 0 || math.Abs(s.by)/s.sigma > math.Abs(all[worst].by)/all[worst].sigma) {
				worst = len(all) - 1
			}
		}
		if worst < 0 || !m.slipped(w, all, all[worst].at) {
			return
		}
	}
}

// slipped names the marker that slipped at a frame and sets aside the shorter part of it.
func (m *Motion) slipped(w *work.Meter, all []step, at int) bool {
	var steps []step
	for _, s := range all {
		if s, ok := m.step(w, length{link: s.link}, at); ok {
			steps = append(steps, s)
		}
	}
	var who []Marker
	best, by := math.Inf(1), 0.0
	costs := map[Marker]float64{}
	for k := Marker(1); int(k) < markerCount; k++ {
		if m.tracks[k] == nil || !w.Do(100) {
			continue
		}
		cost, far := blamed(steps, k)
		costs[k] = cost
		if cost < best {
			best, by, who = cost, far, []Marker{k}
		}
	}
	for k := Marker(1); int(k) < markerCount; k++ {
		if cost, ok := costs[k]; ok && k != who[0] && cost < best+2 {
			who = append(who, k)
		}
	}
	if w.Stopped() || len(who) == 0 {
		return false
	}
	from, to := 0, at
	if 2*at > len(m.times) {
		from, to = at, len(m.times)
	}
	m.found(Finding{Kind: Slip, Markers: who, From: at, To: len(m.times) - 1, By: by})
	for _, k := range who {
		for i := from; i < to; i++ {
			if !math.IsNaN(m.tracks[k][i].X) {
				m.aside[k]++
			}
			m.tracks[k][i] = unseen
		}
	}
	return true
}

// blamed returns how badly a movement of one marker explains the steps, and how far it
// moved: the sum of squares of what it leaves, and of the movement itself.
func blamed(steps []step, k Marker) (cost, by float64) {
	normal, right := mat.NewSymDense(3, nil), mat.NewVecDense(3, nil)
	for i := range 3 {
		normal.SetSym(i, i, 1/(slipUsual*slipUsual))
	}
	weigh := func(s *step) float64 { return 1 / (slipLoose*slipLoose + s.sigma*s.sigma) }
	rows := func(s *step) (row [3]float64, has bool) {
		sign := 1.0
		if s.a == k {
			sign = -1
		}
		return [3]float64{sign * s.along.X, sign * s.along.Y, sign * s.along.Z}, s.a == k || s.b == k
	}
	for i := range steps {
		s := &steps[i]
		row, has := rows(s)
		if !has {
			continue
		}
		for i := range 3 {
			right.SetVec(i, right.AtVec(i)+weigh(s)*row[i]*s.by)
			for j := i; j < 3; j++ {
				normal.SetSym(i, j, normal.At(i, j)+weigh(s)*row[i]*row[j])
			}
		}
	}
	var factor mat.Cholesky
	var d mat.VecDense
	if !factor.Factorize(normal) || factor.SolveVecTo(&d, right) != nil {
		return math.Inf(1), 0
	}
	move := r3.Vec{X: d.AtVec(0), Y: d.AtVec(1), Z: d.AtVec(2)}
	cost = r3.Norm2(move) / (slipUsual * slipUsual)
	for i := range steps {
		s := &steps[i]
		left := s.by
		if row, has := rows(s); has {
			left -= r3.Dot(r3.Vec{X: row[0], Y: row[1], Z: row[2]}, move)
		}
		cost += left * left * weigh(s)
	}
	return cost, size(move)
}

// step returns how a length changes at a frame, or where it changes most if that is
// negative. What it does within a revolution is taken off first. It returns false if there
// are fewer than two revolutions on either side.
func (m *Motion) step(w *work.Meter, l length, at int) (s step, ok bool) {
	s.link = l.link
	a, b := m.tracks[l.a], m.tracks[l.b]
	const parts = 24
	var sums, counts [parts]float64
	part := func(i int) int {
		turns := m.crank[i] / 360
		return min(int((turns-math.Floor(turns))*parts), parts-1)
	}
	every := max(1, len(m.times)/slipFrames)
	off := make([]float64, (len(m.times)+every-1)/every)
	for j := range off {
		if !w.Do(2) {
			return s, false
		}
		i := j * every
		d := r3.Sub(b[i], a[i])
		off[j] = size(d)
		if !(off[j] > 0) || math.IsNaN(m.crank[i]) {
			off[j] = math.NaN()
			continue
		}
		s.along = r3.Add(s.along, r3.Scale(1/off[j], d))
		k := part(i)
		sums[k], counts[k] = sums[k]+off[j], counts[k]+1
	}
	for j := range off {
		if !math.IsNaN(off[j]) {
			k := part(j * every)
			off[j] -= sums[k] / counts[k]
		}
	}
	all := 0.0
	for _, n := range counts {
		all += n
	}
	s.along = r3.Scale(1/max(1, all), s.along)
	means, firsts := m.each(off, every)
	if s.at = at; at < 0 {
		s.at = furthest(off) * every
	}
	before := 0
	for before < len(firsts) && firsts[before] < s.at {
		before++
	}
	if before--; before < 2 || len(means)-before < 3 {
		return s, false
	}
	means = slices.Delete(means, before, before+1) // the revolution in which it is
	s.by, s.sigma, s.real = jump(means, before)
	return s, true
}

// each returns the means over the revolutions of a series that has every so manieth
// frame, and the first frames of these revolutions.
func (m *Motion) each(series []float64, every int) (means []float64, firsts []int) {
	for _, r := range m.revolutions {
		sum, n := 0.0, 0.0
		for i := (r.First + every - 1) / every; i*every <= r.Last; i++ {
			if !math.IsNaN(series[i]) {
				sum, n = sum+series[i], n+1
			}
		}
		if n*float64(every) > float64(r.Last-r.First)/2 {
			means, firsts = append(means, sum/n), append(firsts, r.First)
		}
	}
	return means, firsts
}

// furthest returns the frame at which the sums of what comes before and after differ most
// from what they would be without a step.
func furthest(series []float64) int {
	sum, n := 0.0, 0.0
	for _, v := range series {
		if !math.IsNaN(v) {
			sum, n = sum+v, n+1
		}
	}
	best, at := -1.0, 0
	have, k := 0.0, 0.0
	for i, v := range series {
		// By what least squares gain.
		if k > 0 && k < n {
			d := have - sum*k/n
			if gain := d * d / (k * (n - k)); gain > best && 10*k >= n && 10*k <= 9*n {
				best, at = gain, i
			}
		}
		if !math.IsNaN(v) {
			have, k = have+v, k+1
		}
	}
	return at
}

// jump returns the step of means after so many of them, its standard deviation from how
// each differs from the next, and whether it is a step and no drift.
func jump(means []float64, before int) (by, sigma float64, ok bool) {
	n := len(means)
	var sum [2]float64
	var steps []float64
	for i, v := range means {
		if i < before {
			sum[0] += v
		} else {
			sum[1] += v
		}
		if i > 0 && i != before {
			steps = append(steps, math.Abs(v-means[i-1]))
		}
	}
	n1, n2 := float64(before), float64(n-before)
	by = sum[1]/n2 - sum[0]/n1
	const usual = 0.9539 // the median of such a difference of two normal numbers
	sigma = max(0.1, 1.7*median(nil, steps)/usual*math.Sqrt(1/n1+1/n2))
	var flat, line float64
	x, y := float64(n-1)/2, (sum[0]+sum[1])/float64(n)
	var xx, xy, yy float64
	for i, v := range means {
		side := sum[0] / n1
		if i >= before {
			side = sum[1] / n2
		}
		flat += (v - side) * (v - side)
		xx, xy, yy = xx+(float64(i)-x)*(float64(i)-x), xy+(float64(i)-x)*(v-y), yy+(v-y)*(v-y)
	}
	line = yy - xy*xy/xx
	return by, sigma, math.Abs(by) >= slipLeast && math.Abs(by) >= slipSigmas*sigma && flat < 0.6*line
}
