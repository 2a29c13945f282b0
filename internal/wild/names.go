package wild

import "fmt"

// Names returns what is wrong with how an enumeration is read and written, of any
// text and any number: what is read is written as it was, and the rest gives a
// proper error and changes nothing.
func Names[E interface {
	~uint8
	String() string
	MarshalText() ([]byte, error)
}, P interface {
	*E
	UnmarshalText([]byte) error
}](parse func(string) (E, error), name string, n uint8) error {
	var read E
	e, err := parse(name)
	err2 := P(&read).UnmarshalText([]byte(name))
	switch {
	case Proper(err) != nil:
		return Proper(err)
	case Proper(err2) != nil:
		return Proper(err2)
	case (err == nil) != (err2 == nil) || e != read:
		return fmt.Errorf("%q is read as %v or %v", name, e, read)
	case err == nil && e.String() != name:
		return fmt.Errorf("%q is written as %v", name, e)
	}
	text, err := E(n).MarshalText()
	if err != nil {
		return Proper(err)
	}
	if back, err := parse(string(text)); err != nil || back != E(n) || E(n).String() != string(text) {
		return fmt.Errorf("%v is written as %q", E(n), text)
	}
	return nil
}
