package published_test

import (
	"math"
	"slices"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/rules"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/stat"
)

// operations is what blocks can name. Where one takes more than a call of the
// library, its comment says what else.
var operations map[string]operation

func init() { // not where it is declared: parse looks here, and operations are made of functions of this package
	operations = map[string]operation{
		"axes":                {do: axes},
		"yaw":                 {do: yaw},
		"trail":               {trail, []string{"fork_offset"}, forkOffset},
		"wheel_flop_factor":   {do: wheelFlopFactor},
		"mechanical_trail":    {do: mechanicalTrail},
		"sink":                {do: sink},
		"pedal_lean":          {do: pedalLean},
		"steering_axis_cut":   {do: steeringAxisCut},
		"axis_offsets":        {do: axisOffsets},
		"tilt_on_wheels":      {do: tiltOnWheels},
		"rollout_radius":      {do: rolloutRadius},
		"chart":               {do: frameChart},
		"tyre":                {do: tyre},
		"bead_seat":           {do: beadSeat},
		"inches":              {do: inches},
		"fits":                {do: fits},
		"rule":                {do: rule},
		"rule_on_build":       {do: ruleOnBuild},
		"repeated":            {do: repeated},
		"combine":             {do: combine},
		"limits":              {do: limits},
		"impedance":           {do: impedance},
		"impedance_readings":  {do: impedanceReadings},
		"line_at":             {do: lineAt},
		"common_error":        {do: commonError},
		"distance":            {do: distance},
		"distance_squared":    {do: distanceSquared},
		"angle":               {do: angle},
		"low_pass":            {do: lowPass},
		"circle":              {do: circle},
		"pelvis":              {do: pelvis},
		"hip_centre":          {do: hipCentre},
		"correlation":         {do: correlation},
		"symmetry":            {do: symmetry},
		"fit_motion":          {do: fitMotion},
		"saddle_by_109":       {do: saddleBy109},
		"saddle_by_883":       {do: saddleBy883},
		"saddle_datum":        {saddleDatum, []string{"to_bottom_bracket"}, saddleDatumBack},
		"saddle_least_flexed": {do: saddleLeastFlexed},
		"saddle_most_flexed":  {do: saddleMostFlexed},
		"knee":                {knee, []string{"distance"}, kneeBack},
		"segment":             {do: segment},
		"geometry":            {do: geometry},
		"effective_top_tube":  {effectiveTopTube, []string{"reach"}, reachBack},
		"stem_pitch":          {stemPitch, []string{"stem_angle"}, stemAngleBack},
		"stem_rise_run":       {stemRiseRun, []string{"length", "stem_angle"}, stemBack},
		"bar_clamp":           {do: barClamp},
		"seat_point":          {seatPoint, []string{"along"}, seatPointBack},
		"seat_turn":           {do: seatTurn},
		"bar_from_saddle":     {do: barFromSaddle},
		"tape":                {do: tape},
		"level":               {do: level},
	}
}

// one gives one result.
func one(key, unit string, v float64, err error) (results, error) {
	return results{}.number(key, unit, v), err
}

// theGeometry and theBuild are an invented bike, the worked example of geometry.txt.
func theGeometry() chart.Geometry {
	return chart.Geometry{
		Stack: 560, Reach: 385, HeadAngle: 73, SeatAngle: 73.5,
		Axles: chart.Axles{Chainstay: 410, Drop: 70, ForkOffset: 45, FrontRadius: 340, RearRadius: 340},
	}
}

func theBuild() fitgeom.Build {
	return fitgeom.Build{
		Frame: fitgeom.Frame{
			Name: "road 54", Geometry: theGeometry(), SteererDiameter: 28.6, MaxUnderStem: 55, SeatTubeTop: 500, SeatpostDiameter: 27.2, SeatpostInsertion: 54.4,
		},
		Cap:       part.HeadsetCap{Name: "cap 0", SteererDiameter: 28.6},
		Stem:      part.Stem{Name: "stem 100 -6°", Length: 100, Angle: -6, Height: 40, SteererDiameter: 28.6, BarDiameter: 31.8},
		Handlebar: part.Handlebar{Name: "bar 420", ClampDiameter: 31.8, Drop: part.DropBar{Width: 420, Reach: 80, Drop: 125}},
		Lever:     part.Lever{Name: "lever", Reach: 35, Rise: 25},
		Seatpost:  part.Seatpost{Name: "post 350", Diameter: 27.2, Length: 350, Setback: 20, MinInsertion: 100, MinExtension: 45},
		Saddle:    part.Saddle{Name: "saddle 270", Length: 270, Station: 130, Height: 48, RailsFrom: 110, RailsTo: 180},
		Crank:     part.Crank{Name: "crank 170", Length: 170, QFactor: 146},
		Settings:  fitgeom.Settings{Spacers: 20, SeatpostExtension: 170, RailClamp: 150},
	}
}

