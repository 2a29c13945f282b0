// Package chart has the numbers of a frame: its side view, the dimensions that geometry
// charts print, and the wheels that it stands on.
//
// Lengths are millimetres and angles degrees, in the side view, with the bike on level
// ground, on the wheels of the chart. Axes and signs are those of package contact.
//
// # Side view
//
// [Geometry] is the side view from which every dimension follows. [Geometry.OnWheels]
// puts it on other tyres, or lets its suspension sag ([Wheels]).
//
//	                 head tube's top: (reach, stack)
//	                o
//	   \           / \         steering axis at the head angle
//	    \         /   \
//	     \       /     \
//	------o-----o-------o      wheels: axles, chainstay, drop, fork offset (rake)
//	 rear axle  bottom   front axle
//	            bracket
//
// # Charts
//
// A [Chart] holds the numbers that are printed for a frame: rounded, more than needed,
// and sometimes wrong; or those that were read on one, with their uncertainties and what
// they share. [Chart.Solve] finds every [Dimension] that follows from them, with its
// uncertainty, how it hangs on each number ([Chart.Slopes]) and on the errors of others
// ([Solution.Covariance]), and the likely misprint. Where one word stands for two things,
// each is a dimension of its own:
//
//	dimension                also called             means
//	stack                                            head tube's top centre above the bottom bracket
//	reach                                            head tube's top centre in front of the bottom bracket
//	effective_top_tube       virtual top tube        horizontal, from the head tube's top centre to the seat tube's axis
//	top_tube                 actual top tube         along the tube, centre to centre
//	head_angle               head tube angle         steering axis from the horizontal
//	seat_angle               seat tube angle         seat tube's axis from the horizontal
//	seat_angle_effective     virtual seat angle      line from the bottom bracket to a height on that axis
//	seat_offset              seat tube offset        seat tube's axis in front of the bottom bracket, square to it
//	head_tube                head tube length        along the axis
//	lower_headset            lower stack height      head tube's lower end to the fork's crown race
//	axle_to_crown            fork length             crown race to front axle, direct
//	axle_to_crown_steerer    fork length             the same, along the steering axis
//	fork_offset              rake                    front axle in front of the steering axis, square to it
//	drop                     bottom bracket drop     bottom bracket below the rear axle
//	drop_below_axles         bottom bracket drop     bottom bracket below the line from axle to axle
//	bottom_bracket_height                            bottom bracket above the ground
//	chainstay                chainstay length        bottom bracket to rear axle, direct
//	rear_centre              chainstay length        bottom bracket to rear axle, horizontal
//	front_centre                                     bottom bracket to front axle, direct
//	front_centre_horizontal  front centre            bottom bracket to front axle, horizontal
//	wheelbase                                        axle to axle, horizontal
//	trail                                            front tyre's contact behind the steering axis, on the ground
//	front_radius             wheel radius            front wheel with its tyre
//	rear_radius              wheel radius            rear wheel with its tyre
//	seat_tube_top            seat tube length (c-t)  bottom bracket to the tube's upper edge, along its axis
//	seat_tube_centre         seat tube length (c-c)  bottom bracket to the top tube's centre line, along its axis
//	standover                standover height        top tube above the ground, where the chart takes it
//
// The stack does not include the headset's upper cap.
//
// # Handling
//
// [Geometry.Handling] has what people compare of a frame's steering, as it stands on tyres
// and under sag, and [Handling.Sub] what these change; [Geometry.FromSteeringAxis] the
// radius on which the hands turn. [Steering.Sink] tells what sinks when the front wheel is
// turned, and by how much.
//
// # Single numbers
//
// [Steering] has the trail and the fork offset of a front wheel alone, [VirtualTopTube]
// the reach that belongs to an effective top tube, [SeatPoint] the seat angle that
// belongs to a setback. [ParseTyre], [BeadSeat] and [Inches] read what is printed on
// parts. [RolloutRadius] gives a wheel's radius from a rollout of whole turns or
// parts of one. A number outside its stated range is [contact.ErrRange], or
// [contact.ErrUnit] where another unit explains it.
//
// # Exactness and cost
//
// All of it is plane geometry, exact to rounding, about 1e-12 mm. Least-squares results
// are good to 1e-6 mm. A chart of twenty dimensions is solved in about twenty
// microseconds.
//
// # Cautions
//
// Charts and markings are nominal. Before anything is bought or cut, measure the bike.
package chart
