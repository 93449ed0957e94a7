"use strict";
(() => {
  const $ = (id) => document.getElementById(id), data = JSON.parse($("data").textContent);
  const metric = document.body.dataset.units === "si", several = data.species.length > 1;
  const months = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"], day = 86400000;
  const svgElement = (tag, attributes, text) => {
    const e = document.createElementNS("http://www.w3.org/2000/svg", tag);
    for (const [k, v] of Object.entries(attributes)) e.setAttribute(k, v);
    if (text !== undefined) e.textContent = text;
    return e;
  };
  const element = (tag, text, cls) => {
    const e = document.createElement(tag);
    if (text !== undefined) e.textContent = text;
    if (cls) e.className = cls;
    return e;
  };

  const glued = (text) => text.replace(/(\d) %/g, "$1\u00a0%").replace(/([A-Z][a-z]{2}) (\d)/g, "$1\u00a0$2").replace(/(\d) ([A-Z][a-z]{2})\b/g, "$1\u00a0$2");

  // A place comes as a list; the cells of its species as codes of two characters.
  const keys = ["name", "file", "map", "x", "y", "lat", "lon", "elevation", "season", "seasons", "best"];
  const cells = ["opens", "cutoff", "safe90", "safe", "safe50", "sow", "chance", "state"];
  const places = data.places.map((list, i) => {
    const p = { i };
    keys.forEach((k, j) => { p[k] = list[j]; });
    p.failed = list.length === keys.length + 1 && typeof list[keys.length] === "string";
    if (p.failed) p.why = list[keys.length];
    else { p.south = list[keys.length]; cells.forEach((k, j) => { p[k] = list[keys.length + 1 + j]; }); }
    p.file = data.folder + p.file;
    p.find = p.name.toLowerCase();
    return p;
  });
  const codeOf = (p, key, s) => p[key].length === 2 ? p[key] : p[key].slice(2 * s, 2 * s + 2);
  const number = (code, shift) => code === "--" ? null : parseInt(code, 36) - shift;
  const dayOf = (p, key, s) => number(codeOf(p, key, s), 100);
  // A chance in whole percent, 100 for over 99, and its standing: 2 likely, 1 a gamble, 0 not worth sowing.
  const chanceOf = (p, s) => { const n = number(codeOf(p, "chance", s), 0); return n === null ? null : Math.floor(n / 10); };
  const standingOf = (p, s) => (number(codeOf(p, "chance", s), 0) ?? 0) % 10;
  const stateOf = (p, s) => codeOf(p, "state", s)[0];
  const winterOf = (p, s) => data.winters[codeOf(p, "state", s)[1]];

  // The last day on which any species is safe, endless where cold ends none.
  for (const p of places) {
    p.latest = -1;
    if (p.failed) continue;
    for (let k = 0; k < data.species.length; k++) p.latest = Math.max(p.latest, stateOf(p, k) === "o" ? Infinity : dayOf(p, "safe", k) ?? -1);
  }

  // Dates are days from the first of a season, on a calendar without leap days.
  const first = [Date.UTC(2025, 6, 1), Date.UTC(2025, 0, 1)];
  const dateText = (p, n) => {
    if (n === null) return "–";
    const d = new Date(first[p.south] + n * day), m = months[d.getUTCMonth()];
    return metric ? d.getUTCDate() + "\u00a0" + m : m + "\u00a0" + d.getUTCDate();
  };
  const offset = (south, iso) => {
    let n = Math.round((Date.parse("2025" + iso.slice(4)) - first[south]) / day);
    return Number.isNaN(n) ? null : n < 0 ? n + 365 : n;
  };
  const safeText = (p, s) => stateOf(p, s) === "d" ? dateText(p, dayOf(p, "safe", s)) : data.states[stateOf(p, s)];
  const percent = (c) => c === null ? "–" : (c === 0 ? "<1" : c === 100 ? ">99" : c) + "\u00a0%";
  const standing = (p, s) => {
    if (!data.sow) return "";
    return ["late", "", "likely"][standingOf(p, s)];
  };

  const makes = (p, s) => data.sow ? standing(p, s) !== "late" : stateOf(p, s) === "d";

  // What is asked for.
  const form = $("ask"), pick = $("ask-species"), kind = $("ask-map"), name = $("ask-place"), after = $("ask-after");
  const reset = $("ask-again"), body = document.querySelector("#place-table tbody"), more = $("more");
  let chosen = null, limit = 0, sortKey = "", sortUp = true, shown = places;
  const step = 100;
  const species = () => several ? +pick.value : 0;
  // What the map shows, the first unless another is chosen.
  const sownDay = data.sow.replace("chance", "").replace(",", "").trim();
  const views = () => species() < 0 ? [...(data.sow ? [["count", "species that still make it"]] : []), ["safe", "last safe date"], ["best", data.best]] : [["safe", "last safe date"], ...(data.sow ? [["chance", data.sow]] : [])];
  const coloured = () => kind.value;
  const setViews = () => {
    const list = views(), was = kind.value;
    if (list.map((v) => v[0]).join() !== [...kind.options].map((o) => o.value).join()) {
      kind.textContent = "";
      for (const [value, text] of list) { const o = element("option", text); o.value = value; kind.append(o); }
      if (list.some((v) => v[0] === was)) kind.value = was;
    }
    $("map-of").hidden = list.length < 2;
  };
  const titleOf = (what, s) => ({
    count: "Species that still make it" + (sownDay ? ", " + sownDay : ""),
    best: data.sow ? "Species most likely to establish and come through winter" + (sownDay ? ", " + sownDay : "") : "Species with the latest safe date",
    chance: data.sow[0] ? data.sow[0].toUpperCase() + data.sow.slice(1) + ", " + data.species[s] : "",
    safe: "Last safe date at " + data.level + (s < 0 ? " of the " + data.best.replace(" with ", " with the ") : ", " + data.species[s]),
  })[what];
  const wide = Math.ceil(data.species.length / 5), countClass = (n) => "k" + Math.floor((data.species.length - n) / wide);

  // Marks. Their shapes are those of the map as it is without a script.
  const round = (v) => Math.round(v * 10) / 10;
  const glyph = (cls, x, y, r) => {
    const M = (dx, dy) => "M" + round(x + dx) + " " + round(y + dy), f = round;
    switch (cls) {
      case "none": return M(-r, -r) + "l" + f(2 * r) + " " + f(2 * r) + "m0 " + f(-2 * r) + "l" + f(-2 * r) + " " + f(2 * r);
      case "failed": return M(-r, 0) + "h" + f(2 * r) + "m" + f(-r) + " " + f(-r) + "v" + f(2 * r);
      case "s1": return M(-r, -r) + "h" + f(2 * r) + "v" + f(2 * r) + "h" + f(-2 * r) + "z";
      case "s2": return M(0, -r) + "l" + f(r) + " " + f(2 * r) + "h" + f(-2 * r) + "z";
      case "s3": return M(0, -1.3 * r) + "l" + f(1.3 * r) + " " + f(1.3 * r) + "l" + f(-1.3 * r) + " " + f(1.3 * r) + "l" + f(-1.3 * r) + " " + f(-1.3 * r) + "z";
      case "s4": return M(-r, -r) + "h" + f(2 * r) + "l" + f(-r) + " " + f(2 * r) + "z";
      case "s5": return M(-1.3 * r, -0.6 * r) + "h" + f(2.6 * r) + "v" + f(1.2 * r) + "h" + f(-2.6 * r) + "z";
    }
    return M(0, -r) + "a" + f(r) + " " + f(r) + " 0 1 0 .1 0z";
  };
  const without = (state) => state === "f" ? "failed" : state === "o" ? "open" : "none";
  const chanceSteps = [["k0", "90\u00a0% and more"], ["k1", "67 to 89\u00a0%: likely"], ["k2", "33 to 66\u00a0%: a gamble"], ["k3", "10 to 32\u00a0%: unlikely"], ["k4", "under 10\u00a0%: too late"]];
  const lastChoice = 5;
  const counts = () => {
    const list = [];
    for (let high = data.species.length; high > 0; high -= wide) {
      const low = Math.max(1, high - wide + 1);
      list.push([countClass(high), (low === high ? "" : low + " to ") + high + (high === data.species.length ? " of " + high : "")]);
    }
    return list;
  };
  const classOf = (p, s, what) => {
    if (p.failed) return "failed";
    const map = data.maps[p.map];
    if (what === "chance") {
      const c = chanceOf(p, s);
      return c === null ? "none" : c >= 90 ? "k0" : ["", "k2", "k1"][standingOf(p, s)] || (c >= 10 ? "k3" : "k4");
    }
    const nothing = () => { const states = data.species.map((_, i) => stateOf(p, i)); return states.includes("f") ? "failed" : states.includes("o") ? "open" : "none"; };
    if (what === "best") return p.best >= 0 ? "s" + Math.min(lastChoice, map.best.indexOf(p.best)) : nothing();
    if (what === "count") {
      const n = data.species.filter((_, i) => makes(p, i)).length;
      return n > 0 ? countClass(n) : nothing();
    }
    const k0 = s < 0 ? p.best : s;
    if (k0 < 0) return nothing();
    const state = stateOf(p, k0);
    if (state !== "d") return without(state);
    const n = dayOf(p, "safe", k0), steps = map.steps[s < 0 ? data.species.length : s];
    let k = steps.length - 1;
    while (k > 0 && steps[k].from > n) k--;
    return "k" + steps[k].class;
  };
  const figures = [...document.querySelectorAll("figure.map")];
  const sizeOf = (svg) => 720 / (svg.clientWidth || 720);
  const draw = () => {
    const what = coloured(), s = species();
    const title = titleOf(what, s);
    figures.forEach((figure, m) => {
      const svg = figure.querySelector("svg:not(.dot)");
      if (!svg) return;
      figure.querySelector(".map-title").textContent = title;
      const there = shown.filter((p) => p.map === m), r = (there.length <= 150 ? 5.2 : there.length <= 1000 ? 4 : 2.4) * Math.min(2.2, sizeOf(svg));
      const paths = new Map();
      for (const p of there) {
        const cls = classOf(p, s, what);
        if (!paths.has(cls)) paths.set(cls, []);
        paths.get(cls).push(glyph(cls, p.x, p.y, r));
      }
      const map = data.maps[m];
      const list = what === "best" ? map.best.map((b, i) => ["s" + Math.min(i, lastChoice), i >= lastChoice && map.best.length > lastChoice + 1 ? "another species" : data.species[b]])
        : what === "count" ? counts() : what === "chance" ? [...chanceSteps] : (map.steps[s < 0 ? data.species.length : s] || []).map((x) => ["k" + x.class, x.label.replaceAll(" ", "\u00a0").replace("\u00a0to\u00a0", " to ")]);
      list.push(["none", what === "count" ? "none: too late" : "no safe date"], ["open", "no cutoff: cold does not end sowing"], ["failed", "no answer, or too few autumns"]);
      drawCells(figure, svg, what === "safe" ? map.cells[s < 0 ? data.species.length : s] : null, map.wide);
      const marks = svg.querySelector(".marks"), legend = figure.querySelector(".legend"), done = new Set();
      marks.textContent = legend.textContent = "";
      for (const [cls, text] of list) {
        if (!paths.has(cls) || done.has(cls)) continue;
        done.add(cls);
        marks.append(svgElement("path", { class: "m " + cls, d: paths.get(cls).join("") }));
        const key = element("span", undefined, "key"), dot = svgElement("svg", { class: "dot", viewBox: "0 0 16 16", "aria-hidden": "true" });
        dot.append(svgElement("path", { class: "m " + cls, d: glyph(cls, 8, 8, 6) }));
        key.append(dot, text);
        legend.append(key, " ");
      }
    });
    ring();
  };
  // What lies between the places: cells of 12 units, in rows.
  const drawCells = (figure, svg, drawn, wide) => {
    const g = svg.querySelector(".cells"), paths = new Map(), text = drawn ? drawn.cells : "";
    g.textContent = "";
    figure.querySelector(".surface").textContent = drawn ? drawn.note : "";
    for (let from = 0, to; from < text.length; from = to) {
      for (to = from + 1; to < text.length && to % wide !== 0 && text[to] === text[from]; to++);
      const c = text[from];
      if (c !== ".") paths.set(c, (paths.get(c) || "") + "M" + 12 * (from % wide) + " " + 12 * Math.floor(from / wide) + "h" + 12 * (to - from) + "v12h-" + 12 * (to - from) + "z");
    }
    for (const [c, d] of paths) g.append(svgElement("path", { class: "k" + c, d }));
  };
  const ring = () => {
    figures.forEach((figure, m) => {
      const svg = figure.querySelector("svg:not(.dot)");
      if (!svg) return;
      const g = svg.querySelector(".picked");
      g.textContent = "";
      if (!chosen || chosen.map !== m) return;
      const k = Math.min(2.2, sizeOf(svg)), right = chosen.x > 440;
      g.append(svgElement("circle", { cx: chosen.x, cy: chosen.y, r: 9 * k }));
      g.append(svgElement("text", { x: chosen.x + (right ? -13 : 13) * k, y: chosen.y + 4 * k, "text-anchor": right ? "end" : "start" }, chosen.name));
    });
  };

  // The window of a place.
  const panel = $("place");
  const choose = (p, scroll) => {
    chosen = p;
    panel.hidden = !p;
    panel.textContent = "";
    for (const row of body.querySelectorAll(".chosen")) row.classList.remove("chosen");
    ring();
    if (!p) return;
    const row = body.querySelector(`tr[data-i="${p.i}"]`);
    if (row) row.classList.add("chosen");
    const close = element("button", "close", "link");
    close.type = "button";
    close.addEventListener("click", () => choose(null));
    panel.append(close, element("h2", p.name));
    const side = (v, a, b) => Math.abs(Math.round(v * 100) / 100) + "°\u00a0" + (v < 0 ? b : a), about = [];
    if (p.lat !== null) about.push(side(p.lat, "N", "S") + (p.lon === null ? "" : ", " + side(p.lon, "E", "W")));
    if (p.elevation !== null) about.push(metric ? Math.round(p.elevation) + "\u00a0m" : Math.round(p.elevation / 0.3048) + "\u00a0ft");
    if (p.failed) {
      panel.append(element("p", about.join(" · ")), element("p", "No answer: " + p.why));
    } else {
      about.push("season of " + p.season, p.seasons + (p.seasons === 1 ? " past autumn" : " past autumns"));
      if (data.sow && !sownDay) about.push("sown " + dateText(p, dayOf(p, "sow", 0)));
      panel.append(element("p", about.join(" · ")));
      const box = element("div", undefined, "scroll"), table = element("table"), head = element("tr"), rows = element("tbody");
      box.tabIndex = 0;
      for (const h of ["species", "last safe, " + data.level, ...(data.sow ? [data.sow] : []), "winter risk", "cool enough", "50 %", "cutoff"]) { const th = element("th", glued(h), h === "50 %" || h === "cutoff" ? "wide" : ""); th.scope = "col"; head.append(th); }
      const order = data.species.map((_, s) => s), rank = (s) => s === p.best ? Infinity : data.sow ? chanceOf(p, s) ?? -1 : dayOf(p, "safe", s) ?? -1;
      order.sort((a, b) => rank(b) - rank(a) || a - b);
      for (const s of order) {
        const tr = element("tr"), th = element("th", data.species[s]);
        th.scope = "row";
        tr.append(th, element("td", safeText(p, s), standing(p, s)));
        if (data.sow) tr.append(element("td", percent(chanceOf(p, s)), standing(p, s)));
        tr.append(element("td", winterOf(p, s)), element("td", dateText(p, dayOf(p, "opens", s))), element("td", dateText(p, dayOf(p, "safe50", s)), "wide"), element("td", dateText(p, dayOf(p, "cutoff", s)), "wide"));
        rows.append(tr);
      }
      const thead = element("thead");
      thead.append(head);
      table.append(element("caption", "Window of each species"), thead, rows);
      table.querySelector("caption").className = "unseen";
      box.append(table);
      panel.append(box);
    }
    panel.append(element("p", "In full: swardcast window " + p.file));
    if (scroll) panel.scrollIntoView({ block: "nearest" });
  };

  // The table.
  const columns = () => {
    const s = species(), safe = "last safe, " + data.level;
    const safeCell = (k) => (p) => ({ text: safeText(p, k), cls: standing(p, k), sort: stateOf(p, k) === "d" ? dayOf(p, "safe", k) : null });
    const date = (key) => (p) => ({ text: dateText(p, dayOf(p, key, s)), cls: "wide", sort: dayOf(p, key, s) });
    const none = { text: "–", sort: null };
    if (s < 0) {
      const endless = (p) => !data.sow && p.latest === Infinity;
      const once = (f) => (p) => { const c = p.best < 0 ? (endless(p) ? { text: data.states.o, sort: null } : none) : f(p); return { ...c, cls: "once " + (c.cls || "") }; };
      return [
        { key: "safe", head: safe, cls: "once", cell: once((p) => safeCell(p.best)(p)) },
        ...(data.sow ? [{ key: "chance", head: data.sow, cls: "once", cell: once((p) => ({ text: percent(chanceOf(p, p.best)), cls: standing(p, p.best), sort: chanceOf(p, p.best) })) }] : []),
        { key: "best", head: data.best, cls: "once", cell: (p) => p.best < 0 ? { text: endless(p) ? "any" : "none", sort: null, cls: "once" } : { text: data.species[p.best], sort: data.species[p.best], cls: "once" } },
        ...data.species.map((n, k) => ({ key: "s" + k, head: n, cls: "wide", cell: (p) => { const c = safeCell(k)(p); c.cls = "wide " + c.cls; if (data.sow) c.beneath = percent(chanceOf(p, k)); return c; } })),
      ];
    }
    return [
      { key: "safe", head: safe, cell: safeCell(s) },
      ...(data.sow ? [{ key: "chance", head: data.sow, cell: (p) => ({ text: percent(chanceOf(p, s)), cls: standing(p, s), sort: chanceOf(p, s) }) }] : []),
      { key: "winter", head: "winter risk", cell: (p) => ({ text: winterOf(p, s), sort: ["low", "moderate", "high"].indexOf(winterOf(p, s)) + 1 || null }) },
      { key: "opens", head: "cool enough", cls: "wide", cell: date("opens") },
      { key: "safe90", head: "last safe, 90 %", cls: "wide", cell: date("safe90") },
      { key: "safe50", head: "last safe, 50 %", cls: "wide", cell: date("safe50") },
      { key: "cutoff", head: "cutoff", cls: "wide", cell: date("cutoff") },
      { key: "seasons", head: "autumns used", cls: "wide", cell: (p) => ({ text: String(p.seasons), cls: "wide", sort: p.seasons }) },
    ];
  };
  let list = [];
  const addRows = (upTo) => {
    const part = document.createDocumentFragment();
    for (; limit < Math.min(upTo, shown.length); limit++) {
      const p = shown[limit], tr = element("tr"), th = element("th"), button = element("button", p.name, "link");
      tr.dataset.i = p.i;
      if (p === chosen) tr.className = "chosen";
      th.scope = "row";
      button.type = "button";
      button.addEventListener("click", () => choose(p, true));
      th.append(button);
      tr.append(th);
      if (p.failed) {
        const td = element("td", "No answer: " + p.why, "why");
        td.colSpan = list.length;
        tr.append(td);
      } else {
        for (const c of list) {
          const x = c.cell(p), td = element("td", x.text, (x.cls || "").trim());
          if (x.beneath) { const more = element("span", undefined, "beneath"); more.append(element("br"), x.beneath); td.append(more); }
          tr.append(td);
        }
      }
      part.append(tr);
    }
    body.append(part);
    more.hidden = limit >= shown.length;
    document.body.classList.toggle("many", shown.length > 40);
    $("shown").textContent = shown.length === places.length && limit >= shown.length ? "" :
      shown.length + " of " + places.length + " places" + (limit < shown.length ? ", the first " + limit + " listed" : "") + ".";
  };
  const heads = () => {
    const row = document.querySelector("#place-table thead tr");
    row.textContent = "";
    for (const c of [{ key: "name", head: "place" }, ...list]) {
      const th = element("th", undefined, c.cls || ""), button = element("button", glued(c.head));
      th.scope = "col";
      button.type = "button";
      if (c.key === sortKey) th.setAttribute("aria-sort", sortUp ? "ascending" : "descending");
      button.addEventListener("click", () => { sortUp = sortKey === c.key ? !sortUp : true; sortKey = c.key; show(); document.querySelector(`#place-table th[aria-sort] button`).focus(); });
      th.append(button);
      row.append(th);
    }
    const caption = $("places-caption"), s = species();
    caption.textContent = s < 0 ? "Last safe date of each species" + (data.sow ? ", beneath it the " + data.sow : "") : data.species[s];
  };
  // What is not known stays last, whichever way the table is sorted.
  const sorted = (places) => {
    if (sortKey === "") return places;
    const c = list.find((c) => c.key === sortKey), up = sortUp ? 1 : -1;
    const value = (p) => sortKey === "name" ? p.find : p.failed ? null : c.cell(p).sort ?? null;
    const all = places.map((p) => [value(p), p]);
    all.sort(([a, p], [b, q]) => a === null || b === null ? (a === null) - (b === null) || p.i - q.i : (a < b ? -up : a > b ? up : p.i - q.i));
    return all.map((x) => x[1]);
  };
  const show = () => {
    const s = species(), part = name.value.trim().toLowerCase();
    reset.hidden = pick.selectedIndex === 0 && name.value === "" && after.value === "";
    setViews();
    $("answer").textContent = data.answers[s + 1];
    list = columns();
    if (sortKey !== "name" && !list.some((c) => c.key === sortKey)) sortKey = "";
    const from = after.value === "" ? null : [offset(0, after.value), offset(1, after.value)];
    const latest = (p) => p.failed ? -1 : s < 0 ? p.latest : stateOf(p, s) === "o" ? Infinity : dayOf(p, "safe", s) ?? -1;
    const late = (p) => latest(p) < from[p.south];
    shown = sorted(places.filter((p) => p.find.includes(part) && !(from && (p.failed || late(p)))));
    heads();
    body.textContent = "";
    limit = 0;
    addRows(step);
    if (chosen && !shown.includes(chosen)) choose(null);
    draw();
  };
  more.addEventListener("click", () => addRows(limit + step));

  // The map: a click takes the nearest place, an arrow the next one that way.
  figures.forEach((figure, m) => {
    const svg = figure.querySelector("svg:not(.dot)");
    if (!svg) return;
    svg.tabIndex = 0;
    svg.setAttribute("aria-label", svg.getAttribute("aria-label") + " Arrow keys go from place to place.");
    const nearest = (measure) => {
      let best = null, least = Infinity;
      for (const p of shown) {
        if (p.map !== m) continue;
        const d = measure(p);
        if (d < least) { least = d; best = p; }
      }
      return best;
    };
    svg.addEventListener("click", (e) => {
      const box = svg.getBoundingClientRect(), k = 720 / box.width, x = (e.clientX - box.left) * k, y = (e.clientY - box.top) * k;
      const p = nearest((p) => { const d = Math.hypot(p.x - x, p.y - y); return d < 24 * k ? d : Infinity; });
      if (p) choose(p, false);
    });
    const ways = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
    svg.addEventListener("keydown", (e) => {
      if (e.key === "Escape") { choose(null); return; }
      const way = ways[e.key];
      if (!way) return;
      e.preventDefault();
      const c = chosen && chosen.map === m ? chosen : null;
      const p = c ? nearest((p) => { const along = (p.x - c.x) * way[0] + (p.y - c.y) * way[1], off = Math.abs((p.x - c.x) * way[1]) + Math.abs((p.y - c.y) * way[0]); return along > 0 ? along + 2 * off : Infinity; }) : nearest((p) => Math.hypot(p.x - 360, p.y - 200));
      if (p) choose(p, false);
    });
  });
  let waiting = 0;
  addEventListener("resize", () => { clearTimeout(waiting); waiting = setTimeout(draw, 100); });
  addEventListener("beforeprint", draw);
  form.addEventListener("input", show);
  reset.addEventListener("click", () => { pick.selectedIndex = kind.selectedIndex = 0; name.value = after.value = ""; show(); pick.focus(); });
  form.hidden = false;
  show();
})();
