package rider_test

import (
	"slices"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/wild"
)

func sane(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// A body and a position of which some numbers are anything, and any arguments.
func FuzzBody(f *testing.F) {
	f.Add([]byte{})
	f.Add([]byte("\x03\x00\x01\x00\x00\x00\x02\x80\x10\x00\x05\x0a\x05\x02\x02\x00\x00\x30\x40\x50\x60"))
	f.Add([]byte("\x04\x00\x06\x12\x01\x00\x07\x00\x03\x00\x09\x14\x00\x00\x08\x64\x64\x64\x64\x64\x64\x64\x64\x64\x64"))
	f.Fuzz(func(t *testing.T, data []byte) {
		s := wild.From(data)
		b, p := invented.Rider()
		b.Left.Ankle.Profile, b.Right.Ankle.Profile = []float64{-20, -15, -18, -25}, slices.Clone(b.Right.Ankle.Profile)
		s.Spoil(&b)
		p = s.Position(p)
		side := contact.Side(s.Byte() % 4)
		sane(t, wild.Proper(b.Validate()))
		sane(t, wild.Check(nil, b.Findings()))
		sane(t, wild.JSON(b, data))
		by, after, err := b.RaiseSaddle(p, side, s.Float(0, 150), s.Float(45, 135))
		sane(t, wild.Check(err, by, after))
		length, after, err := b.CrankLength(p, side, s.Float(0, 150))
		sane(t, wild.Check(err, length, after))
		changes, err := b.Compare(p, after)
		sane(t, wild.Check(err, changes))
		c, err := rider.NewChain(b, p)
		sane(t, wild.Proper(err))
		at, err := c.At(side, s.Float(-400, 800))
		sane(t, wild.Check(err, at))
		over, err := at.KneeOverSpindle(s.Float(-100, 200))
		sane(t, wild.Check(err, over))
		all := make([]rider.Posture, s.Int(20))
		sane(t, wild.Check(c.Stroke(side, all), all))
		far, err := c.FarEnd(side)
		sane(t, wild.Check(err, far))
		for m := range rider.ElbowFlexion + 2 {
			span, _ := c.Span(m, side)
			sane(t, wild.Sound(span, span.Range()))
			slopes, err := c.Slopes(m, side, s.Float(-400, 800))
			sane(t, wild.Check(err, slopes))
			over, err := c.KneeOverSpindleSlopes(side, s.Float(-400, 800), s.Float(-60, 130))
			sane(t, wild.Check(err, over))
			sole, err := c.SoleSlopes(side, s.Float(-400, 800))
			sane(t, wild.Check(err, sole))
			_, least, most, err := c.SpanSlopes(m, side)
			sane(t, wild.Check(err, least.Sub(most)))
		}
		upper, _ := c.Upper()
		sane(t, wild.Sound(upper))
	})
}

// Errors that bodies and positions may have, of any size.
func FuzzSigma(f *testing.F) {
	f.Add([]byte{})
	f.Add([]byte("\x03\x00\x01\x02\x00\x00\x02\x80\x10\x00\x05\x0a\x05\x02\x02\x00\x00\x30\x40\x50\x60"))
	f.Fuzz(func(t *testing.T, data []byte) {
		s := wild.From(data)
		b, p := invented.Rider()
		s.Spoil(&b)
		numbers := make([]rider.Number, s.Int(12))
		for i := range numbers {
			numbers[i] = rider.Number{Of: rider.Dimension(s.Byte() % 15), Side: contact.Side(s.Byte() % 4)}
			_ = numbers[i].String() + numbers[i].Of.Unit()
		}
		size := s.Float(0, 100)
		c, err := rider.NewCovariance(numbers, func(i, j int) float64 {
			if i == j {
				return size
			}
			return s.Float(-1, 1)
		})
		sane(t, wild.Proper(err))
		sane(t, wild.JSON(c, data))
		for _, n := range c.Numbers() {
			sigma, _ := c.Sigma(n)
			v, _ := c.At(n, numbers[0])
			sane(t, wild.Sound(sigma, v))
		}
		side := contact.Side(s.Byte() % 4)
		saddle, err := b.SaddleSlopes(p, side, s.Float(0, 150), s.Float(45, 135))
		sane(t, wild.Check(err, saddle))
		sigma, err := saddle.Slopes.Sigma(contact.Covariance{}, c)
		sane(t, wild.Check(err, sigma))
		crank, err := b.CrankSlopes(p, side, s.Float(0, 150))
		sane(t, wild.Check(err, crank))
		v, err := c.Between(crank.Slopes.Body, saddle.Slopes.Body)
		sane(t, wild.Check(err, v))
		changes, err := b.Changes(p, s.Position(p), rider.Uncertainty{Body: c, Moved: s.Byte()%2 == 0})
		sane(t, wild.Check(err, changes))
		e := rider.Estimate{Value: s.Float(-10, 10), Sigma: sigma}
		low, high, err := e.Range(s.Float(-0.1, 1.1))
		sane(t, wild.Check(err, low, high))
		_, err = e.Real(s.Float(-0.1, 1.1))
		sane(t, wild.Proper(err))
	})
}

func FuzzStart(f *testing.F) {
	f.Add([]byte("\x40\x80\x00\x40\x80\x00\x40\x80\x00\x40\x80\x00\x40\x80\x00\x40\x80\x00"))
	f.Add([]byte{0, 0, 0, 1, 0, 2, 0, 5, 17, 0})
	f.Fuzz(func(t *testing.T, data []byte) {
		s := wild.From(data)
		inseam, seat, flexed, crank, stature := s.Float(400, 1200), s.Float(65, 85), s.Float(10, 140), s.Float(50, 250), s.Float(1000, 2300)
		for _, rule := range []func() (rider.SaddleToPedal, error){
			func() (rider.SaddleToPedal, error) { return rider.StartByInseam109(inseam) },
			func() (rider.SaddleToPedal, error) { return rider.StartByLeastFlexion(inseam, seat, flexed) },
			func() (rider.SaddleToPedal, error) { return rider.StartByMostFlexion(inseam, seat, flexed) },
			func() (rider.SaddleToPedal, error) { return rider.SaddleToPedal{Height: s.Float(600, 1100)}, nil },
		} {
			h, err := rule()
			if err != nil {
				sane(t, wild.Proper(err))
				continue
			}
			bb, err := h.ToBottomBracket(crank)
			sane(t, wild.Check(err, bb))
		}
		bb, err := rider.StartByInseam883(inseam)
		sane(t, wild.Check(err, bb))
		h, err := bb.ToPedal(crank)
		sane(t, wild.Check(err, h))
		table, segment := rider.Table(s.Byte()%6), rider.Segment(s.Byte()%8)
		length, err := table.Length(segment, stature)
		sane(t, wild.Check(err, length))
		_ = table.String() + table.Bias() + table.Source() + segment.String() + rider.Variable(s.Byte()).String() + rider.Variable(s.Byte()).Unit() + rider.AnkleAngle(s.Byte()).String() + rider.UpperAngle(s.Byte()).String()
	})
}

func FuzzNames(f *testing.F) {
	f.Add("knee_flexion", uint8(3))
	f.Add("", uint8(0))
	f.Fuzz(func(t *testing.T, name string, n uint8) {
		sane(t, wild.Names(rider.ParseVariable, name, n))
		sane(t, wild.Names(rider.ParseSegment, name, n))
		sane(t, wild.Names(rider.ParseDimension, name, n))
		sane(t, wild.Names(rider.ParseTable, name, n))
		sane(t, wild.Names(rider.ParseAnkleAngle, name, n))
		sane(t, wild.Names(rider.ParseUpperAngle, name, n))
		sane(t, wild.Names(rider.ParseBound, name, n))
		sane(t, wild.Names(rider.ParseAdjustment, name, n))
		sane(t, wild.Names(rider.ParseMoving, name, n))
		sane(t, wild.Names(rider.ParseRemedy, name, n))
	})
}
