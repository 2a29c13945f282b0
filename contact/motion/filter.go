package motion

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/work"
)

// A Filter is a low-pass filter of Butterworth's second order, y = A0·x + A1·x′ + A2·x″ +
// B1·y′ + B2·y″, where a dash is a frame before. [NewFilter] makes one.
type Filter struct {
	// A0, A1 and A2 are the shares of this frame and of the two before.
	A0, A1, A2 float64
	// B1 and B2 are those of what came out for the two before.
	B1, B2 float64
}

// NewFilter returns the filter for so many frames a second whose gain is 1/√2 at the
// cut-off, in Hz, after so many passes: 2 for one forward and one back. The correction
// for passes is made in the tangent, so that it holds at few frames a second too
// (Robertson and Dowling 2003, J. Electromyogr. Kinesiol. 13, 566–573).
//
// Faults are [contact.ErrRange] for a rate that is not above 0 and at most 1e6 a second, a
// cut-off that is not above 0 and below half of the rate, and passes that are not 1 to 10.
func NewFilter(rate, cutOff float64, passes int) (Filter, error) {
	var f fault.List
	f.Range("rate_hz", rate, math.SmallestNonzeroFloat64, 1e6, "Hz")
	f.Range("passes", float64(passes), 1, 10, "")
	if !(cutOff > 0 && cutOff < rate/2) {
		f.Add("cut_off_hz", num.Text(cutOff, "Hz"), "above 0 and below half of the rate", contact.ErrRange)
	}
	if err := f.Err(); err != nil {
		return Filter{}, err
	}
	return newFilter(rate, cutOff, passes), nil
}

func newFilter(rate, cutOff float64, passes int) Filter {
	c := math.Pow(math.Pow(2, 1/float64(passes))-1, 0.25)
	k := math.Tan(math.Pi*cutOff/rate) / c
	k1, k2 := math.Sqrt2*k, k*k
	a0 := k2 / (1 + k1 + k2)
	b1 := 2 * a0 * (1/k2 - 1)
	return Filter{A0: a0, A1: 2 * a0, A2: a0, B1: b1, B2: 1 - (4*a0 + b1)}
}

// padding is how many frames are put before and after what is filtered.
const padding = 9

// Both filters forward and back, so that nothing lags, and returns the result. At each end
// it puts 9 frames (or as many as there are, less one) that continue the numbers by half a
// turn about the end one, and starts as if the first of them had lasted for ever: within
// about a cut-off's period of an end the result is worse than elsewhere, and a straight
// line does not quite stay straight.
func (f Filter) Both(values []float64) []float64 {
	return f.both(nil, values, nil)
}

// both is Both with room for the work in buffer.
func (f *Filter) both(w *work.Meter, values, buffer []float64) []float64 {
	n := len(values)
	if n == 0 {
		return nil
	}
	pad := min(padding, n-1)
	all := append(buffer[:0], values[:0]...)
	for i := pad; i > 0; i-- {
		all = append(all, 2*values[0]-values[i])
	}
	all = append(all, values...)
	for i := 1; i <= pad; i++ {
		all = append(all, 2*values[n-1]-values[n-1-i])
	}
	if f.pass(all, 0, len(all), 1); w.Do(len(all) / 10) {
		f.pass(all, len(all)-1, -1, -1)
	}
	return all[pad : pad+n]
}

// pass filters numbers in their place.
func (f *Filter) pass(all []float64, from, end, by int) {
	x1 := all[from]
	x2, y1, y2 := x1, x1, x1
	for i := from; i != end; i += by {
		x := all[i]
		y := f.A0*x + f.A1*x1 + f.A2*x2 + f.B1*y1 + f.B2*y2
		x2, x1, y2, y1 = x1, x, y1, y
		all[i] = y
	}
}

// Gain returns what the filter makes of a sine of a frequency, in Hz, at so many frames a
// second: the share of its amplitude that one pass leaves, and by how many seconds it
// lags. It returns NaN unless the frequency is above 0 and below half of the rate.
func (f Filter) Gain(rate, frequency float64) (share, lag float64) {
	if !(frequency > 0 && frequency < rate/2) || math.IsInf(rate, 0) {
		return math.NaN(), math.NaN()
	}
	w := 2 * math.Pi * frequency / rate
	at := func(a0, a1, a2 float64) (re, im float64) {
		return a0 + a1*math.Cos(w) + a2*math.Cos(2*w), -a1*math.Sin(w) - a2*math.Sin(2*w)
	}
	nr, ni := at(f.A0, f.A1, f.A2)
	dr, di := at(1, -f.B1, -f.B2)
	phase := math.Atan2(di, dr) - math.Atan2(ni, nr)
	if phase < 0 {
		phase += 2 * math.Pi
	}
	return math.Hypot(nr, ni) / math.Hypot(dr, di), phase / (2 * math.Pi * frequency)
}

// Limits of residual analysis.
const (
	residualFrames = 2000 // it looks at no more
	residualMost   = 25.  // Hz
)

// ResidualCutOff returns the cut-off at which what the filter takes away is as much as the
// noise, in Hz (Winter, Biomechanics and Motor Control of Human Movement): the straight
// line through the upper half of the residuals over the cut-off is continued to 0, and the
// cut-off is where the residuals are as large as there. It looks at no more than 2,000
// frames and 25 Hz. The method is known to smooth too much.
//
// Faults are [contact.ErrRange] for a rate that is not above 0 and at most 1e6 a second
// and for numbers that are not finite, and [contact.ErrMissing] for fewer than 20 numbers.
func ResidualCutOff(values []float64, rate float64) (float64, error) {
	var f fault.List
	f.Range("rate_hz", rate, math.SmallestNonzeroFloat64, 1e6, "Hz")
	if len(values) < 20 {
		f.Add("values", "", "at least 20", contact.ErrMissing)
	}
	for i, v := range values {
		f.Range(fault.At("values", i), v, -1e12, 1e12, "")
	}
	if err := f.Err(); err != nil {
		return 0, err
	}
	return residualCutOff(nil, values, rate), nil
}

func residualCutOff(w *work.Meter, values []float64, rate float64) float64 {
	values = values[:min(len(values), residualFrames)]
	highest := min(residualMost, 0.45*rate)
	const steps = 24
	var at, left [steps]float64
	var buffer []float64
	for i := range at {
		at[i] = highest * float64(i+1) / steps
		f := newFilter(rate, at[i], 2)
		smooth := f.both(w, values, buffer)
		sum := 0.0
		for j, v := range values {
			sum += (v - smooth[j]) * (v - smooth[j])
		}
		left[i] = math.Sqrt(sum / float64(len(values)))
		buffer = smooth
		if !w.Do(1) {
			return highest
		}
	}
	const half = steps / 2
	var x, y, xx, xy float64
	for i := half; i < steps; i++ {
		x, y = x+at[i]/half, y+left[i]/half
	}
	for i := half; i < steps; i++ {
		xx, xy = xx+(at[i]-x)*(at[i]-x), xy+(at[i]-x)*(left[i]-y)
	}
	noise := y - xy/xx*x
	for i := range at {
		if left[i] > noise {
			continue
		}
		if i == 0 {
			return at[0]
		}
		return at[i-1] + (at[i]-at[i-1])*(left[i-1]-noise)/(left[i-1]-left[i])
	}
	return highest
}