// axes gives the unit vector along which the library puts the front, the left or
// the top of the bike.
func axes(a *args) (results, error) {
	var v r3.Vec
	g := theGeometry()
	switch a.text("of") {
	case "front":
		front, _ := g.FrontAxle()
		rear, _ := g.RearAxle()
		v = r3.Sub(front, rear)
	case "left":
		p, err := theBuild().Position()
		if err != nil {
			return nil, err
		}
		left, _ := p.At(contact.HoodsLeft)
		right, _ := p.At(contact.HoodsRight)
		v = r3.Sub(left, right)
	case "top":
		g.HeadAngle = 90
		v = g.SteererUp()
	default:
		a.faults = append(a.faults, "of is front, left or top")
		return nil, nil
	}
	v = r3.Unit(v)
	return results{}.number("direction", "1", v.X, v.Y, v.Z), nil
}

// yaw measures a saddle's nose and rear edge by tape and asks how it is turned.
func yaw(a *args) (results, error) {
	var s survey.TapeSurvey
	for key, site := range map[string]contact.Site{"nose": contact.SaddleNose, "rear": contact.SaddleRear} {
		v := a.point(key, "mm")
		for kind, value := range map[survey.TapeKind]float64{survey.Horizontal: v.X, survey.Lateral: v.Y, survey.Vertical: v.Z} {
			s.Readings = append(s.Readings, survey.TapeReading{Kind: kind, From: survey.BottomBracket, To: survey.At(site), Value: value, Sigma: 0.01})
		}
	}
	fix, err := s.Solve()
	if err != nil {
		return nil, err
	}
	turn, _ := fix.Position.Attitude(contact.SaddleReference)
	return results{}.number("yaw", "degrees", turn.Yaw), nil
}

// fits puts parts of the given diameters together.
func fits(a *args) (results, error) {
	b := theBuild()
	b.Frame.SteererDiameter = a.or("steerer", "mm", 28.6)
	b.Cap.SteererDiameter = b.Frame.SteererDiameter
	b.Stem.SteererDiameter = a.or("stem", "mm", 28.6)
	b.Stem.BarDiameter = a.or("stem_for_bar", "mm", 31.8)
	b.Handlebar.ClampDiameter = a.or("bar", "mm", 31.8)
	b.Frame.SeatpostDiameter = a.or("seat_tube", "mm", 27.2)
	b.Seatpost.Diameter = a.or("post", "mm", 27.2)
	return results{}.text("fits", "yes"), b.Validate()
}

// findRule finds the one rule of an article and an edition, if need be by what it
// limits, to whom it applies, how it is read, its discipline and the height of the rider.
func findRule(a *args) (rules.Rule, error) {
	article, edition := a.text("article"), a.text("edition")
	figure, applies, reading, discipline := "", "", "", ""
	if a.has("figure") {
		figure = a.text("figure")
	}
	if a.has("applies") {
		applies = a.text("applies")
	}
	if a.has("reading") {
		reading = a.text("reading")
	}
	if a.has("discipline") {
		discipline = a.text("discipline")
	}
	height := a.or("height", "mm", 0)
	isFor := func(r *rules.Rule) bool {
		is, known := r.For(rules.Rider{Height: height})
		return is && known && (height == 0 || r.RiderFrom != 0 || r.RiderTo != 0)
	}
	found := slices.DeleteFunc(rules.Rules(), func(r rules.Rule) bool {
		return !strings.Contains(r.Source+" ", article+" ") && !strings.Contains(r.Source+",", article+",") ||
			r.Edition != edition || figure != "" && r.Figure.Words() != figure || applies != "" && r.Applies != applies || reading != "" && r.Reading != reading ||
			discipline != "" && !slices.ContainsFunc(r.Disciplines, func(d rules.Discipline) bool { return d.String() == discipline }) || !isFor(&r)
	})
	if len(found) == 0 {
		return rules.Rule{}, contact.ErrUnknown
	}
	if len(found) > 1 {
		a.faults = append(a.faults, "several rules of that article and edition")
	}
	return found[0], nil
}

