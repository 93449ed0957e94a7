package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	cdplog "github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	cdppage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"

	"swardcast/climate"
	"swardcast/climate/weather"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/outlook"
	"swardcast/cmd/internal/window"
	"swardcast/cmd/internal/words"
)

// A browser is headless Chromium with what it complained of.
type browser struct {
	ctx    context.Context
	lock   sync.Mutex
	faults []string // of the console, and requests of a network
}

// newBrowser starts Chromium. Where there is none the test is skipped, unless
// SWARDCAST_BROWSER says that it must run.
func newBrowser(t *testing.T) *browser {
	t.Helper()
	if testing.Short() {
		t.Skip("a browser takes long")
	}
	path, err := exec.LookPath("chromium")
	if err != nil {
		if os.Getenv("SWARDCAST_BROWSER") != "" {
			t.Fatal("no chromium")
		}
		t.Skip("no chromium")
	}
	options := append(
		chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(path),
		chromedp.NoSandbox,
		chromedp.DisableGPU,
		chromedp.Flag(
			"disable-quic",
			true,
		),
		chromedp.Flag("disable-component-update", true),
		chromedp.UserDataDir(t.TempDir()),
	)
	ctx, stop := context.WithTimeout(context.Background(), 3*time.Minute)
	t.Cleanup(stop)
	ctx, stop = chromedp.NewExecAllocator(ctx, options...)
	t.Cleanup(stop)
	ctx, stop = chromedp.NewContext(ctx)
	t.Cleanup(stop)
	b := &browser{ctx: ctx}
	fault := func(text string) {
		b.lock.Lock()
		defer b.lock.Unlock()
		b.faults = append(b.faults, text)
	}
	call(t, b, network.Enable, network.EnableParams{})
	if err := chromedp.Listen(ctx, func(ev any) {
		switch e := ev.(type) {
		case *runtime.EventExceptionThrown:
			fault("exception " + e.ExceptionDetails.Text)
		case *runtime.EventConsoleAPICalled:
			fault(fmt.Sprint("console ", e.Type))
		case *cdplog.EventEntryAdded:
			fault(e.Entry.Text)
		case *network.EventRequestWillBeSent:
			// The browser's own icons are data.
			if !strings.HasPrefix(e.Request.URL, "file://") && !strings.HasPrefix(e.Request.URL, "data:") {
				fault("request of " + e.Request.URL)
			}
		case *cdppage.EventJavascriptDialogOpening:
			fault("dialog " + e.Message)
		}
	}); err != nil {
		t.Fatal(err)
	}
	return b
}

// check fails the test for every complaint so far.
func (b *browser) check(t *testing.T, name string) {
	t.Helper()
	b.lock.Lock()
	defer b.lock.Unlock()
	for _, f := range b.faults {
		t.Errorf("%s: %s", name, f)
	}
	b.faults = nil
}

// call runs a command of the protocol.
func call[P, R any](t *testing.T, b *browser, command cdp.Command[P, R], params P) {
	t.Helper()
	if _, err := chromedp.Call(b.ctx, command, params); err != nil {
		t.Fatal(err)
	}
}

// open shows an answer as a page of a width.
func (b *browser) open(t *testing.T, html string, width int64) {
	t.Helper()
	name := filepath.Join(t.TempDir(), "page.html")
	if err := os.WriteFile(name, []byte(html), 0o644); err != nil {
		t.Fatal(err)
	}
	call(
		t,
		b,
		emulation.SetDeviceMetricsOverride,
		emulation.SetDeviceMetricsOverrideParams{Width: width, Height: 900, DeviceScaleFactor: 1},
	)
	if err := chromedp.Do(b.ctx, chromedp.Navigate("file://"+name)); err != nil {
		t.Fatal(err)
	}
}

