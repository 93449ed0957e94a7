//go:build !js

package page

import (
	"fmt"
	"strconv"

	"swardcast/cmd/internal/geomap"
	"swardcast/cmd/internal/words"
)

// classed is the attribute of a class, "" for none.
func classed(class string) markup {
	if class == "" {
		return ""
	}
	var w writer
	w.put(" class=\"%s\"", class)
	return markup(w.String())
}

// region writes the page of many places.
func (w *writer) region(v *regionView) {
	units := "us"
	if v.Metric {
		units = "si"
	}
	w.put("%s<title>%s</title>\n</head>\n<body class=\"region%s\" data-units=\"%s\">\n",
		top(read("page.css")+readOf(regionFiles, "region.css")), v.Kind, when(v.Several, " several"), units)
	w.put("<header>\n<h1>%s</h1>\n<p class=\"answer\" id=\"answer\" role=\"status\">%s</p>\n", v.Kind, words.Unbroken(v.Answer))
	w.regionControls(v)
	w.put("</header>\n<main>\n<div class=\"duo\">\n<section aria-labelledby=\"map\" class=\"maps\">\n" +
		"<h2 id=\"map\" class=\"unseen\">Map</h2>\n")
	for i := range v.Maps {
		w.regionMap(&v.Maps[i])
	}
	w.put("</section>\n<div class=\"beside\">\n<section id=\"place\" aria-live=\"polite\" hidden></section>\n")
	w.regionSums(v)
	w.put("</div>\n</div>\n")
	w.regionPlaces(v)
	w.regionBasis(v)
	w.put("</main>\n<footer><p>Made by swardcast %s. This page holds its own numbers and asks nothing of a network.</p></footer>\n", v.Version)
	w.put("<script type=\"application/json\" id=\"data\">%s</script>\n<script>%s</script>\n</body>\n</html>\n",
		markup(v.Data), markup(readOf(regionFiles, "region.js")))
}

// regionControls are what a species, a map and places are chosen with.
func (w *writer) regionControls(v *regionView) {
	w.put("<fieldset id=\"ask\" class=\"controls\" hidden>\n<legend class=\"unseen\">Choose</legend>\n" +
		"<label>Species <select id=\"ask-species\">")
	w.put("%s", when(v.Several, "<option value=\"-1\">every species</option>"))
	for i, s := range v.Species {
		w.put("<option value=\"%s\">%s</option>", i, s.Name)
	}
	w.put("</select></label>\n<label id=\"map-of\" hidden>Map <select id=\"ask-map\"></select></label>\n" +
		"<label>Place <input id=\"ask-place\" type=\"search\" placeholder=\"part of its name\"></label>\n" +
		"<label>Last safe on or after <input id=\"ask-after\" type=\"date\"></label>\n" +
		"<button type=\"button\" id=\"ask-again\" hidden>All places</button>\n</fieldset>\n")
}

func (w *writer) regionMap(m *regionMap) {
	w.put("<figure class=\"map\">")
	if m.Name != "" {
		w.put("<h3>%s</h3>", m.Name)
	}
	w.put("\n")
	if m.Width > 0 {
		w.regionDrawing(m)
	}
	w.put("\n<figcaption><span class=\"legend\">")
	for _, k := range m.Legend {
		w.put("<span class=\"key\"><svg class=\"dot\" viewBox=\"0 0 16 16\" aria-hidden=\"true\"><path class=\"m %s\" d=\"%s\"/></svg>%s</span> ",
			k.Class, k.Path, k.Text)
	}
	w.put("</span>")
	if m.Unplaced > 0 {
		are := "are"
		if m.Unplaced == 1 {
			are = "is"
		}
		w.put("<span>%s without a longitude %s not on the map.</span> ", m.Unplaced, are)
	}
	w.put("<span class=\"surface\">%s</span></figcaption>\n</figure>\n", m.Note)
}