func rule(a *args) (results, error) {
	k, err := findRule(a)
	if err != nil {
		return nil, err
	}
	r := results{}.text("limits", k.Figure.Words()).text("seen", k.Seen)
	if !math.IsInf(k.Min, 0) {
		r.number("min", k.Figure.Unit(), k.Min)
	}
	if !math.IsInf(k.Max, 0) {
		r.number("max", k.Figure.Unit(), k.Max)
	}
	if k.Margin != 0 {
		r.number("margin", k.Figure.Unit(), k.Margin)
	}
	if k.Unless.Figure != 0 {
		r.text("unless", k.Unless.String())
	}
	return r, nil
}

// ruleOnBuild holds the worked example against a rule.
func ruleOnBuild(a *args) (results, error) {
	k, err := findRule(a)
	if err != nil {
		return nil, err
	}
	b := theBuild()
	b.Settings.SaddleTilt = a.or("saddle_tilt", "degrees", 0)
	b.Saddle.Length = a.or("saddle_length", "mm", b.Saddle.Length)
	b.Seatpost.Diameter = a.or("post", "mm", b.Seatpost.Diameter)
	b.Frame.SeatpostDiameter = b.Seatpost.Diameter
	b.Seatpost.MinInsertion = a.or("mark", "mm", b.Seatpost.MinInsertion)
	b.Frame.SteererCut = a.or("steerer_cut", "mm", 0)
	b.Crank.Length = a.or("crank", "mm", b.Crank.Length)
	b.Crank.QFactor = a.or("q_factor", "mm", b.Crank.QFactor)
	f, err := k.Check(b, rules.Rider{})
	if err != nil || !f.Known {
		return nil, err
	}
	answer := map[bool]string{true: "yes", false: "no"}[f.Kept]
	return results{}.text("within", answer).number("value", k.Figure.Unit(), f.Value), nil
}

// unitOf returns the unit that an input is kept in.
func (a *args) unitOf(key string) string { return units[a.given[key].unit].kept }

func repeated(a *args) (results, error) {
	unit := a.unitOf("values")
	mean, u, err := survey.Repeated(a.list("values", unit)...)
	return results{}.number("mean", unit, mean).number("u", unit, u.Standard).number("freedom", "1", u.Freedom), err
}

func combine(a *args) (results, error) {
	unit := a.unitOf("u")
	us, freedoms := a.list("u", unit), a.list("freedom", "1")
	if len(us) != len(freedoms) {
		a.faults = append(a.faults, "as many degrees of freedom as uncertainties")
		return nil, nil
	}
	var parts []survey.Uncertainty
	for i, u := range us {
		parts = append(parts, survey.Uncertainty{Standard: u, Freedom: freedoms[i]})
	}
	sum, err := survey.Combine(parts...)
	if err != nil {
		return nil, err
	}
	half, err := sum.Expanded(a.or("coverage", "1", 0.95))
	return results{}.number("u", unit, sum.Standard).number("freedom", "1", sum.Freedom).number("half_width", unit, half), err
}

// slopes pairs coordinates with how much something changes with them.
func slopes(at []contact.Coordinate, by ...float64) (all []contact.Derivative) {
	for i, c := range at {
		all = append(all, contact.Derivative{Coordinate: c, By: by[i]})
	}
	return all
}

// limits carries a rectangular distribution through a slope, to first order.
func limits(a *args) (results, error) {
	l, err := survey.Limits(a.number("half", "1"))
	if err != nil {
		return nil, err
	}
	u := l.Standard
	at := []contact.Coordinate{{Site: contact.BarClamp}}
	cov, err := contact.NewCovariance(at, func(int, int) float64 { return u * u })
	if err != nil {
		return nil, err
	}
	by := slopes(at, a.or("slope", "1", 1))
	v, err := cov.Between(by, by)
	return one("u", "1", math.Sqrt(v), err)
}

