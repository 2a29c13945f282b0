package published_test

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.com/fitgeom/contact"
	"gonum.org/v1/gonum/spatial/r3"
)

// A block is one operation with its cases.
type block struct {
	file                                string
	line                                int
	operation, source, state, direction string
	tolerance                           map[string]float64 // by unit
	cases                               []*vector
}

// A vector is one case.
type vector struct {
	line    int
	inputs  map[string]quantity
	expects []expectation
}

type expectation struct {
	line    int
	key     string
	want    quantity
	differs bool
	failure error // a class of package contact; then there is no key
}

// A quantity is a text or a table of numbers, with its unit.
type quantity struct {
	text string
	rows [][]float64
	unit string
}

// units says of each unit what it is kept in, and how many of these it is.
var units = map[string]struct {
	kept  string
	times float64
}{
	"mm": {"mm", 1}, "cm": {"mm", 10}, "m": {"mm", 1000}, "mm2": {"mm2", 1},
	"degrees": {"degrees", 1}, "rad": {"degrees", 180 / math.Pi},
	"turns": {"turns", 1}, "diameters": {"diameters", 1}, "mm/m": {"mm/m", 1}, "1": {"1", 1},
	"V": {"V", 1}, "A": {"A", 1}, "mA": {"A", 1e-3}, "ohm": {"ohm", 1}, "nm": {"nm", 1}, "degC": {"degC", 1},
	"text": {"text", 0},
}

var classes = map[string]error{
	"missing": contact.ErrMissing, "range": contact.ErrRange, "unit": contact.ErrUnit, "conflict": contact.ErrConflict, "unknown": contact.ErrUnknown,
}

// A pair is "key=value unit".
type pair struct {
	key string
	quantity
}

// parse reads a file. It goes on after a fault, to report all of them.
func parse(name, text string) (blocks []*block, faults []string) {
	var b *block
	var v *vector
	seen := map[string]bool{} // words and keys of the block or the case
	for i, line := range strings.Split(text, "\n") {
		fault := func(format string, a ...any) {
			faults = append(faults, fmt.Sprintf("%s:%d: ", name, i+1)+fmt.Sprintf(format, a...))
		}
		line = strings.TrimSpace(line)
		if line == "" || line[0] == '#' {
			continue
		}
		word, rest, _ := strings.Cut(line, " ")
		rest = strings.TrimSpace(rest)
		if word == "operation" {
			b, v = &block{file: name, line: i + 1, operation: rest, tolerance: map[string]float64{}}, nil
			blocks = append(blocks, b)
			clear(seen)
			if _, ok := operations[rest]; !ok {
				fault("unknown operation %q", rest)
			}
			continue
		}
		if b == nil {
			fault("%q before the first operation", word)
			continue
		}
		head := func(to *string, allowed ...string) {
			switch {
			case seen[word]:
				fault("%s twice", word)
			case v != nil:
				fault("%s after the first input", word)
			case rest == "":
				fault("%s says nothing", word)
			case allowed != nil && !slices.Contains(allowed, rest):
				fault("unknown %s %q", word, rest)
			}
			seen[word] = true
			*to = rest
		}
		switch word {
		case "source":
			head(&b.source)
			if strings.Contains(rest, "|") {
				fault("a source cannot have | in it")
			}
		case "state":
			head(&b.state, "seen", "seen secondary", "from memory", "computed")
		case "direction":
			head(&b.direction, "forward", "inverse", "both")
		case "tolerance":
			value, unit, _ := strings.Cut(rest, " ")
			t, err := strconv.ParseFloat(value, 64)
			u, known := units[unit]
			switch {
			case err != nil || !known || unit == "text" || !(t > 0):
				fault("tolerance %q is not a positive number with a unit", rest)
			case b.tolerance[u.kept] != 0:
				fault("tolerance in %s twice", u.kept)
			case v != nil:
				fault("tolerance after the first input")
			}
			b.tolerance[u.kept] = t * u.times
		case "input":
			if v == nil || v.expects != nil {
				v = &vector{line: i + 1, inputs: map[string]quantity{}}
				b.cases = append(b.cases, v)
				clear(seen)
			}
			pairs, err := parsePairs(rest)
			if err != nil {
				fault("%v", err)
			}
			for _, p := range pairs {
				if _, ok := v.inputs[p.key]; ok {
					fault("input %s twice", p.key)
				}
				v.inputs[p.key] = p.quantity
			}
		case "expect":
			if v == nil {
				fault("expect before the first input")
				continue
			}
			if class, ok := strings.CutPrefix(rest, "failure "); ok {
				if classes[class] == nil {
					fault("unknown class %q", class)
				}
				if v.expects != nil {
					fault("a failure beside another expect")
				}
				v.expects = append(v.expects, expectation{line: i + 1, failure: classes[class]})
				continue
			}
			rest, differs := strings.CutPrefix(rest, "differs ")
			pairs, err := parsePairs(rest)
			if err != nil {
				fault("%v", err)
			}
			for _, p := range pairs {
				if slices.ContainsFunc(v.expects, func(e expectation) bool { return e.failure != nil }) {
					fault("a failure beside another expect")
				}
				if !differs && seen[p.key] {
					fault("expect %s twice", p.key)
				}
				seen[p.key] = seen[p.key] || !differs
				v.expects = append(v.expects, expectation{line: i + 1, key: p.key, want: p.quantity, differs: differs})
			}
		default:
			fault("unknown word %q", word)
		}
	}
	for _, b := range blocks {
		faults = append(faults, b.incomplete()...)
	}
	return blocks, faults
}

