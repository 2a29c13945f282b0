package contact

import (
	"fmt"
	"strconv"
	"strings"

	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/strict"
	"gonum.org/v1/gonum/spatial/r3"
)

// What documents have for a position.
type positionDocument struct {
	Sites map[Site]siteDocument `json:"sites"`
}

type siteDocument struct {
	At       *r3.Vec   `json:"at_mm,omitzero"`
	Attitude *Attitude `json:"attitude,omitzero"`
}

// What an error is in JSON: its class by its text.
type errorDocument struct {
	Path  string `json:"path"`
	Line  int    `json:"line,omitzero" range:"1 to 67108864" unit:"lines" zero:"there is none"`
	Value string `json:"value,omitzero"`
	Want  string `json:"want"`
	Class string `json:"class"`
}

// What documents have for a covariance: for each coordinate its covariances with those
// before it and with itself.
type covarianceDocument struct {
	Coordinates []Coordinate `json:"coordinates"`
	Lower       [][]float64  `json:"lower"`
}

// What documents have for a move: the covariance of its three coordinates too, which
// distances come from, as the lower triangle, row by row, in mm².
type moveDocument struct {
	Site       Site       `json:"site"`
	By         r3.Vec     `json:"by_mm" range:"-4000 to 4000"`
	Sigma      r3.Vec     `json:"sigma_mm" range:"0 to 1e9"`
	Chance     float64    `json:"chance" range:"0 to 1"`
	Real       bool       `json:"real"`
	Covariance [6]float64 `json:"covariance" range:"-1e18 to 1e18"`
}

func init() {
	strict.Register(Move.document, newMove)
	strict.Register(toDocument, fromDocument)
	strict.Register(Covariance.document, newCovariance)
	strict.Register(Error.document, newError)
}

func (e Error) document() errorDocument {
	d := errorDocument{Path: e.Path, Line: e.Line, Value: e.Value, Want: e.Want}
	if e.Class != nil {
		d.Class = e.Class.Error()
	}
	return d
}

func newError(d errorDocument) (Error, error) {
	e := Error{Path: d.Path, Line: d.Line, Value: d.Value, Want: d.Want}
	names := make([]string, 0, 6)
	for _, c := range [...]error{ErrMissing, ErrRange, ErrUnit, ErrConflict, ErrUnknown, ErrBudget} {
		if names = append(names, c.Error()); d.Class == c.Error() {
			e.Class = c
		}
	}
	if e.Class == nil && d.Class != "" {
		return e, fault.New("class", strconv.Quote(d.Class), "one of "+strings.Join(names, ", "), ErrUnknown)
	}
	return e, nil
}

func (m Move) document() moveDocument {
	d := moveDocument{Site: m.Site, By: m.By, Sigma: m.Sigma, Chance: m.Chance, Real: m.Real}
	for i := range 3 {
		copy(d.Covariance[i*(i+1)/2:], m.cov[i][:i+1])
	}
	return d
}

func newMove(d moveDocument) (Move, error) {
	m := Move{Site: d.Site, By: d.By, Sigma: d.Sigma, Chance: d.Chance, Real: d.Real}
	var all []Coordinate
	for a := range AxisTilt {
		all = append(all, Coordinate{d.Site, a})
	}
	_, err := NewCovariance(all, func(i, j int) float64 {
		v := d.Covariance[i*(i+1)/2+j]
		m.cov[i][j], m.cov[j][i] = v, v
		return v
	})
	return m, err
}

func toDocument(p Position) positionDocument {
	d := positionDocument{map[Site]siteDocument{}}
	for i := 1; i < SiteCount; i++ {
		s := Site(i)
		var is siteDocument
		if v, ok := p.at(s); ok {
			is.At = &v
		}
		if a, ok := p.Attitude(s); ok {
			is.Attitude = &a
		}
		if is != (siteDocument{}) {
			d.Sites[s] = is
		}
	}
	return d
}