// electric carries the covariance of voltage, current and phase to resistance,
// reactance and impedance. To the library any three numbers are coordinates.
func electric(v, i, phi float64, cov [3][3]float64) (results, error) {
	var c []contact.Coordinate
	for axis := range contact.Axis(3) {
		c = append(c, contact.Coordinate{Site: contact.BarClamp, Axis: axis})
	}
	all, err := contact.NewCovariance(c, func(i, j int) float64 { return cov[i][j] })
	if err != nil {
		return nil, err
	}
	sin, cos := math.Sincos(phi)
	slopes := map[string][]contact.Derivative{
		"r": slopes(c, cos/i, -v*cos/i/i, -v*sin/i),
		"x": slopes(c, sin/i, -v*sin/i/i, v*cos/i),
		"z": slopes(c, 1/i, -v/i/i, 0),
	}
	u := map[string]float64{}
	for name, s := range slopes {
		variance, err := all.Between(s, s)
		if err != nil {
			return nil, err
		}
		u[name] = math.Sqrt(variance)
	}
	out := results{}.number("u_r", "ohm", u["r"]).number("u_x", "ohm", u["x"]).number("u_z", "ohm", u["z"])
	for _, pair := range []string{"rx", "rz", "xz"} {
		f, g := pair[:1], pair[1:]
		both, err := all.Between(slopes[f], slopes[g])
		if err != nil {
			return nil, err
		}
		out.number("r_"+pair, "1", both/u[f]/u[g])
	}
	return out, nil
}

func impedance(a *args) (results, error) {
	u := [3]float64{a.number("u_v", "V"), a.number("u_i", "A"), a.number("u_phi", "degrees") * math.Pi / 180}
	vi, vphi, iphi := a.or("r_vi", "1", 0), a.or("r_vphi", "1", 0), a.or("r_iphi", "1", 0)
	r := [3][3]float64{{1, vi, vphi}, {vi, 1, iphi}, {vphi, iphi, 1}}
	for i := range 3 {
		for j := range 3 {
			r[i][j] *= u[i] * u[j]
		}
	}
	return electric(a.number("v", "V"), a.number("i", "A"), a.number("phi", "degrees")*math.Pi/180, r)
}

func impedanceReadings(a *args) (results, error) {
	phases := a.list("phi", "degrees")
	for i := range phases {
		phases[i] *= math.Pi / 180
	}
	all := [3][]float64{a.list("v", "V"), a.list("i", "A"), phases}
	var mean, u [3]float64
	for k, readings := range all {
		m, s, err := survey.Repeated(readings...)
		if err != nil {
			return nil, err
		}
		mean[k], u[k] = m, s.Standard
	}
	var cov [3][3]float64
	for i := range 3 {
		for j := range 3 {
			cov[i][j] = stat.Correlation(all[i], all[j], nil) * u[i] * u[j]
		}
	}
	return electric(mean[0], mean[1], mean[2], cov)
}

// lineAt gives the uncertainty of a line's value away from where its intercept is taken.
func lineAt(a *args) (results, error) {
	c := []contact.Coordinate{{Site: contact.BarClamp, Axis: contact.AxisX}, {Site: contact.BarClamp, Axis: contact.AxisZ}}
	u := [2]float64{a.number("u_intercept", "degC"), a.number("u_slope", "1")}
	r := a.or("r", "1", 0)
	cov, err := contact.NewCovariance(c, func(i, j int) float64 {
		if i != j {
			return r * u[0] * u[1]
		}
		return u[i] * u[i]
	})
	if err != nil {
		return nil, err
	}
	line := slopes(c, 1, a.number("away", "degC"))
	v, err := cov.Between(line, line)
	return one("u", "degC", math.Sqrt(v), err)
}

// commonError gives the uncertainty of the difference of two coordinates that
// have an error in common beside their own.
func commonError(a *args) (results, error) {
	own, common := a.mm("own"), a.mm("common")
	c := []contact.Coordinate{{Site: contact.BarClamp}, {Site: contact.SaddleReference}}
	cov, err := contact.NewCovariance(c, func(i, j int) float64 {
		if i != j {
			return common * common
		}
		return common*common + own*own
	})
	if err != nil {
		return nil, err
	}
	difference := slopes(c, 1, -1)
	v, err := cov.Between(difference, difference)
	return one("u", "mm", math.Sqrt(v), err)
}

// move judges how far a site moved.
func move(by r3.Vec, cov [3][3]float64) (contact.Move, error) {
	var c []contact.Coordinate
	for axis := range contact.Axis(3) {
		c = append(c, contact.Coordinate{Site: contact.BarClamp, Axis: axis})
	}
	all, err := contact.NewCovariance(c, func(i, j int) float64 { return cov[i][j] })
	if err != nil {
		return contact.Move{}, err
	}
	at := func(v r3.Vec) contact.Position { return contact.New(map[contact.Site]r3.Vec{contact.BarClamp: v}) }
	moves, _, err := at(by).Sub(at(r3.Vec{})).Judge(all, 0.95)
	if err != nil {
		return contact.Move{}, err
	}
	return moves[0], nil
}

