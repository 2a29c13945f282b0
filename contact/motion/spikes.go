package motion

import (
	"cmp"
	"math"

	"example.com/fitgeom/internal/work"
	"gonum.org/v1/gonum/spatial/r3"
)

// What tells a spike. Common practice, no source.
const (
	spikeLeast   = 18.  // mm beside where the frames around have it
	spikeSigmas  = 8.   // and so many standard deviations,
	spikeUsual   = 3.   // and so many times what 19 of 20 frames are
	spikeHalf    = 0.6  // of it, where two frames or more are beside the others together
	spikeSpan    = 0.16 // s of movement that a cubic follows
	spikeSeconds = 0.05 // how long one may last
)

// spikes sets aside what lies far beside the cubic through two frames before and two after,
// where that is short enough to be no movement, and measures the noise of each marker.
func (m *Motion) spikes(w *work.Meter) {
	longest := max(1, int(spikeSeconds*m.quality.Rate))
	for k, at := range m.tracks {
		if at == nil {
			continue
		}
		sigma, usual := m.noise(w, at)
		m.quality.Markers = append(m.quality.Markers, MarkerQuality{Marker: Marker(k), Noise: sigma})
		limit := max(spikeLeast, spikeSigmas*sigma, spikeUsual*usual)
		for i := 0; i < len(at); i++ {
			if !w.Do(1) {
				return
			}
			if !(m.beside(at, i) > spikeHalf*limit) {
				continue
			}
			from, to := m.spike(at, i, longest, limit)
			if from < 0 {
				continue
			}
			by := 0.0
			for j := from; j <= to; j++ {
				was := at[j]
				at[j] = unseen
				if p, _, ok := m.expected(at, j); ok {
					by = max(by, size(r3.Sub(was, p)))
				}
			}
			m.aside[k] += to - from + 1
			m.found(Finding{Kind: Spike, Markers: []Marker{Marker(k)}, From: from, To: to, By: by})
			i = max(i, to)
		}
	}
}

// spike returns the fewest frames around i without which the others lie where the frames
// around them have them, -1 if there are none.
func (m *Motion) spike(at []r3.Vec, i, longest int, limit float64) (from, to int) {
	var kept [16]r3.Vec
	longest = min(longest, len(kept))
	for n := 1; n <= longest; n++ {
		best, where := math.Inf(1), -1
		for first := max(0, i-1); first <= i+2 && first+n <= len(at); first++ {
			if math.IsNaN(at[first].X) || math.IsNaN(at[first+n-1].X) {
				continue
			}
			copy(kept[:n], at[first:first+n])
			for j := first; j < first+n; j++ {
				at[j] = unseen
			}
			worst := 0.0
			for j := max(0, i-3); j < min(len(at), first+n+3); j++ {
				if off := m.beside(at, j); off > worst {
					worst = off
				}
			}
			least := math.Inf(1) // how far the least of the frames set aside was off
			for j := first; j < first+n; j++ {
				if p, gain, ok := m.expected(at, j); ok && !math.IsNaN(kept[j-first].X) {
					least = min(least, size(r3.Sub(kept[j-first], p))/gain)
				}
			}
			copy(at[first:first+n], kept[:n])
			enough := limit
			if n == 2 || n == 3 { // more hang together by what is expected of them
				enough = spikeHalf * limit // each of them
			}
			if worst <= limit && least > enough && !math.IsInf(least, 1) && worst < best {
				best, where = worst, first
			}
		}
		if where >= 0 {
			return where, where + n - 1
		}
	}
	return -1, -1
}

// unseen is the place of a marker where there is none.
var unseen = r3.Vec{X: math.NaN(), Y: math.NaN(), Z: math.NaN()}

// steadyGain is the gain of expected where all frames are there and evenly spaced: √(1 + 34/36).
const steadyGain = 1.3944333775567928

// beside returns how far a marker is in a frame from where the frames around have it, in
// units of what noise of 1 mm would make of it; NaN if that cannot be told.
func (m *Motion) beside(at []r3.Vec, i int) float64 {
	if math.IsNaN(at[i].X) {
		return math.NaN()
	}
	if m.steady && i >= 2 && i+2 < len(at) {
		const near, far = 4. / 6, -1. / 6
		a, b, c, d, e := &at[i-2], &at[i-1], &at[i], &at[i+1], &at[i+2]
		x := c.X - near*(b.X+d.X) - far*(a.X+e.X)
		y := c.Y - near*(b.Y+d.Y) - far*(a.Y+e.Y)
		z := c.Z - near*(b.Z+d.Z) - far*(a.Z+e.Z)
		if off := x*x + y*y + z*z; !math.IsNaN(off) {
			return math.Sqrt(off) / steadyGain
		}
	}
	p, gain, ok := m.expected(at, i)
	if !ok {
		return math.NaN()
	}
	return size(r3.Sub(at[i], p)) / gain
}

