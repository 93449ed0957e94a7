"use strict";
(() => {
  // A narrow screen shows the decision, its dates and its chart; the rest unfolds.
  // Paper has all but what is folded everywhere.
  const parts = [...document.querySelectorAll("details.part")];
  if (matchMedia("(max-width: 48rem)").matches) for (const [i, p] of parts.entries()) if (i > 0 || document.querySelector(".lead")) p.open = false;
  addEventListener("beforeprint", () => { for (const p of parts) if (!p.classList.contains("folded") || p.querySelector("summary .first")) p.open = true; });

  const form = document.getElementById("ask");
  if (!form) return;
  const read = (id) => JSON.parse(document.getElementById(id).textContent);
  const numbers = read("numbers"), layers = read("layers");
  // Runs are a number and how often it stands in a row.
  const spread = (runs) => { const out = []; for (let i = 0; i < runs.length; i += 2) for (let n = 0; n < runs[i + 1]; n++) out.push(runs[i]); return out; };
  for (const s of numbers.species) for (const k of ["chance", "low", "high", "up", "mow", "till"]) s[k] = spread(s[k]);
  const pick = document.getElementById("ask-species"), date = document.getElementById("ask-date"), reset = document.getElementById("ask-again");
  const answer = document.getElementById("answer"), asked = answer.innerHTML;
  const day = 86400000, first = Date.parse(numbers.first), from = Date.parse(numbers.from), count = numbers.species[0].chance.length;
  const months = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
  const iso = (t) => new Date(t).toISOString().slice(0, 10);
  const percent = (n) => (n > 99 ? ">99" : n < 1 ? "<1" : n) + "\u00a0%";

  // Dates by the units: Oct 14, 2026 or 14 Oct 2026.
  const short = (t, si) => { const d = new Date(t), m = months[d.getUTCMonth()], n = d.getUTCDate(); return si ? n + "\u00a0" + m : m + "\u00a0" + n; };
  const long = (t, si) => short(t, si) + (si ? "\u00a0" : ",\u00a0") + new Date(t).getUTCFullYear();

  // A text in both systems of units; the style shows one of them.
  const both = (text) => {
    const us = text(false), si = text(true);
    if (us === si) return [document.createTextNode(us)];
    return [["us", us], ["si", si]].map(([name, t]) => { const e = document.createElement("span"); e.className = name; e.textContent = t; return e; });
  };

  // One stage: "up after about 6 days, on Oct 18".
  const stage = (days, word, sown, si) => days === -2 ? null : days < 0 ? word + " not before the season is over"
    : word + " after about " + days + "\u00a0" + (days === 1 ? "day" : "days") + ", on " + short(sown + days * day, si);

  const sentence = (s, i, si) => {
    const sown = first + i * day;
    let text = (numbers.what ? numbers.what + " " : "") + s.name + " sown on " + long(sown, si) + " has a chance of " + percent(s.chance[i]) +
      " (" + s.low[i] + "–\u2060" + s.high[i] + ") to be " + numbers.stage + " before the cold.";
    const steps = [stage(s.up[i], "up", sown, si), stage(s.mow[i], "first mow", sown, si), stage(s.till[i], "established", sown, si)].filter((x) => x !== null).join("; ");
    if (steps) text += " " + steps + ".";
    if (s.opens && sown < Date.parse(s.opens)) text += " It may not be cool enough before " + short(Date.parse(s.opens), si) + ": heat or the host may thin the seedlings.";
    if (s.cutoff && sown > Date.parse(s.cutoff)) text += " That is after the cold, " + short(Date.parse(s.cutoff), si) + ".";
    return text.replace(/(^|\. )([a-z])/g, (whole, gap, letter) => gap + letter.toUpperCase());
  };

  // The chosen date as a line across every chart of dates.
  const line = (t) => {
    for (const svg of document.querySelectorAll("svg[data-first]")) {
      const d = svg.dataset, at = (t - Date.parse(d.first)) / day;
      let mark = svg.querySelector(".chosen");
      if (!mark) {
        mark = document.createElementNS("http://www.w3.org/2000/svg", "path");
        mark.setAttribute("class", "chosen s-text");
        mark.setAttribute("stroke-width", "2");
        svg.append(mark);
      }
      const x = +d.left + +d.width * at / +d.days;
      mark.setAttribute("d", at >= 0 && at <= +d.days ? "M" + x + " " + d.top + "v" + d.height : "");
    }
  };

  // The layers of a chart for a species: bands behind the grid, lines, rules and
  // points before it, drawn from their numbers into the axes that stand.
  const escaped = (text) => text.replace(/[&<>"]/g, (c) => "&#" + c.charCodeAt(0) + ";");
  const redraw = (svg, l, size) => {
    const d = svg.dataset, left = +d.left, top = +d.top, height = +d.height, text = +d.text, lane = 1.25 * text;
    const x = (n) => left + +d.width * n / +d.days, y = (v) => top + height * (1 - v / 1000), round = (v) => Math.round(v * 10) / 10;
    const point = (n, v) => round(x(n)) + " " + round(y(v));
    // The stretches of a line that are known, each as a list of points.
    const runs = (from, ...lists) => {
      const out = [];
      let run = null;
      lists[0].forEach((v, i) => {
        if (lists.some((list) => list[i] === null)) run = null;
        else { if (!run) out.push(run = []); run.push([from + i, ...lists.map((list) => list[i])]); }
      });
      return out;
    };
    const dashes = (list) => list ? ` stroke-dasharray="${list.join(" ")}"` : "";
    let back = "", front = "", notes = "";
    for (const b of l.bands || []) for (const run of runs(b.from, b.low, b.high)) {
      back += `<path class="f-${b.ink}" d="M${run.map((p) => point(p[0], p[2])).concat(run.reverse().map((p) => point(p[0], p[1]))).join("L")}Z"/>`;
    }
    for (const b of l.lines || []) for (const run of runs(b.from, b.y)) {
      front += `<path class="s-${b.ink}" fill="none" stroke-width="${b.width}"${dashes(b.dashes)} d="M${run.map((p) => point(p[0], p[1])).join("L")}"/>`;
    }
    const inUnits = (list, one) => list.length < 2 ? list.map(one).join("") : `<g class="us">${one(list[0])}</g><g class="si">${one(list[1])}</g>`;
    for (const r of l.rules || []) {
      const labels = r[size] || [], at = round(x(r.x)), rise = labels.length ? Math.max(...labels.map((q) => q[1] + 1)) * lane : 0;
      front += `<path class="s-${r.ink}" fill="none" stroke-width="${r.width}"${dashes(r.dashes)} d="M${at} ${round(top + height)}V${round(top - rise)}"/>`;
      notes += inUnits(labels, (q) => `<text class="f-${r.ink}" font-size="${text}"${r.bold ? " font-weight=\"bold\"" : ""} x="${round(at + q[2])}" y="${round(top - q[1] * lane - 0.35 * text)}">${escaped(q[0])}</text>`);
    }
    for (const p of l.points || []) p.x.forEach((n, i) => {
      if (p.y[i] === null) return;
      const cx = round(x(n)), cy = round(y(p.y[i])), s = p.size;
      front += [`<circle class="f-${p.ink}" cx="${cx}" cy="${cy}" r="${s}"/>`, `<path class="f-${p.ink}" d="M${cx} ${cy - s}l${0.87 * s} ${1.5 * s}h${-1.73 * s}Z"/>`,
        `<path class="f-${p.ink}" d="M${cx - s} ${cy - s}h${2 * s}v${2 * s}h${-2 * s}Z"/>`][p.shape];
      const t = Date.parse(d.first) + n * day;
      notes += inUnits([short(t, false), short(t, true)], (note) => `<circle class="note" fill-opacity="0" r="9" cx="${cx}" cy="${cy}"><title>${escaped(note)}</title></circle>`);
    });
    if (l.empty) notes += `<text class="f-quiet" font-size="${text}" text-anchor="middle" x="${left + +d.width / 2}" y="${top + height / 2}">${escaped(l.empty)}</text>`;
    svg.querySelector("g.back").innerHTML = back;
    svg.querySelector("g.front").innerHTML = front + notes;
  };

  // What the page came with is kept and comes back.
  const charts = [...document.querySelectorAll("figure[data-chosen]")].flatMap((f) => ["wide", "narrow"].map((size) => {
    const svg = f.querySelector("." + size + " svg");
    return { size, svg, of: layers[f.id] || {}, said: f.querySelector(".unseen"), words: f.querySelector(".unseen").innerHTML, back: svg.querySelector("g.back").innerHTML, front: svg.querySelector("g.front").innerHTML, notes: [...svg.querySelectorAll(":scope > .note, :scope > g:not(.back):not(.front)")] };
  }));
  const drawn = (s) => {
    for (const c of charts) {
      const l = c.of[s.id];
      for (const n of c.notes) n.style.display = l ? "none" : "";
      if (l) { redraw(c.svg, l, c.size); c.said.textContent = "Chart: " + l.title + "."; continue; }
      c.svg.querySelector("g.back").innerHTML = c.back;
      c.svg.querySelector("g.front").innerHTML = c.front;
      c.said.innerHTML = c.words;
    }
  };

  const fill = (s) => numbers.sow || s.fill;
  let before = numbers.species[0];
  const show = () => {
    const s = numbers.species.find((x) => x.id === pick.value);
    if (s !== before && date.value === fill(before)) date.value = fill(s); // the date was not chosen
    if (s !== before) drawn(s);
    before = s;
    const changed = s !== numbers.species[0] || date.value !== fill(s), t = Date.parse(date.value), i = Math.round((t - first) / day);
    document.body.classList.toggle("choosing", changed);
    reset.hidden = !changed;
    let mark = NaN;
    if (!changed) {
      answer.innerHTML = asked;
    } else if (date.value === "" || !numbers.sow && date.value === s.fill || Number.isNaN(t)) {
      const k = numbers.species.indexOf(s);
      answer.replaceChildren(...both((si) => si ? numbers.metric[k] : s.answer));
    } else if (t >= from && i < count) {
      if (numbers.keep) answer.innerHTML = asked + " "; else answer.textContent = "";
      answer.append(...both((si) => sentence(s, i, si)));
      mark = t;
    } else {
      answer.replaceChildren(...both((si) => "This page knows sow dates from " + long(from, si) + " to " + long(first + (count - 1) * day, si) + "."));
    }
    line(mark);
  };

  date.min = iso(from);
  date.max = iso(first + (count - 1) * day);
  form.hidden = false;
  form.addEventListener("input", show);
  const start = () => { pick.selectedIndex = 0; date.value = fill(numbers.species[0]); show(); };
  reset.addEventListener("click", () => { start(); pick.focus(); });
  start();
})();
