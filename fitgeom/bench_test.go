package fitgeom_test

import (
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/invented"
)

func BenchmarkBuildPosition(b *testing.B) {
	build := invented.Everything()
	var p contact.Position
	b.ReportAllocs()
	for b.Loop() {
		p, _ = build.Position()
	}
	_ = p
}
