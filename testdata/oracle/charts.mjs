// Writes charts.json: 60 frame charts, each a mix of twelve dimensions that suffice,
// and all other dimensions as a general geometric constraint solver (planegcs)
// draws them, for package convert. ../constraints.mjs has one mix; here each is another, with
// unlike wheels, a seat tube beside the bottom bracket and the effective seat angle
// at any height.
//
// The solver knows points, distances and angles. A first drawing, from dimensions
// that are plain, is measured; a random mix of what was measured, rounded, makes the second
// drawing, which starts a hand's breadth off. Mixes that do not suffice, or from which a rounding
// error would grow tenfold and more, are left out. All numbers are random.
// Made with node 20.20.2 and @salusoft89/planegcs 1.3.0:
//
//   npm i @salusoft89/planegcs@1.3.0 && node charts.mjs > charts.json
import { init_planegcs_module, GcsWrapper } from "@salusoft89/planegcs"

const mod = await init_planegcs_module()
console.log = console.error // the solver's warnings are not part of the document

let seed = 2104
const random = () => { // a small generator, so that the file comes out the same each time
  seed = (seed + 0x6d2b79f5) | 0
  let t = Math.imul(seed ^ (seed >>> 15), 1 | seed)
  t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t
  return ((t ^ (t >>> 14)) >>> 0) / 4294967296
}
const about = (v, by) => v + by * (2 * random() - 1)
const deg = Math.PI / 180

const p = (id, [x, y], fixed = false) => ({ id, type: "point", x, y, fixed })
const line = (id, a, b) => ({ id, type: "line", p1_id: a, p2_id: b })

// What each dimension is in the drawing: a constraint, and how it is read.
const distance = (a, b) => [v => ({ type: "p2p_distance", p1_id: a, p2_id: b, distance: v }), at => Math.hypot(at[a][0] - at[b][0], at[a][1] - at[b][1])]
const x = (a, sign = 1) => [v => ({ type: "coordinate_x", p_id: a, x: sign * v }), at => sign * at[a][0]]
const y = (a, sign = 1) => [v => ({ type: "coordinate_y", p_id: a, y: sign * v }), at => sign * at[a][1]]
const slope = (l, turn) => [v => ({ type: "l2l_angle_ll", l1_id: "base", l2_id: l, angle: turn(v * deg) })]
const angle = (a, b) => at => Math.atan2(at[b][1] - at[a][1], at[a][0] - at[b][0]) / deg
const dimensions = {
  stack: y("H"), reach: x("H"), effective_top_tube: distance("T", "H"),
  head_angle: [...slope("steerer", h => -h), at => Math.atan2(at.H[1] - at.C[1], at.C[0] - at.H[0]) / deg],
  seat_angle: [...slope("seat", s => Math.PI - s), angle("S", "T")], seat_angle_effective: [...slope("effective", s => Math.PI - s), angle("B", "E")],
  seat_offset: distance("B", "S"), head_tube: distance("H", "N"), lower_headset: distance("N", "K"),
  axle_to_crown: distance("K", "F"), axle_to_crown_steerer: distance("K", "C"), fork_offset: distance("C", "F"),
  drop: y("R"), drop_below_axles: y("L"), bottom_bracket_height: y("Q", -1), chainstay: distance("B", "R"), rear_centre: x("R", -1),
  front_centre: distance("B", "F"), front_centre_horizontal: x("F"), wheelbase: distance("R", "W"), trail: distance("A", "P"),
  front_radius: distance("F", "P"), rear_radius: distance("R", "Q"),
}

