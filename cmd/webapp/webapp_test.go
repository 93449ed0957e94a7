package main

import (
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/mattn/go-shellwords"

	"swardcast/climate/demo"
	"swardcast/cmd/internal/app"
	"swardcast/cmd/internal/browsertest"
)

// mostBytes is the size that the app may have, so that it loads from a slow network or a
// small device.
const mostBytes = 8_000_000

// built are the app and the command line, made once.
var built = sync.OnceValues(func() (struct{ app, cli string }, error) {
	out := struct{ app, cli string }{}
	dir, err := os.MkdirTemp("", "webapp-test")
	if err != nil {
		return out, err
	}
	out.app, out.cli = filepath.Join(dir, "app.html"), filepath.Join(dir, "swardcast")
	if err := run(out.app); err != nil {
		return out, err
	}
	text, err := exec.Command("go", "build", "-o", out.cli, "swardcast/cmd/swardcast").CombinedOutput()
	if err != nil {
		err = fmt.Errorf("go build: %w: %s", err, text)
	}
	return out, err
})

func TestMain(m *testing.M) {
	code := m.Run()
	if b, err := built(); err == nil && !testing.Short() {
		os.RemoveAll(filepath.Dir(b.app))
	}
	os.Exit(code)
}

// settled waits until the app has answered what was asked last.
func settled(t *testing.T, b *browsertest.Browser) {
	t.Helper()
	time.Sleep(100 * time.Millisecond) // the app waits so long for more to be typed
	const done = `"ready" in document.body.dataset && !document.getElementById("app-panel").hasAttribute("aria-busy")`
	for range 300 {
		if browsertest.Eval[bool](t, b, done) {
			return
		}
		time.Sleep(100 * time.Millisecond)
	}
	t.Fatalf("no answer in half a minute: %s", browsertest.Eval[string](t, b, `document.body.innerText`))
}

func opened(t *testing.T, width int64) *browsertest.Browser {
	t.Helper()
	b := browsertest.New(t)
	out, err := built()
	if err != nil {
		t.Fatal(err)
	}
	b.OpenFile(t, out.app, width)
	settled(t, b)
	return b
}

// picture writes what the page shows into a file that SWARDCAST_SHOTS names a folder for.
func picture(t *testing.T, b *browsertest.Browser, name string) {
	t.Helper()
	dir := os.Getenv("SWARDCAST_SHOTS")
	if dir == "" {
		return
	}
	png, err := chromedp.Run(b.Context, chromedp.FullScreenshot(100))
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, name), png, 0o644); err != nil {
		t.Fatal(err)
	}
}

// saved is what a button gives to keep.
func saved(t *testing.T, b *browsertest.Browser, label string) string {
	t.Helper()
	return browsertest.Eval[string](t, b, fmt.Sprintf(`new Promise((done, fail) => {
		const was = URL.createObjectURL;
		URL.createObjectURL = (blob) => { URL.createObjectURL = was; blob.text().then(done); return "#"; };
		const button = [...document.querySelectorAll("#app-saves button")].find((e) => e.textContent === %q);
		if (button) button.click(); else fail("no such button");
	})`, label), func(p *runtime.EvaluateParams) { p.AwaitPromise = new(true) })
}

// printed is what the command line of the page prints in a form.
func printed(t *testing.T, b *browsertest.Browser, dir, format string) string {
	t.Helper()
	out, err := built()
	if err != nil {
		t.Fatal(err)
	}
	line := browsertest.Eval[string](t, b, `document.getElementById("app-line").textContent`)
	args, err := shellwords.Parse(line)
	if err != nil || args[0] != "swardcast" {
		t.Fatalf("the line to type is %q: %v", line, err)
	}
	c := exec.Command(out.cli, append(args[1:], "--format", format)...)
	c.Dir = dir
	text, err := c.Output()
	if err != nil {
		t.Fatalf("%s: %v", line, err)
	}
	return string(text)
}

func TestSize(t *testing.T) {
	if testing.Short() {
		t.Skip("it compiles the program")
	}
	out, err := built()
	if err != nil {
		t.Fatal(err)
	}
	info, err := os.Stat(out.app)
	if err != nil {
		t.Fatal(err)
	}
	if info.Size() > mostBytes {
		t.Errorf("the app has %d bytes, more than %d", info.Size(), mostBytes)
	}
}