// distance is from a to b, each with its own errors along the axes.
func distance(a *args) (results, error) {
	by := r3.Sub(a.point("b", "mm"), a.point("a", "mm"))
	sa, sb := a.point("sigma_a", "mm"), a.point("sigma_b", "mm")
	m, err := move(by, [3][3]float64{{sa.X*sa.X + sb.X*sb.X}, {1: sa.Y*sa.Y + sb.Y*sb.Y}, {2: sa.Z*sa.Z + sb.Z*sb.Z}})
	if err != nil {
		return nil, err
	}
	d, u, _ := m.Distance()
	return results{}.number("distance", "mm", d).number("u", "mm", u), nil
}

// distanceSquared is of a point at (x1, 0) with the same uncertainty in both
// directions and a correlation; to first order the square has u = 2·d·u(d).
func distanceSquared(a *args) (results, error) {
	x1, u, r := a.mm("x1"), a.mm("u"), a.or("r", "1", 0)
	m, err := move(r3.Vec{X: x1}, [3][3]float64{{u * u, r * u * u}, {r * u * u, u * u}})
	if err != nil {
		return nil, err
	}
	d, ud, ok := m.Distance()
	mean, sigma := m.DistanceSquared()
	low, high, err := m.DistanceInterval(0.95)
	if err != nil {
		return nil, err
	}
	distance, spread := m.DistanceMean()
	return results{}.number("low", "mm2", low*low).number("high", "mm2", high*high).number("distance", "mm", distance).number("u_of_distance", "mm", spread).
		number("mean", "mm2", mean).number("u", "mm2", sigma).number("root_mean", "mm", math.Sqrt(mean)).
		number("first_order_mean", "mm2", d*d).number("first_order_u", "mm2", 2*d*ud).number("first_order_u_of_distance", "mm", ud).
		text("first_order", map[bool]string{true: "holds", false: "refused"}[ok]), nil
}

func angle(a *args) (results, error) {
	from, joint, to := a.point("from", "mm"), a.point("joint", "mm"), a.point("to", "mm")
	included, err := motion.IncludedAngle(from, joint, to, motion.FromSide)
	if err != nil {
		return nil, err
	}
	flexion, err := motion.FlexionAngle(from, joint, to, motion.FromSide)
	r := results{}.number("included", "degrees", included).number("flexion", "degrees", flexion)
	if err != nil || !a.has("sigma") {
		return r, err
	}
	u, err := motion.AngleSigma(from, joint, to, a.mm("sigma"), motion.FromSide)
	return r.number("u", "degrees", u), err
}

// fitMotion gives the rotation's rows and where the motion carries the origin.
func fitMotion(a *args) (results, error) {
	from, to := a.points("from", "mm"), a.points("to", "mm")
	m, residuals, err := survey.FitMotion(from, to)
	if err != nil {
		return nil, err
	}
	x, y, z := m.Turn(r3.Vec{X: 1}), m.Turn(r3.Vec{Y: 1}), m.Turn(r3.Vec{Z: 1})
	sum := 0.0
	for _, v := range residuals {
		sum += r3.Norm2(v)
	}
	shift := m.Apply(r3.Vec{})
	r := results{}.number("shift", "mm", shift.X, shift.Y, shift.Z).number("determinant", "1", r3.Dot(r3.Cross(x, y), z)).
		number("sum_of_squares", "mm2", sum).number("mean_square", "mm2", sum/float64(len(from)))
	r["rotation"] = quantity{rows: [][]float64{{x.X, y.X, z.X}, {x.Y, y.Y, z.Y}, {x.Z, y.Z, z.Z}}, unit: "1"}
	return r, nil
}

func saddleBy109(a *args) (results, error) {
	h, err := rider.StartByInseam109(a.mm("inseam"))
	if err != nil || !a.has("crank") {
		return one("to_pedal", "mm", h.Height, err)
	}
	b, err := h.ToBottomBracket(a.mm("crank"))
	return results{}.number("to_pedal", "mm", h.Height).number("to_bottom_bracket", "mm", b.Height), err
}

func saddleBy883(a *args) (results, error) {
	h, err := rider.StartByInseam883(a.mm("inseam"))
	if err != nil || !a.has("crank") {
		return one("to_bottom_bracket", "mm", h.Height, err)
	}
	p, err := h.ToPedal(a.mm("crank"))
	return results{}.number("to_bottom_bracket", "mm", h.Height).number("to_pedal", "mm", p.Height), err
}