// B bottom bracket, H head tube's top, N its lower end, K crown race, C foot of the
// offset, F and R axles, P and Q where the tyres stand, A where the steering axis meets the
// ground, L on the axle line over B, S seat axis nearest to B, T and E on it at the stack and at a height.
function draw(stated, height, start) {
  const g = new GcsWrapper(new mod.GcsSystem())
  const prims = [p("B", [0, 0], true), p("X", [1000, 0], true), ...Object.entries(start).map(([id, at]) => p(id, at))]
  for (const [id, a, b] of [["base", "B", "X"], ["steerer", "H", "C"], ["offset", "C", "F"], ["axles", "R", "F"], ["seat", "S", "T"], ["beside", "B", "S"], ["effective", "B", "E"]]) prims.push(line(id, a, b))
  const rules = [
    ...["N", "K", "A"].map(q => ({ type: "point_on_line_pl", p_id: q, l_id: "steerer" })), { type: "perpendicular_ll", l1_id: "steerer", l2_id: "offset" },
    { type: "vertical_pp", p1_id: "F", p2_id: "P" }, { type: "vertical_pp", p1_id: "R", p2_id: "Q" }, { type: "horizontal_pp", p1_id: "P", p2_id: "Q" },
    { type: "horizontal_pp", p1_id: "P", p2_id: "A" }, { type: "vertical_pp", p1_id: "W", p2_id: "F" }, { type: "horizontal_pp", p1_id: "W", p2_id: "R" },
    { type: "point_on_line_pl", p_id: "L", l_id: "axles" }, { type: "coordinate_x", p_id: "L", x: 0 },
    { type: "perpendicular_ll", l1_id: "seat", l2_id: "beside" }, { type: "horizontal_pp", p1_id: "T", p2_id: "H" },
    { type: "point_on_line_pl", p_id: "E", l_id: "seat" }, { type: "coordinate_y", p_id: "E", y: height },
    ...Object.entries(stated).map(([d, v]) => dimensions[d][0](v)),
  ]
  rules.forEach((r, i) => prims.push({ id: "c" + i, ...r }))
  g.push_primitives_and_params(prims)
  g.set_convergence_threshold?.(1e-14)
  const status = g.solve()
  g.apply_solution()
  const at = {}
  for (const q of g.sketch_index.get_primitives()) if (q.type === "point") at[q.id] = [q.x, q.y]
  const dof = g.gcs.dof()
  g.destroy_gcs_module?.()
  if (status !== 0 || dof !== 0) return
  return at
}
const read = at => Object.fromEntries(Object.entries(dimensions).map(([d, [, from]]) => [d, from(at)]))
// Distances have no sign: what must lie below, in front or behind has to come out so.
const proper = at => at.H[1] > at.N[1] && at.N[1] > at.K[1] && at.K[1] > at.C[1] && at.F[0] > at.C[0] && at.A[0] > at.P[0] && at.T[0] < at.H[0] && at.F[0] > 0
const like = {
  H: [390, 570], N: [430, 430], K: [435, 425], C: [540, 85], F: [585, 75], R: [-410, 70], P: [585, -270], Q: [-410, -270], A: [640, -270], W: [585, 70], L: [0, 70],
  S: [10, 3], T: [-150, 570], E: [-180, 650],
}

function chart() {
  const plain = {
    stack: about(570, 50), reach: about(400, 40), head_angle: about(70, 5), seat_angle: about(74.5, 2.5), seat_offset: about(25, 18), chainstay: about(425, 20), drop: about(50, 25),
    fork_offset: about(46, 7), front_radius: about(345, 15), rear_radius: about(345, 15), lower_headset: about(8, 5), axle_to_crown: about(400, 30),
  }
  const height = Math.round(about(640, 90)), behind = random() < 0.4
  const first = { ...like, S: behind ? [-10, -3] : like.S }
  const drawn = draw(plain, height, first)
  if (!drawn || !proper(drawn)) return
  const all = read(drawn), round = (d, v) => Math.round(v * (d.includes("angle") ? 1e4 : 1e3)) / (d.includes("angle") ? 1e4 : 1e3)
  const names = Object.keys(dimensions).map(d => [random(), d]).sort((a, b) => a[0] - b[0]).slice(0, 12).map(n => n[1])
  const stated = Object.fromEntries(names.map(d => [d, round(d, all[d])]))
  const sign = at => (at.S[0] < 0 ? -1 : 1)
  const off = Object.fromEntries(Object.entries(drawn).filter(([id]) => id in like).map(([id, q]) => [id, q.map(v => v + (id === "S" ? 1 : 12) * (2 * random() - 1))]))
  off.K = off.N.map((v, i) => v + drawn.K[i] - drawn.N[i])
  const again = draw(stated, height, off)
  if (!again || !proper(again) || Math.abs(again.H[0] - drawn.H[0]) > 1) return
  for (const [d, v] of Object.entries(stated)) if (Math.abs(read(again)[d] - v) > 1e-9) return
  for (const d of names) { // how an error of 0.01 in one grows
    const moved = draw({ ...stated, [d]: stated[d] + 0.01 }, height, again_start(again))
    if (!moved) return
    for (const [e, v] of Object.entries(read(moved))) if (Math.abs(v - read(again)[e]) > (d.includes("angle") ? 1 : 0.1)) return
  }
  const fix = d => ({ ...d, ...("seat_offset" in d ? { seat_offset: sign(again) * d.seat_offset } : {}) })
  return { seat_angle_height: height, entries: fix(stated), found: fix(read(again)) }
}
const again_start = at => Object.fromEntries(Object.entries(at).filter(([id]) => id in like))

const cases = []
let tried = 0
for (const mixes = new Set(); cases.length < 60; tried++) {
  const c = chart()
  const mix = c && Object.keys(c.entries).sort().join()
  if (c && !mixes.has(mix)) {
    mixes.add(mix)
    cases.push(c)
  }
}
console.error(tried, "tried")
process.stdout.write(`{"made_with": "node ${process.version}, @salusoft89/planegcs 1.3.0",\n "command": "node charts.mjs > charts.json",\n "cases": [\n  ` + cases.map(c => JSON.stringify(c)).join(",\n  ") + "\n]}\n")