// drop lets a file fall on the page.
func drop(t *testing.T, b *browsertest.Browser, name, content string) {
	t.Helper()
	text, err := json.Marshal(content)
	if err != nil {
		t.Fatal(err)
	}
	browsertest.Eval[bool](t, b, fmt.Sprintf(`(() => {
		const d = new DataTransfer();
		d.items.add(new File([%s], %q));
		dispatchEvent(new DragEvent("drop", {dataTransfer: d, bubbles: true, cancelable: true}));
		return true;
	})()`, text, name))
	settled(t, b)
	for range 100 { // the record's own answer comes last
		if browsertest.Eval[bool](t, b, `document.getElementById("app-state").textContent === ""`) {
			break
		}
		time.Sleep(100 * time.Millisecond)
	}
	settled(t, b)
}

// Every question has the figures that the command line prints, for the demo station and
// for a file, in both systems of units, and no request leaves the page.
func TestFigures(t *testing.T) {
	b := opened(t, 1400)
	whole := string(demo.Station)
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "field.csv"), []byte(whole), 0o644); err != nil {
		t.Fatal(err)
	}
	compared := 0
	for _, station := range []string{"demo", "file"} {
		if station == "file" {
			drop(t, b, "field.csv", whole)
		}
		for _, units := range []string{"app-us", "app-si"} {
			browsertest.Eval[bool](t, b, fmt.Sprintf(`(document.getElementById(%q).click(), true)`, units))
			settled(t, b)
			for _, q := range app.Questions() {
				browsertest.Eval[bool](t, b, fmt.Sprintf(`(document.getElementById("app-t-%s").click(), true)`, q.ID))
				settled(t, b)
				if browsertest.Eval[bool](t, b, `!document.getElementById("app-fault").hidden`) {
					if station == "demo" {
						t.Errorf("%s: %s", q.ID, browsertest.Eval[string](t, b, `document.getElementById("app-fault").innerText`))
					}
					continue // it asks for what a station of one's own lacks
				}
				if got, want := saved(t, b, "Figures (JSON)"), printed(t, b, dir, "json"); got != want {
					t.Errorf("%s, %s, %s: other figures than the command line's", station, units, q.ID)
				}
				compared++
				picture(t, b, station+units+q.ID+".png")
			}
		}
	}
	if least := 3 * len(app.Questions()); compared < least {
		t.Errorf("%d answers compared, fewer than %d", compared, least)
	}
	b.Check(t, "app")
}

// What stands in a file's name or cells is shown as text, and a file that cannot be read
// says why.
func TestHostileFile(t *testing.T) {
	b := opened(t, 360)
	const script = `<img src=x onerror=document.body.dataset.broken=1>`
	drop(t, b, script+"\x1b[31m.csv", "date,tmax_c,tmin_c\n"+script+",1,2\n")
	message := browsertest.Eval[string](t, b, `document.getElementById("app-fault").innerText`)
	if !strings.Contains(message, "img src") {
		t.Errorf("the message does not show the cell: %q", message)
	}
	if browsertest.Eval[bool](t, b, `"broken" in document.body.dataset`) || strings.Contains(message, "\x1b") {
		t.Error("a file's text runs, or holds control characters")
	}
	if wide := browsertest.Eval[bool](t, b, `document.documentElement.scrollWidth > innerWidth`); wide {
		t.Error("the page scrolls sideways on a phone")
	}
	// The demo station answers again.
	browsertest.Eval[bool](t, b, `(document.getElementById("app-demo").click(), true)`)
	settled(t, b)
	picture(t, b, "narrow.png")
	if browsertest.Eval[bool](t, b, `!document.getElementById("app-fault").hidden`) {
		t.Error("the fault stays when the demo station is chosen")
	}
	b.Check(t, "hostile file")
}

// What is typed is there after a reload, and gone once it is forgotten.
func TestKeptAndForgotten(t *testing.T) {
	b := opened(t, 1400)
	browsertest.Eval[bool](t, b, `(document.getElementById("app-t-seed").click(), true)`)
	settled(t, b)
	reload := func() string {
		t.Helper()
		if err := chromedp.Do(b.Context, chromedp.Reload()); err != nil {
			t.Fatal(err)
		}
		settled(t, b)
		return browsertest.Eval[string](t, b, `document.querySelector("[role=tab][aria-selected=true]").id`)
	}
	if got := reload(); got != "app-t-seed" {
		t.Errorf("after a reload the question is %s", got)
	}
	browsertest.Eval[bool](t, b, `(document.getElementById("app-forget").click(), true)`)
	for range 100 {
		if browsertest.Eval[bool](t, b, `document.getElementById("app-state").textContent.startsWith("Forgotten")`) {
			break
		}
		time.Sleep(100 * time.Millisecond)
	}
	if got := reload(); got != "app-t-"+app.Questions()[0].ID {
		t.Errorf("after forgetting the question is %s", got)
	}
}
