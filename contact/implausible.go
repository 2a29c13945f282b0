package contact

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// An Oddity is a number that hardly any bicycle has, though one might: often a sign, a
// unit or a label that was exchanged. It refuses nothing. A person should look at it
// before anything is bought or built by the numbers.
type Oddity struct {
	// Path names what is concerned, as documents do: "sites.hoods_left.at_mm[2]".
	Path string `json:"path"`
	// What says which number it is: "tilt of the saddle".
	What string `json:"what"`
	// Value is the number, and Least and Most are what is usual, in Unit: "mm",
	// "degrees" or, for a ratio, "".
	Value float64 `json:"value"`
	Least float64 `json:"least"`
	Most  float64 `json:"most"`
	Unit  string  `json:"unit,omitempty"`
	// Source is where the bound comes from. Empty: common practice, no source.
	Source string `json:"source,omitempty"`
}

// String returns the finding in a short sentence, with its bound and where that comes
// from.
func (f Oddity) String() string {
	source, unit := f.Source, f.Unit
	if source == "" {
		source = "common practice, no source"
	}
	if unit != "" {
		unit = " " + unit
	}
	return fmt.Sprintf("%s: %s %.4g%s, usual are %.4g to %.4g%s (%s)", f.Path, f.What, f.Value, unit, f.Least, f.Most, unit, source)
}

// In returns the finding about a part of something larger, of which path is the name.
func (f Oddity) In(path string) Oddity {
	f.Path = path + "." + f.Path
	return f
}

// findings collects what lies outside of what is usual.
type findings []Oddity

func (all *findings) mm(value, least, most float64, path, what string) {
	all.look(value, least, most, "mm", path, what)
}

func (all *findings) degrees(value, least, most float64, path, what string) {
	all.look(value, least, most, "degrees", path, what)
}

func (all *findings) look(value, least, most float64, unit, path, what string) {
	if value < least || value > most {
		*all = append(*all, Oddity{Path: path, What: what, Value: value, Least: least, Most: most, Unit: unit})
	}
}

// Findings returns what hardly any position has, in a fixed order; nothing of one that
// [Position.Validate] refuses. The bounds are common practice, no source:
// ends of the saddle 60 to 220 mm from its reference, which lies 30 mm below to 15 mm above
// the line through them; a tilt of -15 to 10 degrees; saddle and clamp within 20 mm of the
// mid-plane; a saddle no more than 60 mm in front of the bottom bracket, and behind it by no more
// than 0.8 of its height above it; hands no further above, below, in front of or behind the clamp
// than bars are long, hoods 280 to 560, drops 300 to 700 and grips 400 to 900 mm apart; left and
// right within 30 mm of mirroring each other; cranks of 130 to 200 mm, within 4 mm of each other
// and 20 mm across; drops below the hoods, and tips in front of the pads.
func (p Position) Findings() []Oddity {
	if p.Validate() != nil {
		return nil
	}
	var all findings
	p.saddleFindings(&all)
	for _, s := range [...]Site{SaddleReference, BarClamp} {
		if v, ok := p.at(s); ok {
			all.mm(v.Y, -20, 20, path(s, AxisY), "distance from the mid-plane")
		}
	}
	if v, ok := p.at(SaddleReference); ok {
		all.mm(v.X, -1300, 60, path(SaddleReference, AxisX), "saddle in front of the bottom bracket")
		if v.Z > 0 {
			all.look(-v.X/v.Z, -0.5, 0.8, "", path(SaddleReference, AxisX), "saddle behind the bottom bracket over above it")
		}
	}
	p.handFindings(&all)
	for i := 1; i < SiteCount; i++ {
		if left := Site(i); sites[left].side == Left && left.Group() != OnFeet {
			p.mirrorFindings(&all, left)
		}
	}
	return all
}