// eval evaluates a script in the page.
func eval[T any](t *testing.T, b *browser, script string, options ...chromedp.EvaluateOption) T {
	t.Helper()
	out, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](script, options...))
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// pages are command lines that make a page each.
var pages = [][]string{
	{"window"},
	{"window", "--years", "2018-2020"}, // too few seasons for a date
	{"window", "--host", "none", "--units", "metric", "--species", "kentucky-bluegrass,tall-fescue"},
	{"outlook", "--sow", "2019-10-05", "--as-of", "2019-10-15"},
	{"outlook", "--sow", "2019-06-10", "--as-of", "2019-06-15"}, // before the season
	{"second-pass", "--first", "2019-10-01", "--as-of", "2019-10-12", "--cover", "20", "--area", "5000ft2"},
	{"compare", "--sow", "2026-10-10"},
	{"soil"},
	{"hindcast"},
}

// pageOf makes a page.
func pageOf(t *testing.T, args ...string) string {
	t.Helper()
	status, stdout, stderr := runLine("", append(args, "--format", "html")...)
	if status != cli.Answered {
		t.Fatal(stderr)
	}
	return stdout
}

// Every page opens without a complaint or a request, fits a narrow and a wide
// screen, is dark where that is asked for, and can be read by a screen reader.
func TestPagesInBrowser(t *testing.T) {
	b := newBrowser(t)
	for _, args := range pages {
		name := strings.Join(args, " ")
		html := pageOf(t, args...)
		const heavy = 300_000 // bytes; two species with winter and rain took 268 kB
		if len(html) > heavy {
			t.Errorf("%s: %d bytes, more than %d", name, len(html), heavy)
		}
		for _, width := range []int64{360, 390, 768, 1400} {
			b.open(t, html, width)
			if folded := eval[bool](t, b, `[...document.querySelectorAll("details.part:not(.folded)")].every((p, i) => !p.open || i === 0)`); folded != (width <= 768) {
				t.Errorf("%s: folded is %t on a screen of %d", name, folded, width)
			}
			if !eval[bool](t, b, `document.querySelector("#cautions").parentElement.innerText.length > 40`) {
				t.Errorf("%s: no caution shows on a screen of %d", name, width)
			}
			eval[bool](
				t,
				b,
				`[...document.querySelectorAll("details.part")].forEach((p) => { p.open = true; }) === undefined`,
			)
			if got := eval[int64](t, b, "document.documentElement.scrollWidth"); got > width {
				t.Errorf("%s: %d pixels wide on a screen of %d", name, got, width)
			}
			// Each chart shows once: the narrow or the wide one, in one unit.
			if n := eval[int](t, b, `[...document.querySelectorAll("figure:not([hidden])")].filter((f) => [...f.querySelectorAll("svg")].filter((s) => s.getClientRects().length > 0).length !== 1).length`); n > 0 {
				t.Errorf("%s: %d figures do not show one chart on a screen of %d", name, n, width)
			}
			// Text in charts stays legible.
			if smallest := eval[float64](t, b, `Math.min(99, ...[...document.querySelectorAll("svg")].filter((s) => s.getClientRects().length > 0).flatMap((s) => [...s.querySelectorAll("text")].map((x) => parseFloat(getComputedStyle(x).fontSize) * s.getBoundingClientRect().width / s.viewBox.baseVal.width)))`); smallest < 11.9 {
				t.Errorf("%s: text of %.1f pixels in a chart on a screen of %d", name, smallest, width)
			}
		}
		if faults := eval[[]string](t, b, accessibility); len(faults) > 0 {
			t.Errorf("%s: %s", name, strings.Join(faults, "; "))
		}
		light := eval[string](t, b, `getComputedStyle(document.body).backgroundColor`)
		call(
			t,
			b,
			emulation.SetEmulatedMedia,
			emulation.SetEmulatedMediaParams{
				Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: "dark"}},
			},
		)
		if dark := eval[string](t, b, `getComputedStyle(document.body).backgroundColor`); dark == light {
			t.Errorf("%s: dark is %s as light is", name, dark)
		}
		call(t, b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
		if paper := eval[string](t, b, `getComputedStyle(document.body).backgroundColor`); paper != "rgb(255, 255, 255)" {
			t.Errorf("%s: paper is %s", name, paper)
		}
		if eval[bool](
			t,
			b,
			`[...document.querySelectorAll(".controls, .units")].some((x) => x.getClientRects().length > 0)`,
		) {
			t.Errorf("%s: controls on paper", name)
		}
		call(t, b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{})
		for _, paper := range []chromedp.PaperSize{chromedp.PaperA4, chromedp.PaperLetter} {
			pdf, err := chromedp.Run(b.ctx, chromedp.PrintToPDF(chromedp.PDFPaper(paper)))
			if err != nil || !strings.HasPrefix(string(pdf), "%PDF") {
				t.Errorf("%s: nothing printed on paper of %v: %v", name, paper, err)
			}
		}
		b.check(t, name)
	}
}

