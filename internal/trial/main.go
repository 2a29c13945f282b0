package trial

import (
	"flag"
	"os"
	"runtime/debug"
	"testing"
)

// Main runs the tests of a package that make much and keep little: the collector waits until
// the heap is five times as large as what is kept, which saves a quarter of their time.
// Benchmarks tell what users have, and run as they do.
func Main(m *testing.M) {
	flag.Parse()
	if flag.Lookup("test.bench").Value.String() == "" {
		debug.SetGCPercent(400)
	}
	os.Exit(m.Run())
}
