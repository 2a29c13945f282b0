package draw

import (
	"encoding/xml"
	"errors"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

func figure() *Figure { return &Figure{Name: "f", Title: "t", Desc: "d", W: 300, H: 200} }

func TestFaults(t *testing.T) {
	f := figure()
	f.Text(Point{10, 50}, -1, "", "one text")
	f.Text(Point{10, 100}, -1, "", "another")
	assert.Empty(t, f.Faults())
	f.Text(Point{60, 104}, -1, "", "third")
	f.Text(Point{290, 150}, -1, "", "fourth")
	f.Text(Point{2, 150}, 1, "", "fifth")
	f.Text(Point{50, 8}, -1, "", "sixth")
	assert.Equal(t, []string{`"third" lies on "another"`, `"fourth" leaves the figure`, `"fifth" leaves the figure`, `"sixth" leaves the figure`}, f.Faults())
}

// As many labels as there is room for go round a point, each clear of all
// others and of the point; when there is none, that is told.
func TestLabelsKeepClear(t *testing.T) {
	f := figure()
	for range 6 {
		f.Dot("disc", Point{150, 100}, 4)
		f.Label(Point{150, 100}, "a label", "")
	}
	assert.Empty(t, f.Faults())
	require.Len(t, f.texts, 6)
	for _, x := range f.texts {
		assert.False(t, x.box.overlaps(f.pins[0]))
	}
	for range 100 {
		f.Label(Point{150, 100}, "a label", "")
	}
	all := f.Faults()
	require.NotEmpty(t, all)
	for _, s := range all {
		assert.Equal(t, `no room for "a label"`, s)
	}
}

func TestLabelsAvoidLines(t *testing.T) {
	f := figure()
	f.Path("s1", false, Point{150, 100}, Point{299, 100})
	f.Label(Point{150, 100}, "name", "", "e")
	assert.Empty(t, f.Faults())
	assert.False(t, f.texts[0].box.crosses(Point{150, 100}, Point{299, 100}))
}

func TestCrosses(t *testing.T) {
	b := Box{10, 10, 20, 20}
	for _, c := range []struct {
		p, q Point
		want bool
	}{
		{Point{0, 15}, Point{30, 15}, true},
		{Point{15, 0}, Point{15, 30}, true},
		{Point{12, 12}, Point{13, 13}, true}, // inside
		{Point{0, 0}, Point{30, 30}, true},
		{Point{0, 5}, Point{30, 5}, false},
		{Point{0, 15}, Point{9, 15}, false},
		{Point{0, 25}, Point{35, 18}, false}, // passes a corner
		{Point{25, 0}, Point{25, 30}, false},
	} {
		assert.Equal(t, c.want, b.crosses(c.p, c.q), "%v", c)
	}
}

func TestSVG(t *testing.T) {
	f := figure()
	f.Title = `a <b> & "c"`
	f.Text(Point{10, 50}, -1, "", "</text><script>")
	f.Path("s1", false, Point{-0.04, 1}, Point{20, 20})
	svg := f.SVG()
	d := xml.NewDecoder(strings.NewReader(svg))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err, "well-formed XML")
		if e, ok := token.(xml.StartElement); ok {
			assert.NotEqual(t, "script", e.Name.Local)
		}
	}
	assert.Contains(t, svg, `d="M0 1L20 20"`, "no -0")
	// A program that does not know variables has a colour anyway.
	for _, m := range regexp.MustCompile(`(fill|stroke):var\(`).FindAllStringIndex(svg, -1) {
		before := svg[:m[0]]
		at := strings.LastIndexAny(before[:len(before)-1], ";{")
		assert.Regexp(t, `^(fill|stroke):#[0-9a-f]{6};$`, before[at+1:])
	}
	assert.NotContains(t, f.Inline(), "<style>")
}

func numbers(s string) []float64 {
	var all []float64
	for _, m := range regexp.MustCompile(`-?[\d.]+`).FindAllString(s, -1) {
		v, _ := strconv.ParseFloat(m, 64)
		all = append(all, v)
	}
	return all
}

