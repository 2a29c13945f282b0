package photo

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/field"
	"gonum.org/v1/gonum/spatial/r3"
)

// What is marked along a wheel: any number of marks in a photograph lie on one circle
// about the axle, on the left or the right side of the rim or tyre. A circle is seen as an
// ellipse. And the foot of each wheel, in the middle of where the tyre stands on the ground.
const (
	FrontCircleLeft  survey.Landmark = "front_circle_left"
	FrontCircleRight survey.Landmark = "front_circle_right"
	RearCircleLeft   survey.Landmark = "rear_circle_left"
	RearCircleRight  survey.Landmark = "rear_circle_right"
	FrontGround      survey.Landmark = "front_ground"
	RearGround       survey.Landmark = "rear_ground"
)

// Plumb returns the landmark of a line that hangs beside the bike, or of an edge that is as
// upright, such as a door frame's: "plumb_" and a name. Two marks or more in a photograph lie
// anywhere along it; photographs from two directions tell how the bike stood
// ([survey.Fix.Standing]). From one photograph to the next it may hang elsewhere.
func Plumb(name string) survey.Landmark { return plumbPrefix + survey.Landmark(name) }

const plumbPrefix = "plumb_"

// A Mark is where something is seen in a photograph.
type Mark struct {
	// Landmark is one of this package or of package survey. Marks of one landmark in several
	// photographs are of the same place on the bike, but for circles and hanging lines, which
	// are marked anywhere along them. Marks of one's own that are named left and right mirror each other
	// only if the survey's Trueness states that pair.
	Landmark survey.Landmark `json:"landmark"`
	// X counts from the left edge of the picture to the right, Y from the upper edge down. The
	// upper left corner is 0, 0.
	X float64 `json:"x_px" range:"-100000 to 100000" unit:"pixels"`
	Y float64 `json:"y_px" range:"-100000 to 100000" unit:"pixels"`
	// Sigma is the standard uncertainty of X and of Y.
	Sigma float64 `json:"sigma_px,omitzero" range:"0.01 to 200" unit:"pixels" zero:"that of the survey"`
}

// A Photograph is what was marked in one picture.
type Photograph struct {
	// Name is for people, and stands in findings.
	Name string `json:"name,omitzero"`
	// Camera is the index of its camera in the survey.
	Camera int `json:"camera,omitzero" range:"0 to 11"`
	// Marks holds each landmark once, but for circles and hanging lines. What cannot be seen is not marked.
	Marks []Mark `json:"marks"`
}

// A Distance is what a tape says between two landmarks of the bike, or between two marks
// beside it that did not move from photograph to photograph, such as corners of a sheet.
type Distance struct {
	From survey.Landmark `json:"from"`
	To   survey.Landmark `json:"to"`
	// Value is the straight distance.
	Value float64 `json:"value_mm" range:"10 to 3000"`
	// Sigma is its standard uncertainty.
	Sigma float64 `json:"sigma_mm,omitzero" range:"0.01 to 100" zero:"1 mm"`
}

// A Sideways states how far from the mid-plane a landmark is: what a single photograph
// cannot tell, and what it needs for all that is not in the mid-plane.
type Sideways struct {
	Landmark survey.Landmark `json:"landmark"`
	// Y is positive to the left.
	Y float64 `json:"y_mm" range:"-600 to 600"`
	// Sigma is its standard uncertainty.
	Sigma float64 `json:"sigma_mm,omitzero" range:"0.1 to 200" zero:"3 mm"`
}

// A Survey holds what was marked in photographs of one bike, which stood still while they
// were taken. It may lean, and its front wheel may be turned. Its zero value is not valid.
type Survey struct {
	Cameras     []Camera     `json:"cameras"`
	Photographs []Photograph `json:"photographs"`
	// Sigma is the standard uncertainty of each mark in X and in Y.
	Sigma float64 `json:"sigma_px,omitzero" range:"0.01 to 200" unit:"pixels" zero:"2 pixels"`
	// FrontRadius and RearRadius are the heights of the axles above the ground, which tell
	// the horizontal, and the scale where the feet of the wheels are marked.
	FrontRadius float64 `json:"front_radius_mm" length:"100 to 450"`
	RearRadius  float64 `json:"rear_radius_mm" length:"100 to 450"`
	// RadiusSigma is the standard uncertainty of each radius.
	RadiusSigma float64 `json:"radius_sigma_mm,omitzero" range:"0.1 to 50" zero:"2 mm"`
	// FrontCircle and RearCircle are the radii of the circles that are marked along the
	// wheels. Two equal ones are one reading, of like wheels. A circle of unknown radius still
	// is a circle about the axle.
	FrontCircle float64 `json:"front_circle_mm,omitzero" length:"100 to 450" zero:"not known"`
	RearCircle  float64 `json:"rear_circle_mm,omitzero" length:"100 to 450" zero:"not known"`
	// CircleSigma is the standard uncertainty of each of these radii.
	CircleSigma float64 `json:"circle_sigma_mm,omitzero" range:"0.01 to 50" zero:"1 mm"`
	// Crank is the crank length, from centre to centre, and CrankSigma its standard
	// uncertainty.
	Crank      float64 `json:"crank_mm,omitzero" length:"60 to 220" zero:"not known"`
	CrankSigma float64 `json:"crank_sigma_mm,omitzero" range:"0.01 to 20" zero:"0.5 mm"`
	// Distances are others that are known.
	Distances []Distance `json:"distances,omitzero"`
	// Sideways states places across the bike. What is not stated is taken to be usual.
	Sideways []Sideways `json:"sideways,omitzero"`
	// Trueness states how well pairs of the frame mirror each other, and which marks of one's
	// own do.
	Trueness []survey.Trueness `json:"trueness,omitzero"`
	// Saddle is what is known of the saddle.
	Saddle contact.SaddleProfile `json:"saddle,omitzero" validate:"own"`
}

