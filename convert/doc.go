// Package convert turns the points of package contact into the numbers that people
// write down of a position, and such numbers back into points.
//
// Coordinates have the axes, units and signs of package contact. A number that
// people state may have another sign (a setback is positive behind the bottom
// bracket, a bar drop positive when the bar is lower): the table says so. The numbers
// of a frame are in package convert/chart.
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
// In the table, "horizontal" is along X, "vertical" along Z, "lateral" along Y,
// "direct" the shortest way in space, "side view" the shortest way in the projection
// on the mid-plane, and "seat tube" along the line through the bottom bracket at
// Basis.SeatAngle, as far as the saddle's top (the line through the saddle reference
// at the saddle's tilt). Sites that come in pairs are read left, right or midway, as
// [Basis] or the [Entry] says.
//
// # Both directions
//
// [NewSheet] takes measures of a position, [NewSheetWithSigma] with their
// uncertainty. [Sheet.Solve] goes the other way, from any mix of measures to the
// position they stand for. If there are too many, they are weighed against one another,
// and those that cannot be true are named with the amount. If there are too few,
// something stays free, which is named with the measures that would settle it.
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
// Thirty measures of a position take about a microsecond; a sheet of twelve is solved
// in about twenty.
//
// # Errors
//
// Faults are [*contact.Error], all of an input together. Measures that contradict one
// another, or do not suffice, are a result and not an error.
//
// # Cautions
//
// A number whose convention is not known (from where to where, along what) is worth
// no more than a guess: ask for it.
package convert
