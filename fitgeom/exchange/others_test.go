package exchange_test

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"example.com/fitgeom/contact"
	"github.com/stretchr/testify/require"
)

// Changed documents for validators of other languages, one a line, and beside them what strict
// Read says of each: its kind, what was changed, the class of the first fault. FITGEOM_DOCUMENTS
// is the folder; .ci/prove documents asks the validators.
func TestDocumentsForOthers(t *testing.T) {
	folder := os.Getenv("FITGEOM_DOCUMENTS")
	if folder == "" {
		t.Skip("for .ci/prove documents")
	}
	create := func(name string) (*os.File, *bufio.Writer) {
		f, err := os.Create(filepath.Join(folder, name))
		require.NoError(t, err)
		return f, bufio.NewWriter(f)
	}
	documents, texts := create("documents.jsonl")
	verdicts, said := create("read.tsv")
	for _, s := range everyKind {
		data, err := os.ReadFile(filepath.Join(v1, s.name+".json"))
		require.NoError(t, err)
		all := mutants(t, data)
		doc, root := decoded(t, data)
		leaves(typeOfKind(s.name), nil, root, leaf{}, func(l leaf) {
			lo, hi, bounded := limits(l, root)
			if !bounded {
				return
			}
			out, in := trials(l, lo, hi)
			for _, number := range slices.Concat(out, in) {
				old := set(*doc, l.pointer, json.Number(number))
				text, err := json.Marshal(*doc)
				set(*doc, l.pointer, old)
				require.NoError(t, err)
				all = append(all, mutant{"range", l.pointer, text})
			}
		})
		for _, m := range all {
			_, err := s.reread(m.data)
			class := "taken"
			if err != nil {
				class = "refused: " + contact.Faults(err)[0].Class.Error()
				if errors.Is(err, contact.ErrConflict) {
					class = "refused: " + contact.ErrConflict.Error()
				}
			}
			fmt.Fprintf(said, "%s\t%s\t%s\t%s\n", s.name, m.what, class, m.path)
			fmt.Fprintf(texts, "%s\n", m.data)
		}
	}
	for f, w := range map[*os.File]*bufio.Writer{documents: texts, verdicts: said} {
		require.NoError(t, w.Flush())
		require.NoError(t, f.Close())
	}
}
