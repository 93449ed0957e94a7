package page

import (
	"bytes"
	"encoding/json"
	"fmt"
	"html"
	"strings"

	"swardcast/cmd/internal/chart"
	"swardcast/cmd/internal/words"
)

// A writer writes the HTML of a page. A template would do it too, but a template reads
// its data by reflection, for which the linker keeps every method of every type: with
// one, the app is a third larger.
type writer struct{ bytes.Buffer }

// markup is text that is HTML already.
type markup string

// put writes a format of markup. Its arguments are escaped, but those of type markup.
func (w *writer) put(format markup, args ...any) {
	for i, a := range args {
		switch a := a.(type) {
		case markup:
		case dual:
			args[i] = a.html()
		default:
			args[i] = html.EscapeString(fmt.Sprint(a))
		}
	}
	fmt.Fprintf(w, string(format), args...)
}

// html is the text in both systems of units, of which the page shows one.
func (d dual) html() markup {
	us, si := html.EscapeString(words.Unbroken(d.US)), html.EscapeString(words.Unbroken(d.SI))
	if us == si {
		return markup(us)
	}
	return markup("<span class=\"us\">" + us + "</span><span class=\"si\">" + si + "</span>")
}

// when is markup where a condition holds.
func when(holds bool, m markup) markup {
	if holds {
		return m
	}
	return ""
}

// list puts each text between markup.
func (w *writer) list(format markup, texts []dual) {
	for _, t := range texts {
		w.put(format, t)
	}
}

// data writes a value that the script reads. JSON leaves no "<" in its texts.
func (w *writer) data(id string, v any) error {
	text, err := json.Marshal(v)
	w.put("<script type=\"application/json\" id=\"%s\">%s</script>\n", id, markup(text))
	return err
}

// page writes a whole page.
func (w *writer) page(v *view) error {
	w.put("%s<title>%s%s</title>\n</head>\n<body>\n<header>\n", top(read("page.css")), v.Kind, v.after(" · "))
	w.put("<h1><span class=\"place\">%s</span>", v.Kind)
	if v.Place != "" {
		w.put(" <span class=\"place\">%s</span>", v.Place)
	}
	if v.When.US != "" {
		w.put(" <span class=\"place\">%s</span>", v.When)
	}
	w.put("</h1>\n<p class=\"answer\" id=\"answer\" role=\"status\">%s</p>\n", v.Answer)
	w.list("<p class=\"aside fixed\">%s</p>\n", v.Notes)
	w.put("</header>\n<main>\n")
	w.sections(v)
	w.put("</main>\n<footer>\n")
	if !v.Unitless {
		w.put("<fieldset class=\"units\"><legend>Units</legend>\n"+
			"<label><input type=\"radio\" name=\"units\" id=\"units-us\"%s> US</label>\n"+
			"<label><input type=\"radio\" name=\"units\" id=\"units-si\"%s> metric</label>\n</fieldset>\n",
			when(!v.Metric, " checked"), when(v.Metric, " checked"))
	}
	w.put("<p>Made by swardcast %s. This page holds its own numbers and asks nothing of a network.</p></footer>\n", v.Version)
	if v.Ask != nil {
		if err := w.data("numbers", v.Ask); err != nil {
			return err
		}
		if err := w.data("layers", v.Layers); err != nil {
			return err
		}
	}
	w.put("<script>%s</script>\n</body>\n</html>\n", markup(read("page.js")))
	return nil
}

// after is the place behind a separator, "" for no place.
func (v *view) after(separator string) string {
	if v.Place == "" {
		return ""
	}
	return separator + v.Place
}

// fragment writes what stands between the header and the foot of a page.
func (w *writer) fragment(v *view) {
	w.put("<p class=\"about\">%s%s", v.Kind, v.after(" · "))
	if v.When.US != "" {
		w.put(" · %s", v.When)
	}
	w.put("</p>\n<p class=\"answer\" id=\"answer\">%s</p>\n", v.Answer)
	w.list("<p class=\"aside\">%s</p>\n", v.Notes)
	w.sections(v)
}

func (w *writer) sections(v *view) {
	for _, s := range v.Sections {
		if s.Lead {
			w.put("<section class=\"lead\" aria-labelledby=\"%s\">\n<h2 id=\"%s\" class=\"unseen\">%s</h2>\n", s.ID, s.ID, s.Heading)
			w.body(&s, v.Ask)
			w.put("</section>\n")
			continue
		}
		w.put("<details class=\"part%s%s\"%s><summary><h2 id=\"%s\">%s</h2>", when(s.Folded, " folded"), when(s.Breaks, " sheet"),
			when(!s.Folded, " open"), s.ID, s.Heading)
		if s.First != nil {
			w.put("<span class=\"first\">%s</span>", *s.First)
		}
		w.put("</summary>\n")
		w.body(&s, v.Ask)
		w.put("</details>\n")
	}
}