func saddleDatum(a *args) (results, error) {
	p, err := rider.SaddleToBottomBracket{Height: a.mm("to_bottom_bracket")}.ToPedal(a.mm("crank"))
	return one("to_pedal", "mm", p.Height, err)
}

func saddleDatumBack(a *args) (results, error) {
	b, err := rider.SaddleToPedal{Height: a.mm("to_pedal")}.ToBottomBracket(a.mm("crank"))
	return one("to_bottom_bracket", "mm", b.Height, err)
}

func saddleLeastFlexed(a *args) (results, error) {
	h, err := rider.StartByLeastFlexion(a.mm("inseam"), a.degrees("seat_angle"), a.degrees("flexion"))
	return one("to_pedal", "mm", h.Height, err)
}

func saddleMostFlexed(a *args) (results, error) {
	h, err := rider.StartByMostFlexion(a.mm("inseam"), a.degrees("seat_angle"), a.degrees("flexion"))
	return one("to_pedal", "mm", h.Height, err)
}

// aLeg sits straight above its ankle when the pedal is at the bottom, hip and
// ankle as far apart as is wanted.
func aLeg(a *args, hipToAnkle float64) (rider.Body, contact.Position) {
	const crank, ankleHeight, ankleBehind, hipUp = 170, 80, 100, 80
	leg := rider.Leg{
		Thigh: a.mm("thigh"), Shank: a.mm("shank"), AnkleHeight: ankleHeight, AnkleBehind: ankleBehind,
		Ankle: rider.Ankle{Given: rider.SolePitch, Profile: []float64{0}},
	}
	return rider.Body{Left: leg, HipUp: hipUp}, contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -ankleBehind, Z: ankleHeight - crank + hipToAnkle - hipUp},
		contact.PedalLeft:       {X: crank, Y: 75},
		contact.FootLeft:        {X: crank, Y: 75},
	})
}

// knee gives the flexion of a knee whose hip and ankle are a distance apart.
func knee(a *args) (results, error) {
	body, p := aLeg(a, a.mm("distance"))
	chain, err := rider.NewChain(body, p)
	if err != nil {
		return nil, err
	}
	posture, err := chain.At(contact.Left, 180)
	return results{}.number("flexion", "degrees", posture.KneeFlexion).
		number("measured_distance", "mm", r3.Norm(r3.Sub(posture.Hip, posture.Ankle))), err
}

// kneeBack asks how far the saddle has to be raised for that flexion.
func kneeBack(a *args) (results, error) {
	const from = 800
	body, p := aLeg(a, from)
	by, _, err := body.RaiseSaddle(p, contact.Left, a.degrees("flexion"), 90)
	return one("distance", "mm", from+by, err)
}

// segment of stature 1 mm would be out of range: 1000 mm give the fraction.
func segment(a *args) (results, error) {
	tables := map[string]rider.Table{"drillis_contini": rider.DrillisContini, "ansur_men": rider.ANSURMen, "ansur_women": rider.ANSURWomen}
	segments := map[string][]rider.Segment{
		"thigh": {rider.Thigh}, "shank": {rider.Shank}, "ankle_height": {rider.AnkleHeight}, "trunk": {rider.Trunk}, "upper_arm": {rider.UpperArm},
		"forearm": {rider.Forearm}, "hip_height": {rider.Thigh, rider.Shank, rider.AnkleHeight}, "knee_height": {rider.Shank, rider.AnkleHeight},
	}
	name, stature, sum := a.text("table"), a.mm("stature"), 0.0
	parts, ok := segments[a.text("of")]
	if !ok {
		return nil, contact.ErrUnknown
	}
	for _, s := range parts {
		l, err := tables[name].Length(s, stature)
		if err != nil {
			return nil, err
		}
		sum += l
	}
	return results{}.number("length", "mm", sum).number("fraction", "1", sum/stature), nil
}

// tape gives the maximum permissible error back from the standard uncertainty,
// which has it as the half-width of a rectangle.
func tape(a *args) (results, error) {
	class := map[string]survey.TapeClass{"I": survey.ClassI, "II": survey.ClassII, "III": survey.ClassIII}[a.text("class")]
	u, err := survey.Tape(class, a.mm("length"), a.text("hook") == "yes")
	return results{}.number("most", "mm", u.Standard*math.Sqrt(3)).number("u", "mm", u.Standard), err
}

func level(a *args) (results, error) {
	u, err := survey.Level(a.number("rating", "mm/m"))
	return results{}.number("most", "degrees", u.Standard*math.Sqrt(3)).number("u", "degrees", u.Standard), err
}
