package exchange

import "example.com/fitgeom/internal/strict"

// MarshalJSON fails: [WriteDocument] writes a document.
func (d Document[T]) MarshalJSON() ([]byte, error) {
	return nil, strict.NoDocument("exchange.Document")
}

// UnmarshalJSON fails, as MarshalJSON does.
func (d *Document[T]) UnmarshalJSON([]byte) error { return strict.NoDocument("exchange.Document") }

// MarshalJSON fails: an item is a part of a [Document].
func (it Item) MarshalJSON() ([]byte, error) { return nil, strict.NoDocument("exchange.Item") }

// UnmarshalJSON fails, as MarshalJSON does.
func (it *Item) UnmarshalJSON([]byte) error { return strict.NoDocument("exchange.Item") }
