package contact_test

import (
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
)

func TestSlips(t *testing.T) {
	trial.Names(t, contact.ParseSlipKind,
		contact.SignReversed, contact.Centimetres, contact.Metres, contact.Inches, contact.TenOff, contact.HundredOff, contact.DigitsExchanged,
		contact.DigitDoubled, contact.DigitDropped, contact.OtherSide, contact.NoseForReference, contact.GroundForBracket, contact.StraightForLevel, contact.LeftForRight)
	assert.Equal(t, "sign reversed: -86", contact.Slip{Kind: contact.SignReversed, Value: -86}.String())
	assert.Equal(t, "nose for reference: saddle_height_nose", contact.Slip{Kind: contact.NoseForReference, Value: 690, Measured: "saddle_height_nose"}.String())
	assert.Equal(t, "slip(0): 0", contact.Slip{}.String())
}
