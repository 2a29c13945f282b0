// Writes constraints.json: 50 frame charts and 50 set-up sheets that a general
// geometric constraint solver (planegcs) has drawn from their dimensions, for
// package convert. It knows points, distances and angles, and none of our formulas.
//
//   npm i @salusoft89/planegcs@1.3.0 && node constraints.mjs > constraints.json
//
// All numbers are random.
import { init_planegcs_module, GcsWrapper } from "@salusoft89/planegcs"

const mod = await init_planegcs_module()
console.log = console.error // the solver's warnings are not part of the document

let seed = 54
const random = () => { // a small generator, so that the file comes out the same each time
  seed = (seed * 1103515245 + 12345) % 2147483648
  return seed / 2147483648
}
const about = (v, by) => v + by * (2 * random() - 1)
const deg = Math.PI / 180

function draw(prims) {
  const g = new GcsWrapper(new mod.GcsSystem())
  g.push_primitives_and_params(prims)
  g.set_convergence_threshold?.(1e-14)
  const status = g.solve()
  g.apply_solution()
  const at = {}
  for (const q of g.sketch_index.get_primitives()) if (q.type === "point") at[q.id] = [q.x, q.y]
  g.destroy_gcs_module?.()
  if (status !== 0) throw new Error("status " + status)
  return at
}

const p = (id, x, y, fixed = false) => ({ id, type: "point", x, y, fixed })
const line = (id, a, b) => ({ id, type: "line", p1_id: a, p2_id: b })
const distance = (id, a, b, d) => ({ id, type: "p2p_distance", p1_id: a, p2_id: b, distance: d })
const x = (id, a, v) => ({ id, type: "coordinate_x", p_id: a, x: v })
const y = (id, a, v) => ({ id, type: "coordinate_y", p_id: a, y: v })

// A chart that states stack, head angle, head tube, lower headset, fork (straight)
// and offset, front centre (straight), chainstay, drop and effective top tube with
// the effective seat angle; equal wheels. Reach and wheelbase have to be found.
function chart() {
  const c = {
    stack: about(570, 40), head_angle: about(72, 2), lower_headset: about(6, 4), axle_to_crown: about(385, 15), fork_offset: about(46, 5),
    chainstay: about(420, 15), drop: about(65, 15), seat_angle: about(74, 2),
  }
  const h = c.head_angle * deg
  const reach = about(390, 25)
  const down = (c.stack + c.fork_offset * Math.cos(h) - c.drop) / Math.sin(h)
  c.head_tube = down - c.lower_headset - Math.sqrt(c.axle_to_crown ** 2 - c.fork_offset ** 2)
  c.front_centre = Math.hypot(reach + down * Math.cos(h) + c.fork_offset * Math.sin(h), c.drop)
  c.effective_top_tube = reach + c.stack / Math.tan(c.seat_angle * deg)
  const at = draw([
    p("B", 0, 0, true), p("X", 1000, 0, true), p("H", 400, 560), p("K", 440, 400), p("C", 560, 50), p("F", 590, 60), p("R", -410, 60), p("T", -150, 560),
    line("base", "B", "X"), line("steerer", "H", "C"), line("upper", "H", "K"), line("offset", "C", "F"), line("top", "T", "H"), line("seat", "B", "T"),
    y("c1", "H", c.stack), { id: "c2", type: "l2l_angle_ll", l1_id: "base", l2_id: "steerer", angle: -h },
    { id: "c3", type: "parallel", l1_id: "steerer", l2_id: "upper" }, distance("c4", "H", "K", c.head_tube + c.lower_headset),
    { id: "c5", type: "perpendicular_ll", l1_id: "steerer", l2_id: "offset" }, distance("c6", "C", "F", c.fork_offset), distance("c7", "K", "F", c.axle_to_crown),
    distance("c8", "B", "R", c.chainstay), y("c9", "R", c.drop), distance("c10", "B", "F", c.front_centre),
    y("c11", "T", c.stack), distance("c12", "T", "H", c.effective_top_tube),
  ])
  return {
    entries: { ...c, seat_angle: undefined },
    found: {
      reach: at.H[0], wheelbase: at.F[0] - at.R[0], front_centre_horizontal: at.F[0], rear_centre: -at.R[0], drop_below_axles: at.F[1],
      seat_angle: Math.atan2(at.T[1], -at.T[0]) / deg, axle_to_crown_steerer: Math.hypot(at.C[0] - at.K[0], at.C[1] - at.K[1]),
    },
  }
}

// A sheet of distances: saddle by height and setback, nose by its distances from
// saddle and bottom bracket's upright, bar by two distances, hoods by one and their height.
function sheet() {
  const saddle = [about(-205, 20), about(710, 20)], nose = [about(-62, 10), saddle[1] - about(9, 5)]
  const clamp = [about(470, 20), about(620, 20)], grip = [about(480, 20), about(645, 10)]
  const d = (a, b) => Math.hypot(a[0] - b[0], a[1] - b[1])
  const s = {
    saddle_height: Math.hypot(...saddle), saddle_setback: -saddle[0], saddle_setback_nose: -nose[0], saddle_station: d(nose, saddle),
    reach_clamp: d(saddle, clamp), reach_nose_clamp: d(nose, clamp), bar_stack: clamp[1], reach_grips: d(saddle, grip), grip_stack: grip[1],
  }
  const at = draw([
    p("B", 0, 0, true), p("S", -200, 700), p("N", -60, 690), p("C", 460, 620), p("G", 470, 640),
    distance("c1", "B", "S", s.saddle_height), x("c2", "S", -s.saddle_setback), x("c3", "N", -s.saddle_setback_nose), distance("c4", "S", "N", s.saddle_station),
    distance("c5", "S", "C", s.reach_clamp), y("c6", "C", s.bar_stack), distance("c7", "S", "G", s.reach_grips), y("c8", "G", s.grip_stack),
  ])
  return { entries: s, found: { saddle_reference: at.S, saddle_nose: at.N, bar_clamp: at.C, grip: at.G } }
}

process.stdout.write(JSON.stringify({
  made_with: "@salusoft89/planegcs 1.3.0",
  charts: Array.from({ length: 50 }, chart), sheets: Array.from({ length: 50 }, sheet),
}, null, 1) + "\n")