// tenth is a coordinate to a tenth of a unit.
func tenth(x float64) markup { return markup(strconv.FormatFloat(x, 'f', 1, 64)) }

func (w *writer) regionDrawing(m *regionMap) {
	w.put("<p class=\"map-title\">%s</p>\n", words.Unbroken(m.Title))
	w.put("<svg viewBox=\"0 0 %s %s\" role=\"img\" aria-label=\"%s\" preserveAspectRatio=\"xMidYMid meet\">\n", m.Width, m.Height, m.Alt)
	w.put("<g class=\"cells\">")
	for _, c := range m.Cells {
		w.put("<path class=\"%s\" d=\"%s\"/>", c.Class, c.Path)
	}
	w.put("</g>\n<g class=\"graticule\">")
	for _, g := range m.Graticules {
		w.put("<path d=\"%s\"/>", g.Path)
	}
	w.put("</g>\n<path class=\"state\" d=\"%s\"/><path class=\"coast\" d=\"%s\"/><path class=\"coast\" d=\"%s\"/>\n<g class=\"degrees\">",
		m.State, m.Border, m.Coast)
	for _, g := range m.Graticules {
		w.degree(g)
	}
	w.put("</g>\n<path class=\"bar\" d=\"M%s %sv-4m0 4H%sv-4\"/>", tenth(m.Bar.X), tenth(m.Bar.Y), tenth(m.Bar.To))
	w.put("<text class=\"bar-text\" x=\"%s\" y=\"%s\" dy=\"-8\">%s</text>\n<g class=\"marks\">", tenth(m.Bar.To), tenth(m.Bar.Y), m.Bar.Text)
	for _, c := range m.Marks {
		w.put("<path class=\"m %s\" d=\"%s\"/>", c.Class, c.Path)
	}
	w.put("</g>\n<g class=\"picked\"></g>\n</svg>")
}

// degree labels a parallel or a meridian.
func (w *writer) degree(g geomap.Graticule) {
	if g.Name == "" {
		return
	}
	above := 6
	if g.Parallel {
		above = 4
	}
	w.put("<text x=\"%s\" y=\"%s\" dx=\"4\" dy=\"-%s\">%s</text>", tenth(g.X), tenth(g.Y), above, g.Name)
}

func (w *writer) regionHeads(heads []regionHead) {
	for _, h := range heads {
		w.put("<th scope=\"col\"%s>%s</th>", classed(h.Class), words.Unbroken(h.Head))
	}
}

func (w *writer) regionSums(v *regionView) {
	heading := "Over the places"
	if v.Several {
		heading = "Each species over the places"
	}
	w.put("<section aria-labelledby=\"sums\">\n<h2 id=\"sums\">%s</h2>\n", heading)
	w.put("<section class=\"scroll\" tabindex=\"0\" aria-labelledby=\"sums-caption\"><table id=\"sum-table\">\n"+
		"<caption id=\"sums-caption\">Last safe dates at %s</caption>\n<thead><tr>", v.Level)
	w.regionHeads(v.SumHead)
	w.put("</tr></thead>\n<tbody>\n")
	for _, s := range v.Sums {
		w.put("<tr><th scope=\"row\">%s</th>", s.Name)
		for _, c := range s.Cells {
			w.put("<td%s>%s</td>", classed(c.Class), words.Unbroken(c.Text))
		}
		w.put("</tr>\n")
	}
	w.put("</tbody>\n</table></section>\n</section>\n")
}