// accessibility lists what a screen reader would stumble over.
const accessibility = `(() => {
  const faults = [], ids = new Set();
  for (const e of document.querySelectorAll("[id]")) { if (ids.has(e.id)) faults.push("id twice: " + e.id); ids.add(e.id); }
  for (const s of document.querySelectorAll("svg:not([aria-hidden=true])")) {
    const names = s.hasAttribute("aria-label") ? [s.getAttribute("aria-label")] : (s.getAttribute("aria-labelledby") || "").split(" ").map((id) => (document.getElementById(id) || {textContent: ""}).textContent);
    if (s.getAttribute("role") !== "img" || names.length === 0 || names.some((n) => n.trim().length < 12)) faults.push("a chart without its text");
  }
  for (const f of document.querySelectorAll("figure:has(svg[aria-hidden=true]):not(:has(#plot))")) {
    if ((f.querySelector(".unseen") || {textContent: ""}).textContent.trim().length < 20) faults.push("a chart without its text");
  }
  for (const t of document.querySelectorAll("table")) {
    if (!t.caption || !t.caption.textContent.trim()) faults.push("a table without a caption");
    if ([...t.querySelectorAll("th")].some((h) => !h.scope)) faults.push("a header without scope");
    for (const r of t.tBodies[0].rows) if (r.cells.length !== t.tHead.rows[0].cells.length) faults.push("a row of " + r.cells.length + " cells in " + t.caption.textContent);
  }
  let level = 0;
  for (const h of document.querySelectorAll("h1,h2,h3")) { const n = +h.tagName[1]; if (n > level + 1) faults.push("heading " + h.textContent); level = n; }
  if (document.querySelectorAll("h1").length !== 1) faults.push("not one h1");
  for (const i of document.querySelectorAll("input,select")) if (!i.labels || i.labels.length === 0) faults.push("no label: " + i.outerHTML);
  if (!document.documentElement.lang || !document.title.trim()) faults.push("no language or title");
  return faults;
})()`

// On the first screen of a phone stand the decision, the dates and the chart.
func TestFirstScreenInBrowser(t *testing.T) {
	b := newBrowser(t)
	for _, args := range []string{"window", "window --units metric --species tall-fescue", "outlook --sow 2019-10-05 --as-of 2019-10-15"} {
		b.open(t, pageOf(t, strings.Fields(args)...), 390)
		type box struct{ Answer, Table, Chart, Right float64 }
		got := eval[box](t, b, `(() => {
			const end = (q) => document.querySelector(q).getBoundingClientRect();
			return {answer: end("#answer").bottom, table: end(".lead table").bottom, chart: end(".lead figure .narrow").bottom, right: Math.max(...[...document.querySelectorAll(".lead .plain td")].map((c) => c.getBoundingClientRect().right))};
		})()`)
		if got.Answer > 230 || got.Table < got.Answer || got.Chart < got.Table || got.Chart > 800 {
			t.Errorf(
				"%s: the answer ends at %.0f, the dates at %.0f, the chart at %.0f of 800",
				args,
				got.Answer,
				got.Table,
				got.Chart,
			)
		}
		if got.Right > 390 {
			t.Errorf("%s: a cell ends at %.0f of 390", args, got.Right)
		}
	}
	b.check(t, "phone")
}

