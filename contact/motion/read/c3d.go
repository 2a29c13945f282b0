package read

import (
	"context"
	"encoding/binary"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/work"
	"gonum.org/v1/gonum/spatial/r3"
)

// A File is what a C3D file says of points.
type File struct {
	// Rate is how many frames there are a second.
	Rate float64
	// First is the number that the file gives its first frame.
	First int
	// Stated is how many frames the file says that it has. It may have fewer.
	Stated int
	// Unit is that of lengths as the file says it, without padding; "" if it does not.
	Unit string
	// Labels are the names of the points, without padding.
	Labels []string
	// Points holds the samples of each label, in that unit.
	Points [][]motion.Sample
	// Residuals are the means of what the file says that each point was off, in that unit; 0
	// where it says nothing.
	Residuals []float64
}

// Sizes of the format.
const (
	block = 512
	word  = 2
	// mostPoints and mostRecords are how many there may be.
	mostPoints, mostRecords = 4096, 2000
	// mostFrame is the largest number of a frame.
	mostFrame = 1e9
	// mostCoordinate is the largest number that is no error, mm or whatever the unit.
	mostCoordinate = 1e6
)

// C3D reads a C3D file. A sample whose fourth word is negative, and one that is not a
// number, is not seen.
//
// Faults are [contact.ErrMissing] for less than a header and for parameters that a reader
// needs and for no frames; [contact.ErrUnknown] for what is no C3D file and for a processor that does not
// exist; [contact.ErrConflict] for what lies beyond the file's end and for less than one
// frame; and [contact.ErrRange] for more than 4,096 points, for a rate or scale that is not a finite number above 0 and
// for coordinates that are infinite or beyond 1e6. If the context ends, the error wraps the
// context's.
func C3D(ctx context.Context, data []byte) (File, error) {
	var f fault.List
	r := reader{data: data}
	r.header(&f)
	if err := f.Err(); err != nil {
		return File{}, err
	}
	r.records()
	file := r.describe(&f)
	if err := f.Err(); err != nil {
		return File{}, err
	}
	w := work.New(ctx, -1)
	r.frames(w, &f, &file)
	if w.Stopped() {
		return File{}, w.Err(fmt.Sprintf("%d frames of %d points", len(file.Points[0]), len(file.Labels)))
	}
	if err := f.Err(); err != nil {
		return File{}, err
	}
	return file, nil
}

// A reader is a file that is being read.
type reader struct {
	data       []byte
	order      binary.ByteOrder
	vax        bool // floating-point numbers of the DEC kind
	parameters int  // where they begin
	blocks     int  // how many they are
	of         map[string]parameter
	start      int // where points begin
	size       int // of a frame
	real       bool
	scale      float64
}

// A parameter is a value of the parameter section.
type parameter struct {
	kind int8 // −1 text, 1 byte, 2 integer, 4 floating-point
	dims []byte
	data []byte
}

// at names a byte, counted from 0.
func at(i int) string { return fmt.Sprintf("byte %d", i) }

// header reads what is known before the byte order is.
func (r *reader) header(f *fault.List) {
	if len(r.data) < block {
		f.Add(at(len(r.data)), "the end of the file", "a header of 512 bytes", contact.ErrMissing)
		return
	}
	if r.data[1] != 0x50 {
		f.Add(at(1), fmt.Sprintf("%#x", r.data[1]), "0x50, as C3D files have it", contact.ErrUnknown)
		return
	}
	r.parameters = (int(r.data[0]) - 1) * block
	if r.parameters < 0 || r.parameters+4 > len(r.data) {
		f.Add(at(0), fmt.Sprintf("block %d", r.data[0]), fmt.Sprintf("a block of the file, which has %d", len(r.data)/block), contact.ErrConflict)
		return
	}
	r.blocks = int(r.data[r.parameters+2])
	switch kind := r.data[r.parameters+3]; kind {
	case 84:
		r.order = binary.LittleEndian
	case 85:
		r.order, r.vax = binary.LittleEndian, true
	case 86:
		r.order = binary.BigEndian
	default:
		f.Add(at(r.parameters+3), fmt.Sprintf("%d", kind), "84, 85 or 86 for the processor", contact.ErrUnknown)
	}
}

