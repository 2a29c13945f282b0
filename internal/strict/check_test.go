package strict_test

import (
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/strict"
	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/spatial/r3"
)

type checked struct {
	Amount float64         `json:"amount_mm" range:"0 to 10"`
	Any    float64         `json:"any"`
	Length float64         `json:"length_mm,omitzero" length:"20 to 180" zero:"not known"`
	Count  int             `json:"count" range:"1 to 9" unit:"parts"`
	Site   site            `json:"site"`
	Maybe  site            `json:"maybe,omitzero"`
	At     r3.Vec          `json:"at_mm" range:"-9 to 9"`
	Pair   [2]float64      `json:"pair" range:"0 to 1"`
	More   []checked       `json:"more,omitempty"`
	By     map[string]lone `json:"by,omitempty"`
	Point  *float64        `json:"point,omitzero" range:"0 to 1"`
	Sites  []site          `json:"sites,omitempty"`
	Own    owner           `json:"own"`
	In     lone            `json:",inline"`
	Out    float64         `json:"-"`
}

type site = contact.Site

type lone struct {
	Share float64 `json:"share" range:"0 to 1"`
}

type owner struct{ Wrong bool }

func (o owner) Validate() error {
	if !o.Wrong {
		return nil
	}
	return fault.New("wrong", "true", "false", fault.ErrConflict)
}

func anAnswer() checked { return checked{Count: 1, Site: contact.HoodsLeft} }

func TestCheck(t *testing.T) {
	nan := math.NaN()
	for want, change := range map[string]func(*checked){
		"":                                      func(a *checked) { a.Length, a.Out, a.More = 20, nan, []checked{anAnswer()} },
		"top.amount_mm 11 mm: want 0 to 10 mm":  func(a *checked) { a.Amount = 11 },
		"top.amount_mm NaN mm: want 0 to 10 mm": func(a *checked) { a.Amount = nan },
		"top.any +Inf: want a finite number":    func(a *checked) { a.Any = math.Inf(1) },
		"top.length_mm 10 mm: want 20 to 180 mm; it looks like centimetres":        func(a *checked) { a.Length = 10 },
		"top.count 0 parts: want 1 to 9 parts":                                     func(a *checked) { a.Count = 0 },
		"top.site none: want a name such as saddle_reference or hoods_left":        func(a *checked) { a.Site = 0 },
		"top.maybe number 200: want a name such as saddle_reference or hoods_left": func(a *checked) { a.Maybe = 200 },
		"top.at_mm[1] 10 mm: want -9 to 9 mm":                                      func(a *checked) { a.At.Y = 10 },
		"top.pair[0] 2: want 0 to 1":                                               func(a *checked) { a.Pair[0] = 2 },
		"top.more[1].amount_mm -1 mm: want 0 to 10 mm": func(a *checked) {
			a.More = []checked{anAnswer(), anAnswer()}
			a.More[1].Amount = -1
		},
		"top.by.x.share 2: want 0 to 1": func(a *checked) { a.By = map[string]lone{"x": {2}} },
		"top.point 2: want 0 to 1":      func(a *checked) { v := 2.0; a.Point = &v },

		"top.sites[1] none: want a name such as saddle_reference or hoods_left": func(a *checked) { a.Sites = []site{contact.HoodsLeft, 0} },
		"top.own.wrong true: want false":                                        func(a *checked) { a.Own.Wrong = true },
		"top.share -1: want 0 to 1":                                             func(a *checked) { a.In.Share = -1 },
	} {
		a := anAnswer()
		change(&a)
		var l fault.List
		strict.Check(nil, &l, "top", a)
		got := ""
		if err := l.Err(); err != nil {
			got = err.Error()
		}
		assert.Equal(t, want, got)
	}
}
