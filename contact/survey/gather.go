package survey

import (
	"fmt"
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/stat/distuv"
)

// A point is the mean of a landmark's readings.
type point struct {
	landmark Landmark
	at       r3.Vec  // instrument's axes, mm
	n        float64 // readings in the mean
}

// points holds the landmarks that were read, in the order of first appearance.
type points struct {
	all  []point
	find map[Landmark]int
}

func (p *points) index(l Landmark) int {
	if i, ok := p.find[l]; ok {
		return i
	}
	return -1
}

// Probabilities below which readings are taken to disagree. They are so small that hardly
// one in a thousand good surveys is suspected.
const (
	disagree = 1e-6
	scatters = 1e-4
	// Stated uncertainties are often too small. Readings of one place may scatter twice
	// as much before they count as a contradiction.
	understated = 2
)

var farOff = distuv.ChiSquared{K: 3}.Quantile(1 - disagree)

// gather averages the readings of each landmark. Of three or more readings, one that lies
// far from the others is set aside, then another, as long as they are less than half.
// Readings that still disagree are a fault.
func gather(readings []Reading, unit Unit, cov [3][3]float64) (points, []Finding, error) {
	var f fault.List
	mm := units[unit].mm
	p, of := average(readings, mm)
	l, _ := cholesky(cov)
	all := make([]scatter, len(p.all))
	for i := range readings {
		all[of[i]].see(&l, r3.Sub(r3.Scale(mm, readings[i].At), p.all[of[i]].at), i)
	}
	var findings []Finding
	var lists [][]int32 // the readings of each landmark, once they are wanted
	sum, freedom := 0.0, 0.0
	for k := range p.all {
		at, s := &p.all[k], &all[k]
		if at.n == 1 {
			findings = append(findings, Finding{Kind: ReadOnce, Landmark: at.landmark, Reading: -1})
		}
		// A reading is n/(n-1) times as far from the mean of the others as from the mean
		// of all.
		for most := int(at.n-1) / 2; most > 0 && at.n >= 3 && s.most*at.n/(at.n-1) > farOff; most-- {
			off := r3.Scale(at.n/(at.n-1), r3.Sub(r3.Scale(mm, readings[s.worst].At), at.at))
			at.at = r3.Sub(at.at, r3.Scale(1/at.n, off))
			at.n--
			findings = append(findings, Finding{Kind: SetAside, Landmark: at.landmark, Reading: int(s.worst), Amount: r3.Norm(off)})
			if lists == nil {
				lists = listed(of, len(p.all))
			}
			of[s.worst] = -1
			*s = scatter{}
			for _, i := range lists[k] {
				if of[i] >= 0 {
					s.see(&l, r3.Sub(r3.Scale(mm, readings[i].At), at.at), int(i))
				}
			}
		}
		if at.n > 1 {
			k3 := 3 * (at.n - 1)
			if s.sum > understated*understated*quantile(k3) {
				f.Add("readings."+string(at.landmark), fmt.Sprintf("%.0f readings that disagree by %s", at.n, num.Text(math.Sqrt(s.sum/k3), "times their uncertainty")),
					"readings of one place; read it again", contact.ErrConflict)
			}
			sum += s.sum
			freedom += k3
		}
	}
	if freedom > 0 {
		if (distuv.ChiSquared{K: freedom}).Survival(sum) < scatters {
			findings = append(findings, Finding{Kind: Scattered, Reading: -1, Amount: math.Sqrt(sum / freedom)})
		}
	}
	return p, findings, f.Err()
}

// listed returns the readings of each of n landmarks.
func listed(of []int32, n int) [][]int32 {
	lists := make([][]int32, n)
	for i, k := range of {
		lists[k] = append(lists[k], int32(i))
	}
	return lists
}

// average returns the mean of each landmark's readings, and the index of each reading's
// landmark.
func average(readings []Reading, mm float64) (p points, of []int32) {
	p = points{all: make([]point, 0, 48), find: make(map[Landmark]int, 48)}
	of = make([]int32, len(readings))
	for i, r := range readings {
		k, ok := p.find[r.Landmark]
		if !ok {
			k = len(p.all)
			p.find[r.Landmark] = k
			p.all = append(p.all, point{landmark: r.Landmark})
		}
		of[i] = int32(k)
		p.all[k].at = r3.Add(p.all[k].at, r3.Scale(mm, r.At))
		p.all[k].n++
	}
	for i := range p.all {
		p.all[i].at = r3.Scale(1/p.all[i].n, p.all[i].at)
	}
	return p, of
}

// A scatter describes how a landmark's readings lie about their mean, in squares of
// standard uncertainties.
type scatter struct {
	sum, most float64
	worst     int32 // the reading furthest from the mean
}

// see counts a reading at v from the mean, where l is the triangle of Cholesky of a
// reading's covariance.
func (s *scatter) see(l *[6]float64, v r3.Vec, reading int) {
	a := v.X / l[0]
	b := (v.Y - l[1]*a) / l[2]
	c := (v.Z - l[3]*a - l[4]*b) / l[5]
	square := a*a + b*b + c*c
	s.sum += square
	if square > s.most {
		s.most, s.worst = square, int32(reading)
	}
}

// quantile returns the value that a chi-squared variable of k degrees of freedom exceeds
// with the probability disagree, to good approximation (Wilson and Hilferty; from
// memory).
func quantile(k float64) float64 {
	const z = 4.753424308822899 // of the normal distribution at 1 - 1e-6
	c := 2 / (9 * k)
	return k * math.Pow(1-c+z*math.Sqrt(c), 3)
}