// incomplete tells what a block lacks, and which tolerances nothing uses.
func (b *block) incomplete() (faults []string) {
	fault := func(line int, format string, a ...any) {
		faults = append(faults, fmt.Sprintf("%s:%d: ", b.file, line)+fmt.Sprintf(format, a...))
	}
	for _, k := range []struct{ word, text string }{{"source", b.source}, {"state", b.state}, {"direction", b.direction}} {
		if k.text == "" {
			fault(b.line, "missing %s", k.word)
		}
	}
	if b.cases == nil {
		fault(b.line, "no cases")
	}
	used := map[string]bool{}
	for _, v := range b.cases {
		if v.expects == nil {
			fault(v.line, "an input without expect")
		}
		for _, e := range v.expects {
			if b.direction == "inverse" && (e.failure != nil || e.differs) {
				fault(e.line, "a failure or a difference that the way back does not try")
			}
			if e.failure != nil || e.want.unit == "" {
				continue
			}
			kept := units[e.want.unit].kept
			if kept != "text" && b.tolerance[kept] == 0 {
				fault(e.line, "missing tolerance in %s", kept)
			}
			used[kept] = true
		}
		if b.direction == "inverse" || b.direction == "both" {
			for _, key := range operations[b.operation].gives {
				used[units[v.inputs[key].unit].kept] = true
			}
		}
	}
	for _, unit := range slices.Sorted(maps.Keys(b.tolerance)) {
		if unit != "" && !used[unit] {
			fault(b.line, "nothing uses the tolerance in %s", unit)
		}
	}
	if back := b.direction == "inverse" || b.direction == "both"; back && operations[b.operation].do != nil && operations[b.operation].back == nil {
		fault(b.line, "operation %s has no inverse", b.operation)
	}
	return faults
}

// parsePairs reads "key=value unit key=value unit ...".
func parsePairs(text string) (pairs []pair, err error) {
	for rest := text; rest != ""; {
		key, after, ok := strings.Cut(rest, "=")
		if !ok || key == "" || strings.ContainsAny(key, " \"") {
			return pairs, fmt.Errorf("%q is not key=value unit", rest)
		}
		var value string
		if quoted, ok := strings.CutPrefix(after, `"`); ok {
			if value, after, ok = strings.Cut(quoted, `"`); !ok {
				return pairs, fmt.Errorf("%s has a quote that does not end", key)
			}
			after = strings.TrimSpace(after)
		} else {
			value, after, _ = strings.Cut(after, " ")
		}
		q := quantity{text: value}
		q.unit, rest, _ = strings.Cut(strings.TrimSpace(after), " ")
		rest = strings.TrimSpace(rest)
		if _, ok := units[q.unit]; !ok {
			return pairs, fmt.Errorf("%s has the unknown unit %q", key, q.unit)
		}
		if q.unit != "text" {
			for row := range strings.SplitSeq(value, ";") {
				var numbers []float64
				for s := range strings.SplitSeq(row, ",") {
					x, err := strconv.ParseFloat(s, 64)
					if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
						return pairs, fmt.Errorf("%s has %q for a number", key, s)
					}
					numbers = append(numbers, x*units[q.unit].times)
				}
				q.rows = append(q.rows, numbers)
			}
		}
		pairs = append(pairs, pair{key, q})
	}
	if pairs == nil {
		return nil, errors.New("nothing said")
	}
	return pairs, nil
}