func (r *reader) integer(i int) int { return int(r.order.Uint16(r.data[i:])) }

// float reads a floating-point number. That of a DEC has its two words exchanged and is four
// times as large.
func (r *reader) float(b []byte) float64 {
	if r.vax {
		return float64(math.Float32frombits(uint32(binary.LittleEndian.Uint16(b))<<16|uint32(binary.LittleEndian.Uint16(b[2:])))) / 4
	}
	return float64(math.Float32frombits(r.order.Uint32(b)))
}

// records finds the parameters, by GROUP:NAME. The list ends with an offset or a name of
// length 0, or with the file.
func (r *reader) records() {
	type found struct {
		group int8
		name  string
		parameter
	}
	groups := map[int8]string{}
	var all []found
	end := min(len(r.data), r.parameters+256*block)
	if r.blocks > 0 {
		end = min(end, r.parameters+r.blocks*block)
	}
	for i := r.parameters + 4; i+2 <= end && len(all) < mostRecords; {
		length := int(int8(r.data[i]))
		if length < 0 { // locked
			length = -length
		}
		id := int8(r.data[i+1])
		next := i + 2 + length
		if length == 0 || next+2 > end {
			break
		}
		name := strings.ToUpper(string(r.data[i+2 : next]))
		offset := r.integer(next)
		switch {
		case id < 0:
			groups[-max(id, -127)] = name
		case id > 0:
			if p, ok := r.parameter(next + 2); ok {
				all = append(all, found{id, name, p})
			}
		}
		if offset == 0 {
			break
		}
		i = next + offset
	}
	r.of = map[string]parameter{}
	for _, p := range all {
		r.of[groups[p.group]+":"+p.name] = p.parameter
	}
}

// parameter reads a parameter from its type on; false if it does not end within the file.
func (r *reader) parameter(i int) (p parameter, ok bool) {
	if i+2 > len(r.data) {
		return p, false
	}
	p.kind = int8(r.data[i])
	n := int(r.data[i+1])
	if i += 2; n > 7 || i+n > len(r.data) {
		return p, false
	}
	p.dims = r.data[i : i+n]
	size := 1
	if p.kind > 1 {
		size = int(p.kind)
	}
	i += n
	for _, d := range p.dims {
		if size > len(r.data)/max(1, int(d)) {
			return p, false
		}
		size *= int(d)
	}
	if i+size > len(r.data) {
		return p, false
	}
	p.data = r.data[i : i+size]
	return p, true
}

// number returns a number of a parameter; false if there is none. Integers have no sign.
func (r *reader) number(name string, i int) (float64, bool) {
	p, ok := r.of[name]
	switch {
	case !ok:
		return 0, false
	case p.kind == 2 && len(p.data) >= 2*i+2:
		return float64(r.order.Uint16(p.data[2*i:])), true
	case p.kind == 4 && len(p.data) >= 4*i+4:
		return r.float(p.data[4*i:]), true
	case p.kind == 1 && len(p.data) > i:
		return float64(p.data[i]), true
	}
	return 0, false
}

// texts returns the texts of a parameter, whose first dimension is how long each is.
func (r *reader) texts(name string) (all []string) {
	p, ok := r.of[name]
	if !ok || p.kind != -1 {
		return nil
	}
	if len(p.dims) == 0 || p.dims[0] == 0 {
		return nil
	}
	for text := range slices.Chunk(p.data, int(p.dims[0])) {
		if len(all) == mostPoints {
			break
		}
		all = append(all, strings.ToValidUTF8(strings.Trim(string(text), " \x00\t"), "?"))
	}
	return all
}

