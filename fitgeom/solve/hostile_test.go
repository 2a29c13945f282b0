package solve_test

import (
	"context"
	"slices"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/rules"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// hostileProblems is what nobody would ask for, unless it is to do harm or by mistake.
var hostileProblems = []struct {
	name   string
	change func(*solve.Problem)
}{
	{"aero steps of 0.5 over whole ranges", func(p *solve.Problem) {
		onAero(p)
		p.Shelf.Stems = invented.Stems(1000)
	}},
	{"10,000 stems by 1,000 bars, unlike tolerances", func(p *solve.Problem) {
		p.Shelf.Stems, p.Shelf.Handlebars = invented.Stems(10_000), invented.Bars(1000)
		p.Keep = fitgeom.DefaultKeep(p.Target)
		for i := range p.Keep {
			if p.Keep[i].Site.Group() == contact.OnHandlebar {
				p.Keep[i].Tolerance = r3.Vec{X: 2, Y: 5, Z: 3}
			}
		}
	}},
	{"100,000 equal stems", func(p *solve.Problem) {
		p.Shelf.Stems = invented.Alike(p.Shelf.Stems[0], 100_000)
	}},
	{"30,000 equal parts of each kind", func(p *solve.Problem) {
		const n = 30_000
		s := &p.Shelf
		s.Caps, s.Spacers, s.Stems = invented.Alike(s.Caps[0], n), invented.Alike(s.Spacers[0], n), invented.Alike(s.Stems[0], n)
		s.Handlebars, s.Levers, s.Seatposts = invented.Alike(s.Handlebars[0], n), invented.Alike(s.Levers[0], n), invented.Alike(s.Seatposts[0], n)
		s.Saddles, s.Cranks = invented.Alike(s.Saddles[0], n), invented.Alike(s.Cranks[0], n)
	}},
	{"10,000 of each part of a cockpit", func(p *solve.Problem) {
		b := onAero(p)
		p.Shelf.Handlebars, p.Shelf.Levers = invented.Alike(b.Handlebar, 10_000), invented.Alike(b.Lever, 10_000)
		p.Shelf.AeroBars = invented.Alike(b.Aero, 10_000)
	}},
	{"10,000 of each part of a seat", func(p *solve.Problem) {
		s := &p.Shelf
		s.Seatposts, s.Saddles = invented.Alike(s.Seatposts[0], 10_000), invented.Alike(s.Saddles[0], 10_000)
		s.Cranks, s.Pedals = invented.Alike(s.Cranks[0], 10_000), invented.Alike(invented.Everything().Pedal, 10_000)
	}},
	{"spacers of every height on a cut steerer", func(p *solve.Problem) {
		p.Frame.SteererCut, p.Frame.MaxUnderStem = 145, 150
		p.Shelf.Spacers = nil
		for h := 10; h <= 600; h++ {
			p.Shelf.Spacers = append(p.Shelf.Spacers, part.Spacer{Height: float64(h) / 10, Count: 20})
		}
	}},
	{"10,000 heights of stems and 100 caps on a cut steerer", func(p *solve.Problem) {
		p.Frame.SteererCut, p.Frame.MaxUnderStem = 145, 150
		p.Shelf.Spacers = []part.Spacer{{Height: 1, Count: 20}, {Height: 5, Count: 20}}
		p.Shelf.Stems = invented.Stems(10_000)
		for i := range p.Shelf.Stems {
			p.Shelf.Stems[i].Height = 20 + 60*float64(i)/10_000
		}
		p.Shelf.Caps = invented.Alike(p.Shelf.Caps[0], 100)
	}},
	{"100 rules that no front end keeps with any of 40,000 seats", func(p *solve.Problem) {
		p.Shelf.Stems, p.Shelf.Handlebars, p.Shelf.Saddles = invented.Stems(2000), invented.Bars(200), invented.Alike(p.Shelf.Saddles[0], 40_000)
		never := rules.Bound{Figure: rules.GripsAboveSaddle, Min: -1e5, Max: -9e4}
		p.Rules.Rules = slices.Repeat([]rules.Rule{{Bound: never, Unless: never}}, 100)
	}},
	{"1,000 candidates that differ in everything", func(p *solve.Problem) {
		p.Shelf.Stems, p.Shelf.Handlebars = invented.Stems(2000), invented.Bars(200)
		p.Limit, p.Vary = 1000, part.AllKinds
	}},
}

// onAero makes a problem one of an aero bar with the finest steps.
func onAero(p *solve.Problem) fitgeom.Build {
	b := invented.Everything()
	p.Target = invented.Position(b)
	p.Shelf.Pedals, p.Shelf.Handlebars, p.Shelf.AeroBars = []part.Pedal{b.Pedal}, []part.Handlebar{b.Handlebar}, []part.AeroBar{invented.WholeRange()}
	return b
}

// live is what a call may have in use beside the problem: 16 MB and 200 bytes a stem.
func live(p *solve.Problem) int { return 16_000_000 + 200*len(p.Shelf.Stems) }

// A problem that was made to do harm is solved or refused with no more memory and work
// than the package states, and the call ends soon after its context. The budget is the
// usual one only if Long.
func TestHostile(t *testing.T) {
	if !trial.Huge() {
		t.Skip("takes some seconds; the lane hostile has it")
	}
	budget := fitgeom.Budget{Work: 3_000_000}
	if trial.Long() {
		budget.Work = 0
	}
	for _, c := range hostileProblems {
		t.Run(c.name, func(t *testing.T) {
			p := solve.Problem{Target: invented.Position(invented.Build()), Frame: invented.Road54(), Shelf: invented.Shelf()}
			spent := trial.Spending()
			c.change(&p)
			p.Budget = budget
			h := trial.Hostile{Name: c.name, Input: spent(), Live: live(&p)}
			h.Do = func(ctx context.Context) (any, error) { return p.Solve(ctx) }
			err := h.Run(t)
			require.True(t, err == nil || class(err), err)
		})
	}
}

// class reports whether an error is what too much work or too many piles are.
func class(err error) bool {
	return trial.FaultAt(err, "budget.work", contact.ErrBudget) || trial.FaultAt(err, "shelf.spacers", contact.ErrRange)
}

// The same for what else is asked of a problem.
func TestHostileAnswers(t *testing.T) {
	p := solve.Problem{Target: invented.Position(invented.Build()), Frame: invented.Road54(), Shelf: invented.Shelf(), Limit: 1}
	onAero(&p)
	for _, s := range []contact.Site{contact.PadLeft, contact.PadRight} {
		at, _ := p.Target.At(s)
		at.Z += 200
		p.Target.Set(s, at)
	}
	p.Shelf.AeroBars[0].PadRise.To = 100
	p.Budget.Work = -1
	r, err := p.Solve(t.Context())
	require.NoError(t, err)
	require.False(t, r.Holds())
	p.Budget.Work = 3_000_000
	if trial.Long() {
		p.Budget.Work = 0
	}
	trial.Hostile{Name: "aero steps of 0.5, out of reach, explained", Live: live(&p), Do: func(ctx context.Context) (any, error) {
		return p.Explain(ctx, r.Candidates[0])
	}}.Run(t)

	var sites []contact.Site
	for s := range p.Target.All() {
		sites = append(sites, s)
	}
	cov := trial.Independent(t, 1, sites...)
	trial.Hostile{Name: "the chance of every site", Live: live(&p), Do: func(ctx context.Context) (any, error) {
		return p.Chance(ctx, r.Candidates[0], solve.Errors{Target: cov, Rounding: chart.Rounding{LengthStep: 1, AngleStep: 0.5}})
	}}.Run(t)
}