var (
	surveyFields     = field.New[Survey]()
	cameraFields     = field.New[Camera]()
	markFields       = field.New[Mark]()
	distanceFields   = field.New[Distance]()
	sidewaysFields   = field.New[Sideways]()
	truenessFields   = field.New[survey.Trueness]()
	photographLimits = [...]int{12, 20, 200} // cameras, photographs, marks in each
)

// mostLandmarks is how many different landmarks all photographs may have together, mostMarks
// how many marks, and mostRound how many of these along wheels and hanging lines: each of them
// is an unknown.
const (
	mostLandmarks = 60
	mostMarks     = 600
	mostRound     = 240
)

// circle returns which wheel and side a landmark is a circle of: 1 or -1 for left or right.
func circle(l survey.Landmark) (front bool, side float64, ok bool) {
	switch l {
	case FrontCircleLeft:
		return true, 1, true
	case FrontCircleRight:
		return true, -1, true
	case RearCircleLeft:
		return false, 1, true
	case RearCircleRight:
		return false, -1, true
	default:
		return false, 0, false
	}
}

// hangs reports whether a landmark is a hanging line.
func hangs(l survey.Landmark) bool {
	return len(l) > len(plumbPrefix) && strings.HasPrefix(string(l), plumbPrefix)
}

// long reports whether marks of a landmark lie anywhere along it.
func long(l survey.Landmark) bool {
	_, _, round := circle(l)
	return round || hangs(l)
}

func known(l survey.Landmark) bool {
	return long(l) || l == FrontGround || l == RearGround || l.Known()
}

func short(l survey.Landmark) string { return strconv.Quote(fault.Name(string(l))) }

// Validate reports what is wrong with the numbers and names of a survey, each taken by
// itself: [contact.ErrRange], also for too many of anything; [contact.ErrUnknown];
// [contact.ErrMissing]; [contact.ErrConflict] for what is there twice; and
// [contact.ErrUnit].
func (s Survey) Validate() error {
	var f fault.List
	surveyFields.Check(&f, &s)
	f.In("saddle", s.Saddle.Validate())
	count := func(path string, n, least, most int) bool {
		if n < least {
			f.Add(path, strconv.Itoa(n), "at least "+strconv.Itoa(least), contact.ErrMissing)
		} else if n > most {
			f.Add(path, strconv.Itoa(n), "at most "+strconv.Itoa(most), contact.ErrRange)
		}
		return n <= most
	}
	if count("cameras", len(s.Cameras), 1, photographLimits[0]) {
		for i := range s.Cameras {
			var own fault.List
			s.Cameras[i].check(&own)
			f.In(fault.At("cameras", i), own.Err())
		}
	}
	all := map[survey.Landmark]bool{}
	if count("photographs", len(s.Photographs), 1, photographLimits[1]) {
		marks, round := 0, 0
		for i := range s.Photographs {
			marks += len(s.Photographs[i].Marks)
		}
		if count("photographs", marks, 0, mostMarks) {
			for i := range s.Photographs {
				round += s.validatePhotograph(&f, i, all)
			}
		}
		if round > mostRound {
			f.Add("photographs", strconv.Itoa(round)+" marks along wheels and hanging lines", "at most "+strconv.Itoa(mostRound), contact.ErrRange)
		}
	}
	if len(all) > mostLandmarks {
		f.Add("photographs", strconv.Itoa(len(all))+" landmarks", "at most "+strconv.Itoa(mostLandmarks), contact.ErrRange)
	}
	s.validateKnown(&f, all, count)
	return f.Err()
}

