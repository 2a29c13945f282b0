package words

import (
	"math"
	"strconv"
	"strings"
)

// A Sentence is something said of a bike. The zero Sentence says nothing.
type Sentence struct {
	Phrase    Phrase     `json:"phrase"`
	Arguments []Argument `json:"arguments,omitempty"`
}

// An Argument is one thing that a sentence speaks of. It is a number if Unit is not empty,
// and else a word, a name, or both.
type Argument struct {
	// Name is the argument's name in templates.
	Name string `json:"name"`
	// Word is a code for a word, such as "stem", "hoods_left" or "left"; empty if there is
	// none.
	Word string `json:"word,omitempty"`
	// Text is what people have named something, or a sum such as "10 + 5 mm".
	Text string `json:"text,omitempty"`
	// Value is the number, in Unit: "mm" or "degrees".
	Value float64 `json:"value,omitzero"`
	Unit  string  `json:"unit,omitempty"`
}

// Say returns the sentence of a phrase and its arguments.
func Say(p Phrase, arguments ...Argument) Sentence { return Sentence{p, arguments} }

// Part is an argument for a part: the word for its kind, and its name.
func Part(name, kind, text string) Argument { return Argument{Name: name, Word: kind, Text: text} }

// Word is an argument for a word by its code.
func Word(name, code string) Argument { return Argument{Name: name, Word: code} }

// Number is an argument for a number in mm or degrees.
func Number(name string, v float64, unit string) Argument {
	return Argument{Name: name, Value: v, Unit: unit}
}

// Argument returns the argument of that name, and whether there is one.
func (s Sentence) Argument(name string) (Argument, bool) {
	for _, a := range s.Arguments {
		if a.Name == name {
			return a, true
		}
	}
	return Argument{}, false
}

// String returns the sentence in English.
func (s Sentence) String() string { return s.In(s.Phrase.Template()) }

// In returns the sentence by a template, in which {name} stands for the argument of that
// name. It leaves an argument that the sentence lacks as it stands.
func (s Sentence) In(template string) string {
	var b strings.Builder
	for {
		before, rest, open := strings.Cut(template, "{")
		b.WriteString(before)
		name, after, closed := strings.Cut(rest, "}")
		if !open || !closed {
			if open {
				b.WriteString("{" + rest)
			}
			return b.String()
		}
		if a, ok := s.Argument(name); ok {
			b.WriteString(a.String())
		} else {
			b.WriteString("{" + name + "}")
		}
		template = after
	}
}

// String returns the argument in English: a number to a tenth with its unit, or the word
// with the name in quotes.
func (a Argument) String() string {
	switch {
	case a.Unit != "":
		v := strconv.FormatFloat(math.Round(a.Value*10)/10+0, 'f', -1, 64)
		if a.Unit == "degrees" {
			return v + "°"
		}
		return v + " " + a.Unit
	case a.Word == "":
		return a.Text
	case a.Text == "":
		return strings.ReplaceAll(a.Word, "_", " ")
	}
	return strings.ReplaceAll(a.Word, "_", " ") + " " + strconv.Quote(a.Text)
}

// Text returns sentences one after another, in English.
func Text(all []Sentence) string {
	each := make([]string, len(all))
	for i, s := range all {
		each[i] = s.String()
	}
	return strings.Join(each, " ")
}