// The shadow of an ellipse {k·C^½·u} on an axis is k standard deviations of that
// axis to both sides (Cauchy-Schwarz: max of aᵀx over xᵀC⁻¹x = k² is k√(aᵀCa)).
func TestEllipse(t *testing.T) {
	v := Side("v", "t", Window{X0: -100, X1: 100, Z0: -100, Z1: 100, Head: 40})
	v.Ellipse(Point{100, 100}, 4, 1.5, 1, 2, 30)
	n := numbers(v.shapes[len(v.shapes)-1].D)
	x, z := 0., 0.
	for i := 0; i < len(n); i += 2 {
		x, z = max(x, n[i]-100), max(z, 100-n[i+1])
	}
	const perMM = 0.5 * 30
	assert.InDelta(t, 2*2*perMM, x, 0.5)
	assert.InDelta(t, 2*1*perMM, z, 0.5)
}

// A view is to scale, X to the right and Z up.
func TestView(t *testing.T) {
	v := Side("v", "t", Window{X0: -100, X1: 900, Z0: -200, Z1: 400, Head: 40})
	o, a := v.At(r3.Vec{}), v.At(r3.Vec{X: 200, Y: 77, Z: 100})
	assert.Equal(t, Point{o.X + 100, o.Y - 50}, a)
	v.Horizontal(r3.Vec{}, r3.Vec{X: 200, Z: 100}, 300, "horizontal 200")
	last := v.shapes[len(v.shapes)-1]
	assert.Equal(t, "head dim", last.Class)
	assert.Equal(t, []float64{o.X, o.Y - 150}, numbers(last.D)[:2], "the second arrow points at the first end")
	assert.Empty(t, v.Faults())
}

// A build is drawn where it is: circles at the axles with the tyres' radii.
func TestBuild(t *testing.T) {
	b := invented.Build()
	g := b.Frame.Geometry
	v := Side("v", "t", Window{X0: -800, X1: 1000, Z0: -320, Z1: 800, Head: 40})
	p, err := v.Build(b)
	require.NoError(t, err)
	want, err := b.Position()
	require.NoError(t, err)
	assert.Equal(t, want, p)
	clamp, _ := p.At(contact.BarClamp)
	assert.Contains(t, drawn(v), num(v.At(clamp).X)+" "+num(v.At(clamp).Y))
	if front, ok := g.FrontAxle(); ok {
		assert.Contains(t, drawn(v), num(v.At(front).X)+" "+num(v.At(front).Y))
	}
	for _, m := range convert.Measures() {
		v.Measure(p, convert.Basis{SeatAngle: g.SeatAngle, BottomBracketHeight: 270}, Line{m, 100})
	}
	// One measure each way, a direct one first.
	for _, m := range []convert.Measure{convert.SaddleHeight, convert.SaddleSetback, convert.BarStack, convert.SaddleHeightSeatTube, convert.CrankLength} {
		assert.True(t, v.Measure(p, convert.Basis{SeatAngle: g.SeatAngle}, Line{m, 100}), m)
	}
	for _, s := range v.shapes {
		assert.NotContains(t, s.D+s.X+s.Y+s.R, "NaN")
	}
}

func drawn(v *View) string {
	var all strings.Builder
	for _, s := range v.shapes {
		all.WriteString(s.D + " " + s.X + " " + s.Y + "\n")
	}
	return all.String()
}

func TestRooms(t *testing.T) {
	all := roomsOf([]fitgeom.Margin{{Limit: fitgeom.LimitSeatpostUp, Room: 20}, {Limit: fitgeom.LimitSeatpostDown, Room: 30}, {Limit: fitgeom.LimitRotationUp, Room: -2}, {Limit: fitgeom.LimitRotationDown, Room: 12}})
	require.Len(t, all, 2)
	assert.Equal(t, Room{"seatpost", "down", "up", "mm", 30, 20, true, true}, all[0])
	f := Bars("b", "t", all)
	assert.Empty(t, f.Faults())
	var bars []float64
	for _, s := range f.shapes {
		if s.Class == "bar" || s.Class == "out" {
			n := numbers(s.D)
			bars = append(bars, math.Abs(n[2]-n[0]))
		}
	}
	assert.Equal(t, []float64{45, 30, 96, 16}, bars, "1.5 px to a mm, 8 px to a degree")
}
