package exchange_test

import (
	"bytes"
	"strconv"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/exchange"
	"example.com/fitgeom/fitgeom/record"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// No error of a record has what somebody wrote, neither of reading nor of writing.
func TestRecordsStayPrivate(t *testing.T) {
	const secret = "Rider Smith"
	r := record.Record{Personal: record.Personal{Name: secret + "\xff"}}
	silent := func(err error, want string) {
		require.ErrorContains(t, err, want)
		assert.NotContains(t, err.Error(), "Smith")
	}
	var b bytes.Buffer
	silent(exchange.Write(t.Context(), &b, r, ""), "/personal/name another: want text in UTF-8")
	for path, want := range map[string]string{"": "/id another", "/personal/" + secret: "/personal another", secret: "document another"} {
		d := exchange.Document[record.Record]{Items: map[string]exchange.Item{path: {ID: secret + "\xff"}}}
		if path == "" {
			d.ID = secret + "\xff"
		}
		silent(exchange.WriteDocument(t.Context(), &b, d), want)
	}
	for text, want := range map[string]string{
		`"needs":["/` + secret + `"],"fix":{"position":{"sites":{"hoods_left":{"at_mm":[580,212,637]}}}}`:                                          "/needs another: want members",
		`"fix":{"position":{"sites":{"hoods_left":{"at_mm":[580,212,637]}}}},"personal":{"` + secret + `":1,"` + secret + `":2}`:                   "/personal 2: want each member once",
		`"fix":{"position":{"sites":{"hoods_left":{"at_mm":[580,212,637]}}}},"` + secret + `":1,"` + secret + `":2`:                                "document 2: want each member once",
		`"fix":{"position":{"sites":{"hoods_left":{"at_mm":[580,212,637]},"` + secret + `":{}, "` + secret + `":{}}}},"personal":{"name":"Smith"}`: "/fix/position/sites another: want each member once",
	} {
		_, _, err := exchange.Read[record.Record](t.Context(), strings.NewReader(`{"schema":"fitgeom/record","version":"1.1",`+text+"}"))
		silent(err, want)
	}
}

// What a document needs is in an error with an end, and is not lost with a new Document.
func TestNeedsOfAnother(t *testing.T) {
	var needs []string
	for i := range 2000 {
		needs = append(needs, `"/new`+strconv.Itoa(i)+strings.Repeat("x", 200)+`"`)
	}
	read := func(needs string, how exchange.Reading) (exchange.Document[contact.Position], error) {
		return exchange.ReadDocument[contact.Position](t.Context(), strings.NewReader(
			`{"schema":"fitgeom/position","version":"1.1","needs":[`+needs+`],"sites":{"hoods_left":{"at_mm":[580,212,637],"new":1}}}`), how)
	}
	_, err := read(strings.Join(needs, ","), exchange.Reading{})
	require.ErrorContains(t, err, "more: want")
	assert.Less(t, len(err.Error()), 2000)

	d, err := read(`"/sites/*/new"`, exchange.Reading{Carry: true})
	require.NoError(t, err)
	d = exchange.Document[contact.Position]{Value: d.Value, Items: d.Items, Version: d.Version, Needs: d.Needs}
	var b bytes.Buffer
	require.NoError(t, exchange.WriteDocument(t.Context(), &b, d))
	_, err = exchange.ReadDocument[contact.Position](t.Context(), &b, exchange.Reading{})
	require.ErrorContains(t, err, "needs /sites/*/new: want")
	err = exchange.WriteDocument(t.Context(), &b, exchange.Document[contact.Position]{Value: d.Value, Items: map[string]exchange.Item{"/sites": {ID: "a"}}})
	require.ErrorContains(t, err, "/sites contradiction: want an object of the value", "its members are keys")
	for _, version := range []string{"", "1.0"} {
		d.Version = version
		require.ErrorIs(t, exchange.WriteDocument(t.Context(), &b, d), contact.ErrMissing)
	}
}
