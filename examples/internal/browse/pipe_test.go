package browse

import (
	"bufio"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// A browser is one that is told what to do through a pipe, in the protocol of its
// own developer tools: messages of JSON, each ended by a zero byte.
type browser struct {
	to      *os.File
	mutex   sync.Mutex
	last    int
	ended   chan struct{}
	answers map[int]chan message
	tabs    map[string]*tab // by session
}

type message struct {
	ID        int             `json:"id,omitempty"`
	Method    string          `json:"method,omitempty"`
	SessionID string          `json:"sessionId,omitempty"`
	Params    any             `json:"params,omitempty"`
	Result    json.RawMessage `json:"result,omitempty"`
	Error     json.RawMessage `json:"error,omitempty"`
}

// A tab is a page that is open, and what it said.
type tab struct {
	browser *browser
	session string
	mutex   sync.Mutex
	said    []string // console and errors
	asked   []string // addresses that were asked for
	loaded  chan struct{}
}

// must skips a test that needs a browser, which takes a minute, without FITGEOM_BROWSER=must;
// with it, none is ever skipped.
func must(t *testing.T) {
	t.Helper()
	if os.Getenv("FITGEOM_BROWSER") != "must" {
		t.Skip("FITGEOM_BROWSER=must opens every page in a browser (Debian's chromium)")
	}
}

// start starts a browser, and returns what ends it.
func start() (b *browser, end func(), err error) {
	command, err := exec.LookPath("chromium")
	if err != nil {
		if command, err = exec.LookPath("chromium-browser"); err != nil {
			return nil, nil, fmt.Errorf("no browser found: install Debian's chromium: %w", err)
		}
	}
	fromUs, to, err := os.Pipe()
	if err != nil {
		return nil, nil, err
	}
	from, fromIt, err := os.Pipe()
	if err != nil {
		return nil, nil, err
	}
	profile, err := os.MkdirTemp("", "profile")
	if err != nil {
		return nil, nil, err
	}
	cmd := exec.Command(command, "--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--no-first-run",
		"--disable-background-networking", "--hide-scrollbars", "--remote-debugging-pipe", "--user-data-dir="+profile)
	cmd.ExtraFiles = []*os.File{fromUs, fromIt} // 3, which it reads, and 4
	if err := cmd.Start(); err != nil {
		return nil, nil, err
	}
	_, _ = fromUs.Close(), fromIt.Close()
	b = &browser{to: to, ended: make(chan struct{}), answers: map[int]chan message{}, tabs: map[string]*tab{}}
	go b.listen(from)
	return b, func() {
		_ = cmd.Process.Kill()
		_ = cmd.Wait()
		_ = os.RemoveAll(profile) // as far as it can be: what has ended may still write
	}, nil
}

func (b *browser) listen(from *os.File) {
	r := bufio.NewReader(from)
	for {
		data, err := r.ReadBytes(0)
		if err != nil {
			close(b.ended)
			return
		}
		var m struct {
			message
			Params json.RawMessage `json:"params"`
		}
		if json.Unmarshal(data[:len(data)-1], &m) != nil {
			continue
		}
		b.mutex.Lock()
		answer, tab := b.answers[m.ID], b.tabs[m.SessionID]
		delete(b.answers, m.ID)
		b.mutex.Unlock()
		switch {
		case answer != nil:
			answer <- m.message
		case tab != nil:
			tab.event(m.Method, m.Params)
		}
	}
}

func (b *browser) send(session, method string, params any) (json.RawMessage, error) {
	answer := make(chan message, 1)
	b.mutex.Lock()
	b.last++
	data, err := json.Marshal(message{ID: b.last, Method: method, SessionID: session, Params: params})
	b.answers[b.last] = answer
	if err == nil {
		_, err = b.to.Write(append(data, 0))
	}
	b.mutex.Unlock()
	if err != nil {
		return nil, err
	}
	select {
	case m := <-answer:
		if m.Error != nil {
			return nil, fmt.Errorf("%s: %s", method, m.Error)
		}
		return m.Result, nil
	case <-b.ended:
		return nil, fmt.Errorf("%s: the browser has ended", method)
	case <-time.After(time.Minute):
		return nil, fmt.Errorf("%s: no answer", method)
	}
}

type object = map[string]any

// open opens an empty tab of a width in light or dark, with scripts that run first on what
// is opened in it.
func (b *browser) open(t *testing.T, width int, dark bool, scripts ...string) *tab {
	t.Helper()
	var target struct{ TargetID, SessionID string }
	call := func(method string, params any) {
		t.Helper()
		data, err := b.send("", method, params)
		require.NoError(t, err)
		require.NoError(t, json.Unmarshal(data, &target))
	}
	call("Target.createTarget", object{"url": "about:blank"})
	id := target.TargetID
	call("Target.attachToTarget", object{"targetId": id, "flatten": true})
	tab := &tab{browser: b, session: target.SessionID, loaded: make(chan struct{}, 10)}
	b.mutex.Lock()
	b.tabs[target.SessionID] = tab
	b.mutex.Unlock()
	t.Cleanup(func() { _, _ = b.send("", "Target.closeTarget", object{"targetId": id}) })
	for _, domain := range []string{"Page", "Runtime", "Log", "Network"} {
		tab.do(t, domain+".enable", nil)
	}
	tab.do(t, "Emulation.setFocusEmulationEnabled", object{"enabled": true}) // keys go to each of several tabs
	tab.as(t, width, 900, dark)
	for _, s := range scripts {
		tab.do(t, "Page.addScriptToEvaluateOnNewDocument", object{"source": s})
	}
	return tab
}

// as makes a tab so wide and high, and light or dark.
func (p *tab) as(t *testing.T, width, height int, dark bool) {
	t.Helper()
	scheme := map[bool]string{false: "light", true: "dark"}[dark]
	p.do(t, "Emulation.setEmulatedMedia", object{"features": []object{{"name": "prefers-color-scheme", "value": scheme}}})
	p.do(t, "Emulation.setDeviceMetricsOverride", object{"width": width, "height": height, "deviceScaleFactor": 1, "mobile": width < 600})
}

// event notes what a tab said.
func (p *tab) event(method string, params json.RawMessage) {
	var e struct {
		Type    string
		Args    []struct{ Value, Description any }
		Request struct{ URL string }
		Entry   struct{ Text, URL string }
		Details struct {
			Text      string
			Exception struct{ Description string }
		} `json:"exceptionDetails"`
	}
	_ = json.Unmarshal(params, &e)
	p.mutex.Lock()
	defer p.mutex.Unlock()
	switch method {
	case "Page.loadEventFired":
		p.loaded <- struct{}{}
	case "Network.requestWillBeSent":
		p.asked = append(p.asked, e.Request.URL)
	case "Runtime.consoleAPICalled":
		p.said = append(p.said, fmt.Sprint("console: ", e.Args))
	case "Log.entryAdded":
		p.said = append(p.said, "log: "+e.Entry.Text+" "+e.Entry.URL)
	case "Runtime.exceptionThrown":
		p.said = append(p.said, "error: "+e.Details.Text+" "+e.Details.Exception.Description)
	}
}

func (p *tab) do(t *testing.T, method string, params any) json.RawMessage {
	t.Helper()
	data, err := p.browser.send(p.session, method, params)
	require.NoError(t, err)
	return data
}

// to opens an address and waits until it is loaded.
func (p *tab) to(t *testing.T, url string) {
	t.Helper()
	p.do(t, "Page.navigate", object{"url": url})
	select {
	case <-p.loaded:
	case <-time.After(time.Minute):
		t.Fatal("not loaded: " + url)
	}
}

// eval returns what an expression is, once it is no promise.
func (p *tab) eval(t *testing.T, expression string, v any) {
	t.Helper()
	var r struct {
		Result           struct{ Value json.RawMessage }
		ExceptionDetails json.RawMessage
	}
	data := p.do(t, "Runtime.evaluate", object{"expression": expression, "awaitPromise": true, "returnByValue": true})
	require.NoError(t, json.Unmarshal(data, &r))
	require.Empty(t, string(r.ExceptionDetails), expression)
	require.NoError(t, json.Unmarshal(r.Result.Value, v), "%s", data)
}

// press presses a key and lets it go, so many times.
func (p *tab) press(t *testing.T, key string, times int) {
	t.Helper()
	codes := map[string]int{"ArrowRight": 39, "ArrowLeft": 37, "ArrowDown": 40, "ArrowUp": 38, "Home": 36, "End": 35, "Enter": 13}
	for range times {
		for _, kind := range []string{"keyDown", "keyUp"} {
			e := object{"type": kind, "key": key, "code": key, "windowsVirtualKeyCode": codes[key]}
			if key == "Enter" && kind == "keyDown" {
				e["text"] = "\r"
			}
			p.do(t, "Input.dispatchKeyEvent", e)
		}
	}
}

// heard returns what the tab said and which addresses it asked for outside a folder.
func (p *tab) heard(folder string) []string {
	p.mutex.Lock()
	defer p.mutex.Unlock()
	all := append([]string(nil), p.said...)
	for _, url := range p.asked {
		if !strings.HasPrefix(url, folder) && !strings.HasPrefix(url, "data:") {
			all = append(all, "asked for "+url)
		}
	}
	return all
}
