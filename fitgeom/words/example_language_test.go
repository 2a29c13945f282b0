package words_test

import (
	"fmt"

	"example.com/fitgeom/fitgeom/words"
)

// german has templates of another language for the phrases that a program shows. An argument
// keeps its name.
var german = map[words.Phrase]string{
	words.TooLow:  "{site}: um {by} zu tief",
	words.TooHigh: "{site}: um {by} zu hoch",
}

// What is off is said in another language: the code chooses the template, the arguments fill it.
func Example_language() {
	for _, said := range []words.Sentence{
		words.Say(words.TooLow, words.Word("site", "hoods_left"), words.Number("by", 5.64, "mm")),
		words.Say(words.NoSpacers),
	} {
		template, ok := german[said.Phrase]
		if !ok {
			template = said.Phrase.Template() // the English one
		}
		fmt.Printf("%v: %s\n", said.Phrase, said.In(template))
	}
	// Output:
	// too_low: hoods left: um 5.6 mm zu tief
	// no_spacers: no spacers under the stem
}
