// Package photo turns what was marked in photographs of a bicycle into contact points, with
// their uncertainty. It is geometry: image points go in, and no picture is opened.
//
// # What to photograph and mark
//
// The bike stands still, whole in each picture, with its wheels on the ground; it may lean
// and its front wheel may be turned. In each photograph a person, or a detector, marks where
// landmarks are seen: those of package survey (the ends of the axles and of the bottom
// bracket, the head tube, contact sites, marks of one's own on frame or floor), points along
// the wheels' rims ([FrontCircleLeft] and so on) and where the wheels stand ([FrontGround]).
// Only what can be seen is marked: what is on the far side comes from its own side.
//
// The height of both axles above the ground tells the horizontal. The scale comes from what
// is known: a radius of the circles that are marked along the wheels, the feet of the
// wheels, the crank length, or a [Distance], such as one of a sheet that lies in the
// picture. Two or more check each other.
//
// # One photograph
//
// A photograph from the side tells the side view. How far from the mid-plane a landmark is
// it does not tell, but what is nearer is seen larger and further from the middle: so this
// must be stated ([Sideways]), or it is taken to be usual, with a standard uncertainty that
// is usual too (of hoods 210 ± 20 mm, of pedals 74 ± 6 mm; common practice, no source). It
// dominates, and a [Finding] says so for each landmark: [Assumed]. The further away the
// camera stands, the less it matters.
//
// # Two and more
//
// All marks, cameras and landmarks are fitted together (a bundle adjustment), in the axes of
// the bike itself. Left and right of a frame mirror each other to 1 mm, as in package survey,
// those of saddles to 3 mm and of bars to 5 mm; cranks are equally long and opposite to 1 mm,
// and their pedals two crank lengths apart; wheels are circles about their axles. Marks of
// one's own, which may lie on the floor, mirror each other only where [Survey].Trueness states
// it. Standard uncertainties are propagated to first order (JCGM 100:2008); the result is a
// [survey.Fix] like any other. Fixes of one bike, whatever they were read with, are in the
// bike's own axes, and [survey.Compare] says where they differ by more than their errors
// explain.
//
// # How the bike stood
//
// That the front wheel was turned is fitted, and [survey.WheelTurned] says by how much; places
// are as they are with it straight. How far the bike leaned makes no difference to them, and
// only what is upright tells it: two marks or more on a line that hangs beside the bike
// ([Plumb]). Photographs from two directions then give [survey.Fix.Standing], and a bike that
// leaned by more than 2° is [Leaned].
//
// # Cameras
//
// Of a [Camera] nothing, the focal length or all may be known, and its focal length, middle
// and distortion are fitted within what is known; [Result].Cameras has them, with their
// uncertainty. What is not stated is usual: 40 mm of equivalent focal length by a factor of 1.5,
// and 1.5 % of distortion at the corners (common practice, no source).
//
// # Before a photograph is taken
//
// A bike is told well by one photograph from each side and one from some 35° to each side of
// straight ahead. A landmark of one side is seen from there alone, and its place across the
// bike follows from the angle between two photographs. A [Plan] tells what standard
// uncertainties photographs from some places would give ([Plan.Forecast]), and which place
// more would help most ([Plan.Next]).
//
// # What is wrong with photographs
//
// Each usual slip is a hypothesis: a mark in the wrong place, two labels exchanged, left and
// right exchanged in a photograph, one that is mirrored or is not of this bike, a wheel that
// is not round, a focal length, wheel or crank that is not as stated. Where something does
// not fit, each is fitted in turn. The one that explains it is named, with what else could;
// a mark is set aside, and what would make the result wrong is an error.
//
// # Cost
//
// What takes a context returns within 5 ms of its end. A forecast of five photographs takes
// some 2 ms. Five photographs of 25 points are solved in some 40 ms, and where something does
// not fit in up to a second. A survey has at most 12 cameras, 20 photographs, 600 marks, 240 of
// them along wheels, and 60 landmarks; a plan has 20 places and 40 candidates. Memory in use
// is then no more than 100 MB. After the end of a context it is given back once the matrix at
// hand is factorized.
//
// # Cautions
//
// A result is only as good as the marks. A systematic error, such as a wheel of which tyre
// and rim are taken for one another everywhere, shows only where something else tells the
// scale. What is stated twice from one source is not checked.
package photo
