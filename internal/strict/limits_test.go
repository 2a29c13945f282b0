package strict_test

import (
	"math/big"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/strict"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestLimits(t *testing.T) {
	long := with("stems", "["+strings.Repeat(`{"length_mm":1},`, strict.MaxElements)+`{"length_mm":1}]`)
	assert.EqualError(t, strict.Unmarshal([]byte(long), new(document)), "line 1: /stems an array of 100001: want at most 100000")
	_, err := strict.Marshal(document{Stems: make([]stem, strict.MaxElements+1), Site: contact.SaddleNose})
	assert.EqualError(t, err, "/stems an array of 100001: want at most 100000")
	many, whole := strict.Decode(nil, []byte(with("stems", "["+strings.Repeat("1,", 50_000)+`1]`)), new(document))
	assert.False(t, whole)
	listed := many.Faults()
	assert.Len(t, listed, fault.MaxFaults+1)
	assert.Equal(t, "/stems/999", listed[fault.MaxFaults-1].Path)
	assert.Equal(t, &fault.Fault{Path: "/stems/1000", Line: 1, Value: "more faults", Want: "at most 1000 with 256 KiB of text; no more are listed", Class: fault.ErrRange}, listed[fault.MaxFaults])
	for _, text := range []string{strings.Repeat("a", strict.MaxText), strings.Repeat(`\n`, strict.MaxText/2), strings.Repeat("\\ud83d\\udeb2", strict.MaxText/12)} {
		require.NoError(t, strict.Unmarshal([]byte(with("title", `"`+text+`"`)), new(document)), "at the limit")
	}
	require.NoError(t, strict.Unmarshal([]byte(with("height_mm", strings.Repeat("1", 300)+"."+strings.Repeat("1", strict.MaxDigits))), new(document)))
	for _, title := range []string{strings.Repeat("a", strict.MaxText+1), strings.Repeat("\n", strict.MaxText/2+1)} {
		_, err = strict.Marshal(document{Title: title, Site: contact.SaddleNose, Word: "w"})
		require.ErrorContains(t, err, "/title ")
		require.ErrorContains(t, err, " bytes: want at most 256 KiB")
	}
}

// Elements of next to no text may take no more memory than the text allows.
func TestRoom(t *testing.T) {
	type wide struct {
		Numbers [1000]float64 `json:"numbers,omitzero"`
	}
	type list struct {
		Wide []wide `json:"wide"`
	}
	const want = "document arrays with next to nothing in each element: want elements that take at most 18 times the document's size and 8 MiB in memory"
	read := func(n int) error {
		return strict.Unmarshal([]byte(`{"wide":[`+strings.Repeat("{},", n-1)+`{}]}`), new(list))
	}
	require.NoError(t, read(1000), "8 MB")
	require.EqualError(t, read(1100), "line 1: "+want)
	_, err := strict.Marshal(list{make([]wide, 1000)})
	require.NoError(t, err)
	_, err = strict.Marshal(list{make([]wide, 1100)})
	require.EqualError(t, err, want)
}

// Reference: math/big. A number is whole if its value is, however it is written.
func TestWholeNumbers(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	taken := 0
	for range 20_000 {
		text := strconv.FormatInt(rng.Int64N(3)-1, 10)
		if rng.IntN(2) == 0 {
			text = strconv.FormatInt(int64(rng.Uint64()>>rng.IntN(64)), 10)
		}
		if rng.IntN(2) == 0 {
			text += "." + strings.Repeat("0", rng.IntN(3)) + strconv.FormatUint(rng.Uint64N(100), 10) + strings.Repeat("0", rng.IntN(3))
		}
		if rng.IntN(2) == 0 {
			text += string("eE"[rng.IntN(2)]) + []string{"", "+", "-"}[rng.IntN(3)] + strconv.Itoa(rng.IntN(25))
		}
		want, ok := new(big.Rat).SetString(text)
		require.True(t, ok, text)
		var got struct {
			N int `json:"n"`
		}
		err := strict.Unmarshal([]byte(`{"n":`+text+`}`), &got)
		fits := want.IsInt() && want.Num().IsInt64() && want.Num().Int64() == int64(int(want.Num().Int64()))
		require.Equal(t, fits, err == nil, "%s: %v", text, err)
		if fits {
			taken++
			require.Equal(t, want.Num().String(), strconv.Itoa(got.N), text)
		}
	}
	require.Greater(t, taken, 5000)
}
