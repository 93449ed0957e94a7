package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"swardcast/cmd/internal/browsertest"
)

// axe lists what breaks a rule of axe-core.
const axe = `axe.run(document, {resultTypes: ["violations"]}).then((r) => r.violations.flatMap((v) =>
	v.nodes.map((n) => v.id + ": " + n.target.join(" ") + ": " + [...n.any, ...n.all, ...n.none].map((c) => c.message).join("; "))))`

// unjudged lists the text outside charts and maps whose contrast axe-core cannot judge. First the
// tables lose the shade at their edge, which lies over the paper where a table goes on, and
// stand whole.
const unjudged = `(document.head.insertAdjacentHTML("beforeend", "<style>.scroll { background: none !important; max-height: none !important; overflow: visible !important; }</style>"),
	axe.run(document, {runOnly: ["color-contrast"], resultTypes: ["incomplete"]}).then((r) => r.incomplete.flatMap((v) => v.nodes).filter((n) => !document.querySelector(n.target[0]).closest("svg, .map")).map((n) => "contrast: " + n.target.join(" ") + ": " + n.any[0].message)))`

// contrast lists text of charts and maps whose contrast with what lies beneath its middle,
// or with the edge drawn around its letters, is under 4.5 to 1 (WCAG 2.2, 1.4.3; relative
// luminance as defined there).
const contrast = `(() => {
	const rgba = (c) => { const [r, g, b, a = 1] = c.match(/[0-9.]+/g).map(Number); return [r, g, b, a]; };
	const over = (top, under) => [0, 1, 2].map((i) => top[i] * top[3] + under[i] * (1 - top[3]));
	const luminance = (c) => { const [r, g, b] = c.map((v) => (v /= 255) <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4); return 0.2126 * r + 0.7152 * g + 0.0722 * b; };
	const paint = (e, what) => {
		const s = getComputedStyle(e), colour = what === "text" ? s.color : s[what];
		if (!colour.startsWith("rgb")) return [0, 0, 0, 0];
		let [r, g, b, a] = rgba(colour);
		for (let x = e; x; x = x.parentElement) a *= getComputedStyle(x).opacity;
		return [r, g, b, a * (what === "text" ? 1 : s[what + "Opacity"])];
	};
	const paper = rgba(getComputedStyle(document.body).backgroundColor);
	const faults = [];
	for (const t of document.querySelectorAll("svg text, .map-title, .map figcaption span")) {
		if (t.getClientRects().length === 0 || !t.textContent.trim()) continue;
		t.scrollIntoView({block: "center", inline: "center"});
		const box = t.getBoundingClientRect();
		const stack = document.elementsFromPoint(box.x + box.width / 2, box.y + box.height / 2);
		let ground = paper;
		for (const e of stack.slice(stack.indexOf(t) + 1).reverse())
			if (e instanceof SVGGeometryElement && e.ownerSVGElement === t.ownerSVGElement) ground = over(paint(e, "fill"), ground);
		const letters = t instanceof SVGElement ? "fill" : "text";
		if (letters === "fill" && parseFloat(getComputedStyle(t).strokeWidth) >= 2) ground = over(paint(t, "stroke"), ground);
		const [dark, light] = [luminance(over(paint(t, letters), ground)), luminance(ground)].sort((a, b) => a - b), ratio = (light + 0.05) / (dark + 0.05);
		if (ratio < 4.5) faults.push("contrast of " + ratio.toFixed(2) + ": " + t.textContent);
	}
	return faults;
})()`

// No page breaks a rule of axe-core (Deque Systems, MPL-2.0), of which SWARDCAST_AXE names
// the script; .ci/pages fetches it.
func TestPagesByAxe(t *testing.T) {
	path := os.Getenv("SWARDCAST_AXE")
	if path == "" {
		t.Skip("SWARDCAST_AXE names no script of axe-core")
	}
	rules, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	pages, err := filepath.Glob(filepath.Join(os.Getenv("SWARDCAST_PAGES"), "*.html"))
	if err != nil || len(pages) < 10 {
		t.Fatalf("%d pages in the folder that SWARDCAST_PAGES names: %v", len(pages), err)
	}
	b := browsertest.New(t)
	for _, page := range pages {
		for _, width := range []int64{390, 1300} {
			for _, scheme := range []string{"light", "dark"} {
				browsertest.Call(t, b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
					Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}})
				b.OpenFile(t, page, width)
				browsertest.Eval[bool](
					t,
					b,
					`[...document.querySelectorAll("details")].forEach((p) => { p.open = true; }) === undefined`,
				)
				browsertest.Eval[bool](t, b, string(rules)+"\n;true")
				faults := browsertest.Eval[[]string](t, b, axe, chromedp.EvalAwaitPromise)
				if width == 1300 { // where all fits; the colours are the same on a phone
					faults = append(faults, browsertest.Eval[[]string](t, b, unjudged, chromedp.EvalAwaitPromise)...)
				}
				for _, fault := range append(faults, browsertest.Eval[[]string](t, b, contrast)...) {
					t.Errorf(
						"%s, %d pixels, %s: %s",
						filepath.Base(page),
						width,
						scheme,
						strings.Join(strings.Fields(fault), " "),
					)
				}
			}
		}
	}
}
