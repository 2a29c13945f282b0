package search

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/rules"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/rig"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Problem is the input of a search. It has the same fields as solve.Problem, in the same
// order, so that one converts to the other; solve.Problem documents them.
type Problem struct {
	Target     contact.Position
	Frame      fitgeom.Frame
	Shelf      fitgeom.Shelf
	Keep       []fitgeom.Keep
	Crank      fitgeom.CrankPolicy
	Wheels     chart.Wheels
	Bike       fitgeom.Build
	Vary       part.Kinds
	RoomWanted []fitgeom.RoomWish
	Preference fitgeom.Preference
	Rules      rules.Set
	Rider      rules.Rider
	Limits     rider.Limits
	Grain      float64
	Limit      int
	Workers    int
	Budget     fitgeom.Budget
}

// Fill replaces zero values by the defaults they stand for.
func (o *Problem) Fill() {
	if o.Limit == 0 {
		o.Limit = 5
	}
	if o.Grain == 0 {
		o.Grain = 0.1
	}
	if o.Vary == 0 {
		o.Vary = part.Stems | part.Handlebars | part.AeroBars
	}
	if o.Keep == nil {
		o.Keep = fitgeom.DefaultKeep(o.Target)
	}
	if o.RoomWanted == nil {
		o.RoomWanted = fitgeom.DefaultRoom()
	}
	if o.Preference == (fitgeom.Preference{}) {
		o.Preference = fitgeom.DefaultPreference(o.Keep)
	}
	if o.Preference.Nothing {
		o.Preference = fitgeom.Preference{Nothing: true}
	}
}

// Check reports what is wrong with a filled problem, except its frame and shelf, and which
// kept sites the target lacks.
func (o *Problem) Check(f *fault.List) {
	f.Range("limit", float64(o.Limit), 1, 1000, "candidates")
	f.Range("workers", float64(o.Workers), 0, 64, "goroutines")
	f.Range("grain", o.Grain, 1e-8, 10, "tolerances")
	f.Range("vary", float64(o.Vary), 0, float64(part.AllKinds), "as a set of kinds")
	if o.Crank > fitgeom.KeepSaddle {
		f.Add("crank", o.Crank.String(), "a policy of this package", contact.ErrUnknown)
	}
	seen := map[contact.Site]bool{}
	for i, k := range o.Keep {
		path := fault.At("keep", i)
		f.In(path, k.Validate())
		if !k.Site.Valid() {
			continue
		}
		if seen[k.Site] {
			f.Add(path+".site", k.Site.String(), "each site once", contact.ErrConflict)
		}
		seen[k.Site] = true
		if _, ok := o.Target.At(k.Site); !ok && k.Tolerance != (r3.Vec{}) {
			f.Add("target.sites."+k.Site.String(), "", "it to be known", contact.ErrMissing)
		}
		if _, ok := o.Target.Attitude(k.Site); !ok && k.Turn.Asks() && k.Site != contact.SaddleReference {
			f.Add("target.sites."+k.Site.String()+".attitude", "", "it to be known", contact.ErrMissing)
		}
		if k.Site == contact.SaddleReference && (k.Tolerance.X == 0 || k.Tolerance.Z == 0) {
			f.Add(path+".tolerance_mm", "0 mm", "a horizontal and a vertical tolerance for the saddle reference", contact.ErrMissing)
		}
	}
	if !seen[contact.SaddleReference] {
		f.Add("keep", "", "the saddle reference to be kept", contact.ErrMissing)
	}
	if a, ok := o.Target.Attitude(contact.SaddleReference); !ok {
		f.Add("target.sites.saddle_reference.attitude.tilt_deg", "", "it to be known", contact.ErrMissing)
	} else {
		f.Range("target.sites.saddle_reference.attitude.tilt_deg", a.Tilt, -45, 45, "degrees")
	}
	o.checkRoom(f)
	o.checkCranks(f)
}

// checkRoom reports what is wrong with the room and the preference that are wanted.
func (o *Problem) checkRoom(f *fault.List) {
	seen := map[contact.Group]bool{}
	for i, r := range o.RoomWanted {
		path := fault.At("room_wanted", i)
		f.In(path, r.Validate())
		if seen[r.Group] {
			f.Add(path+".group", r.Group.String(), "each group once", contact.ErrConflict)
		}
		seen[r.Group] = true
	}
	f.In("preference", o.Preference.Validate())
	f.In("rules", o.Rules.Validate())
	f.In("rider", o.Rider.Validate())
	f.In("limits", o.Limits.Validate())
}

// checkCranks reports a saddle that the policy cannot move for all cranks of the shelf.
func (o *Problem) checkCranks(f *fault.List) {
	saddle, _ := o.Target.At(contact.SaddleReference)
	for i := range o.Shelf.Cranks {
		build := Stroke{Length: o.Shelf.Cranks[i].Length, Footed: len(o.Shelf.Pedals) > 0, Known: true}
		if m, ok := SaddleMoved(o.Crank, saddle, StrokeOf(&o.Target), build); !ok {
			f.Add("target.sites.saddle_reference.at_mm", "nearer to the centre of the foot's circle", "it further than the "+num.Text(math.Abs(m.Crank), "mm")+" by which "+fault.At("shelf.cranks", i)+" differs from the target's", contact.ErrConflict)
			return
		}
	}
}

// ChassisOf returns the chassis of a frame on its wheels.
func ChassisOf(f *fitgeom.Frame, w chart.Wheels) rig.Chassis {
	pitch, _ := f.Geometry.Pitch(w)
	return rig.NewChassis(&f.Geometry, f.SeatTubeTop, pitch)
}
