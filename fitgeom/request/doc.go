// Package request holds all that is asked of a bike in one value: which position, in
// whatever way it is known, on which frame or on which sizes of a catalogue, with which
// parts, how closely, with what room, by which rules and for whom. Package exchange has a
// document for it, so that a program of any language asks as a Go program does.
//
//	r := request.Request{
//		Target: request.Target{Survey: read},
//		Frame:  frame,
//		Shelf:  shelf,
//		Keep:   []fitgeom.Keep{{Site: contact.SaddleReference, Tolerance: r3.Vec{X: 3, Z: 3}}},
//	}
//	p, err := r.Problem()     // a solve.Problem
//	builds, err := p.Solve(ctx)
//
// Every member may be left out. What is left out has the meaning that it has in
// [solve.Problem], and [Request.Defaults] tells which defaults that leaves, in words. A request without
// target, frame or shelf says how somebody likes to be asked for; [Request.Over] puts the
// rest beside it. [Request.Problem] reports what is still missing.
//
// # Targets
//
// A position is known from points that an instrument read ([survey.Survey]), from tape,
// level and plumb line ([survey.TapeSurvey]), from a sheet of stated measures
// ([convert.Sheet]), as a position with its covariance ([survey.Fix]), which photographs and
// records have, or as a position by itself. [Target.Solve] makes one position of any of
// them, with its covariance where there is one, and with what a person should look at before
// anything is built by it.
//
// # Cautions
//
// A request holds what was asked, not whether it was wise to ask for it. What package
// fitgeom says of manufacturers, mechanics and clinicians holds here too.
package request