func fromDocument(d positionDocument) (p Position, err error) {
	for s, is := range d.Sites {
		if is.At != nil {
			p.Set(s, *is.At)
		}
		if is.Attitude != nil {
			p.SetAttitude(s, *is.Attitude)
		}
	}
	return p, nil
}

func (c Covariance) document() covarianceDocument {
	d := covarianceDocument{Coordinates: c.Coordinates()}
	for i := range c.coords {
		d.Lower = append(d.Lower, c.m[i*(i+1)/2:(i+1)*(i+2)/2])
	}
	return d
}

func newCovariance(d covarianceDocument) (Covariance, error) {
	var f fault.List
	if len(d.Lower) != len(d.Coordinates) {
		f.Add("lower", fmt.Sprintf("%d rows", len(d.Lower)), "one for each coordinate", ErrConflict)
	}
	for i, row := range d.Lower {
		if len(row) != i+1 {
			f.Add(fault.At("lower", i), fmt.Sprintf("%d numbers", len(row)), fmt.Sprintf("%d", i+1), ErrConflict)
		}
	}
	if err := f.Err(); err != nil {
		return Covariance{}, err
	}
	return NewCovariance(d.Coordinates, func(i, j int) float64 { return d.Lower[i][j] })
}

// MarshalJSON writes the position as documents of package fitgeom/exchange have it,
// under "sites". It refuses numbers that are not finite.
func (p Position) MarshalJSON() ([]byte, error) { return strict.JSON(p) }

// UnmarshalJSON reads what MarshalJSON writes, as strictly as documents are read. It does
// not check the values: [Position.Validate] does.
func (p *Position) UnmarshalJSON(text []byte) error { return strict.Unmarshal(text, p) }

// MarshalJSON writes the coordinates and the lower triangle of the matrix, row by row.
func (c Covariance) MarshalJSON() ([]byte, error) { return strict.JSON(c) }

// UnmarshalJSON reads what MarshalJSON writes. Faults are those of [NewCovariance].
func (c *Covariance) UnmarshalJSON(text []byte) error { return strict.Unmarshal(text, c) }

// String returns the position in one line, with lengths to a tenth of a millimetre and
// directions to a tenth of a degree: "saddle_reference (-205.0, 0.0, 705.0) tilt -1.0, …".
func (p Position) String() string {
	var all []string
	for i := 1; i < SiteCount; i++ {
		s := Site(i)
		is := ""
		if v, ok := p.at(s); ok {
			is = fmt.Sprintf(" (%.1f, %.1f, %.1f)", v.X+0, v.Y+0, v.Z+0)
		}
		if a, ok := p.Attitude(s); ok {
			is += fmt.Sprintf(" tilt %.1f", a.Tilt+0)
			if a.Yaw != 0 {
				is += fmt.Sprintf(" yaw %.1f", a.Yaw)
			}
			if a.Roll != 0 {
				is += fmt.Sprintf(" roll %.1f", a.Roll)
			}
		}
		if is != "" {
			all = append(all, s.String()+is)
		}
	}
	if len(all) == 0 {
		return "no site"
	}
	return strings.Join(all, ", ")
}

// MarshalJSON writes the moves as [Position.MarshalJSON] writes points.
func (d Difference) MarshalJSON() ([]byte, error) { return strict.JSON(d.move) }

// UnmarshalJSON reads what MarshalJSON writes.
func (d *Difference) UnmarshalJSON(text []byte) error { return strict.Unmarshal(text, &d.move) }

// MarshalJSON writes the fault as an object of path, line, value, want and class.
func (e Error) MarshalJSON() ([]byte, error) { return strict.JSON(e) }

// UnmarshalJSON reads what MarshalJSON writes.
func (e *Error) UnmarshalJSON(text []byte) error { return strict.Unmarshal(text, e) }

// MarshalJSON writes the move with the covariance that its distances come from.
func (m Move) MarshalJSON() ([]byte, error) { return strict.JSON(m) }

// UnmarshalJSON reads what MarshalJSON writes. It refuses a covariance that errors cannot
// have.
func (m *Move) UnmarshalJSON(text []byte) error { return strict.Unmarshal(text, m) }
