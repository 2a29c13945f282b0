package motion

import (
	"math"
	"slices"

	"example.com/fitgeom/internal/work"
	"gonum.org/v1/gonum/spatial/r3"
)

// What tells that a length is not what it should be. Common practice, no source.
const (
	oddLength   = 10.  // mm off the median, at the least
	oddSigmas   = 3.5  // and so many standard deviations
	exchangedBy = 20.  // by so much must the squares of a frame be more than those of exchanged labels,
	exchangedIn = 0.5  // which must be at most this share,
	exchangedOf = 200. // and by so much those of all frames
	nearBy      = 100. // mm
	mostSquare  = 100. // what one length may count
	mostFrames  = 1000 // how many frames medians are taken of
)

// A length is how far the markers of a link usually are from each other.
type length struct {
	link
	usual, sigma float64
}

// lengths returns the lengths between the recording's markers: the median, and a standard
// deviation from the median of what they are off it.
func (m *Motion) lengths(w *work.Meter) (all []length) {
	every := max(1, len(m.times)/mostFrames)
	for _, l := range links {
		a, b := m.tracks[l.a], m.tracks[l.b]
		if a == nil || b == nil {
			continue
		}
		var seen []float64
		for i := 0; i < len(a) && w.Do(2); i += every {
			if d := size(r3.Sub(a[i], b[i])); !math.IsNaN(d) {
				seen = append(seen, d)
			}
		}
		if len(seen) < 8 {
			continue
		}
		usual := median(w, seen)
		for i, d := range seen {
			seen[i] = math.Abs(d - usual)
		}
		all = append(all, length{l, usual, max(1, 1.4826*median(w, seen))})
	}
	return all
}

// size is the length of a vector, at half of the cost of one that cannot overflow.
func size(v r3.Vec) float64 { return math.Sqrt(v.X*v.X + v.Y*v.Y + v.Z*v.Z) }

// between returns the distance of two markers in a frame, NaN if one was not seen.
func (m *Motion) between(a, b Marker, i int) float64 {
	p, q := m.tracks[a], m.tracks[b]
	if p == nil || q == nil {
		return math.NaN()
	}
	return size(r3.Sub(p[i], q[i]))
}

// unlike returns how unlike the lengths of two markers are in a frame, as a sum of squares,
// if each has the label of the first two.
func (m *Motion) unlike(of [][]length, a, b, as, bs Marker, i int) (sum float64) {
	name := func(k Marker) Marker {
		if k == a {
			return as
		} else if k == b {
			return bs
		}
		return k
	}
	for _, k := range [...]Marker{a, b} {
		for _, l := range of[k] {
			if k == b && (l.a == a || l.b == a) {
				continue // it was counted
			}
			if d := m.between(name(l.a), name(l.b), i); !math.IsNaN(d) {
				z := (d - l.usual) / l.sigma
				sum += min(z*z, mostSquare)
			}
		}
	}
	return sum
}

// A run is a stretch of frames in which two markers seem to be exchanged.
type run struct {
	a, b     Marker
	from, to int
	votes    int
	sum      float64
}

// centre stands for the middle of a pedal's circle where markers do.
const centre Marker = 0

// exchanges finds markers that have each other's label for a time, and gives them their
// own. Lengths tell it: with the labels exchanged they are what they usually are.
func (m *Motion) exchanges(w *work.Meter) {
	for _, k := range []Marker{PedalLeft, PedalRight} {
		if c, ok := m.circle(w, k); ok && m.tracks[centre] == nil {
			m.tracks[centre] = slices.Repeat([]r3.Vec{c.Centre}, len(m.times))
			defer func() { m.tracks[centre] = nil }()
		}
	}
	all := m.lengths(w)
	of := make([][]length, markerCount)
	for _, l := range all {
		of[l.a], of[l.b] = append(of[l.a], l), append(of[l.b], l)
	}
	open := map[link]*run{}
	var done []*run
	apart := max(3, int(0.15*m.quality.Rate))
	for i := range m.times {
		var odd []Marker
		for _, l := range all {
			if !w.Do(1) {
				return
			}
			if d := math.Abs(m.between(l.a, l.b, i) - l.usual); d > oddLength && d > oddSigmas*l.sigma {
				odd = add(add(odd, l.a), l.b)
			}
		}
		pair, by := m.swapped(w, of, odd, i)
		if by == 0 {
			continue
		}
		if r := open[pair]; r != nil && i-r.to <= apart {
			r.to, r.votes, r.sum = i, r.votes+1, r.sum+by
			continue
		}
		r := &run{pair.a, pair.b, i, i, 1, by}
		open[pair], done = r, append(done, r)
	}
	for _, r := range m.joined(w, of, done, apart) {
		far := 0.0
		for i := r.from; i <= r.to; i++ {
			a, b := m.tracks[r.a], m.tracks[r.b]
			if d := size(r3.Sub(a[i], b[i])); d > far {
				far = d
			}
			a[i], b[i] = b[i], a[i]
		}
		m.found(Finding{Kind: Exchange, Markers: []Marker{r.a, r.b}, From: r.from, To: r.to, By: far})
	}
}