// expected returns where the cubic through two frames before and two after has a marker,
// and how much more the difference to it may be than noise of a frame; false if these are not within
// 0.25 s.
func (m *Motion) expected(at []r3.Vec, i int) (p r3.Vec, gain float64, ok bool) {
	const within = 0.25
	var near [4]int
	t := m.times[i]
	n := 0
	for j := i - 1; j >= 0 && n < 2 && t-m.times[j] <= within; j-- {
		if !math.IsNaN(at[j].X) {
			near[1-n] = j
			n++
		}
	}
	if n < 2 {
		return p, 0, false
	}
	for j := i + 1; j < len(at) && n < 4 && m.times[j]-t <= within; j++ {
		if !math.IsNaN(at[j].X) {
			near[n] = j
			n++
		}
	}
	if n < 4 {
		return p, 0, false
	}
	squares := 1.0
	for j, at1 := range near { // Lagrange
		share := 1.0
		for k, at2 := range near {
			if k != j {
				share *= (t - m.times[at2]) / (m.times[at1] - m.times[at2])
			}
		}
		squares += share * share
		p.X += share * at[at1].X
		p.Y += share * at[at1].Y
		p.Z += share * at[at1].Z
	}
	far := (m.times[near[3]] - m.times[near[0]]) / spikeSpan
	return p, math.Sqrt(squares) * max(1, far*far), true
}

// noise returns the standard deviation of a coordinate from frame to frame, and beside what
// 19 of 20 frames are not more.
func (m *Motion) noise(w *work.Meter, at []r3.Vec) (sigma, usual float64) {
	var offs []float64
	for i := 0; i < len(at) && w.Do(5); i += max(1, len(at)/mostFrames) {
		if d := m.beside(at, i); !math.IsNaN(d) {
			offs = append(offs, d)
		}
	}
	const medianOf3 = 1.5381722544550522 // of the length of three normal numbers
	sigma = median(w, offs) / medianOf3
	if m.flat {
		sigma *= medianOf3 / 1.1774100225154747 // of two
	}
	if work.Sort(w, offs, cmp.Compare); len(offs) > 0 {
		usual = offs[len(offs)*19/20]
	}
	return sigma, usual
}

// fill fills gaps that are no longer than so many seconds with the cubic through two
// frames before and two after, and names the others.
func (m *Motion) fill(w *work.Meter, longest float64) {
	for q := range m.quality.Markers {
		k := m.quality.Markers[q].Marker
		at := m.tracks[k]
		filled, missing := 0, 0
		for i := 0; i < len(at); i++ {
			if !w.Do(1) {
				return
			}
			if !math.IsNaN(at[i].X) {
				continue
			}
			end := i
			for end < len(at) && math.IsNaN(at[end].X) {
				end++
			}
			if w.Do(end - i); end == len(at) || i == 0 || !(m.lasting(i, end) <= 1.01*longest) || !m.bridge(at, i, end) {
				missing += end - i
				m.found(Finding{Kind: Gap, Markers: []Marker{k}, From: i, To: end - 1})
			} else {
				filled += end - i
			}
			i = end
		}
		quality := &m.quality.Markers[q]
		quality.Filled, quality.Missing, quality.SetAside = filled, missing, m.aside[k]
		quality.Seen = len(at) - filled - missing
	}
}

// lasting returns how long a gap from a frame to before another is, each frame as long as
// from one to the next. Times may be rounded.
func (m *Motion) lasting(from, end int) float64 {
	return (m.times[end] - m.times[from-1]) * float64(end-from) / float64(end-from+1)
}

// bridge fills a gap if there are frames enough around it.
func (m *Motion) bridge(at []r3.Vec, from, end int) bool {
	var all [64]r3.Vec
	filled := all[:0]
	for j := from; j < end; j++ {
		p, _, ok := m.expected(at, j)
		if !ok {
			return false
		}
		filled = append(filled, p)
	}
	copy(at[from:end], filled)
	return true
}
