// Command batch prints the same numbers of many positions, one row each: every file that it is
// given is a position's document. A file that is no position is a row that says why.
//
//	batch a.json b.json >numbers.csv
package main

import (
	"context"
	"encoding/csv"
	"fmt"
	"log"
	"os"
	"path/filepath"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/fitgeom/exchange"
)

var measures = []convert.Measure{convert.SaddleHeight, convert.SaddleSetback, convert.BarDropHoods, convert.ReachHoods}

func main() {
	out := csv.NewWriter(os.Stdout)
	head := []string{"file"}
	for _, m := range measures {
		head = append(head, fmt.Sprintf("%v_%s", m, m.Definition().Unit))
	}
	write(out, append(head, "fault"))
	for _, name := range os.Args[1:] {
		row := make([]string, len(measures)+2)
		row[0] = filepath.Base(name)
		sheet, err := numbers(name)
		for i, e := range sheet.Entries {
			row[i+1] = fmt.Sprintf("%.1f", e.Value)
		}
		if faults := contact.Faults(err); len(faults) > 0 {
			row[len(row)-1] = faults[0].Error()
		} else if err != nil {
			row[len(row)-1] = err.Error()
		}
		write(out, row)
	}
	out.Flush()
	if err := out.Error(); err != nil {
		log.Fatal(err)
	}
}

func numbers(name string) (convert.Sheet, error) {
	file, err := os.Open(name)
	if err != nil {
		return convert.Sheet{}, err
	}
	defer file.Close()
	position, _, err := exchange.Read[contact.Position](context.Background(), file)
	if err != nil {
		return convert.Sheet{}, err
	}
	return convert.NewSheet(position, convert.Basis{}, measures...)
}

func write(out *csv.Writer, row []string) {
	if err := out.Write(row); err != nil {
		log.Fatal(err)
	}
}
