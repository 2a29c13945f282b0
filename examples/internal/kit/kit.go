// Package kit is what the examples have in common: files in, columns out.
package kit

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"strconv"
	"strings"
	"text/tabwriter"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/internal/strict"
	"gonum.org/v1/gonum/spatial/r3"
)

// Load decodes a file, or else the data that lie beside the program under the
// name of beside, and checks what it found. Every fault names the file.
func Load(file, beside string, data []byte, v any, check func() error) error {
	if file != "" {
		var err error
		if data, err = os.ReadFile(file); err != nil {
			return err // it names the file
		}
	}
	err := strict.Unmarshal(data, v)
	if err == nil {
		err = check()
	}
	return Name(err, func(string) string { return cmp.Or(file, beside) })
}

// Name puts the file that a path belongs to before each fault.
func Name(err error, file func(path string) string) error {
	var all []error
	for _, f := range contact.Faults(err) {
		all = append(all, fmt.Errorf("%s: %w", file(f.Path), f))
	}
	return errors.Join(all...)
}

// Survey is how the examples write a survey down, in mm.
type Survey struct {
	Note        string     `json:"note,omitempty"`
	Sigma       [3]float64 `json:"sigma_mm"`
	FrontRadius float64    `json:"front_radius_mm"`
	RearRadius  float64    `json:"rear_radius_mm"`
	RadiusSigma float64    `json:"radius_sigma_mm"`
	Up          [3]float64 `json:"up"`
	Readings    []Reading  `json:"readings"`
}

// Reading is one reading of one landmark.
type Reading struct {
	Landmark survey.Landmark `json:"landmark"`
	At       [3]float64      `json:"at_mm"`
}

// Survey returns what the library takes.
func (d Survey) Survey() survey.Survey {
	s := survey.Survey{
		Sigma: vec(d.Sigma), Up: vec(d.Up),
		FrontRadius: d.FrontRadius, RearRadius: d.RearRadius, RadiusSigma: d.RadiusSigma,
	}
	for _, r := range d.Readings {
		s.Readings = append(s.Readings, survey.Reading{Landmark: r.Landmark, At: vec(r.At)})
	}
	return s
}

func vec(a [3]float64) r3.Vec { return r3.Vec{X: a[0], Y: a[1], Z: a[2]} }

// Round returns a point as files have it, with so many decimals.
func Round(v r3.Vec, decimals int) [3]float64 {
	scale := math.Pow10(decimals)
	return [3]float64{math.Round(v.X*scale) / scale, math.Round(v.Y*scale) / scale, math.Round(v.Z*scale) / scale}
}

// JSON writes the survey with one reading to a line.
func (d Survey) JSON() []byte {
	var b bytes.Buffer
	list := func(a [3]float64) string { return fmt.Sprintf("[%v, %v, %v]", a[0], a[1], a[2]) }
	fmt.Fprintf(&b, "{\n  \"note\": %q,\n  \"sigma_mm\": %s, \"front_radius_mm\": %v, \"rear_radius_mm\": %v, \"radius_sigma_mm\": %v,\n  \"up\": %s,\n  \"readings\": [",
		d.Note, list(d.Sigma), d.FrontRadius, d.RearRadius, d.RadiusSigma, list(d.Up))
	for i, r := range d.Readings {
		if i > 0 {
			b.WriteByte(',')
		}
		fmt.Fprintf(&b, "\n    {\"landmark\": %q, \"at_mm\": %s}", r.Landmark, list(r.At))
	}
	b.WriteString("\n  ]\n}\n")
	return b.Bytes()
}

// Table writes rows in columns that line up.
func Table(out io.Writer, rows ...[]string) {
	var b bytes.Buffer
	w := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	for _, r := range rows {
		fmt.Fprintln(w, "  "+strings.Join(r, "\t"))
	}
	w.Flush()
	for line := range strings.Lines(b.String()) {
		fmt.Fprintln(out, strings.TrimRight(line, " \n"))
	}
}

// Residuals writes how far off a build is, with an empty line after it.
func Residuals(out io.Writer, all []fitgeom.Residual) {
	rows := [][]string{{"off by, mm", "forward", "left", "up"}}
	for _, r := range all {
		note := ""
		if !r.Within {
			note = "beyond tolerance"
		}
		rows = append(rows, []string{r.Site.String(), Signed(r.Off.X, 1), Signed(r.Off.Y, 1), Signed(r.Off.Z, 1), note})
	}
	Table(out, rows...)
	fmt.Fprintln(out)
}

// Fixed prints a number with so many decimals, and never -0.
func Fixed(v float64, decimals int) string {
	scale := math.Pow10(decimals)
	return strconv.FormatFloat(math.Round(v*scale)/scale+0, 'f', decimals, 64)
}

// Signed is Fixed with a plus before what is more than nothing.
func Signed(v float64, decimals int) string {
	s := Fixed(v, decimals)
	if v > 0 && strings.Trim(s, "0.") != "" {
		s = "+" + s
	}
	return s
}
