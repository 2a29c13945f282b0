package wild

import (
	"bytes"
	"encoding/json"
	"fmt"
)

// JSON returns what is wrong with how a type is written and read as JSON, of any value
// and any text: what is written is read again and written the same, and whatever is
// refused gives a proper error.
func JSON[T json.Marshaler, P interface {
	*T
	json.Unmarshaler
}](v T, text []byte) error {
	var any T
	if err := Proper(P(&any).UnmarshalJSON(text)); err != nil {
		return fmt.Errorf("%.200q: %w", text, err)
	}
	written, err := v.MarshalJSON()
	if err != nil {
		return Proper(err)
	}
	var back T
	if err := P(&back).UnmarshalJSON(written); err != nil {
		return fmt.Errorf("%s is not read: %w", written, err)
	}
	again, err := back.MarshalJSON()
	if err != nil || !bytes.Equal(written, again) {
		return fmt.Errorf("%s is read as %s, %v", written, again, err)
	}
	return nil
}
