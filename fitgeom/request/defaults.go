package request

import (
	"fmt"
	"reflect"
	"strconv"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/solve"
)

// A Default is what a request leaves to the library.
type Default struct {
	// Member is the member of the request that is left out.
	Member string
	// Says is what that means, in words.
	Says string
}

// Defaults returns what the request leaves out and the library decides, in words, in the
// order of the fields. What is kept by default depends on the target.
func (r Request) Defaults(target contact.Position) (all []Default) {
	say := func(stated bool, member, says string) {
		if !stated {
			all = append(all, Default{member, says})
		}
	}
	keep := r.Keep
	if len(keep) == 0 {
		keep = fitgeom.DefaultKeep(target)
		var sites []string
		for _, k := range keep {
			sites = append(sites, kept(&k))
		}
		say(false, "keep", "what is usual for such a position: "+strings.Join(sites, "; "))
	}
	say(r.Crank != fitgeom.KeepFarEnd, "crank", "with other cranks the saddle moves, so that the foot at the far end of its stroke is as far from it as before")
	say(r.Wheels != solve.Problem{}.Wheels, "wheels", "the bike stands as its chart draws it, on its own tyres and without sag")
	say(r.Bike != Bike{}, "bike", "how many parts have to be bought does not count")
	if !r.NoRoom && len(r.RoomWanted) == 0 {
		var wishes []string
		for _, w := range fitgeom.DefaultRoom() {
			wishes = append(wishes, fmt.Sprintf("%v up %d, down %d, forward %d and back %d mm", w.Group, w.Up, w.Down, w.Forward, w.Back))
		}
		say(false, "room_wanted", "what is usual is wanted: "+strings.Join(wishes, "; "))
	}
	say(r.Preference != fitgeom.Preference{}, "preference", "builds in the middle of what is usual come first (common practice, no source)")
	say(r.Rules != Race{}, "rules", "no rules of a race are asked for")
	say(len(r.Limits.Joints) > 0, "limits", "no limits of the rider's joints are asked for")
	say(r.Grain != 0, "grain", "builds that differ by less than 0.1 of a tolerance count as equally close")
	say(r.Limit != 0, "limit", "the best 5 are looked for")
	return all
}

// kept says how closely a site is kept.
func kept(k *fitgeom.Keep) string {
	var axes []string
	for _, a := range [...]struct {
		tolerance  float64
		name, unit string
	}{
		{k.Tolerance.X, "forward", "mm"},
		{k.Tolerance.Y, "left", "mm"},
		{k.Tolerance.Z, "up", "mm"},
		{k.Turn.Tilt, "tilt", "°"},
		{k.Turn.Yaw, "yaw", "°"},
		{k.Turn.Roll, "roll", "°"},
	} {
		if a.tolerance != 0 {
			axes = append(axes, a.name+" ± "+strconv.FormatFloat(a.tolerance, 'f', -1, 64)+" "+a.unit)
		}
	}
	return strings.ReplaceAll(k.Site.String(), "_", " ") + " " + strings.Join(axes, ", ")
}

// overlay takes from another request what one leaves out.
func overlay(r, under *Request) {
	if shelved(&r.Shelf) { // names of parts are of a shelf
		under.Bike = Bike{}
	}
	over, from := reflect.ValueOf(r).Elem(), reflect.ValueOf(under).Elem()
	for i := range over.NumField() {
		if f := over.Field(i); f.IsZero() || f.Kind() == reflect.Slice && f.Len() == 0 {
			over.Field(i).Set(from.Field(i))
		}
	}
}
