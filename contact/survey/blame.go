package survey

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/fitgeom/contact"
	"gonum.org/v1/gonum/stat/distuv"
)

// What is suspected of a part of a pair, and when.
const (
	gross = 10 // mm: the standard deviation of what is wrong, if anything is
	// doubt is the size of a residual over its standard uncertainty from which on somebody
	// is to blame (0.001; W. Baarda 1968).
	doubt = 3.2905
	// Logarithms of odds: that something is wrong, with 1 in 100 before; that it is no other
	// part; up to which another part is named as well; and from which on a survey is
	// refused if it cannot be told which part is wrong or do without it.
	wrong, alone, also, refused = 7, 3, 7, 12
	// usualAside is how far the middle of an axle's ends lies beside the mid-plane before it
	// is mentioned, mm. Common practice, no source.
	usualAside = 2
)

// A suspect is a part of a pair that explains what does not fit.
type suspect struct {
	pair   int
	part   part
	off    float64 // mm
	share  float64 // the larger of its residuals over its standard uncertainty
	better float64 // by how much it explains the readings better, in logarithms
	needed bool    // the others alone do not determine the datum
}

// settleOn fits the datum, finds how true the frame is, and leaves out parts of pairs that
// the others contradict, one at a time. It returns the conditions, and apart from them
// those that do not count.
func (d *datum) settleOn(s *Survey, p *points) (rows, aside []residual, err error) {
	rows, aside = make([]residual, 0, 3*len(d.pairs)+5), make([]residual, 0, 2*len(d.pairs))
	var all []suspect
	for most := min(len(d.pairs)/2, 8); ; most-- {
		var ok bool
		d.square = 1
		if rows, aside, ok = d.fit(s, p, rows, aside); !ok {
			return nil, nil, &contact.Error{Path: "readings", Value: "that fit no mid-plane", Want: "landmarks of a bicycle", Class: contact.ErrConflict}
		}
		all = d.suspects(rows)
		if len(all) == 0 {
			break
		}
		if most == 0 || all[0].needed || len(all) > 1 && all[1].better > all[0].better-alone {
			if all[0].better > refused {
				return nil, nil, d.contradiction(all)
			}
			break
		}
		k := &d.pairs[all[0].pair]
		k.counts[all[0].part-middle] = false
		k.out[all[0].part-middle] = true
		for _, o := range all[1:] {
			if o.better > all[0].better-also {
				k.others = append(k.others, d.pairs[o.pair].pair.left)
			}
		}
	}
	_, d.square, d.doubtful = d.evidence(rows, suspect{})
	rows, aside, ok := d.fit(s, p, rows, aside)
	if !ok {
		return nil, nil, &contact.Error{Path: "readings", Value: "that fit no mid-plane", Want: "landmarks of a bicycle", Class: contact.ErrConflict}
	}
	n := d.normal(rows)
	if freedom := float64(len(rows) - fitted); freedom > 0 && (distuv.ChiSquared{K: freedom}).Survival(n.chi2) < disagree {
		return nil, nil, d.contradiction(all)
	}
	return rows, aside, nil
}

// suspects returns the parts that explain the readings better if something is wrong with
// them, the best explanation first.
func (d *datum) suspects(rows []residual) []suspect {
	n := d.normal(rows)
	n.factor()
	worst := 0.0
	var all []suspect
	for i := range rows {
		r := &rows[i]
		v := r.variance(1)
		left := v
		for _, h := range n.halfway(r.by) {
			left -= h * h
		}
		if r.part == other {
			continue
		}
		k := len(all) - 1
		if k < 0 || all[k].pair != r.pair || all[k].part != r.part {
			all = append(all, suspect{pair: r.pair, part: r.part})
			k++
		}
		if left < 0.05*v {
			all[k].needed = true
			continue
		}
		share := math.Abs(r.value) / math.Sqrt(left)
		all[k].share = max(all[k].share, share)
		worst = max(worst, share)
		all[k].off = math.Hypot(all[k].off, r.value*v/left) // less the value that all others want
	}
	if worst < doubt {
		return nil
	}
	slices.SortStableFunc(all, func(a, b suspect) int { return cmp.Compare(b.share, a.share) })
	all = all[:min(len(all), 24)] // a survey of any number of marks takes no more than its share of time
	none, _, _ := d.evidence(rows, suspect{})
	for i := range all {
		log, _, _ := d.evidence(rows, all[i])
		all[i].better = log - none
	}
	all = slices.DeleteFunc(all, func(s suspect) bool { return s.better < wrong })
	slices.SortStableFunc(all, func(a, b suspect) int { return cmp.Compare(b.better, a.better) })
	return all
}