// describe reads what the parameters, or else the header, say of the points.
func (r *reader) describe(f *fault.List) (file File) {
	first := func(i int, names ...string) float64 {
		for _, name := range names {
			if v, ok := r.number(name, 0); ok && v > 0 {
				return v
			}
		}
		if i < 0 {
			return 0
		}
		return float64(r.integer(i))
	}
	points := int(first(word, "POINT:USED"))
	file.First = r.integer(3 * word)
	file.Stated = int(min(mostFrame, first(-1, "POINT:LONG_FRAMES")))
	low, ok := r.number("TRIAL:ACTUAL_START_FIELD", 0)
	high, _ := r.number("TRIAL:ACTUAL_START_FIELD", 1)
	endLow, too := r.number("TRIAL:ACTUAL_END_FIELD", 0)
	endHigh, _ := r.number("TRIAL:ACTUAL_END_FIELD", 1)
	if from, to := low+65536*high, endLow+65536*endHigh; ok && too && to >= from && to <= mostFrame {
		file.First = int(from)
		if file.Stated == 0 {
			file.Stated = int(to - from + 1)
		}
	}
	if file.Stated == 0 {
		file.Stated = int(min(mostFrame, first(-1, "POINT:FRAMES")))
	}
	if file.Stated == 0 {
		file.Stated = max(0, r.integer(4*word)-r.integer(3*word)+1)
	}
	var found bool
	if file.Rate, found = r.number("POINT:RATE", 0); !found || file.Rate == 0 {
		file.Rate = r.float(r.data[10*word:])
	}
	if r.scale, found = r.number("POINT:SCALE", 0); !found {
		r.scale = r.float(r.data[6*word:])
	}
	if !(file.Rate > 0 && file.Rate <= 1e6) {
		f.Range("point:rate", file.Rate, 0, 1e6, "Hz")
		file.Rate = 1
	}
	if r.real = r.scale < 0; !(math.Abs(r.scale) > 0 && math.Abs(r.scale) <= 1e9) {
		f.Add("point:scale", num.Text(r.scale, ""), "a finite number that is not 0", contact.ErrRange)
	}
	if units := r.texts("POINT:UNITS"); len(units) > 0 {
		file.Unit = units[0]
	}
	r.place(f, points, int(first(8*word, "POINT:DATA_START")))
	if f.Len() > 0 {
		return file
	}
	file.Labels = r.texts("POINT:LABELS")
	for k := 2; len(file.Labels) < points; k++ {
		more := r.texts(fmt.Sprintf("POINT:LABELS%d", k))
		if len(more) == 0 {
			break
		}
		file.Labels = append(file.Labels, more...)
	}
	file.Labels = file.Labels[:min(points, len(file.Labels))]
	for k := len(file.Labels); k < points; k++ {
		file.Labels = append(file.Labels, fmt.Sprintf("point %d", k+1))
	}
	return file
}

// place finds where the points are and how large a frame is.
func (r *reader) place(f *fault.List, points, begin int) {
	r.start = (begin - 1) * block
	if begin == 0 {
		r.start = r.parameters + r.blocks*block
	}
	r.size = (4*points + r.integer(2*word)) * r.width()
	if points == 0 || points > mostPoints {
		f.Range("point:used", float64(points), 1, mostPoints, "points")
		return
	}
	if r.start < block || r.start+r.size > len(r.data) {
		f.Add(at(len(r.data)), "the end of the file", fmt.Sprintf("a frame of %d points from %s on", points, at(r.start)), contact.ErrConflict)
	}
}

// frames reads the points.
func (r *reader) frames(w *work.Meter, f *fault.List, file *File) {
	n := min(file.Stated, (len(r.data)-r.start)/r.size)
	if n == 0 {
		f.Add("point:frames", "0", "at least one frame", contact.ErrMissing)
		file.Points = [][]motion.Sample{nil}
		return
	}
	points := len(file.Labels)
	file.Points, file.Residuals = make([][]motion.Sample, points), make([]float64, points)
	for k := range file.Points {
		if file.Points[k] = work.Make[motion.Sample](w, n); file.Points[k] == nil {
			return
		}
	}
	for i := range n {
		if !w.Do(points) {
			return
		}
		from := r.start + i*r.size
		for k := range points {
			r.sample(f, file, k, i, from+4*r.width()*k)
		}
		if f.Full() {
			return
		}
	}
	for k, sum := range file.Residuals {
		seen := 0
		for _, s := range file.Points[k] {
			if s.Seen {
				seen++
			}
		}
		file.Residuals[k] = sum / float64(max(1, seen))
	}
}

