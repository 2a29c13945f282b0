package request

import (
	"strconv"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/fault"
)

// A Bike names parts of the shelf that are on the bike now, by their names there. An empty
// name: none of the shelf's.
type Bike struct {
	// Cap is the headset cap, Stem what holds the handlebar, and BarShim what lies between them.
	Cap     string `json:"cap,omitzero"`
	Stem    string `json:"stem,omitzero"`
	BarShim string `json:"bar_shim,omitzero"`
	// Handlebar, Lever and AeroBar are what the hands hold.
	Handlebar string `json:"handlebar,omitzero"`
	Lever     string `json:"lever,omitzero"`
	AeroBar   string `json:"aero_bar,omitzero"`
	// Seatpost holds the Saddle, SeatpostShim lies between it and the frame.
	Seatpost     string `json:"seatpost,omitzero"`
	SeatpostShim string `json:"seatpost_shim,omitzero"`
	Saddle       string `json:"saddle,omitzero"`
	// Crank and Pedal are the left and the right one together.
	Crank string `json:"crank,omitzero"`
	Pedal string `json:"pedal,omitzero"`
}

// on returns the build with the parts of a shelf that are named, and reports names that the
// shelf does not have, or has more than once.
func (b *Bike) on(f *fault.List, s *fitgeom.Shelf) fitgeom.Build {
	return fitgeom.Build{ //exhaustruct:ignore
		Cap:          named(f, "bike.cap", b.Cap, s.Caps, func(p *part.HeadsetCap) string { return p.Name }),
		Stem:         named(f, "bike.stem", b.Stem, s.Stems, func(p *part.Stem) string { return p.Name }),
		BarShim:      named(f, "bike.bar_shim", b.BarShim, s.Shims, func(p *part.Shim) string { return p.Name }),
		Handlebar:    named(f, "bike.handlebar", b.Handlebar, s.Handlebars, func(p *part.Handlebar) string { return p.Name }),
		Lever:        named(f, "bike.lever", b.Lever, s.Levers, func(p *part.Lever) string { return p.Name }),
		Aero:         named(f, "bike.aero_bar", b.AeroBar, s.AeroBars, func(p *part.AeroBar) string { return p.Name }),
		Seatpost:     named(f, "bike.seatpost", b.Seatpost, s.Seatposts, func(p *part.Seatpost) string { return p.Name }),
		SeatpostShim: named(f, "bike.seatpost_shim", b.SeatpostShim, s.Shims, func(p *part.Shim) string { return p.Name }),
		Saddle:       named(f, "bike.saddle", b.Saddle, s.Saddles, func(p *part.Saddle) string { return p.Name }),
		Crank:        named(f, "bike.crank", b.Crank, s.Cranks, func(p *part.Crank) string { return p.Name }),
		Pedal:        named(f, "bike.pedal", b.Pedal, s.Pedals, func(p *part.Pedal) string { return p.Name }),
	}
}

// named returns the part of that name.
func named[P comparable](f *fault.List, path, name string, all []P, of func(*P) string) (found P) {
	if name == "" {
		return found
	}
	n := 0
	var names []string
	for i := range all {
		if of(&all[i]) == name {
			if n++; n == 1 {
				found = all[i]
			}
		}
		if len(names) < 12 && of(&all[i]) != "" {
			names = append(names, strconv.Quote(fault.Name(of(&all[i]))))
		}
	}
	switch {
	case n == 0:
		want := "the name of a part on the shelf"
		if len(names) > 0 {
			want += ": " + strings.Join(names, ", ")
		}
		f.Add(path, strconv.Quote(fault.Name(name)), want, contact.ErrUnknown)
	case n > 1:
		f.Add(path, strconv.Quote(fault.Name(name)), "a name that one part of the shelf has: "+strconv.Itoa(n)+" have it", contact.ErrConflict)
	}
	return found
}