// On the first sheet of paper stand the decision, the dates, the chart and the seed;
// all else begins on the next.
func TestFirstSheetInBrowser(t *testing.T) {
	b := newBrowser(t)
	// US Letter and A4 without margins of 12 mm, in CSS pixels of 1/96 inch.
	for name, sheet := range map[string][2]int64{"letter": {725, 965}, "A4": {703, 1032}} {
		for _, args := range []string{"window", "compare --sow 2026-10-10", "outlook --sow 2019-10-05 --as-of 2019-10-15"} {
			b.open(t, pageOf(t, strings.Fields(args)...), sheet[0])
			call(t, b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
			eval[bool](t, b, `dispatchEvent(new Event("beforeprint"))`)
			if end := eval[int64](t, b, `Math.ceil(Math.max(...[...document.querySelectorAll(".lead, #seed")].map((e) => (e.closest("details") || e).getBoundingClientRect().bottom)))`); end > sheet[1] {
				t.Errorf("%s: the first sheet of %s ends at %d of %d", args, name, end, sheet[1])
			}
			if !eval[bool](
				t,
				b,
				`getComputedStyle(document.querySelector(".sheet")).breakBefore === "page" && document.querySelectorAll(".sheet").length === 1`,
			) {
				t.Errorf("%s: the rest does not begin on a sheet of its own", args)
			}
			if eval[bool](t, b, `document.querySelector("#basis").closest("details").getClientRects().length > 0`) ||
				!eval[bool](t, b, `document.querySelector("#cautions + p").getClientRects().length > 0`) {
				t.Errorf("%s: the basis on paper, or no cautions", args)
			}
			call(t, b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{})
		}
	}
	b.check(t, "paper")
}

// A date and a species that are chosen change the sentence to the number that the
// program gives for them.
func TestChoosingInBrowser(t *testing.T) {
	b := newBrowser(t)
	choose := func(species, date string) string {
		return eval[string](t, b, fmt.Sprintf(`(() => {
			const s = document.getElementById("ask-species"), d = document.getElementById("ask-date");
			s.value = %q; d.value = %q; d.dispatchEvent(new Event("input", {bubbles: true}));
			return document.getElementById("answer").innerText.replaceAll("\u00a0", " ").replaceAll("\u2060", "");
		})()`, species, date))
	}
	chanceOf := func(chance, low, high float64) string {
		return fmt.Sprintf("%s (%.0f–%.0f)", words.Percent(chance), 100*low, 100*high)
	}

	// The window's numbers by date and species.
	b.open(t, pageOf(t, "window"), 1000)
	asked := choose("perennial-ryegrass", "")
	_, stdout, _ := runLine("", "window", "--species", "perennial-ryegrass,tall-fescue", "--format", "json")
	var w window.Output
	if err := json.Unmarshal([]byte(stdout), &w); err != nil {
		t.Fatal(err)
	}
	for _, sp := range w.Species {
		for _, k := range []int{0, 60, 97, 105, 130, len(sp.ByDate) - 1} {
			d := sp.ByDate[k]
			got := choose(sp.ID, d.Sow.String())
			if d.Sow == *sp.LastSafe.AtConfidence { // what the page says of the species anyway
				if !strings.HasPrefix(got, "Sow "+sp.Name+" between ") || !strings.Contains(got, words.US.Date(d.Sow)) {
					t.Errorf("%s on its last safe date: %q", sp.ID, got)
				}
				continue
			}
			if want := chanceOf(float64(d.Chance), float64(d.ChanceLow), float64(d.ChanceHigh)); !strings.Contains(
				got,
				want,
			) ||
				!strings.Contains(got, words.US.LongDate(d.Sow)) ||
				!strings.Contains(got, words.Capital(sp.Name)) {
				t.Errorf("%s on %s: %q, want %s", sp.ID, d.Sow, got, want)
			}
		}
		// The chart redraws: its heavy rule and its dot lie on the last safe date of
		// the species, the dot at the chance of that date.
		type mark struct{ Rule, Dot, Chance float64 }
		got := eval[mark](t, b, `(() => {
			const s = document.querySelector("figure[data-chosen] .wide svg"), d = s.dataset, day = (x) => (Date.parse(d.first) / 86400000) + (x - d.left) / d.width * d.days;
			const rule = s.querySelector('path.s-safe[stroke-width="2.5"]'), dot = s.querySelector("circle.f-safe, path.f-safe").getBBox();
			return {rule: day(+rule.getAttribute("d").match(/^M([0-9.]+)/)[1]), dot: day(dot.x + dot.width / 2), chance: 1 - (dot.y + dot.height / 2 - d.top) / d.height};
		})()`)
		safe := *sp.LastSafe.AtConfidence
		for name, x := range map[string]float64{"rule": got.Rule, "dot": got.Dot} {
			if off := x - float64(safe); math.Abs(off) > 0.05 {
				t.Errorf("%s: the %s is %.2f days off %s", sp.ID, name, off, safe)
			}
		}
		if want := float64(sp.ByDate[safe-sp.ByDate[0].Sow].Chance); math.Abs(got.Chance-want) > 0.006 {
			t.Errorf("%s: the dot is at %.3f, the chance %.3f", sp.ID, got.Chance, want)
		}
	}
	// The chosen date's line lies where the axis has that date.
	choose("perennial-ryegrass", "2026-10-09")
	if off := eval[float64](t, b, `(() => {
		const s = document.querySelector("figure[data-chosen] .wide svg"), d = s.dataset, x = +s.querySelector(".chosen").getAttribute("d").match(/^M([0-9.]+)/)[1];
		return (x - d.left) / d.width * d.days - (Date.parse("2026-10-09") - Date.parse(d.first)) / 86400000;
	})()`); math.Abs(off) > 0.05 {
		t.Errorf("the chosen date is %g days off", off)
	}
	// What was asked for is as it came: chart, date and answer.
	if first := eval[bool](t, b, `(() => {
		const form = document.getElementById("ask"), chart = () => document.querySelector("figure[data-chosen] .wide svg g.front").innerHTML;
		const button = form.querySelector("button"), shown = () => button.getClientRects().length > 0;
		const select = document.getElementById("ask-species"), date = document.getElementById("ask-date");
		select.value = "perennial-ryegrass"; date.value = ""; form.dispatchEvent(new Event("input"));
		const before = chart();
		select.value = "tall-fescue"; form.dispatchEvent(new Event("input"));
		const other = chart() !== before && shown();
		form.reset();
		return new Promise((done) => setTimeout(() => done(other && chart() === before && !shown() && date.value !== ""), 50));
	})()`, chromedp.EvalAwaitPromise); !first {
		t.Error("the page does not go back to what was asked")
	}
	if !strings.Contains(choose("tall-fescue", "2026-07-10"), "not be cool enough before") ||
		!strings.Contains(choose("tall-fescue", "2026-12-20"), "after the cold") {
		t.Error("a date out of the window without a word")
	}
	if !eval[bool](
		t,
		b,
		`document.body.classList.contains("choosing") && getComputedStyle(document.querySelector(".fixed"), "::before").content.includes("As first asked")`,
	) {
		t.Error("what is of the first question is not marked")
	}
	if got := choose("perennial-ryegrass", "2027-08-01"); !strings.Contains(
		got,
		"knows sow dates from Jul 1, 2026 to Apr 30, 2027",
	) {
		t.Errorf("a date beyond the season: %q", got)
	}
	if got := choose("perennial-ryegrass", ""); got != asked {
		t.Errorf("nothing chosen: %q, at first %q", got, asked)
	}

	// Those of the outlook.
	b.open(t, pageOf(t, "outlook", "--sow", "2019-10-05", "--as-of", "2019-10-15"), 1000)
	for _, date := range []string{"2019-10-05", "2019-10-28"} {
		_, stdout, _ := runLine(
			"",
			"outlook",
			"--sow",
			date,
			"--as-of",
			"2019-10-15",
			"--species",
			"tall-fescue",
			"--format",
			"json",
		)
		var x outlook.Output
		if err := json.Unmarshal([]byte(stdout), &x); err != nil {
			t.Fatal(err)
		}
		got := choose("tall-fescue", date)
		if want := chanceOf(float64(x.Chance), float64(x.ChanceLow), float64(x.ChanceHigh)); !strings.Contains(
			got,
			want,
		) {
			t.Errorf("outlook of %s: %q, want %s", date, got, want)
		}
		if up := x.Stages[0].Date.P50; !strings.Contains(got, "on "+words.US.Date(*up)) {
			t.Errorf("outlook of %s: %q, up on %s", date, got, up)
		}
	}

	// A second pass is chosen from today on, and what was judged stays.
	b.open(
		t,
		pageOf(
			t,
			"second-pass",
			"--first",
			"2019-10-01",
			"--as-of",
			"2019-10-12",
			"--cover",
			"20",
			"--seed-found",
			"no",
		),
		1000,
	)
	judged := eval[string](
		t,
		b,
		`document.getElementById("answer").innerText.replaceAll("\u00a0", " ").replaceAll("\u2060", "")`,
	)
	if got := choose("tall-fescue", "2019-10-20"); !strings.HasPrefix(got, judged) ||
		!strings.Contains(got, "second sowing of tall fescue sown on Oct 20, 2019") {
		t.Errorf("a second pass chosen: %q", got)
	}
	if got := choose("tall-fescue", "2019-10-05"); !strings.Contains(got, "from Oct 12, 2019") {
		t.Errorf("a second pass before today: %q", got)
	}

	// Units switch in place, dates with them.
	b.open(t, pageOf(t, "outlook", "--sow", "2019-10-05", "--as-of", "2019-10-15"), 1000)
	visible := func(class string) int {
		return eval[int](
			t,
			b,
			fmt.Sprintf(
				`[...document.querySelectorAll(%q)].filter((x) => x.getClientRects().length > 0).length`,
				class,
			),
		)
	}
	if visible(".us") == 0 || visible(".si") != 0 {
		t.Error("US units are not those shown")
	}
	eval[bool](t, b, `document.getElementById("units-si").click() === undefined`)
	if visible(".us") != 0 || visible(".si") == 0 {
		t.Error("metric units are not those shown")
	}
	if got := choose("tall-fescue", "2019-10-28"); !strings.Contains(got, "sown on 28 Oct 2019") {
		t.Errorf("a date in metric units: %q", got)
	}

	// Without script the tables are there, and nothing that would not work.
	html := pageOf(t, "window")
	call(t, b, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true})
	b.open(t, html, 1000)
	call(t, b, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{})
	if rows := eval[int](t, b, `document.querySelectorAll("tbody tr").length`); rows < 80 {
		t.Errorf("%d rows in all without script", rows)
	}
	if eval[bool](t, b, `document.getElementById("ask").getClientRects().length > 0`) {
		t.Error("without script there is a form that does nothing")
	}
	b.check(t, "in all")
}