// args hands an operation its inputs, and notes which it took and what was wrong
// with them.
type args struct {
	given  map[string]quantity
	used   map[string]bool
	faults []string
}

func (a *args) has(key string) bool {
	_, ok := a.given[key]
	return ok
}

func (a *args) table(key, unit string) [][]float64 {
	q, ok := a.given[key]
	switch {
	case !ok:
		a.faults = append(a.faults, "missing input "+key)
	case units[q.unit].kept != unit:
		a.faults = append(a.faults, fmt.Sprintf("input %s is in %s, not in %s", key, q.unit, unit))
	}
	a.used[key] = true
	return q.rows
}

func (a *args) list(key, unit string) []float64 {
	rows := a.table(key, unit)
	if len(rows) != 1 {
		return nil
	}
	return rows[0]
}

func (a *args) number(key, unit string) float64 {
	l := a.list(key, unit)
	if len(l) != 1 {
		a.faults = append(a.faults, "input "+key+" is not one number")
		return 0
	}
	return l[0]
}

func (a *args) mm(key string) float64      { return a.number(key, "mm") }
func (a *args) degrees(key string) float64 { return a.number(key, "degrees") }

// or returns a number that need not be there.
func (a *args) or(key, unit string, without float64) float64 {
	if !a.has(key) {
		return without
	}
	return a.number(key, unit)
}

func (a *args) text(key string) string {
	a.table(key, "text")
	return a.given[key].text
}

func (a *args) points(key, unit string) (points []r3.Vec) {
	for _, row := range a.table(key, unit) {
		if len(row) != 3 {
			a.faults = append(a.faults, "input "+key+" is not points of three numbers")
			return nil
		}
		points = append(points, r3.Vec{X: row[0], Y: row[1], Z: row[2]})
	}
	return points
}

func (a *args) point(key, unit string) r3.Vec {
	p := a.points(key, unit)
	if len(p) != 1 {
		a.faults = append(a.faults, "input "+key+" is not one point")
		return r3.Vec{}
	}
	return p[0]
}

// results is what an operation gives, by key.
type results map[string]quantity

func (r results) number(key, unit string, v ...float64) results {
	r[key] = quantity{rows: [][]float64{v}, unit: unit}
	return r
}

func (r results) text(key, text string) results {
	r[key] = quantity{text: text, unit: "text"}
	return r
}

// An operation is what a block can name. Its functions take all inputs that are
// there and give results in the units that things are kept in. Of the inputs, back
// gives those that are listed, from the others and from what was expected.
type operation struct {
	do    func(*args) (results, error)
	gives []string
	back  func(*args) (results, error)
}

// A tally counts the checks of blocks, and knows the worst deviation among them as a
// share of its tolerance.
type tally struct {
	values, failures, differing int
	worst                       float64
	worstAt                     string
}

func (t *tally) checks() int { return t.values + t.failures + t.differing }

func (t *tally) add(u tally) {
	t.values += u.values
	t.failures += u.failures
	t.differing += u.differing
	if u.worst > t.worst {
		t.worst, t.worstAt = u.worst, u.worstAt
	}
}

