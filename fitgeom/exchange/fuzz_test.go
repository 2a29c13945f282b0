package exchange_test

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/exchange"
	"example.com/fitgeom/internal/trial"
	"example.com/fitgeom/internal/wild"
	"github.com/stretchr/testify/require"
)

// FuzzRead reads any text as any kind. What is refused has faults with path and
// line; what is taken is valid by its schema, and written again says the same.
func FuzzRead(f *testing.F) {
	for i, s := range everyKind {
		data, err := os.ReadFile(filepath.Join(v1, s.name+".json"))
		require.NoError(f, err)
		f.Add(data, uint8(i))
	}
	f.Add([]byte(`{"schema":"fitgeom/position","version":1,"sites":{"hoods_left":{"at_mm":[1e400,"x",null],"x":1},"bell":{}}}`), uint8(0))
	f.Add([]byte(`{"schema":"fitgeom/sheet","version":1,"mirrored":true,"entries":[{"measure":"saddle_tilt","value_mm":1,"value_deg":-0,"sigma_deg":-1}]}`), uint8(5))
	f.Add([]byte(`{"schema":"fitgeom/body","version":1,"left":{"thigh_mm":0,"shank_mm":0,"ankle_height_mm":0,"ankle_behind_mm":0,"ankle":{"given":"sole_pitch","profile_deg":[]}},"hip_forward_mm":0,"hip_up_mm":60,"upper":{"trunk_mm":0,"upper_arm_mm":0,"forearm_mm":0,"grip":"saddle_reference","keep":"keep_elbow","angle_deg":-0}}`), uint8(2))
	f.Add([]byte(`{"schema":"fitgeom/position","version":1e0,"sites":{"`+strings.Repeat("x", 500)+`":{`+strings.Repeat(`"0":0,`, 500)+`"0":0}}}`), uint8(0))
	f.Add([]byte(`{"schema":"fitgeom/positions","version":1,"positions":[`+strings.Repeat(`{"sites":{}},`, 500)+`0]}`), uint8(1))
	f.Add([]byte(`{"schema":"fitgeom/survey","version":1.0,"unit":"mm","readings":[{"landmark":"mark_\ud800","at":[0,0,0]}]}`), uint8(3))
	f.Add([]byte(`{"schema":"fitgeom/sheet","version":"1.2","id":"a","meta":{"a":[1]},"mirrored":true,"new":{"a":1},"entries":[{"id":"b","measure":"saddle_tilt","value_deg":1,"b":2},{"measure":"bell","value_mm":1}]}`), uint8(5))
	f.Add([]byte(`{"schema":"fitgeom/position","version":"1.2","needs":["/sites/*/new"],"sites":{"bell":{},"hoods_left":{"at_mm":[580,212,637],"new":0}}}`), uint8(0))
	f.Fuzz(func(t *testing.T, data []byte, kind uint8) {
		s := everyKind[int(kind)%len(everyKind)]
		carried, carryErr := s.carry(data, exchange.Reading{Carry: true})
		if carryErr == nil {
			again, err := s.carry([]byte(carried.text), exchange.Reading{Carry: true})
			require.NoError(t, err, carried.text)
			same(t, carried, again)
		}
		spent := trial.Spending()
		text, err := s.reread(data)
		require.LessOrEqual(t, spent(), 3*(20*len(data)+16<<20), "read, written and located")
		for _, f := range rejected(t, err) {
			require.Positive(t, f.Line)
			require.True(t, f.Path == "document" || f.Path[0] == '/', f.Path)
		}
		if err != nil {
			return
		}
		require.NoError(t, carryErr)
		require.NoError(t, validate(t, data))
		again, err := s.reread([]byte(text))
		require.NoError(t, err)
		require.Equal(t, text, again)
	})
}

func carryOf[T exchange.Content](data []byte, how exchange.Reading) (c carried, err error) {
	d, err := exchange.ReadDocument[T](context.Background(), bytes.NewReader(data), how)
	if err != nil {
		return c, err
	}
	var b bytes.Buffer
	err = exchange.WriteDocument(context.Background(), &b, d)
	return carried{d.Value, b.String(), d.Needs, d.Unknown, len(d.Items)}, err
}