func (w *writer) regionPlaces(v *regionView) {
	caption := v.Species[0].Name
	if v.Several {
		caption = "Last safe date of each species"
		if v.Chances {
			caption += ", beneath it the " + v.SowHead
		}
	}
	w.put("<section aria-labelledby=\"places\">\n<h2 id=\"places\">Place by place</h2>\n<p id=\"shown\" class=\"aside\" role=\"status\"></p>\n")
	w.put("<section class=\"scroll\" tabindex=\"0\" aria-labelledby=\"places-caption\"><table id=\"place-table\">\n"+
		"<caption id=\"places-caption\">%s</caption>\n<thead><tr>", caption)
	w.regionHeads(v.Head)
	w.put("</tr></thead>\n<tbody>\n")
	for i := range v.Rows {
		w.regionRow(&v.Rows[i])
	}
	w.put("</tbody>\n</table></section>\n<p><button type=\"button\" id=\"more\" hidden>Show more places</button></p>\n")
	if len(v.Rest) > 0 {
		w.regionRest(v)
	}
	if len(v.Cautions) > 0 {
		w.put("<p class=\"paper always\">%s</p>\n", v.Cautions[0])
	}
	w.put("<p class=\"paper\">On paper the first 40 places; the forms csv, jsonl and geojson have every one.</p>\n</section>\n")
}

func (w *writer) regionRow(r *regionRow) {
	w.put("<tr><th scope=\"row\">%s</th>", r.Name)
	if r.Why != "" {
		w.put("<td class=\"why\" colspan=\"%s\">No answer: %s</td>", r.Span, r.Why)
	}
	for _, c := range r.Cells {
		w.put("<td%s>%s", classed(c.Class), c.Text)
		if c.Beneath != "" {
			w.put("<span class=\"beneath\"><br>%s</span>", c.Beneath)
		}
		w.put("</td>")
	}
	w.put("</tr>\n")
}

// regionRest are the places that only a reader without a script sees in the table. End
// tags are left out, as HTML allows: they would weigh a tenth of a large page.
func (w *writer) regionRest(v *regionView) {
	w.put("<noscript><section class=\"scroll\" tabindex=\"0\" aria-labelledby=\"rest-caption\"><table>\n" +
		"<caption id=\"rest-caption\">The other places, last safe dates</caption>\n<thead><tr>")
	w.regionHeads(v.Head)
	w.put("</tr></thead>\n<tbody>\n")
	for _, r := range v.Rest {
		w.put("<tr><th scope=\"row\">%s", r.Name)
		if r.Why != "" {
			w.put("<td colspan=\"%s\">No answer: %s", r.Span, r.Why)
		}
		for _, c := range r.Cells {
			w.put("<td>%s", c.Text)
		}
		w.put("\n")
	}
	w.put("</tbody></table></section></noscript>\n")
}

func (w *writer) regionBasis(v *regionView) {
	w.put("<details class=\"part folded\"><summary><h2 id=\"basis\">Based on</h2></summary>\n<dl>")
	then, shaded := "on its last safe date", ""
	if v.Chances {
		then, shaded = "then", " Shaded: likely (2/3 or more). In italics: not worth sowing (under 1/3)."
	}
	for i, x := range []struct{ label, text string }{
		{"settings", v.Settings},
		{"last safe date", fmt.Sprintf("the last day on which a sowing still makes it at %s. “None”: no day is as safe. "+
			"“No cutoff”: cold does not end sowing there, so that no date is the last.%s", v.Level, shaded)},
		{"winter risk", fmt.Sprintf("the chance that a stand sown %s is lost over winter: low under 10\u00a0%%, high from a third on.", then)},
		{"one place", "swardcast window FILE explains one station."},
		{"accuracy", v.Accuracy},
		{"map", "equal areas. Coasts and borders: Natural Earth; of the USA and its states US Census Bureau. Both are public domain."},
	} {
		if i > 0 {
			w.put("\n")
		}
		w.put("<dt>%s</dt><dd>%s</dd>", x.label, x.text)
	}
	w.put("</dl>\n</details>\n<details class=\"part folded\"><summary><h2 id=\"cautions\">Cautions</h2>")
	if len(v.Cautions) > 0 {
		w.put("<span class=\"first\">%s</span>", v.Cautions[0])
	}
	w.put("</summary>\n<ul>\n")
	for i, c := range v.Cautions {
		if i > 0 {
			w.put("<li>%s</li>\n", c)
		}
	}
	w.put("</ul>\n</details>\n")
}