// width is how many bytes a number of a point has.
func (r *reader) width() int {
	if r.real {
		return 4
	}
	return 2
}

// sample reads a point of a frame.
func (r *reader) sample(f *fault.List, file *File, k, i, from int) {
	var v [3]float64
	var info int16 // cameras and residual, negative if it was not seen
	if r.real {
		for axis := range v {
			v[axis] = r.float(r.data[from+4*axis:])
		}
		// The fourth word is a whole number that is stored as a floating-point one.
		if last := r.float(r.data[from+12:]); last >= -32768 && last <= 65535 {
			info = int16(int32(last))
		}
	} else {
		for axis := range v {
			v[axis] = float64(int16(r.integer(from+2*axis))) * r.scale
		}
		info = int16(r.integer(from + 6))
	}
	if info < 0 || math.IsNaN(v[0]) || math.IsNaN(v[1]) || math.IsNaN(v[2]) {
		return
	}
	for axis, c := range v {
		if !(math.Abs(c) <= mostCoordinate) {
			f.Add(fmt.Sprintf("%s[%d].%c", file.Labels[k], i, "xyz"[axis]), num.Text(c, "")+" at "+at(from+axis*r.width()), num.Span(-mostCoordinate, mostCoordinate, ""), contact.ErrRange)
			return
		}
	}
	file.Points[k][i] = motion.Sample{At: r3.Vec{X: v[0], Y: v[1], Z: v[2]}, Seen: true}
	file.Residuals[k] += float64(info&0xff) * math.Abs(r.scale)
}

// Recording returns the points that are markers, in mm. Labels that as does not have are left
// out; a nil as has the names of the markers, such as knee_left, in any case.
//
// Faults are [contact.ErrUnit] for a unit that is not mm, cm, m or in (any case; set File.Unit
// if the file does not say it); [contact.ErrMissing] for labels of as that the file does not
// have, and if no marker is left; and [contact.ErrConflict] for two labels of one marker.
func (f File) Recording(as map[string]motion.Marker) (motion.Recording, error) {
	var faults fault.List
	unit, err := survey.ParseUnit(strings.ToLower(f.Unit))
	if err != nil {
		faults.Add("point:units", f.Unit, "mm, cm, m or in", contact.ErrUnit)
		return motion.Recording{}, faults.Err()
	}
	scale := unit.Millimetres()
	r := motion.Recording{Markers: map[motion.Marker][]motion.Sample{}}
	missing := map[string]bool{}
	for label := range as {
		missing[label] = true
	}
	for k, label := range f.Labels[:min(len(f.Labels), len(f.Points))] {
		m, ok := as[label]
		if as == nil {
			known, err := motion.ParseMarker(strings.ToLower(label))
			m, ok = known, err == nil
		}
		if !ok {
			continue
		}
		delete(missing, label)
		if _, twice := r.Markers[m]; twice {
			faults.Add("labels", strconv.Quote(fault.Name(label)), "one label of "+m.String(), contact.ErrConflict)
			continue
		}
		all := make([]motion.Sample, len(f.Points[k]))
		for i, s := range f.Points[k] {
			all[i] = motion.Sample{At: r3.Scale(scale, s.At), Seen: s.Seen}
		}
		r.Markers[m] = all
	}
	for _, label := range slices.Sorted(slices.Values(keys(missing))) {
		faults.Add("labels", strconv.Quote(fault.Name(label)), "a label of the file", contact.ErrMissing)
	}
	if len(r.Markers) == 0 && faults.Len() == 0 {
		faults.Add("labels", "", "at least one marker", contact.ErrMissing)
	}
	if err := faults.Err(); err != nil {
		return motion.Recording{}, err
	}
	for i := range f.Points[0] {
		r.Times = append(r.Times, float64(i)/f.Rate)
	}
	if err := r.Validate(); err != nil {
		return motion.Recording{}, err
	}
	return r, nil
}

func keys(of map[string]bool) (all []string) {
	for k := range of {
		all = append(all, k)
	}
	return all
}