// run runs a block's cases.
func (b *block) run() (t tally, faults []string) {
	op := operations[b.operation]
	for _, v := range b.cases {
		fault := func(line int, format string, a ...any) {
			faults = append(faults, fmt.Sprintf("%s:%d: %s: ", b.file, line, b.operation)+fmt.Sprintf(format, a...))
		}
		call := func(f func(*args) (results, error), given map[string]quantity, must map[string]quantity) (results, error, bool) {
			a := &args{given: given, used: map[string]bool{}}
			got, err := f(a)
			for key := range must {
				if !a.used[key] {
					a.faults = append(a.faults, "unused input "+key)
				}
			}
			slices.Sort(a.faults)
			for _, s := range slices.Compact(a.faults) {
				fault(v.line, "%s", s)
			}
			return got, err, a.faults == nil
		}
		compare := func(line int, key string, want quantity, got results, differs bool) {
			off, why := apart(want, got, key)
			kept := units[want.unit].kept
			if why != "" {
				fault(line, "%s", why)
				return
			}
			tolerance := b.tolerance[kept]
			if tolerance == 0 && kept != "text" {
				fault(line, "missing tolerance in %s", kept)
				return
			}
			if differs {
				t.differing++
				if off <= tolerance {
					fault(line, "%s is what it must not be, to %g %s", key, tolerance, kept)
				}
				return
			}
			t.values++
			if share := off / tolerance; off > 0 && share > t.worst {
				t.worst, t.worstAt = share, fmt.Sprintf("%s in line %d", key, line)
			}
			if !(off <= tolerance) {
				fault(line, "%s is off by %g %s, more than %g: got %s", key, off, kept, tolerance, got[key])
			}
		}
		if b.direction != "inverse" {
			got, err, ok := call(op.do, v.inputs, v.inputs)
			for _, e := range v.expects {
				switch {
				case !ok: // reported
				case e.failure != nil:
					t.failures++
					if !errors.Is(err, e.failure) {
						fault(e.line, "failed with %v, not with %q", err, e.failure)
					}
				case err != nil:
					fault(e.line, "%v", err)
				default:
					compare(e.line, e.key, e.want, got, e.differs)
				}
			}
		}
		if b.direction == "forward" || op.back == nil || slices.ContainsFunc(v.expects, func(e expectation) bool { return e.failure != nil }) {
			continue
		}
		given, must := map[string]quantity{}, map[string]quantity{}
		for key, q := range v.inputs {
			if !slices.Contains(op.gives, key) {
				given[key], must[key] = q, q
			}
		}
		for _, e := range v.expects {
			if !e.differs {
				given[e.key] = e.want
			}
		}
		if len(must) == len(v.inputs) {
			fault(v.line, "no input that the way back gives")
			continue
		}
		got, err, ok := call(op.back, given, must)
		if err != nil {
			fault(v.line, "back: %v", err)
			continue
		}
		for _, key := range op.gives {
			if want, there := v.inputs[key]; there && ok {
				compare(v.line, key, want, got, false)
			}
		}
	}
	return t, faults
}

// apart returns how far a result is from what is wanted: of a list the most, of a
// text 0 or infinite.
func apart(want quantity, all results, key string) (off float64, why string) {
	got, ok := all[key]
	if !ok {
		return 0, "it does not give " + key
	}
	if got.unit != units[want.unit].kept {
		return 0, fmt.Sprintf("%s is in %s, not in %s", key, got.unit, want.unit)
	}
	if want.unit == "text" {
		if want.text != got.text {
			return math.Inf(1), ""
		}
		return 0, ""
	}
	if len(want.rows) != len(got.rows) {
		return 0, fmt.Sprintf("%s has %d rows, not %d", key, len(got.rows), len(want.rows))
	}
	for i, row := range want.rows {
		if len(row) != len(got.rows[i]) {
			return 0, fmt.Sprintf("%s has rows of %d, not of %d", key, len(got.rows[i]), len(row))
		}
		for j, w := range row {
			d := math.Abs(w - got.rows[i][j])
			if math.IsNaN(d) {
				d = math.Inf(1)
			}
			off = max(off, d)
		}
	}
	return off, ""
}

// String returns the text or the numbers.
func (q quantity) String() string {
	if q.unit == "text" {
		return strconv.Quote(q.text)
	}
	return fmt.Sprint(q.rows, " ", q.unit)
}
