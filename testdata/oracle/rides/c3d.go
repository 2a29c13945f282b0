package rides

import "math"

// A Processor is a kind of computer that C3D files come from.
type Processor int

// The processors, by the number that the files have for them.
const (
	Intel Processor = 84
	DEC   Processor = 85
	MIPS  Processor = 86
)

// A Writer writes points as the C3D User Guide (c3d.org) has them: a header of a block,
// parameters, then frames of points and of analogue samples.
type Writer struct {
	Kind  Processor
	Real  bool    // floating-point numbers
	Scale float64 // of whole numbers, mm
	Rate  float64
	Unit  string
	Extra int // analogue samples of a frame
	First int // number of the first frame
	// Stated is how many frames the file says that it has, if it lies; 0 if it does not.
	Stated int
	// Residual is what each point that was seen is said to be off, in units of Scale.
	Residual int
	out      []byte
}

// u16 writes a word.
func (w *Writer) u16(v int) {
	if w.Kind == MIPS {
		w.out = append(w.out, byte(v>>8), byte(v))
		return
	}
	w.out = append(w.out, byte(v), byte(v>>8))
}

// f32 writes a floating-point number. That of a DEC is F_floating of the VAX: an exponent
// that is greater by 2, sign and exponent in the word that comes first.
func (w *Writer) f32(v float64) {
	bits := math.Float32bits(float32(v))
	if w.Kind == DEC {
		if v != 0 {
			bits += 2 << 23
		}
		w.out = append(w.out, byte(bits>>16), byte(bits>>24), byte(bits), byte(bits>>8))
		return
	}
	if w.Kind == MIPS {
		w.out = append(w.out, byte(bits>>24), byte(bits>>16), byte(bits>>8), byte(bits))
		return
	}
	w.out = append(w.out, byte(bits), byte(bits>>8), byte(bits>>16), byte(bits>>24))
}

func (w *Writer) pad(to int) {
	for len(w.out)%to != 0 {
		w.out = append(w.out, 0)
	}
}

// group and parameter write records; what follows is counted from where the count stands.
func (w *Writer) group(id int, name string) {
	w.out = append(w.out, byte(len(name)), byte(-id))
	w.out = append(w.out, name...)
	w.u16(3 + len("of this group"))
	w.out = append(w.out, byte(len("of this group")))
	w.out = append(w.out, "of this group"...)
}

func (w *Writer) parameter(id int, name string, kind int, dims []int, data func()) {
	w.out = append(w.out, byte(-len(name)), byte(id)) // locked
	w.out = append(w.out, name...)
	size := max(kind, -kind)
	for _, d := range dims {
		size *= d
	}
	w.u16(2 + 2 + len(dims) + size + 1)
	w.out = append(w.out, byte(kind), byte(len(dims)))
	for _, d := range dims {
		w.out = append(w.out, byte(d))
	}
	data()
	w.out = append(w.out, 0)
}

func (w *Writer) text(size int, texts ...string) func() {
	return func() {
		for _, s := range texts {
			for i := range size {
				c := byte(' ')
				if i < len(s) {
					c = s[i]
				}
				w.out = append(w.out, c)
			}
		}
	}
}

// Write returns a file of points by frame, in mm, of which some were not seen.
func (w *Writer) Write(names []string, at [][]V, seen [][]bool) []byte {
	w.out = nil
	frames := len(at[0])
	stated := frames
	if w.Stated > 0 {
		stated = w.Stated
	}
	scale := w.Scale
	if w.Real {
		scale = -w.Scale
	}
	parameters := func() {
		w.out = append(w.out, 1, 0x50, 0, byte(w.Kind)) // blocks come later
		w.group(1, "POINT")
		w.parameter(1, "USED", 2, nil, func() { w.u16(len(names)) })
		w.parameter(1, "SCALE", 4, nil, func() { w.f32(scale) })
		w.parameter(1, "RATE", 4, nil, func() { w.f32(w.Rate) })
		w.parameter(1, "FRAMES", 2, nil, func() { w.u16(stated) })
		w.parameter(1, "UNITS", -1, []int{4}, w.text(4, w.Unit))
		const most, longest = 200, 18
		for k := 0; k*most < len(names); k++ {
			part := names[k*most : min(len(names), (k+1)*most)]
			name := "LABELS"
			if k > 0 {
				name += string(rune('1' + k))
			}
			w.parameter(1, name, -1, []int{longest, len(part)}, w.text(longest, part...))
		}
		w.group(2, "TRIAL")
		last := w.First + stated - 1
		w.parameter(2, "ACTUAL_START_FIELD", 2, []int{2}, func() { w.u16(w.First); w.u16(w.First >> 16) })
		w.parameter(2, "ACTUAL_END_FIELD", 2, []int{2}, func() { w.u16(last); w.u16(last >> 16) })
		w.out = append(w.out, 0, 0)
		w.pad(512)
	}
	parameters()
	blocks := len(w.out) / 512
	body := w.out
	body[2] = byte(blocks)
	w.out = append([]byte(nil), 2, 0x50)
	w.u16(len(names))
	w.u16(w.Extra)
	w.u16(w.First)
	w.u16(w.First + stated - 1)
	w.u16(10)
	w.f32(scale)
	w.u16(2 + blocks)
	w.u16(1)
	w.f32(w.Rate)
	w.pad(512)
	w.out = append(w.out, body...)
	for i := range frames {
		for k := range names {
			w.point(at[k][i], seen[k][i])
		}
		for range w.Extra {
			if w.Real {
				w.f32(1.5)
			} else {
				w.u16(7)
			}
		}
	}
	w.pad(512)
	return w.out
}

func (w *Writer) point(v V, seen bool) {
	info := 0x0300 | w.Residual // two cameras
	if !seen {
		v, info = V{}, -1
	}
	for _, c := range v {
		if w.Real {
			w.f32(c)
		} else {
			w.u16(int(math.Round(c / w.Scale)))
		}
	}
	if w.Real {
		w.f32(float64(info))
	} else {
		w.u16(info)
	}
}
