"use strict";
(() => {
  const body = document.querySelector("#windows tbody"), heads = [...document.querySelectorAll("#windows thead th")];
  const form = document.getElementById("ask"), pick = document.getElementById("ask-species"), name = document.getElementById("ask-station"), after = document.getElementById("ask-after");
  const answer = document.getElementById("answer"), plot = document.getElementById("plot"), legend = document.getElementById("legend");
  const at = Object.fromEntries(heads.map((h, i) => [h.dataset.key, i]));
  const value = (row, key) => { const c = row.cells[at[key]]; return "v" in c.dataset ? c.dataset.v : c.textContent; };
  const rows = [...body.rows].map((row) => ({ row, species: row.dataset.species, station: row.cells[0].textContent, lat: parseFloat(value(row, "lat")), lon: parseFloat(value(row, "lon")), first: row.dataset.first, safe: value(row, "safe") }));
  const day = 86400000;
  // Stations have seasons of different years, and of both hemispheres:
  // dates compare by the days from the first of their season.
  const offset = (r, iso) => Math.round((Date.parse(iso) - Date.parse(r.first)) / day);
  const dates = ["opens", "safe90", "safe", "safe50", "cutoff"];
  // A date of any year in the season of a row.
  const inSeason = (r, iso) => { const y = r.first.slice(0, 4), d = y + iso.slice(4); return d >= r.first ? d : +y + 1 + iso.slice(4); };
  const months = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
  const metric = document.body.dataset.units === "si";
  const short = (iso) => { const d = +iso.slice(8), m = months[+iso.slice(5, 7) - 1]; return (metric ? d + "\u00a0" + m : m + "\u00a0" + d); };
  const svg = (tag, attributes, text) => {
    const e = document.createElementNS("http://www.w3.org/2000/svg", tag);
    for (const [k, v] of Object.entries(attributes)) e.setAttribute(k, v);
    if (text !== undefined) e.textContent = text;
    return e;
  };

  // Ticks of whole or halved degrees, about five of them.
  const ticks = (low, high) => {
    const step = [0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 30, 60].find((s) => (high - low) / s <= 6) || 60, out = [];
    for (let v = Math.ceil(low / step) * step; v <= high + 1e-9; v += step) out.push(Math.round(v * 10) / 10);
    return out;
  };
  const side = (v, positive, negative) => Math.abs(v) + "°" + (v > 0 ? " " + positive : v < 0 ? " " + negative : "");

  // A station without a safe date is a cross, which no class looks like.
  const cross = (x, y) => svg("path", { class: "point none", d: `M${x - 4} ${y - 4}l8 8m0 -8l-8 8` });

  // Five classes of last safe dates, from strong for early to weak for late.
  const classes = 5;
  const classOf = (t, low, high) => high === low ? 0 : Math.min(classes - 1, Math.floor(classes * (t - low) / (high - low)));

  const draw = (shown) => {
    plot.textContent = "";
    legend.textContent = "";
    const placed = shown.filter((r) => !Number.isNaN(r.lat) && !Number.isNaN(r.lon)), dated = placed.filter((r) => r.safe !== "");
    if (placed.length === 0) { legend.textContent = "No station shown has a longitude and a latitude."; return; }
    // Longitudes beside the date line are brought together.
    const all = placed.map((r) => r.lon), wide = Math.max(...all) - Math.min(...all) > 180, lonOf = (r) => wide && r.lon < 0 ? r.lon + 360 : r.lon;
    const range = (list) => { let low = Math.min(...list), high = Math.max(...list); const room = Math.max(0.25, (high - low) * 0.06); return [low - room, high + room]; };
    const [west, east] = range(placed.map(lonOf)), [south, north] = range(placed.map((r) => r.lat));
    const width = Math.max(320, Math.min(900, plot.clientWidth || 720)), left = 46, right = 12, top = 10, bottom = 26, squeeze = Math.max(0.2, Math.cos((south + north) / 2 * Math.PI / 180));
    let scale = (width - left - right) / ((east - west) * squeeze), height = (north - south) * scale;
    if (height > 560) { scale *= 560 / height; height = 560; }
    const x = (lon) => left + (lon - west) * squeeze * scale, y = (lat) => top + (north - lat) * scale;
    const picture = svg("svg", { role: "img", viewBox: `0 0 ${width} ${height + top + bottom}`, "aria-label": `Map of ${placed.length} stations by longitude and latitude, strong where the last safe date is early, a cross where there is none. The table has every station.` });
    for (const lon of ticks(west, east)) {
      picture.append(svg("path", { class: "s-grid", fill: "none", d: `M${x(lon)} ${top}v${height}` }));
      picture.append(svg("text", { class: "f-quiet", "font-size": 12, x: x(lon), y: height + top + 16, "text-anchor": "middle" }, side(lon > 180 ? lon - 360 : lon, "E", "W")));
    }
    for (const lat of ticks(south, north)) {
      picture.append(svg("path", { class: "s-grid", fill: "none", d: `M${left} ${y(lat)}H${Math.max(x(east), left + 1)}` }));
      picture.append(svg("text", { class: "f-quiet", "font-size": 12, x: left - 5, y: y(lat) + 4, "text-anchor": "end" }, side(lat, "N", "S")));
    }
    const days = dated.map((r) => offset(r, r.safe)), low = Math.min(...days), high = Math.max(...days);
    for (const r of placed) {
      const px = x(lonOf(r)), py = y(r.lat);
      const point = r.safe === "" ? cross(px, py) : svg("circle", { class: "point c" + classOf(offset(r, r.safe), low, high), r: 5, cx: px, cy: py });
      point.append(svg("title", {}, r.station + ": " + (r.safe === "" ? "no safe date" : "last safe " + short(r.safe))));
      picture.append(point);
    }
    plot.append(picture);
    const both = new Set(dated.map((r) => r.first.slice(5))).size > 1;
    const named = (o) => both ? "day " + (o + 1) + " of the season" : short(new Date(Date.parse(dated[0].first) + o * day).toISOString().slice(0, 10));
    const key = (cls, text) => {
      const item = document.createElement("span"), dot = svg("svg", { class: "dot", viewBox: "0 0 12 12", "aria-hidden": "true" });
      item.className = "key";
      dot.append(cls === "none" ? cross(6, 6) : svg("circle", { class: "point " + cls, r: 5, cx: 6, cy: 6 }));
      item.append(dot, text);
      legend.append(item);
    };
    for (let c = 0; dated.length > 0 && c < (high === low ? 1 : classes); c++) {
      const from = low + Math.ceil((high - low) * c / classes), to = c === classes - 1 || high === low ? high : low + Math.ceil((high - low) * (c + 1) / classes) - 1;
      if (to >= from) key("c" + c, from === to ? named(from) : named(from) + " to " + named(to));
    }
    if (dated.length < placed.length) key("none", "no safe date");
    if (placed.length < shown.length) legend.append(" " + (shown.length - placed.length) + " without a longitude are not on the map.");
  };

  let shownNow = [];
  const reset = form.querySelector("button");
  const show = () => {
    reset.hidden = pick.selectedIndex === 0 && name.value === "" && after.value === "";
    const part = name.value.trim().toLowerCase();
    const shown = rows.filter((r) => {
      const ok = (pick.value === "" || r.species === pick.value) && r.station.toLowerCase().includes(part) && (after.value === "" || r.safe !== "" && r.safe >= inSeason(r, after.value));
      r.row.hidden = !ok;
      return ok;
    });
    // A map shows one species.
    const species = pick.value || (rows[0] && rows[0].species), one = shown.filter((r) => r.species === species);
    shownNow = one;
    draw(one);
    const safe = one.filter((r) => r.safe !== "").sort((a, b) => offset(a, a.safe) - offset(b, b.safe)).map((r) => r.safe);
    const title = [...pick.options].find((o) => o.value === species);
    const seed = title ? title.textContent : "", stations = one.length + (one.length === 1 ? " station" : " stations"), at = document.body.dataset.level;
    const first = safe[0], last = safe[safe.length - 1], without = one.length - safe.length;
    let text = "No safe date for " + seed + " at " + stations + ".";
    if (safe.length === 1) text = "Sow " + seed + " by " + short(first) + ": the last safe date at " + at + ".";
    if (safe.length > 1) text = "Sow " + seed + " by " + short(first) + " where cold comes first and by " + short(last) + " where it comes last (" + at + " safe; median of " + safe.length + " stations: " + short(safe[Math.floor((safe.length - 1) / 2)]) + ").";
    if (safe.length > 0 && without > 0) text += " " + without + (without === 1 ? " has no safe date." : " have no safe date.");
    answer.textContent = text;
  };

  // A header sorts, and sorts the other way when pressed again; what is not known
  // stays last.
  for (const head of heads) {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = head.textContent;
    head.textContent = "";
    head.append(button);
    button.addEventListener("click", () => {
      const up = head.getAttribute("aria-sort") !== "ascending", key = head.dataset.key, numeric = ["lat", "lon", "seasons"].includes(key);
      for (const h of heads) h.removeAttribute("aria-sort");
      head.setAttribute("aria-sort", up ? "ascending" : "descending");
      const sorted = rows.map((r, i) => { const v = value(r.row, key); return { r, i, v: dates.includes(key) && v !== "" ? offset(r, v) : v }; });
      sorted.sort((a, b) => {
        if (a.v === "" || b.v === "") return (a.v === "") - (b.v === "") || a.i - b.i;
        const order = numeric || dates.includes(key) ? a.v - b.v : a.v < b.v ? -1 : a.v > b.v ? 1 : 0;
        return (up ? order : -order) || a.i - b.i;
      });
      body.append(...sorted.map((s) => s.r.row));
    });
  }

  document.getElementById("map-section").hidden = false;
  form.hidden = false;
  form.addEventListener("submit", (e) => e.preventDefault());
  form.addEventListener("input", show);
  form.addEventListener("reset", () => setTimeout(show));
  addEventListener("resize", () => draw(shownNow));
  show();
})();
