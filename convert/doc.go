// Package convert turns the points of package contact into the numbers in which people
// record a position, and such numbers back into points.
//
// Coordinates have the axes, units and signs of package contact. Numbers that people
// state may have another sign, which the table tells: a setback is positive behind the
// bottom bracket, a bar drop is positive when the bar is lower. The numbers of a frame
// are in package convert/chart.
//
// # Measures
//
// A [Measure] is a function of a contact.Position, defined in one place:
//
//	measure                          from                                        to                                               along                   positive when  unit     also called
//	saddle_height                    bottom bracket centre                       saddle reference (80 mm wide)                    direct                  always         mm       seat height
//	saddle_height_seat_tube          bottom bracket centre                       saddle top, where the line meets it              seat tube               always         mm       seat height along the tube
//	saddle_height_vertical           bottom bracket centre                       saddle reference (80 mm wide)                    vertical                saddle higher  mm
//	saddle_height_nose               bottom bracket centre                       saddle nose                                      vertical                nose higher    mm
//	saddle_height_ground             ground                                      saddle reference (80 mm wide)                    vertical                always         mm
//	saddle_height_pedal              saddle reference (80 mm wide)               pedal axis, farthest from it                     side view               always         mm       saddle to pedal
//	saddle_setback                   bottom bracket centre                       saddle reference (80 mm wide)                    horizontal              saddle behind  mm       saddle fore-aft
//	saddle_setback_nose              bottom bracket centre                       saddle nose                                      horizontal              nose behind    mm       nose setback
//	saddle_tilt                      horizontal                                  straight edge along the saddle                   side view               nose up        degrees  saddle angle
//	saddle_length                    saddle nose                                 saddle rear                                      side view               always         mm
//	saddle_station                   saddle nose                                 saddle reference (80 mm wide)                    side view               always         mm
//	bar_drop_clamp                   saddle reference (80 mm wide)               bar clamp centre                                 vertical                bar lower      mm       saddle-to-bar drop
//	bar_drop_tops                    saddle reference (80 mm wide)               tops                                             vertical                bar lower      mm       saddle-to-bar drop
//	bar_drop_hoods                   saddle reference (80 mm wide)               hoods                                            vertical                bar lower      mm       saddle-to-hoods drop
//	bar_drop_drops                   saddle reference (80 mm wide)               drops                                            vertical                bar lower      mm       saddle-to-drops drop
//	bar_drop_grips                   saddle reference (80 mm wide)               grips                                            vertical                bar lower      mm       saddle-to-bar drop
//	bar_drop_pads                    saddle reference (80 mm wide)               pads                                             vertical                bar lower      mm       pad drop
//	bar_drop_clamp_highest           saddle's highest point                      bar clamp centre                                 vertical                bar lower      mm
//	bar_drop_hoods_highest           saddle's highest point                      hoods                                            vertical                bar lower      mm
//	bar_drop_grips_highest           saddle's highest point                      grips                                            vertical                bar lower      mm
//	reach_clamp                      saddle reference (80 mm wide)               bar clamp centre                                 direct                  always         mm       saddle-to-bar reach
//	reach_clamp_horizontal           saddle reference (80 mm wide)               bar clamp centre                                 horizontal              bar in front   mm
//	reach_hoods                      saddle reference (80 mm wide)               hoods                                            direct                  always         mm       saddle-to-hoods reach
//	reach_hoods_horizontal           saddle reference (80 mm wide)               hoods                                            horizontal              bar in front   mm
//	reach_grips                      saddle reference (80 mm wide)               grips                                            direct                  always         mm       saddle-to-grips reach
//	reach_grips_horizontal           saddle reference (80 mm wide)               grips                                            horizontal              bar in front   mm
//	reach_pads_horizontal            saddle reference (80 mm wide)               pads                                             horizontal              bar in front   mm
//	reach_nose_clamp                 saddle nose                                 bar clamp centre                                 direct                  always         mm       nose to bar
//	reach_nose_clamp_horizontal      saddle nose                                 bar clamp centre                                 horizontal              bar in front   mm
//	reach_nose_hoods                 saddle nose                                 hoods                                            direct                  always         mm       nose to hoods
//	reach_nose_hoods_horizontal      saddle nose                                 hoods                                            horizontal              bar in front   mm
//	reach_nose_grips                 saddle nose                                 grips                                            direct                  always         mm       nose to grips
//	reach_nose_grips_horizontal      saddle nose                                 grips                                            horizontal              bar in front   mm
//	reach_nose_pads_horizontal       saddle nose                                 pads                                             horizontal              bar in front   mm
//	reach_nose_extension_horizontal  saddle nose                                 extension tips                                   horizontal              bar in front   mm
//	bar_stack                        bottom bracket centre                       bar clamp centre                                 vertical                bar higher     mm       handlebar stack
//	bar_reach                        bottom bracket centre                       bar clamp centre                                 horizontal              bar in front   mm       handlebar reach
//	tops_stack                       bottom bracket centre                       tops                                             vertical                bar higher     mm
//	tops_reach                       bottom bracket centre                       tops                                             horizontal              bar in front   mm
//	hoods_stack                      bottom bracket centre                       hoods                                            vertical                bar higher     mm
//	hoods_reach                      bottom bracket centre                       hoods                                            horizontal              bar in front   mm
//	drops_stack                      bottom bracket centre                       drops                                            vertical                bar higher     mm
//	drops_reach                      bottom bracket centre                       drops                                            horizontal              bar in front   mm
//	grip_stack                       bottom bracket centre                       grips                                            vertical                bar higher     mm
//	grip_reach                       bottom bracket centre                       grips                                            horizontal              bar in front   mm
//	pad_stack                        bottom bracket centre                       pads                                             vertical                bar higher     mm
//	pad_reach                        bottom bracket centre                       pads                                             horizontal              bar in front   mm
//	extension_reach                  bottom bracket centre                       extension tips                                   horizontal              bar in front   mm       tip reach
//	extension_length                 pads                                        extension tips                                   horizontal              tips in front  mm
//	extension_rise                   pads                                        extension tips                                   vertical                tips higher    mm
//	tops_width                       right tops                                  left tops                                        lateral                 always         mm
//	hoods_width                      right hoods                                 left hoods                                       lateral                 always         mm       hood-to-hood width
//	drops_width                      right drops                                 left drops                                       lateral                 always         mm       width at the drops
//	grips_width                      right grip                                  left grip                                        lateral                 always         mm       grip-to-grip width
//	pads_width                       right pad                                   left pad                                         lateral                 always         mm       pad width
//	extensions_width                 right extension tip                         left extension tip                               lateral                 always         mm
//	crank_length                     bottom bracket centre                       pedal axis                                       side view               always         mm       crank arm length
//	q_factor                         outer face of the right crank at the pedal  that of the left crank                           lateral                 always         mm       tread
//	stance_width                     middle of the right foot                    that of the left foot                            lateral                 always         mm       stance
//	foot_height                      pedal axis                                  sole of the shoe                                 vertical                sole higher    mm       pedal stack height
//	saddle_height_sole               saddle reference (80 mm wide)               sole above the spindle, farthest from it         side view               always         mm       saddle to sole
//	saddle_height_rails              bottom bracket centre                       saddle rails, where the line meets them          seat tube               always         mm       rails to bottom bracket
//	seat_height_ground               ground                                      saddle top, where the seat tube's line meets it  vertical                always         mm       seat height of the safety standards
//	seat_angle_effective             horizontal behind the bottom bracket        line from it to the saddle reference             side view               always         degrees  seat angle of the position
//	saddle_ends_angle                horizontal                                  line from the saddle's rear to its nose          side view               nose up        degrees
//	reach_rear_clamp                 saddle rear                                 bar clamp centre                                 direct                  always         mm       saddle rear to bar
//	reach_rear_clamp_horizontal      saddle rear                                 bar clamp centre                                 horizontal              bar in front   mm
//	grip_distance                    bottom bracket centre                       grips                                            side view               always         mm       bottom bracket to grips
//	grip_angle                       horizontal before the bottom bracket        line from it to the grips                        side view               always         degrees
//	bar_stack_to_reach               bottom bracket centre                       bar clamp centre                                 vertical by horizontal  always         ratio    stack-to-reach ratio
//	hoods_width_inside               inner face of the right hood                that of the left hood                            lateral                 always         mm       inner hood width
//	drops_width_outside              outer face of the right drop's tube         that of the left one                             lateral                 always         mm       bar width outside to outside
//	grips_width_outside              bar's right end                             its left end                                     lateral                 always         mm       bar width end to end
//	pads_width_inside                inner edge of the right pad                 that of the left pad                             lateral                 always         mm       inner pad width
//	pads_width_outside               outer edge of the right pad                 that of the left pad                             lateral                 always         mm       outer pad width
//	hood_tilt                        horizontal                                  hoods, lengthwise                                side view               front up       degrees
//	pad_tilt                         horizontal                                  pads, lengthwise                                 side view               front up       degrees
//	extension_tilt                   horizontal                                  extensions at their tips                         side view               tips up        degrees
//	stance_angle                     straight ahead                              foot, from heel to toe                           seen from above         toes out       degrees  toe-out
//	cleat_setback                    pedal axis                                  ball of the foot                                 horizontal              ball in front  mm       cleat fore-aft
//
// In the table, "horizontal" is along X, "vertical" along Z, "lateral" along Y, "direct"
// the shortest way in space, "side view" the shortest way in the projection on the
// mid-plane, and "seat tube" along the line through the bottom bracket at
// Basis.SeatAngle, as far as the saddle's top (the line through the saddle reference at
// the saddle's tilt). Angles are seen from the side, where the table does not say otherwise.
// A width inside or outside is that of the points with half of a size of [Basis] on either
// side. "seat_height_ground" is the seat height of 16 CFR 1512.2(c) and, of a level saddle
// with the seatpost at its mark, the saddle height of ISO 4210-1. Paired sites are read left, right or midway, as [Basis] or the
// [Entry] says.
//
// # Both directions
//
// [NewSheet] takes measures of a position, and [NewSheetWithSigma] adds their
// uncertainties. [Sheet.Solve] goes the other way, from any mix of measures to the
// position they describe. If there are more measures than needed, it finds the best
// compromise and says which of them could be wrong, by how much and by which usual slips.
// If there are too few, it says what stays undetermined and which measures would settle it.
//
// # Exactness
//
// All conversions are plane or solid geometry: exact to rounding, about 1e-12 mm.
// Least-squares results are good to 1e-6 mm. A length that was not given is never
// assumed. Measurement by tape is far less exact: 1 mm is a good reading.
//
// # Cost
//
// Thirty measures of a position take about a microsecond. A sheet of twelve is solved in
// 0.2 ms, or in 2 ms where ranges are of the likelihood itself, and one of 200, which
// is as many as there may be, in about 15 ms.
//
// # Errors
//
// Errors are [*contact.Error], which reports all faults of an input together. Measures that
// contradict each other or do not suffice are a result, not an error.
//
// # Cautions
//
// A number whose convention is unknown (from where to where, and along what) is no better
// than a guess: ask how it was measured.
package convert
