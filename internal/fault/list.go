package fault

import (
	"errors"
	"fmt"
	"strings"
)

// Limits on a [List]: whatever the input, an error is short enough to be read and costs
// little.
const (
	MaxFaults = 1000      // how many faults are listed
	MaxText   = 256 << 10 // how many bytes their texts have together
	maxName   = 60        // how many characters of a name stand in a path
	maxString = 2000      // how many bytes path, value and limit each have
)

// A List is the faults found so far. Its zero value has none. It has at most MaxFaults,
// and one more that says so and where the list ends; what is found later is not listed.
type List struct {
	faults []*Fault
	text   int // bytes of what they say
	found  int
	full   bool
}

// Err returns all faults as one error, or nil.
func (l *List) Err() error {
	if l.found == 0 {
		return nil
	}
	errs := make([]error, len(l.faults))
	for i, f := range l.faults {
		errs[i] = export(f)
	}
	return errors.Join(errs...)
}

// Faults returns the faults that are listed, for the caller to change.
func (l *List) Faults() []*Fault { return l.faults }

// Len returns how many faults were found, listed or not.
func (l *List) Len() int { return l.found }

// Full reports whether faults were found that are not listed. Then it is no use to look
// for more.
func (l *List) Full() bool { return l.full }

// Last reports whether the fault only says that there are more, which are not listed.
func (f *Fault) Last() bool { return f.Want == noMore }

var noMore = fmt.Sprintf("at most %d with %d KiB of text; no more are listed", MaxFaults, MaxText>>10)

// Add records one fault.
func (l *List) Add(path, value, want string, class error) {
	l.Put(Fault{Path: path, Value: value, Want: want, Class: class})
}

// Put records a fault as it is.
func (l *List) Put(f Fault) {
	if l.found++; l.full {
		return
	}
	one := short(f)
	// What the text of an error has beside these is less than 64 bytes.
	l.text += len(one.Path) + len(one.Value) + len(one.Want) + 64
	if f.Last() || len(l.faults) == MaxFaults || l.text > MaxText {
		one.Value, one.Want, one.Class = "more faults", noMore, ErrRange
		l.full = true
	}
	l.faults = append(l.faults, one)
}

// In records the faults of a part of the input under the part's name. Without a
// name they stay as they are.
func (l *List) In(prefix string, err error) {
	if err != nil { // a test that is inlined: most parts are sound
		l.in(prefix, err)
	}
}

func (l *List) in(prefix string, err error) {
	Each(err, func(f *Fault) {
		under := *f
		under.Path = Join(prefix, f.Path)
		l.Put(under)
	})
}

// Named records faults of what has no parts, such as a member of an enumeration, under its name
// in place of what it is.
func (l *List) Named(name string, err error) {
	Each(err, func(f *Fault) {
		under := *f
		under.Path = name
		l.Put(under)
	})
}

// short returns a fault whose strings are cut if they are long.
func short(f Fault) *Fault {
	f.Path, f.Value, f.Want = cut(names(f.Path)), cut(f.Value), cut(f.Want)
	return &f
}

func cut(s string) string {
	if len(s) <= maxString {
		return s
	}
	return strings.ToValidUTF8(s[:maxString], "") + "…"
}

// names cuts the names in a path.
func names(path string) string {
	if len(path) <= maxName {
		return path
	}
	var b strings.Builder
	for rest := path; ; {
		end := strings.IndexAny(rest, "/.[")
		if end < 0 {
			b.WriteString(whole(Name(rest)))
			return b.String()
		}
		b.WriteString(whole(Name(rest[:end])))
		b.WriteByte(rest[end])
		rest = rest[end+1:]
	}
}

// whole leaves out what was cut of an escape in a JSON pointer.
func whole(name string) string { return strings.Replace(name, "~…", "…", 1) }

// Name cuts a name, or any other text, that is too long for an error.
func Name[S string | []byte](s S) S {
	if len(s) <= maxName {
		return s
	}
	n := 0
	for i := range string(s) {
		if n++; n > maxName {
			return S(append([]byte(s[:i]), "…"...))
		}
	}
	return s
}