// A region is a map, a table that sorts, and filters.
func TestRegionInBrowser(t *testing.T) {
	b := newBrowser(t)
	drawRegion(t, 4)
	// One of the other hemisphere, whose season is another; one without a longitude;
	// one that means harm.
	for name, place := range map[string]string{"south.csv": "Far Paddock (invented),-35.2,146.1", "nowhere.csv": "Nowhere (invented),38,", "harm.csv": `"` + strings.ReplaceAll(strings.ReplaceAll(hostile, `"`, `""`), "\r\n", " ") + `",37,-80`} {
		c := weather.Piedmont()
		if name == "south.csv" {
			c = weather.Neighbour(7)
			c.Warmest = 20
		}
		rec := weather.Generate(c, 7, climate.Date(2010, 1, 1), climate.Date(2024, 12, 31))
		var file bytes.Buffer
		file.WriteString("date,tmax_c,tmin_c\n")
		for i := range rec.TMaxC {
			fmt.Fprintf(&file, "%s,%.1f,%.1f\n", rec.Day(i), rec.TMaxC[i], rec.TMinC[i])
		}
		if err := os.WriteFile("fields/"+name, file.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		table, err := os.OpenFile("fields/stations.csv", os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o644)
		if err != nil {
			t.Fatal(err)
		}
		if info, _ := table.Stat(); info.Size() == 0 {
			fmt.Fprintln(table, "station,name,latitude,longitude")
		}
		fmt.Fprintf(table, "%s,%s\n", name, place)
		table.Close()
	}
	html := mustRun(t, "region fields --species perennial-ryegrass,kentucky-bluegrass --format html")
	for _, width := range []int64{360, 1000} {
		b.open(t, html, width)
		if got := eval[int64](t, b, "document.documentElement.scrollWidth"); got > width {
			t.Errorf("%d pixels wide on a screen of %d", got, width)
		}
	}
	if faults := eval[[]string](t, b, accessibility); len(faults) > 0 {
		t.Error(strings.Join(faults, "; "))
	}
	count := func(selector string) int {
		return eval[int](t, b, fmt.Sprintf(`document.querySelectorAll(%q).length`, selector))
	}
	if points, rows := count("#plot .point"), count("#windows tbody tr:not([hidden])"); points != 6 || rows != 7 {
		t.Errorf("%d points and %d rows of one species at 7 stations, one without a longitude", points, rows)
	}
	if got := eval[string](t, b, `document.getElementById("legend").textContent`); !strings.Contains(
		got,
		"1 without a longitude",
	) ||
		!strings.Contains(got, "of the season") {
		t.Errorf("legend %q", got)
	}
	if got := eval[string](t, b, `document.getElementById("answer").textContent`); !strings.HasPrefix(
		got,
		"Sow perennial ryegrass by ",
	) ||
		!strings.Contains(got, " (80 % safe; median of ") {
		t.Errorf("answer %q", got)
	}
	// Sorted by the last safe date: not down again, as days of the season.
	sorted := `(() => {
		const head = [...document.querySelectorAll("#windows thead th")], i = head.findIndex((h) => h.dataset.key === "safe");
		head[i].querySelector("button").click();
		const days = [...document.querySelectorAll("#windows tbody tr:not([hidden])")].map((r) => (Date.parse(r.cells[i].dataset.v) - Date.parse(r.dataset.first)) / 86400000);
		return head[i].getAttribute("aria-sort") === "ascending" && days.every((d, k) => k === 0 || days[k - 1] <= d);
	})()`
	if !eval[bool](t, b, sorted) {
		t.Error("the table does not sort")
	}
	set := func(id, value string) {
		eval[bool](
			t,
			b,
			fmt.Sprintf(
				`(() => { const e = document.getElementById(%q); e.value = %q; return e.dispatchEvent(new Event("input", {bubbles: true})); })()`,
				id,
				value,
			),
		)
	}
	set("ask-station", "paddock")
	if points := count("#plot .point"); points != 1 {
		t.Errorf("%d points of one station", points)
	}
	set("ask-station", "")
	set("ask-species", "")
	if rows := count("#windows tbody tr:not([hidden])"); rows != 14 {
		t.Errorf("%d rows of two species", rows)
	}
	set("ask-after", "2026-12-31") // later than any in the north, earlier than none in the south
	if rows := count("#windows tbody tr:not([hidden])"); rows != 0 {
		t.Errorf("%d rows safe at the end of the year", rows)
	}
	if eval[bool](t, b, `"harmed" in window || document.images.length > 0`) {
		t.Error("the name of a station ran as a script")
	}
	b.check(t, "region")
}

func TestHostileNameInBrowser(t *testing.T) {
	b := newBrowser(t)
	for _, args := range []string{"window", "outlook --sow 2019-10-05 --as-of 2019-10-15", "compare", "soil", "hindcast"} {
		status, stdout, stderr := runLine(
			hostileStation(),
			append(strings.Fields(args), "-", "--lat", "35.4", "--format", "html")...)
		if status != cli.Answered {
			t.Fatal(stderr)
		}
		b.open(t, stdout, 1000)
		if eval[bool](t, b, `"harmed" in window || document.images.length > 0`) {
			t.Errorf("%s: the name of a station ran as a script", args)
		}
		if title := eval[string](t, b, `document.title`); !strings.Contains(title, "<script>") {
			t.Errorf("%s: the name is not shown as it is: %q", args, title)
		}
	}
	b.check(t, "in all")
}