// saddleFindings looks at the saddle as a body.
func (p *Position) saddleFindings(all *findings) {
	ref, okRef := p.at(SaddleReference)
	nose, okNose := p.at(SaddleNose)
	rear, okRear := p.at(SaddleRear)
	tilt, tilted := 0.0, false
	if a, ok := p.Attitude(SaddleReference); ok {
		tilt, tilted = a.Tilt, true
		all.degrees(a.Yaw, -10, 10, path(SaddleReference, AxisYaw), "direction of the saddle")
		all.degrees(a.Roll, -10, 10, path(SaddleReference, AxisRoll), "saddle higher on the left")
	}
	if okNose && okRear && !tilted {
		tilt, tilted = math.Atan2(nose.Z-rear.Z, nose.X-rear.X)*180/math.Pi, true
	}
	if tilted {
		all.degrees(tilt, -15, 10, path(SaddleReference, AxisTilt), "tilt of the saddle (positive: nose-up)")
	}
	if okRef && okNose {
		all.mm(nose.X-ref.X, 60, 220, path(SaddleNose, AxisX), "nose in front of the reference")
		if !okRear {
			all.mm(nose.Z-ref.Z, -50, 30, path(SaddleNose, AxisZ), "nose above the reference")
		}
	}
	if okRef && okRear {
		all.mm(ref.X-rear.X, 50, 220, path(SaddleRear, AxisX), "rear behind the reference")
		if !okNose {
			all.mm(rear.Z-ref.Z, -30, 50, path(SaddleRear, AxisZ), "rear above the reference")
		}
	}
	if long := nose.X - rear.X; okRef && okNose && okRear && long > 0 {
		line := rear.Z + (nose.Z-rear.Z)*(ref.X-rear.X)/long
		all.mm(ref.Z-line, -30, 15, path(SaddleReference, AxisZ), "reference above the line from rear to nose")
	}
}

// handPlaces is where hands are from the clamp, forward and up. Common practice, no
// source.
var handPlaces = [...]struct {
	left       Site
	lo, hi     [2]float64 // X, Z
	front, top string
}{
	{TopsLeft, [2]float64{-60, -40}, [2]float64{80, 80}, "tops in front of the clamp", "tops above the clamp"},
	{HoodsLeft, [2]float64{20, -60}, [2]float64{200, 100}, "hoods in front of the clamp", "hoods above the clamp"},
	{DropsLeft, [2]float64{-80, -230}, [2]float64{180, 0}, "drops in front of the clamp", "drops above the clamp"},
	{GripLeft, [2]float64{-250, -120}, [2]float64{200, 150}, "grip in front of the clamp", "grip above the clamp"},
	{PadLeft, [2]float64{-250, -40}, [2]float64{120, 250}, "pad in front of the clamp", "pad above the clamp"},
	{ExtensionLeft, [2]float64{0, -100}, [2]float64{500, 450}, "tip in front of the clamp", "tip above the clamp"},
}

// handFindings looks at where the hands are from the clamp and from each other.
func (p *Position) handFindings(all *findings) {
	clamp, ok := p.at(BarClamp)
	for i := range handPlaces {
		h := &handPlaces[i]
		for _, s := range h.left.Both() {
			if v, known := p.at(s); known && ok {
				all.mm(v.X-clamp.X, h.lo[0], h.hi[0], path(s, AxisX), h.front)
				all.mm(v.Z-clamp.Z, h.lo[1], h.hi[1], path(s, AxisZ), h.top)
			}
		}
	}
	for _, side := range [...]Side{Left, Right} {
		hoods, drops := HoodsLeft.On(side), DropsLeft.On(side)
		if a, ok := p.at(hoods); ok {
			if b, ok := p.at(drops); ok {
				all.mm(a.Z-b.Z, 20, 250, path(drops, AxisZ), "hoods above the drops")
			}
		}
		pad, tip := PadLeft.On(side), ExtensionLeft.On(side)
		if a, ok := p.at(pad); ok {
			if b, ok := p.at(tip); ok {
				all.mm(b.X-a.X, 100, 500, path(tip, AxisX), "tip in front of the pad")
			}
		}
	}
}

// handWidths is how far hands are apart. Common practice, no source.
var handWidths = [...]struct {
	left        Site
	least, most float64
	what        string
}{
	{HoodsLeft, 280, 560, "distance of the hoods from each other"},
	{DropsLeft, 300, 700, "distance of the drops from each other"},
	{GripLeft, 400, 900, "distance of the grips from each other"},
}

// mirrorFindings looks at how well a pair mirrors each other.
func (p *Position) mirrorFindings(all *findings, left Site) {
	l, okL := p.at(left)
	r, okR := p.at(sites[left].mate)
	if !okL || !okR {
		return
	}
	for _, w := range handWidths {
		if w.left == left {
			all.mm(l.Y-r.Y, w.least, w.most, path(left, AxisY), w.what)
		}
	}
	if left.Group() == OnPedals {
		all.mm(l.X, 130, 200, path(left, AxisX), "crank length")
		all.mm(l.X-r.X, -4, 4, path(left, AxisX), "left crank longer than the right one")
		all.mm(l.Y+r.Y, -20, 20, path(left, AxisY), "left pedal further out than the right one")
		return
	}
	all.mm(r3.Norm(r3.Vec{X: l.X - r.X, Y: l.Y + r.Y, Z: l.Z - r.Z}), 0, 30, "sites."+left.String()+".at_mm", "distance from the mirror image of the right one")
}
