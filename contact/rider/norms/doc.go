// Package norms has what studies say of joint angles of riders, as data, and compares angles
// with it.
//
// A [Norm] is a range or a mean of one angle at one place of the stroke, with its study, the
// method, the landmarks and the people; [Norms] lists those that the project knows. A [Reading]
// is one rider's angle with its method, and [Norm.Compare] says whether it is below, within or
// above, by how much, and how well that is known.
//
// # Methods do not mix
//
// A knee that is measured standing still is not the knee that pedals, and a camera from the side
// sees less flexion than several cameras in space. Comparisons of one method with another are
// refused. A [Correction] carries an angle from one method to another, as a study found that they
// differ; none is applied unless [Correction.Apply] is called. It holds for its variable, its place
// of the stroke and its two methods, in one direction.
//
// Angles that package contact/rider computes have the method of the measures that its body is from,
// and recordings of contact/motion that of their cameras; the caller says which.
// Landmarks are in words: read them before comparing.
//
// # Cautions
//
//   - A norm is what some people did or what somebody advised, and not a prescription. Riders
//     outside it may be well, and within it they may hurt.
//   - Cohorts are small and often of one kind of rider.
//   - A clinician's word on this rider goes before any norm.
//   - [Norms] is a beginning. Most numbers were read in abstracts, some in other documents that
//     quote them, and Seen says so of each.
//
// # Errors
//
// Faults are [*contact.Error]. All faults of an input are reported together.
package norms
