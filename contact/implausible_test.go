package contact_test

import (
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/spatial/r3"
)

// What people have typed, each in a position that is sound otherwise: what is found, by
// its path. Bounds are common practice, no source; the cases lie well beyond them.
func TestFindings(t *testing.T) {
	sound := contact.New(nil)
	for _, s := range contact.Sites() {
		sound.Set(s, s.Usual())
	}
	assert.Empty(t, sound.Findings(), "usual places are usual")
	assert.Empty(t, fuzzedPosition().Findings())
	assert.Empty(t, contact.Position{}.Findings())
	for name, c := range map[string]struct {
		do    func(*contact.Position)
		paths []string
	}{
		"nose 100 up": {shifted(contact.SaddleNose, 0, 0, 100), []string{"sites.saddle_reference.attitude.tilt_deg", "sites.saddle_reference.at_mm[2]"}},
		"read 18° nose-up": {func(p *contact.Position) {
			p.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: 18})
		}, []string{"sites.saddle_reference.attitude.tilt_deg"}},
		"both edges 30 high": {shifted(contact.SaddleReference, 0, 0, 30), []string{"sites.saddle_reference.at_mm[2]"}},
		"ends 100 above":     {each(shifted(contact.SaddleNose, 0, 0, 100), shifted(contact.SaddleRear, 0, 0, 100)), []string{"sites.saddle_reference.at_mm[2]"}},
		"nose alone, 100 up": {each(forget(contact.SaddleRear), shifted(contact.SaddleNose, 0, 0, 100)), []string{"sites.saddle_nose.at_mm[2]"}},
		"rear alone, 100 up": {each(forget(contact.SaddleNose), shifted(contact.SaddleRear, 0, 0, 100)), []string{"sites.saddle_rear.at_mm[2]"}},
		"nose 100 further":   {shifted(contact.SaddleNose, 100, 0, 0), []string{"sites.saddle_nose.at_mm[0]"}},
		"rear 100 further":   {shifted(contact.SaddleRear, -100, 0, 0), []string{"sites.saddle_rear.at_mm[0]"}},
		"edges exchanged": {func(p *contact.Position) {
			p.SetAttitude(contact.SaddleReference, contact.Attitude{Yaw: 12, Roll: 179.5})
		}, []string{"sites.saddle_reference.attitude.yaw_deg", "sites.saddle_reference.attitude.roll_deg"}},
		"saddle 60 off the plane": {shifted(contact.SaddleReference, 0, 60, 0), []string{"sites.saddle_reference.at_mm[1]"}},
		"setback of the wrong sign": {func(p *contact.Position) {
			for _, s := range []contact.Site{contact.SaddleReference, contact.SaddleNose, contact.SaddleRear} {
				shifted(s, 280, 0, 0)(p)
			}
		}, []string{"sites.saddle_reference.at_mm[0]"}},
		"hoods 120 up":       {each(shifted(contact.HoodsLeft, 0, 0, 120), shifted(contact.HoodsRight, 0, 0, 120)), []string{"sites.hoods_left.at_mm[2]", "sites.hoods_right.at_mm[2]", "sites.drops_left.at_mm[2]", "sites.drops_right.at_mm[2]"}},
		"hood 50 low":        {shifted(contact.HoodsLeft, 0, 0, -50), []string{"sites.hoods_left.at_mm"}},
		"reach of 300":       {each(shifted(contact.HoodsLeft, 150, 0, 0), shifted(contact.HoodsRight, 150, 0, 0)), []string{"sites.hoods_left.at_mm[0]", "sites.hoods_right.at_mm[0]"}},
		"drops at the hoods": {each(forget(contact.BarClamp), each(shifted(contact.DropsLeft, 0, 0, 140), shifted(contact.DropsRight, 0, 0, 140))), []string{"sites.drops_left.at_mm[2]", "sites.drops_right.at_mm[2]"}},
		"tips behind pads": {func(p *contact.Position) {
			p.Forget(contact.BarClamp)
			shifted(contact.ExtensionLeft, -400, 0, 0)(p)
			shifted(contact.ExtensionRight, -400, 0, 0)(p)
		}, []string{"sites.extension_left.at_mm[0]", "sites.extension_right.at_mm[0]"}},
		"cranks 165 and 172.5": {shifted(contact.PedalLeft, -7, 0, 0), []string{"sites.pedal_left.at_mm[0]"}},
		"half a bar's width":   {each(shifted(contact.HoodsLeft, 0, -100, 0), shifted(contact.HoodsRight, 0, 100, 0)), []string{"sites.hoods_left.at_mm[1]"}},
		"crank 172 as 127":     {each(shifted(contact.PedalLeft, -45, 0, 0), shifted(contact.PedalRight, -45, 0, 0)), []string{"sites.pedal_left.at_mm[0]"}},
		"setback and height exchanged": {func(p *contact.Position) {
			for _, s := range []contact.Site{contact.SaddleReference, contact.SaddleNose, contact.SaddleRear} {
				shifted(s, -500, 0, -450)(p)
			}
		}, []string{"sites.saddle_reference.at_mm[0]"}},
		"pedals 40 and 74 from it":   {shifted(contact.PedalLeft, 0, -34, 0), []string{"sites.pedal_left.at_mm[1]"}},
		"clamp 30 beside the middle": {shifted(contact.BarClamp, 0, -30, 0), []string{"sites.bar_clamp.at_mm[1]"}},
	} {
		p := sound
		c.do(&p)
		assert.NoError(t, p.Validate(), name)
		var paths []string
		for _, f := range p.Findings() {
			paths = append(paths, f.Path)
			assert.True(t, f.Value < f.Least || f.Value > f.Most, f)
			assert.Contains(t, f.String(), "common practice, no source")
		}
		assert.Equal(t, c.paths, paths, name)
	}
	f := contact.Oddity{Path: "a", What: "ratio", Value: 0.9, Least: 1, Most: 2, Source: "a book"}
	assert.Equal(t, "b.a: ratio 0.9, usual are 1 to 2 (a book)", f.In("b").String())
}

// Hands behind the saddle are no bicycle: X is reversed.
func TestHandsBehindTheSaddle(t *testing.T) {
	p := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: 95, Z: 705}, contact.HoodsLeft: {X: -380, Y: 205, Z: 660}, contact.HoodsRight: {X: -380, Y: -205, Z: 660},
	})
	err := p.Validate()
	assert.ErrorIs(t, err, contact.ErrConflict)
	assert.ErrorContains(t, err, "X backwards?")
	p.Set(contact.SaddleReference, r3.Vec{X: math.NaN()})
	p.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: math.Inf(1)})
	assert.Empty(t, p.Findings(), "what is not valid has faults instead")
}

func shifted(s contact.Site, x, y, z float64) func(*contact.Position) {
	return func(p *contact.Position) { *p = p.Moved(r3.Vec{X: x, Y: y, Z: z}, s) }
}

func forget(s contact.Site) func(*contact.Position) {
	return func(p *contact.Position) { p.Forget(s) }
}

func each(a, b func(*contact.Position)) func(*contact.Position) {
	return func(p *contact.Position) { a(p); b(p) }
}
