package exchange

// WirePositions is what a document of positions is read into, without this
// package's tags for the outside, which encoding/json does not know.
type WirePositions struct {
	Schema    string         `json:"schema"`
	Version   int            `json:"version"`
	Positions []wirePosition `json:"positions"`
}