// validatePhotograph returns how many marks are along wheels and hanging lines.
func (s *Survey) validatePhotograph(f *fault.List, i int, all map[survey.Landmark]bool) (longs int) {
	p := &s.Photographs[i]
	path := fault.At("photographs", i)
	if len(p.Name) > 200 {
		f.Add(path+".name", fault.Name(p.Name), "at most 200 bytes", contact.ErrRange)
	}
	if p.Camera < 0 || p.Camera >= len(s.Cameras) {
		f.Add(path+".camera", strconv.Itoa(p.Camera), "the index of one of the cameras", contact.ErrUnknown)
	}
	if len(p.Marks) > photographLimits[2] {
		f.Add(path+".marks", strconv.Itoa(len(p.Marks)), "at most "+strconv.Itoa(photographLimits[2]), contact.ErrRange)
		return 0
	}
	seen, lines := map[survey.Landmark]bool{}, 0
	for k := range p.Marks {
		m := &p.Marks[k]
		var own fault.List
		markFields.Check(&own, m)
		longs += btoi(long(m.Landmark))
		lines += btoi(hangs(m.Landmark) && !seen[m.Landmark])
		if !known(m.Landmark) {
			own.Add("landmark", short(m.Landmark), "a landmark such as rear_axle_left or hoods_right", contact.ErrUnknown)
		} else if seen[m.Landmark] && !long(m.Landmark) {
			own.Add("landmark", short(m.Landmark), "each landmark once", contact.ErrConflict)
		}
		seen[m.Landmark], all[m.Landmark] = true, true
		f.In(fault.At(path+".marks", k), own.Err())
	}
	if n := len(seen) - lines; n < 4 {
		f.Add(path+".marks", strconv.Itoa(n)+" landmarks", "at least 4 beside hanging lines", contact.ErrMissing)
	}
	if s.edges(all) && all[survey.At(contact.SaddleReference)] {
		f.Add(path+".marks", string(survey.At(contact.SaddleReference)), "either it or the edges of the saddle", contact.ErrConflict)
	}
	return longs
}

func (s *Survey) edges(all map[survey.Landmark]bool) bool {
	return all[survey.SaddleEdgeLeft] || all[survey.SaddleEdgeRight]
}

// validateKnown checks what is known beside the photographs.
func (s *Survey) validateKnown(f *fault.List, all map[survey.Landmark]bool, count func(string, int, int, int) bool) {
	marked := func(own *fault.List, path string, l survey.Landmark) {
		if long(l) || !known(l) || !all[l] && !needed(l) {
			own.Add(path, short(l), "a landmark that is marked, and no circle or hanging line", contact.ErrUnknown)
		}
	}
	if count("distances", len(s.Distances), 0, 100) {
		for i := range s.Distances {
			d := &s.Distances[i]
			var own fault.List
			distanceFields.Check(&own, d)
			marked(&own, "from", d.From)
			marked(&own, "to", d.To)
			if d.From == d.To {
				own.Add("to", short(d.To), "another landmark than from", contact.ErrConflict)
			}
			f.In(fault.At("distances", i), own.Err())
		}
	}
	if count("sideways", len(s.Sideways), 0, mostLandmarks) {
		seen := map[survey.Landmark]bool{}
		for i := range s.Sideways {
			w := &s.Sideways[i]
			var own fault.List
			sidewaysFields.Check(&own, w)
			marked(&own, "landmark", w.Landmark)
			if seen[w.Landmark] {
				own.Add("landmark", short(w.Landmark), "each landmark once", contact.ErrConflict)
			}
			seen[w.Landmark] = true
			f.In(fault.At("sideways", i), own.Err())
		}
	}
	if count("trueness", len(s.Trueness), 0, mostLandmarks) {
		seen := map[survey.Landmark]bool{}
		for i := range s.Trueness {
			t := &s.Trueness[i]
			var own fault.List
			truenessFields.Check(&own, t)
			if _, ok := survey.UsualTrueness(t.Pair); !ok {
				own.Add("pair", short(t.Pair), "the left landmark of a pair of the frame, such as rear_axle_left", contact.ErrUnknown)
			}
			if seen[t.Pair] {
				own.Add("pair", short(t.Pair), "each pair once", contact.ErrConflict)
			}
			seen[t.Pair] = true
			_, err := t.Counts.MarshalText()
			own.Named("counts", err)
			f.In(fault.At("trueness", i), own.Err())
		}
	}
}

// clone returns a survey of its own.
func (s *Survey) clone() Survey {
	c := *s
	c.Cameras, c.Photographs = slices.Clone(s.Cameras), slices.Clone(s.Photographs)
	for i := range c.Photographs {
		c.Photographs[i].Marks = slices.Clone(c.Photographs[i].Marks)
	}
	c.Distances, c.Sideways, c.Trueness = slices.Clone(s.Distances), slices.Clone(s.Sideways), slices.Clone(s.Trueness)
	return c
}

// or returns a number, or what its zero stands for.
func or(v, zero float64) float64 {
	if v == 0 {
		return zero
	}
	return v
}

// sigmaOf returns the standard uncertainty of a mark, pixels.
func (s *Survey) sigmaOf(m *Mark) float64 { return or(m.Sigma, or(s.Sigma, 2)) }

func axis(v r3.Vec, k int) float64 { return [3]float64{v.X, v.Y, v.Z}[k] }

func finite(v r3.Vec) bool {
	sum := v.X + v.Y + v.Z
	return !math.IsNaN(sum) && !math.IsInf(sum, 0)
}