// evidence returns the logarithm of how likely the readings are, whatever the numbers of
// the datum, if something is wrong with a part; the mean square of how true the frame is
// to what is usual; and the chance that it is less true by a quarter or more. It sums over
// factors about 1.
func (d *datum) evidence(rows []residual, of suspect) (log, square, doubtful float64) {
	const nodes, span = 9, 3
	var logs [nodes]float64
	log = math.Inf(-1)
	for k := range logs {
		z := span * (2*float64(k)/(nodes-1) - 1)
		square := math.Exp(2 * usualSpread * z)
		var n normal
		for i := range rows {
			v := rows[i].variance(square)
			if of.part != other && rows[i].pair == of.pair && rows[i].part == of.part {
				v += gross * gross
			}
			n.add(&rows[i], v)
		}
		logs[k] = math.Inf(-1)
		if n.factor() {
			chi2, det := n.least()
			logs[k] = -(chi2 + det + n.logs + z*z) / 2
		}
		log = max(log, logs[k])
	}
	sum := 0.0
	for k, l := range logs {
		z := span * (2*float64(k)/(nodes-1) - 1)
		w := math.Exp(l - log)
		sum += w
		square += w * math.Exp(2*usualSpread*z)
		if usualSpread*z > 0.2231 {
			doubtful += w
		}
	}
	return log + math.Log(sum), square / sum, doubtful / sum
}

// contradiction names what does not fit and what else could explain it.
func (d *datum) contradiction(all []suspect) error {
	if len(all) == 0 {
		return &contact.Error{Path: "readings", Value: "that do not fit together", Want: "left and right that mirror each other; read them again", Class: contact.ErrConflict}
	}
	words := func(s suspect) string {
		if s.part == middle {
			return fmt.Sprintf("%.1f mm beside the middle", math.Abs(s.off))
		}
		return fmt.Sprintf("%.1f mm askew", math.Abs(s.off))
	}
	var others []string
	for _, o := range all[1:] {
		if o.better > all[0].better-also && len(others) < 4 {
			others = append(others, fmt.Sprintf("%s %s", d.pairs[o.pair].name(), words(o)))
		}
	}
	want := "left and right that mirror each other; read them again"
	if len(others) > 0 {
		want += "; it could be as well: " + strings.Join(others, ", ")
	}
	return &contact.Error{
		Path: "readings." + d.pairs[all[0].pair].name(), Value: words(all[0]) + " of where the other landmarks put it",
		Want: want, Class: contact.ErrConflict,
	}
}

// beside reports parts of pairs that lie beside where all others want them and did not
// count.
func (d *datum) beside(aside []residual) []Finding {
	var all []Finding
	for i := 0; i < len(aside); i++ {
		r := &aside[i]
		k := &d.pairs[r.pair]
		f := Finding{Kind: OffCentre, Landmark: k.pair.left, Reading: -1, Amount: r.value, Others: k.others}
		if k.steers {
			f.Amount *= d.cosS // along the axle
		}
		if r.part == line {
			f.Kind = Askew
			f.Amount = math.Hypot(r.value, aside[i+1].value)
			i++ // its other half
		}
		variance := r.read
		for a, x := range r.by {
			for b, y := range r.by {
				variance += x * y * d.cov[a][b]
			}
		}
		if k.out[r.part-middle] || r.part == middle && math.Abs(f.Amount) > max(usualAside, 3*math.Sqrt(variance)) {
			all = append(all, f)
		}
	}
	if d.doubtful > 0.95 {
		all = append(all, Finding{Kind: OutOfTrue, Reading: -1, Amount: usualTrue * math.Sqrt(d.square)})
	}
	return all
}
