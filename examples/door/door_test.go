//go:build !js

package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"example.com/fitgeom/fitgeom/exchange"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// asked is documents that are sound, and some that are not.
func asked(t *testing.T) [][]byte {
	position, err := os.ReadFile("../timetrial/position.json")
	require.NoError(t, err)
	request, err := os.ReadFile("../timetrial/request.json")
	require.NoError(t, err)
	return [][]byte{position, request, position[:100], nil}
}

func piped(t *testing.T, request []byte) string {
	var out bytes.Buffer
	require.NoError(t, pipe(bytes.NewReader(request), &out))
	return out.String()
}

// Every way in says what exchange.Answer says.
func TestPipe(t *testing.T) {
	for _, request := range asked(t) {
		want, _ := exchange.Answer(t.Context(), request)
		assert.Equal(t, string(want), piped(t, request))
	}
}

// The name of a file is no document.
func TestStrayArguments(t *testing.T) {
	require.NoError(t, stray(nil))
	require.ErrorContains(t, stray([]string{"request.json"}), `"request.json": want no arguments`)
}

// built builds the door as another language needs it; it takes half a minute.
func built(t *testing.T, env, tool string, args ...string) {
	if os.Getenv("FITGEOM_LONG") == "" {
		t.Skip("FITGEOM_LONG=1 builds the door")
	}
	if _, err := exec.LookPath(tool); err != nil {
		t.Skip("needs " + tool)
	}
	run(t, env, nil, "go", append([]string{"build"}, args...)...)
}

func run(t *testing.T, env string, in []byte, name string, args ...string) string {
	c := exec.CommandContext(t.Context(), name, args...)
	c.Env = append(os.Environ(), strings.Fields(env)...)
	c.Stdin = bytes.NewReader(in)
	var failed bytes.Buffer
	c.Stderr = &failed
	out, err := c.Output()
	require.NoError(t, err, failed.String())
	return string(out)
}

func TestC(t *testing.T) {
	dir := t.TempDir()
	built(t, "CGO_ENABLED=1", "cc", "-tags", "capi", "-buildmode=c-shared", "-o", filepath.Join(dir, "libfitgeom.so"), ".")
	ask := filepath.Join(dir, "ask")
	run(t, "", nil, "cc", "-Wall", "-Werror", "-o", ask, "testdata/ask.c", "-L"+dir, "-lfitgeom", "-Wl,-rpath,"+dir)
	for _, request := range asked(t) {
		assert.Equal(t, piped(t, request), run(t, "", request, ask))
	}
}

func TestWebAssembly(t *testing.T) {
	dir := t.TempDir()
	wasm := filepath.Join(dir, "door.wasm")
	built(t, "GOOS=js GOARCH=wasm", "node", "-o", wasm, ".")
	for _, request := range asked(t) {
		assert.Equal(t, piped(t, request), run(t, "", request, "node", "testdata/ask.mjs", filepath.Join(strings.TrimSpace(run(t, "", nil, "go", "env", "GOROOT")), "lib/wasm/wasm_exec.js"), wasm))
	}
	info, err := os.Stat(wasm)
	require.NoError(t, err)
	t.Logf("%d bytes", info.Size())
}
