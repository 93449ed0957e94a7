package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"swardcast/climate"
	"swardcast/climate/weather"
	"swardcast/cmd/internal/browsertest"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/outlook"
	"swardcast/cmd/internal/window"
	"swardcast/cmd/internal/words"
)

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
	b := browsertest.New(t)
	for _, args := range pages {
		name := strings.Join(args, " ")
		html := pageOf(t, args...)
		const heavy = 300_000 // bytes; two species with winter and rain took 268 kB
		if len(html) > heavy {
			t.Errorf("%s: %d bytes, more than %d", name, len(html), heavy)
		}
		for _, width := range []int64{360, 390, 768, 1400} {
			b.Open(t, html, width)
			if folded := browsertest.Eval[bool](t, b, `[...document.querySelectorAll("details.part:not(.folded)")].every((p, i) => !p.open || i === 0)`); folded != (width <= 768) {
				t.Errorf("%s: folded is %t on a screen of %d", name, folded, width)
			}
			if !browsertest.Eval[bool](t, b, `document.querySelector("#cautions").parentElement.innerText.length > 40`) {
				t.Errorf("%s: no caution shows on a screen of %d", name, width)
			}
			browsertest.Eval[bool](
				t,
				b,
				`[...document.querySelectorAll("details.part")].forEach((p) => { p.open = true; }) === undefined`,
			)
			if got := browsertest.Eval[int64](t, b, "document.documentElement.scrollWidth"); got > width {
				t.Errorf("%s: %d pixels wide on a screen of %d", name, got, width)
			}
			// Each chart shows once: the narrow or the wide one, in one unit.
			if n := browsertest.Eval[int](t, b, `[...document.querySelectorAll("figure:not([hidden])")].filter((f) => [...f.querySelectorAll("svg")].filter((s) => s.getClientRects().length > 0).length !== 1).length`); n > 0 {
				t.Errorf("%s: %d figures do not show one chart on a screen of %d", name, n, width)
			}
			// Text in charts stays legible.
			if smallest := browsertest.Eval[float64](t, b, `Math.min(99, ...[...document.querySelectorAll("svg")].filter((s) => s.getClientRects().length > 0).flatMap((s) => [...s.querySelectorAll("text")].map((x) => parseFloat(getComputedStyle(x).fontSize) * s.getBoundingClientRect().width / s.viewBox.baseVal.width)))`); smallest < 11.9 {
				t.Errorf("%s: text of %.1f pixels in a chart on a screen of %d", name, smallest, width)
			}
		}
		if faults := browsertest.Eval[[]string](t, b, accessibility); len(faults) > 0 {
			t.Errorf("%s: %s", name, strings.Join(faults, "; "))
		}
		light := browsertest.Eval[string](t, b, `getComputedStyle(document.body).backgroundColor`)
		browsertest.Call(
			t,
			b,
			emulation.SetEmulatedMedia,
			emulation.SetEmulatedMediaParams{
				Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: "dark"}},
			},
		)
		if dark := browsertest.Eval[string](t, b, `getComputedStyle(document.body).backgroundColor`); dark == light {
			t.Errorf("%s: dark is %s as light is", name, dark)
		}
		browsertest.Call(t, b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
		if paper := browsertest.Eval[string](t, b, `getComputedStyle(document.body).backgroundColor`); paper != "rgb(255, 255, 255)" {
			t.Errorf("%s: paper is %s", name, paper)
		}
		if browsertest.Eval[bool](
			t,
			b,
			`[...document.querySelectorAll(".controls, .units")].some((x) => x.getClientRects().length > 0)`,
		) {
			t.Errorf("%s: controls on paper", name)
		}
		browsertest.Call(t, b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{})
		for _, paper := range []chromedp.PaperSize{chromedp.PaperA4, chromedp.PaperLetter} {
			pdf, err := chromedp.Run(b.Context, chromedp.PrintToPDF(chromedp.PDFPaper(paper)))
			if err != nil || !strings.HasPrefix(string(pdf), "%PDF") {
				t.Errorf("%s: nothing printed on paper of %v: %v", name, paper, err)
			}
		}
		b.Check(t, name)
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
  for (const f of document.querySelectorAll("figure:has(svg[aria-hidden=true]):not(.map)")) {
    if ((f.querySelector(".unseen") || {textContent: ""}).textContent.trim().length < 20) faults.push("a chart without its text");
  }
  for (const t of document.querySelectorAll("table")) {
    if (!t.caption || !t.caption.textContent.trim()) faults.push("a table without a caption");
    if ([...t.querySelectorAll("th")].some((h) => !h.scope)) faults.push("a header without scope");
    for (const r of t.tBodies[0].rows) if ([...r.cells].reduce((n, c) => n + c.colSpan, 0) !== t.tHead.rows[0].cells.length) faults.push("a row of " + r.cells.length + " cells in " + t.caption.textContent);
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
	b := browsertest.New(t)
	for _, args := range []string{"window", "window --units metric --species tall-fescue", "outlook --sow 2019-10-05 --as-of 2019-10-15"} {
		b.Open(t, pageOf(t, strings.Fields(args)...), 390)
		type box struct{ Answer, Table, Chart, Right float64 }
		got := browsertest.Eval[box](t, b, `(() => {
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
	b.Check(t, "phone")
}

// On the first sheet of paper stand the decision, the dates, the chart and the seed;
// all else begins on the next.
func TestFirstSheetInBrowser(t *testing.T) {
	b := browsertest.New(t)
	// US Letter and A4 without margins of 12 mm, in CSS pixels of 1/96 inch.
	for name, sheet := range map[string][2]int64{"letter": {725, 965}, "A4": {703, 1032}} {
		for _, args := range []string{"window", "compare --sow 2026-10-10", "outlook --sow 2019-10-05 --as-of 2019-10-15"} {
			b.Open(t, pageOf(t, strings.Fields(args)...), sheet[0])
			browsertest.Call(t, b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
			browsertest.Eval[bool](t, b, `dispatchEvent(new Event("beforeprint"))`)
			if end := browsertest.Eval[int64](t, b, `Math.ceil(Math.max(...[...document.querySelectorAll(".lead, #seed")].map((e) => (e.closest("details") || e).getBoundingClientRect().bottom)))`); end > sheet[1] {
				t.Errorf("%s: the first sheet of %s ends at %d of %d", args, name, end, sheet[1])
			}
			if !browsertest.Eval[bool](
				t,
				b,
				`getComputedStyle(document.querySelector(".sheet")).breakBefore === "page" && document.querySelectorAll(".sheet").length === 1`,
			) {
				t.Errorf("%s: the rest does not begin on a sheet of its own", args)
			}
			if browsertest.Eval[bool](t, b, `document.querySelector("#basis").closest("details").getClientRects().length > 0`) ||
				!browsertest.Eval[bool](t, b, `document.querySelector("#cautions + .first").getClientRects().length > 0`) {
				t.Errorf("%s: the basis on paper, or no cautions", args)
			}
			browsertest.Call(t, b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{})
		}
	}
	b.Check(t, "paper")
}

// A date and a species that are chosen change the sentence to the number that the
// program gives for them.
func TestChoosingInBrowser(t *testing.T) {
	b := browsertest.New(t)
	choose := func(species, date string) string {
		return browsertest.Eval[string](t, b, fmt.Sprintf(`(() => {
			const s = document.getElementById("ask-species"), d = document.getElementById("ask-date");
			s.value = %q; d.value = %q; d.dispatchEvent(new Event("input", {bubbles: true}));
			return document.getElementById("answer").innerText.replaceAll("\u00a0", " ").replaceAll("\u2060", "");
		})()`, species, date))
	}
	chanceOf := func(chance, low, high float64) string {
		return fmt.Sprintf("%s (%.0f–%.0f)", words.Percent(chance), 100*low, 100*high)
	}

	// The window's numbers by date and species.
	b.Open(t, pageOf(t, "window"), 1000)
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
		got := browsertest.Eval[mark](t, b, `(() => {
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
	if off := browsertest.Eval[float64](t, b, `(() => {
		const s = document.querySelector("figure[data-chosen] .wide svg"), d = s.dataset, x = +s.querySelector(".chosen").getAttribute("d").match(/^M([0-9.]+)/)[1];
		return (x - d.left) / d.width * d.days - (Date.parse("2026-10-09") - Date.parse(d.first)) / 86400000;
	})()`); math.Abs(off) > 0.05 {
		t.Errorf("the chosen date is %g days off", off)
	}
	// What was asked for is as it came: chart, date and answer.
	if first := browsertest.Eval[bool](t, b, `(() => {
		const form = document.getElementById("ask"), chart = () => document.querySelector("figure[data-chosen] .wide svg g.front").innerHTML;
		const button = form.querySelector("button"), shown = () => button.getClientRects().length > 0;
		const select = document.getElementById("ask-species"), date = document.getElementById("ask-date");
		select.value = "perennial-ryegrass"; date.value = ""; form.dispatchEvent(new Event("input"));
		const before = chart();
		select.value = "tall-fescue"; form.dispatchEvent(new Event("input"));
		const other = chart() !== before && shown();
		button.click();
		return new Promise((done) => setTimeout(() => done(other && chart() === before && !shown() && date.value !== ""), 50));
	})()`, chromedp.EvalAwaitPromise); !first {
		t.Error("the page does not go back to what was asked")
	}
	if !strings.Contains(choose("tall-fescue", "2026-07-10"), "not be cool enough before") ||
		!strings.Contains(choose("tall-fescue", "2026-12-20"), "after the cold") {
		t.Error("a date out of the window without a word")
	}
	if !browsertest.Eval[bool](
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
	b.Open(t, pageOf(t, "outlook", "--sow", "2019-10-05", "--as-of", "2019-10-15"), 1000)
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
	b.Open(
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
	judged := browsertest.Eval[string](
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
	b.Open(t, pageOf(t, "outlook", "--sow", "2019-10-05", "--as-of", "2019-10-15"), 1000)
	visible := func(class string) int {
		return browsertest.Eval[int](
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
	browsertest.Eval[bool](t, b, `document.getElementById("units-si").click() === undefined`)
	if visible(".us") != 0 || visible(".si") == 0 {
		t.Error("metric units are not those shown")
	}
	if got := choose("tall-fescue", "2019-10-28"); !strings.Contains(got, "sown on 28 Oct 2019") {
		t.Errorf("a date in metric units: %q", got)
	}

	// Without script the tables are there, and nothing that would not work.
	html := pageOf(t, "window")
	browsertest.Call(t, b, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true})
	b.Open(t, html, 1000)
	browsertest.Call(t, b, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{})
	if rows := browsertest.Eval[int](t, b, `document.querySelectorAll("tbody tr").length`); rows < 80 {
		t.Errorf("%d rows in all without script", rows)
	}
	if browsertest.Eval[bool](t, b, `document.getElementById("ask").getClientRects().length > 0`) {
		t.Error("without script there is a form that does nothing")
	}
	b.Check(t, "in all")
}

// A region is a map, a table that sorts, and filters.
func TestRegionInBrowser(t *testing.T) {
	b := browsertest.New(t)
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
	put(t, "fields/broken.csv", "date,tmax_c,tmin_c\n2019-01-01,ten,3\n")
	html := mustRun(t, "region fields --species perennial-ryegrass,kentucky-bluegrass --sow Oct-10 --format html")
	for _, width := range []int64{360, 1400} {
		b.Open(t, html, width)
		if got := browsertest.Eval[int64](t, b, "document.documentElement.scrollWidth"); got > width {
			t.Errorf("%d pixels wide on a screen of %d", got, width)
		}
		const within = `[...document.querySelectorAll(".scroll")].every((e) => e.scrollWidth <= e.clientWidth)`
		if width == 360 && !browsertest.Eval[bool](t, b, within) {
			t.Error("a table scrolls sideways on a phone")
		}
	}
	if faults := browsertest.Eval[[]string](t, b, accessibility); len(faults) > 0 {
		t.Error(strings.Join(faults, "; "))
	}
	count := func(selector string) int {
		return browsertest.Eval[int](t, b, fmt.Sprintf(`document.querySelectorAll(%q).length`, selector))
	}
	const marks = `[...document.querySelectorAll(".marks path")].map((p) => p.getAttribute("d").split("a").length - 1).reduce((a, b) => a + b, 0)`
	text := func(selector string) string {
		return browsertest.Eval[string](t, b, fmt.Sprintf(`document.querySelector(%q).textContent`, selector))
	}
	// Four stations in the north and one in the south, each on its own map; one has no
	// longitude, one means harm, one has no answer.
	if maps, rows := count("figure.map"), count("#place-table tbody tr"); maps != 2 || rows != 8 {
		t.Errorf("%d maps and %d rows of 8 stations of both hemispheres", maps, rows)
	}
	if got := text("figure.map figcaption"); !strings.Contains(got, "1 without a longitude") {
		t.Errorf("legend %q", got)
	}
	if got := text("#answer"); !strings.HasPrefix(got, "Northern hemisphere: on Oct\u00a010 ") ||
		!strings.Contains(got, "Southern hemisphere: ") {
		t.Errorf("answer %q", got)
	}
	if got := text("#place-table .why"); !strings.Contains(got, `No answer: 2:12: "ten" is not a number`) {
		t.Errorf("the station without an answer says %q", got)
	}
	set := func(id, value string) {
		browsertest.Eval[bool](
			t,
			b,
			fmt.Sprintf(
				`(() => { const e = document.getElementById(%q); e.value = %q; return e.dispatchEvent(new Event("input", {bubbles: true})); })()`,
				id,
				value,
			),
		)
	}
	set("ask-species", "0")
	if got := text("#answer"); !strings.Contains(got, "perennial ryegrass") {
		t.Errorf("answer %q", got)
	}
	if got := browsertest.Eval[int](t, b, marks); got != 6 {
		t.Errorf("%d marks of 6 stations with a longitude", got)
	}
	// Sorted by the last safe date: not down again, as days of the season; what has none
	// comes last.
	sorted := `(() => {
		const head = [...document.querySelectorAll("#place-table thead th")], i = head.findIndex((h) => h.textContent.startsWith("last safe"));
		head[i].querySelector("button").click();
		const day = (text) => { const [m, d] = text.split("\u00a0"), k = ["Jan","Feb","Mar","Apr","May","Jun","Jul","Aug","Sep","Oct","Nov","Dec"].indexOf(m); return k < 0 ? 1e9 : 31 * k + +d; };
		const south = (r) => r.cells[0].textContent.startsWith("Far Paddock");
		const days = [...document.querySelectorAll("#place-table tbody tr")].filter((r) => !south(r)).map((r) => day(r.cells[i].textContent));
		return document.querySelectorAll("#place-table th[aria-sort=ascending]").length === 1 && days.every((d, k) => k === 0 || days[k - 1] <= d);
	})()`
	if !browsertest.Eval[bool](t, b, sorted) {
		t.Error("the table does not sort")
	}
	set("ask-place", "paddock")
	if got := browsertest.Eval[int](t, b, marks); got != 1 {
		t.Errorf("%d marks of one station", got)
	}
	set("ask-place", "")
	// A row, a click on the map and a key each open the window of a place.
	browsertest.Eval[bool](t, b, `(document.querySelector("#place-table tbody button").click(), true)`)
	if got, rows := text("#place h2"), count("#place tbody tr"); got != text("#place-table tbody th") || rows != 2 {
		t.Errorf("the row opened %q with %d species", got, rows)
	}
	browsertest.Eval[bool](t, b, `(() => {
		const svg = document.querySelector("figure.map > svg"), box = svg.getBoundingClientRect(), c = document.querySelector(".picked circle");
		svg.dispatchEvent(new KeyboardEvent("keydown", { key: "Escape", bubbles: true }));
		const k = box.width / 720, hidden = document.getElementById("place").hidden;
		svg.dispatchEvent(new MouseEvent("click", { clientX: box.left + c.getAttribute("cx") * k + 3, clientY: box.top + c.getAttribute("cy") * k, bubbles: true }));
		return hidden;
	})()`)
	if got := text("#place h2"); got != text("#place-table tr.chosen th") {
		t.Errorf("a click on the map opened %q", got)
	}
	was := text("#place h2")
	moved := `["ArrowLeft", "ArrowRight", "ArrowUp", "ArrowDown"].some((key) => {
		document.querySelector("figure.map > svg").dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true }));
		return document.querySelector("#place h2").textContent !== ` + fmt.Sprintf("%q", was) + `;
	})`
	if !browsertest.Eval[bool](t, b, moved) {
		t.Error("the arrow keys do not go from place to place")
	}
	set("ask-after", "2026-06-30") // later than any in the north, and after the cold in the south
	if rows := count("#place-table tbody tr"); rows != 0 {
		t.Errorf("%d rows safe at the end of the season", rows)
	}
	if browsertest.Eval[bool](t, b, `"harmed" in window || document.images.length > 0`) {
		t.Error("the name of a station ran as a script")
	}
	b.Check(t, "region")
}

// put writes a file.
func put(t *testing.T, name, text string) {
	t.Helper()
	if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

func TestHostileNameInBrowser(t *testing.T) {
	b := browsertest.New(t)
	for _, args := range []string{"window", "outlook --sow 2019-10-05 --as-of 2019-10-15", "compare", "soil", "hindcast"} {
		status, stdout, stderr := runLine(
			hostileStation(),
			append(strings.Fields(args), "-", "--lat", "35.4", "--format", "html")...)
		if status != cli.Answered {
			t.Fatal(stderr)
		}
		b.Open(t, stdout, 1000)
		if browsertest.Eval[bool](t, b, `"harmed" in window || document.images.length > 0`) {
			t.Errorf("%s: the name of a station ran as a script", args)
		}
		if title := browsertest.Eval[string](t, b, `document.title`); !strings.Contains(title, "<script>") {
			t.Errorf("%s: the name is not shown as it is: %q", args, title)
		}
	}
	b.Check(t, "in all")
}