// FuzzWrite writes values of any numbers and texts. What is not refused is read
// back as it was, and written again says the same.
func FuzzWrite(f *testing.F) {
	f.Add([]byte{}, uint64(1))
	f.Add([]byte("\x04\x00\x05\x00\x00\x00\x33\x40\x40\x40\x01\x02\x03\x04\x05\x06\x07\x08\x09"), uint64(2))
	f.Add([]byte("\x04\x01\x05\x03\x61\xff\x62\x02\x10\x00\x01\x03\x20\x40\x01"), uint64(3))
	f.Fuzz(func(t *testing.T, data []byte, seed uint64) {
		s, d := wild.From(data), newDice(seed)
		switch s.Int(9) {
		case 0:
			rewrite(t, s, d.survey())
		case 1:
			rewrite(t, s, d.tape())
		case 2:
			rewrite(t, s, d.sheet())
		case 3:
			rewrite(t, s, d.chart())
		case 4:
			rewrite(t, s, d.frame())
		case 5:
			rewrite(t, s, d.shelf())
		case 6:
			rewrite(t, s, d.build())
		case 7:
			rewrite(t, s, d.results())
		default:
			p := s.Position(d.position())
			rewrite(t, s, p)
			var b bytes.Buffer
			require.NoError(t, wild.Proper(exchange.WritePoints(t.Context(), &b, p)))
			sizes := d.sizes()
			s.Spoil(&sizes)
			b.Reset()
			err := exchange.WriteCatalogue(t.Context(), &b, sizes)
			require.NoError(t, wild.Proper(err))
			if err == nil {
				back, err := exchange.ReadCatalogue(t.Context(), bytes.NewReader(b.Bytes()))
				require.NoError(t, err)
				require.Len(t, back, len(sizes))
			}
		}
	})
}

func rewrite[T exchange.Content](t *testing.T, s *wild.Source, v T) {
	s.Spoil(&v)
	var b bytes.Buffer
	err := exchange.Write(t.Context(), &b, v, s.Text(6))
	require.NoError(t, wild.Proper(err))
	if err != nil {
		require.Zero(t, b.Len())
		return
	}
	text := b.String()
	_, _, err = exchange.Kind(t.Context(), []byte(text))
	require.NoError(t, err)
	back, note, err := exchange.Read[T](t.Context(), strings.NewReader(text))
	require.NoError(t, err)
	require.NoError(t, wild.Sound(back))
	b.Reset()
	require.NoError(t, exchange.Write(t.Context(), &b, back, note))
	require.Equal(t, text, b.String())
	d, err := exchange.ReadDocument[T](t.Context(), strings.NewReader(text), exchange.Reading{Strict: true})
	require.NoError(t, err)
	d.ID, d.Items = s.Text(3), map[string]exchange.Item{s.Text(8): {ID: s.Text(2), Meta: []byte(s.Text(4))}}
	require.NoError(t, wild.Proper(exchange.WriteDocument(t.Context(), &b, d)))
}

// FuzzAnswer asks with any text. The answer is always a document, and where it is not what was
// asked for, one of faults; never a mistake of the library.
func FuzzAnswer(f *testing.F) {
	for _, s := range everyKind {
		data, err := os.ReadFile(filepath.Join(v1, s.name+".json"))
		require.NoError(f, err)
		f.Add(data)
	}
	f.Add([]byte(`{"schema":"fitgeom/request","version":1,"target":{"sheet":{"mirrored":true,"entries":[]}},"shelf":{}}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		ctx, cancel := context.WithTimeout(t.Context(), 100*time.Millisecond)
		defer cancel()
		target, _, err := exchange.ReadTarget(ctx, bytes.NewReader(data))
		require.NoError(t, wild.Proper(target.Validate()))
		require.True(t, err == nil || len(contact.Faults(err)) > 0 || ctx.Err() != nil, "%v", err)
		response, err := exchange.Answer(ctx, data)
		schema, _, kindErr := exchange.Kind(t.Context(), response)
		require.NoError(t, kindErr)
		require.Equal(t, err != nil, schema == "fitgeom/faults")
		require.True(t, err == nil || len(contact.Faults(err)) > 0 || ctx.Err() != nil, "%v", err)
	})
}