// joined returns the runs that have enough for them, as long as they are likely, those of
// one pair that are near each other as one.
func (m *Motion) joined(w *work.Meter, of [][]length, all []*run, apart int) (runs []*run) {
	last := map[link]*run{}
	for _, r := range all {
		if r.votes < 3 || 3*r.votes < r.to-r.from+1 || r.sum < exchangedOf || !w.Do(r.to-r.from+20*apart) {
			continue
		}
		r.from, r.to = m.end(of, r, r.from, -1, apart), m.end(of, r, r.to, 1, apart)
		if p := last[link{r.a, r.b}]; p != nil && r.from-p.to <= int(m.quality.Rate) {
			if r.from <= p.to || m.even(of, p, p.to+1, r.from) {
				p.to = max(p.to, r.to)
				continue
			}
		}
		last[link{r.a, r.b}] = r
		runs = append(runs, r)
	}
	return runs
}

// even reports whether frames are at least as likely in a run as out of it.
func (m *Motion) even(of [][]length, r *run, from, end int) bool {
	sum := 0.0
	for i := from; i < end; i++ {
		sum += m.unlike(of, r.a, r.b, r.a, r.b, i) - m.unlike(of, r.a, r.b, r.b, r.a, i)
	}
	return sum > -exchangedBy
}

// end returns the last frame one way from a run that is likelier in it than out of it, of
// those that follow so nearly.
func (m *Motion) end(of [][]length, r *run, from, by, within int) int {
	best, sum, end := 0.0, 0.0, from
	for i := from + by; i >= 0 && i < len(m.times) && (i-from)*by <= within; i += by {
		if math.IsNaN(m.tracks[r.a][i].X) && math.IsNaN(m.tracks[r.b][i].X) {
			continue
		}
		if sum += m.unlike(of, r.a, r.b, r.a, r.b, i) - m.unlike(of, r.a, r.b, r.b, r.a, i); sum > best {
			best, end = sum, i
		}
	}
	return end
}

// swapped returns the two markers among those of odd lengths in a frame whose exchange
// explains them best, and by how much; 0 if none does.
func (m *Motion) swapped(w *work.Meter, of [][]length, odd []Marker, i int) (pair link, by float64) {
	const most = 12 // more than exchanges of one pair make odd
	if len(odd) > most {
		odd = odd[:most]
	}
	best := math.Inf(1)
	for j, a := range odd {
		if a == centre || math.IsNaN(m.tracks[a][i].X) {
			continue
		}
		for b := PedalLeft; int(b) < markerCount; b++ {
			if m.tracks[b] == nil || a == b || slices.Contains(odd[:j], b) {
				continue
			}
			if d := size(r3.Sub(m.tracks[a][i], m.tracks[b][i])); math.IsNaN(d) || d > nearBy && !slices.Contains(odd, b) {
				continue // one that keeps its lengths must be near
			}
			if !w.Do(20) {
				return pair, 0
			}
			as, is := m.unlike(of, a, b, b, a, i), m.unlike(of, a, b, a, b, i)
			if is > exchangedBy && as < exchangedIn*is && as-is < best {
				best, by, pair = as-is, is-as, link{a, b}
			}
		}
	}
	if pair.a > pair.b {
		pair.a, pair.b = pair.b, pair.a
	}
	return pair, by
}

// add appends a marker that is not there yet.
func add(list []Marker, k Marker) []Marker {
	if slices.Contains(list, k) {
		return list
	}
	return append(list, k)
}
