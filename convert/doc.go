// Package convert turns the points of package contact into the numbers that
// people write down, and numbers in one habit into those of another.
//
// Coordinates have the axes, units and signs of package contact. A number that
// people state may have another sign (a setback is positive behind the bottom
// bracket, a bar drop positive when the bar is the lower): the table says so.
//
// # Measures
//
// A [Measure] is a function of a contact.Position, defined in one place:
//
//	measure                          from                                        to                                   along      positive when  unit
//	saddle_height                    bottom bracket centre                       saddle reference (80 mm wide)        straight   always         mm
//	saddle_height_seat_tube          bottom bracket centre                       saddle top, where the line meets it  seat tube  always         mm
//	saddle_height_vertical           bottom bracket centre                       saddle reference (80 mm wide)        upright    saddle higher  mm
//	saddle_height_nose               bottom bracket centre                       saddle nose                          upright    nose higher    mm
//	saddle_height_ground             ground                                      saddle reference (80 mm wide)        upright    always         mm
//	saddle_height_pedal              saddle reference (80 mm wide)               pedal axis, farthest from it         side view  always         mm
//	saddle_setback                   bottom bracket centre                       saddle reference (80 mm wide)        level      saddle behind  mm
//	saddle_setback_nose              bottom bracket centre                       saddle nose                          level      nose behind    mm
//	saddle_tilt                      level                                       line from saddle rear to nose        side view  nose up        degrees
//	saddle_length                    saddle nose                                 saddle rear                          side view  always         mm
//	saddle_station                   saddle nose                                 saddle reference (80 mm wide)        side view  always         mm
//	bar_drop_clamp                   saddle reference (80 mm wide)               bar clamp centre                     upright    bar lower      mm
//	bar_drop_tops                    saddle reference (80 mm wide)               tops                                 upright    bar lower      mm
//	bar_drop_hoods                   saddle reference (80 mm wide)               hoods                                upright    bar lower      mm
//	bar_drop_drops                   saddle reference (80 mm wide)               drops                                upright    bar lower      mm
//	bar_drop_grips                   saddle reference (80 mm wide)               grips                                upright    bar lower      mm
//	bar_drop_pads                    saddle reference (80 mm wide)               pads                                 upright    bar lower      mm
//	bar_drop_clamp_highest           saddle's highest point                      bar clamp centre                     upright    bar lower      mm
//	bar_drop_hoods_highest           saddle's highest point                      hoods                                upright    bar lower      mm
//	bar_drop_grips_highest           saddle's highest point                      grips                                upright    bar lower      mm
//	reach_clamp                      saddle reference (80 mm wide)               bar clamp centre                     straight   always         mm
//	reach_clamp_horizontal           saddle reference (80 mm wide)               bar clamp centre                     level      bar in front   mm
//	reach_hoods                      saddle reference (80 mm wide)               hoods                                straight   always         mm
//	reach_hoods_horizontal           saddle reference (80 mm wide)               hoods                                level      bar in front   mm
//	reach_grips                      saddle reference (80 mm wide)               grips                                straight   always         mm
//	reach_grips_horizontal           saddle reference (80 mm wide)               grips                                level      bar in front   mm
//	reach_pads_horizontal            saddle reference (80 mm wide)               pads                                 level      bar in front   mm
//	reach_nose_clamp                 saddle nose                                 bar clamp centre                     straight   always         mm
//	reach_nose_clamp_horizontal      saddle nose                                 bar clamp centre                     level      bar in front   mm
//	reach_nose_hoods                 saddle nose                                 hoods                                straight   always         mm
//	reach_nose_hoods_horizontal      saddle nose                                 hoods                                level      bar in front   mm
//	reach_nose_grips                 saddle nose                                 grips                                straight   always         mm
//	reach_nose_grips_horizontal      saddle nose                                 grips                                level      bar in front   mm
//	reach_nose_pads_horizontal       saddle nose                                 pads                                 level      bar in front   mm
//	reach_nose_extension_horizontal  saddle nose                                 extension tips                       level      bar in front   mm
//	bar_stack                        bottom bracket centre                       bar clamp centre                     upright    bar higher     mm
//	bar_reach                        bottom bracket centre                       bar clamp centre                     level      bar in front   mm
//	tops_stack                       bottom bracket centre                       tops                                 upright    bar higher     mm
//	tops_reach                       bottom bracket centre                       tops                                 level      bar in front   mm
//	hoods_stack                      bottom bracket centre                       hoods                                upright    bar higher     mm
//	hoods_reach                      bottom bracket centre                       hoods                                level      bar in front   mm
//	drops_stack                      bottom bracket centre                       drops                                upright    bar higher     mm
//	drops_reach                      bottom bracket centre                       drops                                level      bar in front   mm
//	grip_stack                       bottom bracket centre                       grips                                upright    bar higher     mm
//	grip_reach                       bottom bracket centre                       grips                                level      bar in front   mm
//	pad_stack                        bottom bracket centre                       pads                                 upright    bar higher     mm
//	pad_reach                        bottom bracket centre                       pads                                 level      bar in front   mm
//	extension_reach                  bottom bracket centre                       extension tips                       level      bar in front   mm
//	extension_length                 pads                                        extension tips                       level      tips in front  mm
//	extension_rise                   pads                                        extension tips                       upright    tips higher    mm
//	tops_width                       right tops                                  left tops                            across     always         mm
//	hoods_width                      right hoods                                 left hoods                           across     always         mm
//	drops_width                      right drops                                 left drops                           across     always         mm
//	grips_width                      right grip                                  left grip                            across     always         mm
//	pads_width                       right pad                                   left pad                             across     always         mm
//	extensions_width                 right extension tip                         left extension tip                   across     always         mm
//	crank_length                     bottom bracket centre                       pedal axis                           side view  always         mm
//	q_factor                         outer face of the right crank at the pedal  that of the left crank               across     always         mm
//	stance_width                     middle of the right foot                    that of the left foot                across     always         mm
//	foot_height                      pedal axis                                  sole of the shoe                     upright    sole higher    mm
//
// In the table, "level" is along X, "upright" along Z, "across" along Y,
// "straight" the shortest way in space, "side view" the shortest way in the
// projection on the mid-plane, and "seat tube" along the line through the bottom
// bracket at Basis.SeatAngle, as far as the saddle's top (the line through the
// saddle reference at the saddle's tilt). Sites that come in pairs are read left,
// right or midway, as [Basis] or the [Reading] says.
//
// # Both directions
//
// [NewSheet] takes measures of a position, [NewSheetWithSigma] with their
// uncertainty. [Sheet.Solve] goes the other way, from any mix of measures to the
// position they stand for: too many are weighed against one another, and those
// that cannot be true are named with the amount; too few leave something free, which
// is named with the measures that would settle it.
//
// # Charts
//
// A [Chart] is the numbers that are printed of a frame: rounded, more than needed, and
// sometimes wrong. [Chart.Complete] finds every [Dimension] that follows from
// them, with its uncertainty from rounding, and the likely misprint. Where one
// word stands for two things, each is a dimension of its own:
//
//	word            dimensions
//	fork length     axle_to_crown: straight; axle_to_crown_steerer: along the steering axis
//	drop            drop: below the rear axle; drop_below_axles: below the line from axle to axle
//	front centre    front_centre: straight; front_centre_horizontal: level
//	chainstay       chainstay: straight; rear_centre: level
//	seat angle      seat_angle: of the tube's axis; seat_angle_effective: of the line from the bottom bracket to a height on it
//	top tube        top_tube: along the tube; effective_top_tube: level
//	seat tube       seat_tube_top: to its edge; seat_tube_centre: to the top tube's axis
//
// A headset's upper cap is no part of the stack. [Geometry] is the side view from
// which every dimension follows; [Geometry.OnWheels] puts it on other tyres.
//
// # Single numbers
//
// [Trail], [StemRiseRun], [EffectiveTopTube], [SetbackAt], [BarWidth] and their
// inverses convert single numbers; [ParseTyre], [BeadSeat] and [Inches] read what is
// printed on parts, and [RolloutRadius] has a wheel's radius from a rollout. A number
// outside of the range that its function states is [contact.ErrRange], or
// [contact.ErrUnit] where another unit explains it.
//
// # Exactness
//
// All conversions are plane or solid geometry: exact to rounding, about
// 1e-12 mm; what least squares find is good to 1e-6 mm. Nothing here assumes a
// length that was not given. What a tape can support is another matter; 1 mm is a
// good reading.
//
// # Cost
//
// Thirty measures of a position take about a microsecond; a sheet of twelve
// measures or a chart of twenty dimensions is solved in about twenty.
//
// # Errors
//
// Faults are [*contact.Error], all of an input together. That measures contradict
// one another, or do not suffice, is a result and not an error.
//
// # Cautions
//
// A number whose habit is not known (from where to where, along what) is worth no
// more than a guess: ask for it. Charts and markings are nominal; before anything
// is bought or cut, measure the bike.
package convert