func (w *writer) body(s *section, ask *choices) {
	w.list("<p>%s</p>\n", s.Intro)
	w.tables(s.Tables)
	for _, f := range s.Figures {
		if f.Controls {
			w.controls(ask)
		}
		w.figure(f)
	}
	w.tables(s.Beneath)
	if len(s.Items) > 0 {
		w.put("<dl>\n")
		for _, x := range s.Items {
			w.put("<dt>%s</dt><dd>%s</dd>\n", x.Label, x.Text)
		}
		w.put("</dl>\n")
	}
	if len(s.List) > 0 {
		w.put("<ul>\n")
		w.list("<li>%s</li>\n", s.List)
		w.put("</ul>\n")
	}
	w.list("<p>%s</p>\n", s.Notes)
}

// controls are what a species and a sow date are chosen with.
func (w *writer) controls(ask *choices) {
	w.put("<fieldset id=\"ask\" class=\"controls\" hidden>\n<legend class=\"unseen\">Choose</legend>\n<label>Species <select id=\"ask-species\">")
	for _, s := range ask.Species {
		w.put("<option value=\"%s\">%s</option>", s.ID, s.Name)
	}
	w.put("</select></label>\n<label>Sow date <input id=\"ask-date\" type=\"date\"></label>\n" +
		"<button type=\"button\" id=\"ask-again\" hidden>As first asked</button>\n</fieldset>\n")
}

func (w *writer) figure(f figure) {
	w.put("<figure id=\"%s\"%s%s>\n<p class=\"unseen\">Chart: %s. %s</p>\n", f.ID, when(f.Fixed, " class=\"fixed\""),
		when(f.Chosen, " data-chosen"), f.Title, f.Alt)
	w.draw(f)
	if f.Caption.US != "" {
		w.put("<figcaption>%s</figcaption>\n", f.Caption)
	}
	w.put("</figure>\n")
}

// The sizes of charts: a wide one, and one for a narrow screen, whose text is at
// least 12 pixels high on a screen of 360. Rows take the height that they need.
func sizes(c *chart.Chart) (wide, narrow chart.Size) {
	wide, narrow = chart.Size{Width: 760, Height: 300, Text: 12}, chart.Size{Width: 328, Height: 224, Text: 12}
	if n := len(c.Rows); n > 0 {
		wide.Height, narrow.Height = 84+20*float64(n), 96+20*float64(n)
	}
	return wide, narrow
}

// draw draws a figure, wide and narrow; the page shows one of them. A chart escapes
// what it writes.
func (w *writer) draw(f figure) {
	wide, narrow := sizes(f.US)
	w.put("<div class=\"wide\">%s</div>\n<div class=\"narrow\">%s</div>\n",
		markup(chart.SVG(f.US, f.SI, wide)), markup(chart.SVG(f.US, f.SI, narrow)))
}

func (w *writer) tables(list []table) {
	for _, t := range list {
		w.put("%s", when(t.Fixed, "<div class=\"fixed\">"))
		if t.Folded {
			w.put("<details><summary>Table: %s</summary>", t.Caption)
		}
		w.table(t)
		w.put("%s%s\n", when(t.Folded, "</details>"), when(t.Fixed, "</div>"))
	}
}

func (w *writer) table(t table) {
	w.put("<section class=\"scroll%s%s\" tabindex=\"0\" aria-labelledby=\"%s\"><table>\n", when(t.Plain, " plain"),
		when(t.Long, " long"), t.ID)
	w.put("<caption id=\"%s\">%s</caption>\n<thead><tr>", t.ID, t.Caption)
	w.list("<th scope=\"col\">%s</th>", t.Head)
	w.put("</tr></thead>\n<tbody>\n")
	for _, row := range t.Rows {
		w.put("<tr>")
		for i, c := range row {
			if i == 0 {
				w.put("<th scope=\"row\">%s</th>", c)
			} else {
				w.put("<td>%s</td>", c)
			}
		}
		w.put("</tr>\n")
	}
	w.put("</tbody>\n</table></section>")
}

// top is the beginning of a page with a style, up to its title.
func top(style string) markup {
	return markup(strings.Replace(read("top.html"), "STYLE", style, 1))
}
