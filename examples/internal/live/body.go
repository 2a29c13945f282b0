package live

import (
	"context"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/examples/internal/draw"
	"gonum.org/v1/gonum/spatial/r3"
)

// body is a rider whose saddle, hands and cranks a person moves.
type body struct {
	rider  rider.Body
	target contact.Position
	was    []rider.Comparison // of the target with itself
}

// newBody begins a scene from a body and a position.
func newBody(docs Documents) (Scene, error) {
	var s body
	var err error
	if s.rider, err = read[rider.Body](docs, "body"); err != nil {
		return nil, err
	}
	if s.target, err = read[contact.Position](docs, "position"); err != nil {
		return nil, err
	}
	s.was, err = s.rider.Compare(s.target, s.target)
	return &s, err
}

// feet are the sites that go round with the cranks.
var feet = []contact.Site{contact.PedalLeft, contact.PedalRight, contact.FootLeft, contact.FootRight}

// crank is how long the cranks are, as the first foot that is known tells.
func (s *body) crank() float64 {
	for _, site := range feet {
		if at, ok := s.target.At(site); ok {
			return at.X
		}
	}
	return 0
}

func (s *body) Controls() []Control {
	return []Control{
		number("saddleup", "saddle moved up", "mm", -40, 40, 1, 0),
		number("saddleback", "saddle moved back", "mm", -40, 40, 1, 0),
		number("handsup", "hands moved up", "mm", -80, 80, 1, 0),
		number("handsforward", "hands moved forward", "mm", -60, 60, 1, 0),
		number("crank", "cranks longer", "mm", -20, 20, 0.5, 0),
	}
}

// Stretched returns a position with cranks that are so much longer and the saddle where it is.
func Stretched(p contact.Position, by float64) contact.Position {
	for _, site := range feet {
		if at, ok := p.At(site); ok {
			p.Set(site, r3.Add(at, r3.Vec{X: by}))
		}
	}
	return p
}

func (s *body) moved(state State) contact.Position {
	return Stretched(Moved(s.target, map[contact.Group]r3.Vec{
		contact.OnSaddle:    {X: -state["saddleback"], Z: state["saddleup"]},
		contact.OnHandlebar: {X: state["handsforward"], Z: state["handsup"]},
	}), state["crank"])
}

func (s *body) Now(_ context.Context, state State) (string, error) {
	p := s.moved(state)
	chain, err := rider.NewChain(s.rider, p)
	if err != nil {
		return "", err
	}
	f, err := draw.Rider("live-rider", "The rider as you set the bike, mm", s.rider, s.target, p)
	if err != nil {
		return "", err
	}
	rows := [][]string{{"degrees", "\tleast", "\tchange", "\tmost", "\tchange"}}
	gap := ""
	for _, c := range s.was {
		if p != s.target {
			if c.After, err = chain.Span(c.Variable, c.Side); err != nil {
				return "", err
			}
		}
		name := draw.Words(c.Variable)
		if c.Side != contact.Centre {
			name += ", " + c.Side.String()
		}
		if c.After.Gap != 0 {
			gap = said("%s: the rider does not reach, by %s mm.", name, draw.Fixed(c.After.Gap, 1))
		}
		rows = append(rows, []string{name, right(c.After.Least), signed(c.After.Least - c.Before.Least), right(c.After.Most), signed(c.After.Most - c.Before.Most)})
	}
	return said("Cranks of %s mm.", draw.Fixed(s.crank()+state["crank"], 1)) + gap + figure(f) + table("Joints over the stroke", rows), nil
}

// Settled has nothing to add: all is answered at once.
func (s *body) Settled(ctx context.Context, _ State) (string, error) { return "", ctx.Err() }

func (s *body) Document(state State) ([]byte, error) {
	return written("position", s.moved(state))
}
