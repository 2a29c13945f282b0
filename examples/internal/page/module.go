package page

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

//go:embed live.js
var liveJS []byte

// Live adds a scene of package live that people can move: of a kind, from documents by
// their names. It is seen where the page is written with the module that answers it; until
// that is loaded, the page shows first, which is what it answers when nothing is moved.
func (p *Page) Live(kind, title string, docs map[string][]byte, first func() string) {
	b := block{Kind: "live", ID: "live-" + kind, File: kind, Text: []span{{S: title}}, Docs: map[string]string{}, First: first}
	for name, data := range docs {
		b.Docs[name] = string(data)
	}
	p.blocks = append(p.blocks, b)
	p.live = true
}

// module writes fitgeom.js, which holds the library for a browser, into a folder: packed,
// so that a page that is opened from a folder can load it as a script. fitgeom.wasm, from
// which it is made, stays beside it, and neither is made again if nothing has changed.
func module(dir string) error {
	wasm, script := filepath.Join(dir, "fitgeom.wasm"), filepath.Join(dir, "fitgeom.js")
	wasm, err := filepath.Abs(wasm)
	if err != nil {
		return err
	}
	build := exec.Command("go", "build", "-trimpath", "-ldflags=-s -w", "-o", wasm, "example.com/fitgeom/examples/internal/live/module")
	build.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	if said, err := build.CombinedOutput(); err != nil {
		return errors.Join(err, errors.New(strings.TrimSpace(string(said))))
	}
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return err
	}
	runner, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "wasm_exec.js"))
	if err != nil {
		return err
	}
	data, err := os.ReadFile(wasm)
	if err != nil {
		return err
	}
	h := sha256.New()
	for _, part := range [][]byte{data, runner, liveJS} {
		h.Write(part)
	}
	head := fmt.Appendf(nil, "// Made by the examples of fitgeom from sources %x.\n", h.Sum(nil))
	if was, err := os.ReadFile(script); err == nil && bytes.HasPrefix(was, head) {
		return nil
	}
	var b bytes.Buffer
	b.Write(head)
	b.Write(runner)
	b.WriteString("\nconst fitgeomModule = '")
	to := base64.NewEncoder(base64.StdEncoding, &b)
	zip, err := gzip.NewWriterLevel(to, gzip.BestCompression)
	if err != nil {
		return err
	}
	if _, err := zip.Write(data); err != nil {
		return err
	}
	if err := errors.Join(zip.Close(), to.Close()); err != nil {
		return err
	}
	b.WriteString("';\n")
	b.Write(liveJS)
	return os.WriteFile(script, b.Bytes(), 0o666)
}
