package main

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	cdppage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/mattn/go-shellwords"

	"swardcast/climate/demo"
	"swardcast/climate/recordstest"
	"swardcast/climate/stations"
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
	if err := run(out.app, ""); err != nil {
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
func settled(t testing.TB, b *browsertest.Browser) {
	t.Helper()
	const done = `"ready" in document.body.dataset && !document.getElementById("app-panel").hasAttribute("aria-busy")`
	for range 1500 {
		if browsertest.Eval[bool](t, b, done) {
			return
		}
		time.Sleep(20 * time.Millisecond)
	}
	t.Fatalf("no answer in half a minute: %s", browsertest.Eval[string](t, b, `document.body.innerText`))
}

func opened(t testing.TB, width int64) *browsertest.Browser {
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
func drop(t testing.TB, b *browsertest.Browser, name, content string) {
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
	until(t, b, `["", "This browser"].includes(document.getElementById("app-state").textContent.slice(0, 12))`)
	settled(t, b)
}

// Every question has the figures that the command line prints, for the demo station and
// for a file, in both systems of units, and no request leaves the page.
func TestFigures(t *testing.T) {
	t.Parallel()
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

// Figures of real records, which are not part of the project: of the US Climate Reference
// Network, Met Éireann and GHCN-Daily, as their services give them.
func TestFiguresOfRealRecords(t *testing.T) {
	t.Parallel()
	records := []struct{ file, lat, host, season string }{
		{"soil/GA_Newton_11_SW.csv", "31.2", "bermudagrass", "2022"},
		{"marine/Athenry_1875.csv", "53.3", "none", "2022"},
		{"long/GHCN_USC00045532_USW00023257.csv", "37.3", "bermudagrass", "2021"},
	}
	for i, c := range records { // skipped before a browser starts
		records[i].file = recordstest.Path(t, c.file)
	}
	b := opened(t, 1400)
	for _, c := range records {
		name := filepath.Base(c.file)
		content, err := os.ReadFile(c.file)
		if err != nil {
			t.Fatal(err)
		}
		dir := t.TempDir()
		if err := os.Symlink(c.file, filepath.Join(dir, name)); err != nil {
			t.Fatal(err)
		}
		drop(t, b, name, string(content))
		typed(t, b, "lat", c.lat)
		settled(t, b)
		given := url.Values{"question": {"window"}, "host": {c.host}, "sow": {c.season + "-09-25"},
			"first": {c.season + "-09-25"}, "as-of": {c.season + "-10-15"}, "cover": {"40"}, "seed-found": {"few"}, "area": {"450 m2"}}
		browsertest.Eval[bool](t, b, fmt.Sprintf(`(location.hash = %q, true)`, given.Encode()))
		settled(t, b)
		for _, units := range []string{"app-us", "app-si"} {
			browsertest.Eval[bool](t, b, fmt.Sprintf(`(document.getElementById(%q).click(), true)`, units))
			settled(t, b)
			for _, q := range app.Questions() {
				browsertest.Eval[bool](t, b, fmt.Sprintf(`(document.getElementById("app-t-%s").click(), true)`, q.ID))
				settled(t, b)
				if browsertest.Eval[bool](t, b, `!document.getElementById("app-fault").hidden`) {
					t.Errorf("%s, %s: %s", name, q.ID, browsertest.Eval[string](t, b, `document.getElementById("app-fault").innerText`))
					continue
				}
				if got, want := saved(t, b, "Figures (JSON)"), printed(t, b, dir, "json"); got != want {
					t.Errorf("%s, %s, %s: other figures than the command line's", name, units, q.ID)
				}
			}
		}
	}
	b.Check(t, "real records")
}

// Files beside the record, several areas and thresholds of one's own give the figures that
// the command line prints.
func TestFiguresOfSeldomInputs(t *testing.T) {
	t.Parallel()
	b := opened(t, 1400)
	dir := t.TempDir()
	out, err := built()
	if err != nil {
		t.Fatal(err)
	}
	species, err := exec.Command(out.cli, "species", "--format", "csv").Output()
	if err != nil {
		t.Fatal(err)
	}
	var one strings.Builder // the file has the rows of one species
	for row := range strings.Lines(string(species)) {
		if one.Len() == 0 || strings.HasPrefix(row, "tall-fescue,") {
			one.WriteString(row)
		}
	}
	files := map[string]string{"next.csv": "date,tmax_c,tmin_c\n2025-10-13,31,20\n2025-10-14,31,20\n2025-10-15,31,20\n",
		"mine.csv": one.String(), "soil.csv": "date,depth_cm,soil_c\n2025-10-08,10,24\n"}
	for name, content := range files {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(content), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	type input struct{ flag, value string }
	for _, c := range []struct {
		question string
		inputs   []input
		said     string // of the line to type
	}{
		{"outlook", []input{{"ahead", "warm:21"}}, "--ahead warm:21"},
		{"outlook", []input{{"ahead", "next.csv"}, {"probe", "soil.csv"}}, "--ahead next.csv --species mine.csv --probe soil.csv"},
		{"window", []input{{"freeze-temp", "26F"}, {"open-soil", "72F"}, {"dormancy-soil", "57F"}, {"opening", "soil"}, {"cutoff", "freeze"}},
			"--cutoff freeze --freeze-temp 26F --opening soil --open-soil 72F --dormancy-soil 57F"},
		{"seed", []input{{"rectangle", "60 ft x 40 ft\n10 ft x 9 ft"}, {"circle", "18 ft"}}, "--circle '18 ft'"},
		{"plan", []input{{"ahead", ""}, {"area", ""}, {"rectangle", ""}, {"circle", ""}, {"part", "greens: 12000 ft2, putting-green\ntees: 0.2 ac, fairway"}},
			"--part 'tees: 0.2 ac, fairway'"},
		{"freeze", []input{{"threshold", "30F, 26F"}}, "--threshold '30F, 26F'"},
	} {
		browsertest.Eval[bool](t, b, fmt.Sprintf(`(document.getElementById("app-t-%s").click(), true)`, c.question))
		settled(t, b)
		if strings.Contains(c.said, "mine.csv") {
			c.inputs = append(c.inputs, input{"species", "mine.csv"})
		}
		for _, in := range c.inputs {
			if _, ok := files[in.value]; ok {
				picker := "#app-f-" + in.flag
				if in.flag != "probe" {
					typed(t, b, in.flag, "\x00file")
					picker += "-file"
				} else {
					browsertest.Eval[bool](t, b, `(document.getElementById("app-probe").open = true)`)
				}
				give(t, b, picker, in.value, files[in.value])
				until(t, b, fmt.Sprintf(`document.getElementById("app-line").textContent.includes("--%s %s")`, in.flag, in.value))
			} else {
				typed(t, b, in.flag, in.value)
			}
			settled(t, b)
		}
		line := browsertest.Eval[string](t, b, `document.getElementById("app-line").textContent`)
		if !strings.Contains(line, c.said) || browsertest.Eval[bool](t, b, `!document.getElementById("app-fault").hidden`) {
			t.Errorf("%s: the line to type is %q, without %q: %s", c.question, line, c.said,
				browsertest.Eval[string](t, b, `document.getElementById("app-fault").innerText`))
			continue
		}
		if got, want := saved(t, b, "Figures (JSON)"), printed(t, b, dir, "json"); got != want {
			t.Errorf("%s: other figures than the command line's", line)
		}
		picture(t, b, "seldom-"+c.question+".png")
	}
	// After a reload the files are there; a link to the question does not name them.
	browsertest.Eval[bool](t, b, `(document.getElementById("app-t-outlook").click(), true)`)
	settled(t, b)
	before := headline(t, b)
	if err := chromedp.Do(b.Context, chromedp.Reload()); err != nil {
		t.Fatal(err)
	}
	settled(t, b)
	line := browsertest.Eval[string](t, b, `document.getElementById("app-line").textContent`)
	if got := headline(t, b); got != before || !strings.Contains(line, "--probe soil.csv") {
		t.Errorf("after a reload: %q, %q", got, line)
	}
	browsertest.Eval[bool](t, b, `([...document.querySelectorAll("#app-saves button")].at(-1).click(), true)`)
	until(t, b, `location.hash.includes("question=outlook")`)
	if hash := browsertest.Eval[string](t, b, `location.hash`); strings.Contains(hash, ".csv") {
		t.Errorf("the link names a file: %s", hash)
	}
	b.Check(t, "seldom inputs")
}

// typed fills in a field.
func typed(t *testing.T, b *browsertest.Browser, flag, value string) {
	t.Helper()
	browsertest.Eval[bool](t, b, fmt.Sprintf(`(() => {
		const e = document.getElementById("app-f-%s");
		for (let d = e.closest("details"); d; d = d.parentElement.closest("details")) d.open = true;
		e.value = %s;
		return e.dispatchEvent(new Event("input"));
	})()`, flag, asJSON(t, value)))
}

// give puts a file into a field for one.
func give(t *testing.T, b *browsertest.Browser, field, name, content string) {
	t.Helper()
	if !browsertest.Eval[bool](t, b, fmt.Sprintf(`(() => {
		const e = document.querySelector(%q), d = new DataTransfer();
		d.items.add(new File([%s], %q));
		e.files = d.files;
		e.dispatchEvent(new Event("change", {bubbles: true}));
		return e.getClientRects().length > 0;
	})()`, field, asJSON(t, content), name)) {
		t.Errorf("the field %s is not seen", field)
	}
}

func asJSON(t *testing.T, value string) string {
	t.Helper()
	text, err := json.Marshal(value)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
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

// until waits for a condition of the page.
func until(t testing.TB, b *browsertest.Browser, condition string) {
	t.Helper()
	for range 200 {
		if browsertest.Eval[bool](t, b, condition) {
			return
		}
		time.Sleep(100 * time.Millisecond)
	}
	t.Fatalf("%s: not within 20 seconds: %s", condition, browsertest.Eval[string](t, b, `document.body.innerText`))
}

// headline is the decision that the page shows.
func headline(t testing.TB, b *browsertest.Browser) string {
	t.Helper()
	return browsertest.Eval[string](t, b, `document.querySelector("#app-answer .answer")?.textContent ?? ""`)
}

// click clicks the button with a text within an element.
func click(t *testing.T, b *browsertest.Browser, within, text string) {
	t.Helper()
	if !browsertest.Eval[bool](t, b, fmt.Sprintf(`(() => {
		const button = [...document.querySelectorAll(%q)].find((e) => e.textContent.startsWith(%q));
		button?.click();
		return Boolean(button);
	})()`, within+" button", text)) {
		t.Fatalf("no button %q in %s: %s", text, within, browsertest.Eval[string](t, b, `document.body.innerText`))
	}
	settled(t, b)
}

// What a file leaves open is chosen on the page, step by step, until it answers.
func TestFileLeavesOpen(t *testing.T) {
	b := opened(t, 360)
	whole := string(demo.Station)
	rows := strings.Split(strings.TrimSpace(whole[strings.Index(whole, "\ndate,")+1:]), "\n")[1:]
	var file strings.Builder
	file.WriteString("plot,when,warm,cool\n")
	for _, plot := range []string{"ALDER", "BIRCH"} {
		for _, r := range rows {
			cells := strings.Split(r, ",")
			fmt.Fprintf(&file, "%s,%s,%s,%s\n", plot, cells[0], cells[1], cells[2])
		}
	}
	drop(t, b, "plots.csv", file.String())
	const shown = `!document.getElementById("app-fault").hidden`
	if text := browsertest.Eval[string](t, b, `document.getElementById("app-fault").innerText`); !strings.Contains(text,
		"plot,when,warm,cool") {
		t.Fatalf("the lines of the file are not shown: %q", text)
	}
	picture(t, b, "columns.png")
	browsertest.Eval[bool](t, b, `(() => {
		const inputs = document.querySelectorAll("#app-fault input");
		["when", "warm", "cool"].forEach((v, i) => { inputs[i].value = v; });
		return inputs.length === 3;
	})()`)
	click(t, b, "#app-fault", "Use them")
	if text := browsertest.Eval[string](t, b, `document.getElementById("app-fault").innerText`); strings.Contains(text, "--") {
		t.Errorf("a flag on the page: %q", text)
	}
	browsertest.Eval[bool](t, b, `(() => {
		const e = document.getElementById("app-f-columns");
		e.value = "date=when,tmax=warm,tmin=cool,station=plot";
		return e.dispatchEvent(new Event("input"));
	})()`)
	settled(t, b)
	click(t, b, "#app-fault", "BIRCH")
	until(t, b, shown+` && document.querySelector("#app-fault input") !== null`)
	browsertest.Eval[bool](t, b, `(() => { document.querySelector("#app-fault input").value = "35.4"; return true; })()`)
	click(t, b, "#app-fault", "Use it")
	if browsertest.Eval[bool](t, b, shown) || !strings.HasPrefix(headline(t, b), "Sow perennial ryegrass") {
		t.Errorf("no answer: %s", browsertest.Eval[string](t, b, `document.body.innerText`))
	}
	b.Check(t, "a file that leaves something open")
}

// A file too large to hold, one that changes while it is read, a device that keeps
// nothing, a page that is left while a file is read: each is said or borne.
func TestFileFaults(t *testing.T) {
	b := opened(t, 1000)
	first := headline(t, b)
	browsertest.Eval[bool](t, b, `(() => {
		const d = new DataTransfer();
		d.items.add(new File([new Uint8Array(100 << 20)], "large.csv"));
		return dispatchEvent(new DragEvent("drop", {dataTransfer: d, bubbles: true, cancelable: true})) || true;
	})()`)
	until(t, b, `document.getElementById("app-fault").innerText.startsWith("The file has 100 MB")`)
	click(t, b, "#app-weather", "Demo station")
	until(t, b, fmt.Sprintf(`document.getElementById("app-fault").hidden && document.querySelector("#app-answer .answer").textContent === %s`, asJSON(t, first)))

	name := filepath.Join(t.TempDir(), "changing.csv")
	if err := os.WriteFile(name, demo.Station, 0o644); err != nil {
		t.Fatal(err)
	}
	browsertest.Eval[bool](t, b, `(() => {
		const read = File.prototype.arrayBuffer;
		window.free = new Promise((done) => { window.release = done; });
		File.prototype.arrayBuffer = async function () { await window.free; File.prototype.arrayBuffer = read; return read.call(this); };
		return true;
	})()`)
	choose := func() {
		t.Helper()
		if err := chromedp.Do(b.Context, chromedp.SetUploadFiles("#app-file", []string{name})); err != nil {
			t.Fatal(err)
		}
	}
	choose()
	if err := os.WriteFile(name, append(demo.Station, "changed\n"...), 0o644); err != nil {
		t.Fatal(err)
	}
	later := time.Now().Add(time.Minute)
	if err := os.Chtimes(name, later, later); err != nil {
		t.Fatal(err)
	}
	browsertest.Eval[bool](t, b, `(window.release(), true)`)
	until(t, b, `document.getElementById("app-fault").innerText.includes("changed or went away while it was read")`)

	// Left while a file is read, the page comes back with the station that it had.
	if err := os.WriteFile(name, demo.Station, 0o644); err != nil {
		t.Fatal(err)
	}
	choose()
	if err := chromedp.Do(b.Context, chromedp.Reload()); err != nil {
		t.Fatal(err)
	}
	settled(t, b)
	if got := headline(t, b); got != first {
		t.Errorf("after the page was left: %q", got)
	}
	b.Check(t, "faults of files")
}

// Where nothing can be kept on the device the page says so and answers.
func TestNothingKept(t *testing.T) {
	b := browsertest.New(t)
	out, err := built()
	if err != nil {
		t.Fatal(err)
	}
	browsertest.Call(t, b, cdppage.AddScriptToEvaluateOnNewDocument, cdppage.AddScriptToEvaluateOnNewDocumentParams{
		Source: `Storage.prototype.setItem = () => { throw new DOMException("full", "QuotaExceededError"); };
			IDBFactory.prototype.open = () => { throw new DOMException("denied", "SecurityError"); };`})
	b.OpenFile(t, out.app, 1000)
	settled(t, b)
	drop(t, b, "field.csv", string(demo.Station))
	until(t, b, `document.getElementById("app-state").textContent.includes("keep anything on the device")`)
	if got := headline(t, b); !strings.HasPrefix(got, "Sow perennial ryegrass") {
		t.Errorf("the answer is %q", got)
	}
	b.Check(t, "nothing kept")
}

// The questions are tabs for the keyboard, every field and button has a name, and the
// decision is announced to screen readers.
func TestKeyboardAndReader(t *testing.T) {
	t.Parallel()
	b := opened(t, 1400)
	key := func(name string) {
		t.Helper()
		if err := chromedp.Do(b.Context, chromedp.KeyEvent(name)); err != nil {
			t.Fatal(err)
		}
		settled(t, b)
	}
	focused := func() string { return browsertest.Eval[string](t, b, `document.activeElement.id`) }
	browsertest.Eval[bool](t, b, `(document.getElementById("app-t-window").focus(), true)`)
	key(kb.ArrowRight)
	if got := focused(); got != "app-t-outlook" {
		t.Errorf("the arrow leads to %q", got)
	}
	key(kb.End)
	key(kb.ArrowRight)
	if got := focused(); got != "app-t-window" {
		t.Errorf("past the last question comes %q", got)
	}
	if said, shown := browsertest.Eval[string](t, b, `document.getElementById("app-said").textContent`), headline(t, b); said != shown ||
		said == "" {
		t.Errorf("announced is %q, shown %q", said, shown)
	}
	for _, q := range app.Questions() {
		browsertest.Eval[bool](t, b, fmt.Sprintf(`(document.getElementById("app-t-%s").click(), true)`, q.ID))
		settled(t, b)
		if faults := browsertest.Eval[[]string](t, b, unnamed); len(faults) > 0 {
			t.Errorf("%s: %s", q.ID, strings.Join(faults, "; "))
		}
		for _, width := range []int64{360, 1400} {
			browsertest.Call(t, b, emulation.SetDeviceMetricsOverride,
				emulation.SetDeviceMetricsOverrideParams{Width: width, Height: 900, DeviceScaleFactor: 1})
			if got := browsertest.Eval[int64](t, b, `document.documentElement.scrollWidth`); got > width {
				t.Errorf("%s: %d pixels wide on a screen of %d", q.ID, got, width)
			}
		}
	}
	b.Check(t, "keyboard")
}

// unnamed lists what a screen reader has no name for, and ids that stand twice.
const unnamed = `(() => {
  const faults = [], ids = new Set();
  for (const e of document.querySelectorAll("[id]")) { if (ids.has(e.id)) faults.push("id twice: " + e.id); ids.add(e.id); }
  for (const e of document.querySelectorAll("input, select")) if (!e.labels?.length && !e.getAttribute("aria-label")) faults.push("a field without a label: " + e.outerHTML.slice(0, 80));
  for (const e of document.querySelectorAll("button")) if (!e.textContent.trim()) faults.push("a button without a name");
  for (const s of document.querySelectorAll("figure:has(svg)")) if ((s.querySelector(".unseen")?.textContent ?? "").length < 20) faults.push("a chart without its words");
  for (const t of document.querySelectorAll("table")) if (!t.caption?.textContent.trim()) faults.push("a table without a caption");
  return faults;
})()`

// A link carries the question and the turf, not the record, and opens as it was.
func TestLink(t *testing.T) {
	b := opened(t, 1400)
	drop(t, b, "secret-field.csv", string(demo.Station))
	browsertest.Eval[bool](t, b, `(document.getElementById("app-t-seed").click(), true)`)
	settled(t, b)
	browsertest.Eval[bool](t, b, `(() => {
		const e = document.getElementById("app-f-area");
		e.value = "3,200 sq ft";
		return e.dispatchEvent(new Event("input"));
	})()`)
	settled(t, b)
	shown := headline(t, b)
	click(t, b, "#app-saves", "Copy a link")
	link := browsertest.Eval[string](t, b, `location.href`)
	if !strings.Contains(link, "question=seed") || strings.Contains(link, "secret") {
		t.Errorf("the link is %s", link)
	}
	browsertest.Eval[bool](t, b, `(document.getElementById("app-forget").click(), true)`)
	until(t, b, `document.getElementById("app-state").textContent.startsWith("Forgotten")`)
	browsertest.Eval[bool](t, b, fmt.Sprintf(`(location.href = %q, true)`, link))
	until(t, b, fmt.Sprintf(`document.querySelector("#app-answer .answer")?.textContent === %q`, shown))
	b.Check(t, "link")
}

// The gallery's pictures of the app are as it looks.
func TestGallery(t *testing.T) {
	b := opened(t, 1400)
	for _, shot := range []struct {
		name          string
		width, height int64
	}{{"app-wide", 1400, 1000}, {"app-narrow", 360, 900}} {
		browsertest.Call(t, b, emulation.SetDeviceMetricsOverride,
			emulation.SetDeviceMetricsOverrideParams{Width: shot.width, Height: shot.height, DeviceScaleFactor: 1})
		if err := chromedp.Do(b.Context, chromedp.Reload()); err != nil {
			t.Fatal(err)
		}
		settled(t, b)
		until(t, b, `document.getElementById("app-read").textContent !== ""`)
		made, err := chromedp.Run(b.Context, chromedp.CaptureScreenshot())
		if err != nil {
			t.Fatal(err)
		}
		browsertest.Kept(t, filepath.Join("..", "..", "docs", "gallery", shot.name+".png"), made)
	}
	b.Check(t, "gallery")
}

// With a list of stations a town or a position finds those that suit, each with a link to
// its record; the page asks nothing itself.
func TestStations(t *testing.T) {
	t.Parallel()
	b := browsertest.New(t)
	station := func(id, name string, lat, lon float64) stations.Station {
		years := stations.Years{First: 1950, Last: time.Now().Year()}
		return stations.Station{ID: id, Name: name, TMax: years, TMin: years,
			Position: stations.Position{Latitude: lat, Longitude: lon, ElevationM: 200}}
	}
	list := []stations.Station{station("XX000000001", "FAR MEADOW (INVENTED)", 40, -100),
		station("XX000000002", "WRENFIELD GREEN <b>(INVENTED)", 35.4, -84.6)}
	dir := t.TempDir()
	var file bytes.Buffer
	z := gzip.NewWriter(&file)
	fmt.Fprintln(z, `{"url":"","fetched":"2026-11-20T00:00:00Z","checked":"2026-11-20T00:00:00Z","expires":"2026-11-20T00:00:00Z"}`)
	z.Write(stations.Pack(list))
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	kept, name := filepath.Join(dir, "stations-1"), filepath.Join(dir, "app.html")
	if err := os.WriteFile(kept, file.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := run(name, kept); err != nil {
		t.Fatal(err)
	}
	b.OpenFile(t, name, 1000)
	settled(t, b)
	until(t, b, `!document.getElementById("app-near").hidden`)
	for _, c := range []struct{ sought, first string }{{"35.5,-84.5", "WRENFIELD GREEN <b>(INVENTED)"},
		{"40.1 N 100 W", "FAR MEADOW (INVENTED)"}, {"wren", "WRENFIELD GREEN <b>(INVENTED)"}} {
		browsertest.Eval[bool](t, b, fmt.Sprintf(`(() => {
			const e = document.getElementById("app-sought");
			e.value = %q;
			return e.dispatchEvent(new Event("input"));
		})()`, c.sought))
		until(t, b, fmt.Sprintf(`document.querySelector("#app-found a")?.textContent === %q`, c.first))
	}
	if got := browsertest.Eval[string](t, b, `document.querySelector("#app-found a").href`); !strings.HasSuffix(got,
		"/access/XX000000002.csv") {
		t.Errorf("the link leads to %s", got)
	}
	b.Check(t, "stations")
}

// The policy of the page lets it ask nothing, and a browser that cannot run it says so.
func TestPolicyAndOldBrowser(t *testing.T) {
	b := opened(t, 1000)
	for _, ask := range []string{`fetch("https://example.org/")`, `fetch("data:,x")`,
		`new Promise((done, fail) => { const i = new Image(); i.onload = done; i.onerror = fail; i.src = "https://example.org/x.png"; })`} {
		if browsertest.Eval[bool](t, b, ask+`.then(() => true, () => false)`, chromedp.EvalAwaitPromise) {
			t.Errorf("%s is let through", ask)
		}
	}
	old := browsertest.New(t)
	browsertest.Call(t, old, cdppage.AddScriptToEvaluateOnNewDocument,
		cdppage.AddScriptToEvaluateOnNewDocumentParams{Source: `delete window.DecompressionStream;`})
	out, err := built()
	if err != nil {
		t.Fatal(err)
	}
	old.OpenFile(t, out.app, 1000)
	if text := browsertest.Eval[string](t, old, `document.body.innerText`); !strings.Contains(text, "the browser is too old") {
		t.Errorf("an old browser shows %q", text)
	}
	old.Check(t, "old browser")
}

// Dark where that is asked for, and on paper the answer alone.
func TestDarkAndPaper(t *testing.T) {
	b := opened(t, 1400)
	background := func() string {
		t.Helper()
		return browsertest.Eval[string](t, b, `getComputedStyle(document.body).backgroundColor`)
	}
	light := background()
	browsertest.Call(t, b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: "dark"}}})
	if background() == light {
		t.Error("dark is as light is")
	}
	picture(t, b, "dark.png")
	// A note of a chart stands beneath it where it is touched.
	if got := browsertest.Eval[string](t, b, `(() => {
		const note = document.querySelector("#app-answer figure .wide .note");
		note.dispatchEvent(new MouseEvent("click", {bubbles: true}));
		return note.closest("figure").querySelector(".touched").textContent + "|" + note.querySelector("title").textContent;
	})()`); len(got) < 5 || strings.Split(got, "|")[0] != strings.Split(got, "|")[1] {
		t.Errorf("touched, a note shows as %q", got)
	}
	browsertest.Eval[bool](t, b, `(() => {
		for (const d of document.querySelectorAll("#app-answer details.part")) d.open = false;
		return dispatchEvent(new Event("beforeprint"));
	})()`)
	if n := browsertest.Eval[int](t, b, `document.querySelectorAll("#app-answer details.part:not(.folded):not([open])").length`); n > 0 {
		t.Errorf("%d parts are folded on paper", n)
	}
	browsertest.Call(t, b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
	if browsertest.Eval[bool](t, b, `[...document.querySelectorAll(".given, .ask, .keep, button")].some((e) => e.getClientRects().length > 0)`) ||
		!browsertest.Eval[bool](t, b, `document.querySelector("#app-answer svg").getClientRects().length > 0`) {
		t.Error("on paper are fields or buttons, or no chart is")
	}
	b.Check(t, "dark and paper")
}

// BenchmarkFirstAnswer times from the drop of a record of thirty years to its answer, the
// engine being started; BenchmarkNextAnswer from a change of the grass to its answer.
func BenchmarkFirstAnswer(b *testing.B) {
	page := opened(b, 1400)
	text, err := json.Marshal(string(demo.Station))
	if err != nil {
		b.Fatal(err)
	}
	total := 0.0
	for i := range b.N {
		total += browsertest.Eval[float64](b, page, fmt.Sprintf(`(async () => {
			const d = new DataTransfer(), answer = document.getElementById("app-answer"), from = performance.now();
			d.items.add(new File([%s], "field-%d.csv"));
			const changed = new Promise((done) => new MutationObserver((_, o) => { o.disconnect(); done(); }).observe(answer, {childList: true}));
			dispatchEvent(new DragEvent("drop", {dataTransfer: d, bubbles: true, cancelable: true}));
			await changed;
			return performance.now() - from;
		})()`, text, i), chromedp.EvalAwaitPromise)
		settled(b, page)
	}
	b.ReportMetric(total/float64(b.N), "ms/answer")
}

func BenchmarkNextAnswer(b *testing.B) {
	page := opened(b, 1400)
	for _, q := range []string{"window", "outlook", "second-pass", "compare", "plan", "hindcast"} {
		b.Run(q, func(b *testing.B) {
			browsertest.Eval[bool](b, page, fmt.Sprintf(`(document.getElementById("app-t-%s").click(), true)`, q))
			settled(b, page)
			total := 0.0
			for i := range b.N {
				total += browsertest.Eval[float64](b, page, fmt.Sprintf(`(async () => {
					const answer = document.getElementById("app-answer"), field = document.getElementById("app-f-host"), from = performance.now();
					const changed = new Promise((done) => new MutationObserver((_, o) => { o.disconnect(); done(); }).observe(answer, {childList: true}));
					field.value = [...field.options][%d].value;
					field.dispatchEvent(new Event("input"));
					await changed;
					return performance.now() - from;
				})()`, (i+1)%2), chromedp.EvalAwaitPromise)
				settled(b, page)
			}
			b.ReportMetric(total/float64(b.N), "ms/answer")
		})
	}
}
