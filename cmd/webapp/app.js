"use strict";
(() => {
  const $ = (id) => document.getElementById(id);
  const el = (tag, props = {}, ...children) => {
    const e = Object.assign(document.createElement(tag), props);
    e.append(...children);
    return e;
  };
  const state = $("app-state");
  if (!("WebAssembly" in window) || !("DecompressionStream" in window) || !("Worker" in window)) return;
  state.textContent = "Starting.";
  state.setAttribute("role", "status");

  const form = JSON.parse($("app-of").textContent);
  const question = (id) => form.questions.find((q) => q.id === id);
  const field = (flag) => form.fields.find((f) => f.flag === flag);
  const reads = form.reads.map((f) => f.flag);

  // What is given. Fields that were never touched have the question's example where the
  // demo station answers.
  const blank = () => ({ question: form.questions[0].id, inputs: {}, files: {}, readings: [], metric: false });
  let given = blank();
  let records = []; // names of the files of the station; none: the demo station
  // given.files has the names of other files, by the flag that they are the value of.
  const value = (flag, q = question(given.question)) =>
    given.inputs[flag] ?? (records.length === 0 && q.demo ? q.demo[flag] : undefined) ?? "";

  // The device keeps what is given, and the files. Where it does not let us, the page
  // says so once and works without.
  const store = (() => {
    const key = "swardcast", open = () => new Promise((done, fail) => {
      const r = indexedDB.open(key, 1);
      r.onupgradeneeded = () => r.result.createObjectStore("files");
      r.onsuccess = () => done(r.result);
      r.onerror = () => fail(r.error);
    });
    const inFiles = async (mode, act) => {
      const db = await open();
      try {
        return await new Promise((done, fail) => {
          const t = db.transaction("files", mode), r = act(t.objectStore("files"));
          t.oncomplete = () => done(r.result);
          t.onerror = t.onabort = () => fail(t.error);
        });
      } finally { db.close(); }
    };
    return {
      read: () => { try { return JSON.parse(localStorage.getItem(key)); } catch { return null; } },
      write: (g) => { try { localStorage.setItem(key, JSON.stringify(g)); return true; } catch { return false; } },
      files: async () => { try { return (await inFiles("readonly", (s) => s.get("station"))) || []; } catch { return []; } },
      keep: async (files) => { try { await inFiles("readwrite", (s) => s.put(files, "station")); return true; } catch { return false; } },
      own: async () => { try { return (await inFiles("readonly", (s) => s.get("own"))) || {}; } catch { return {}; } },
      keepOwn: async (files) => { try { await inFiles("readwrite", (s) => s.put(files, "own")); return true; } catch { return false; } },
      forget: async () => {
        try { localStorage.removeItem(key); } catch { /* nothing is kept */ }
        try { await inFiles("readwrite", (s) => s.clear()); } catch { /* nothing is kept */ }
      },
    };
  })();
  let complained = false;
  const notKept = () => {
    if (complained) return;
    complained = true;
    state.textContent = "This browser does not let the page keep anything on the device: next time, choose the file again.";
  };
  const keep = () => { if (!store.write(given)) notKept(); };

  // A link carries the question without the record, and without what is said of it.
  const link = () => {
    const p = new URLSearchParams({ question: given.question });
    for (const [flag, v] of Object.entries(given.inputs)) if (v !== "" && !reads.includes(flag) && v !== given.files[flag]) p.set(flag, v);
    if (given.metric) p.set("units", "metric");
    return location.href.split("#")[0] + "#" + p;
  };
  const fromLink = () => {
    if (location.hash.length < 2) return false;
    const p = new URLSearchParams(location.hash.slice(1));
    if (!question(p.get("question"))) return false;
    given.question = p.get("question");
    for (const f of form.fields) if (p.has(f.flag)) given.inputs[f.flag] = p.get(f.flag);
    if (p.has("units")) given.metric = p.get("units") === "metric";
    return true;
  };

  // The engine answers in a worker, one message after the other.
  const engine = (() => {
    const source = URL.createObjectURL(new Blob([$("app-worker").textContent], { type: "text/javascript" }));
    const worker = new Worker(source), waiting = new Map();
    let number = 0;
    const broken = (why) => { state.textContent = "The program does not run in this browser: " + why; for (const w of waiting.values()) w.fail(why); waiting.clear(); };
    worker.onerror = (e) => broken(e.message || "its worker did not start");
    worker.onmessage = ({ data }) => {
      if (data.stage) { state.textContent = data.stage + "."; return; }
      if (data.ended) { broken("it ended; load the page again"); return; }
      const w = waiting.get(data.number);
      waiting.delete(data.number);
      if (w) data.broken ? w.fail(data.broken) : w.done(data.out);
    };
    return (act, message = {}, move = []) => new Promise((done, fail) => {
      waiting.set(++number, { done, fail });
      worker.postMessage({ act, number, ...message }, move);
    });
  })();

  const request = (format, chart = "", of = given.question) => {
    const q = question(of), inputs = {};
    for (const flag of [...q.own, ...q.turf, ...q.more, ...q.probe]) inputs[flag] = value(flag, q);
    for (const flag of reads) inputs[flag] = given.inputs[flag] ?? "";
    return { question: of, inputs, readings: given.readings, records, metric: given.metric, format, chart };
  };
  const answerOf = async (r) => {
    const out = await engine("ask", { request: r });
    if (out.message) throw out.message;
    return { ...JSON.parse(out.reply), bytes: out.answer };
  };

  // While one question is answered the next waits, and only the last of those that wait
  // is asked.
  let asking = false, again = false, timer = 0;
  const busy = () => $("app-panel").setAttribute("aria-busy", "true");
  const soon = () => { busy(); clearTimeout(timer); timer = setTimeout(show, 60); };
  const show = async () => {
    if (asking) { again = true; return; }
    asking = true;
    busy();
    try {
      const lacks = question(given.question).needs.filter((flags) => flags.every((flag) => value(flag) === "")).map((flags) => flags[0]);
      if (lacks.length) lacking(lacks);
      else shown(await answerOf(request("fragment")));
    } catch (e) {
      fault({ message: String(e), hint: "", choices: null, field: "" });
    }
    asking = false;
    if (again) { again = false; return show(); }
    $("app-panel").removeAttribute("aria-busy");
  };

  const narrow = matchMedia("(max-width: 48rem)");
  const utf8 = new TextDecoder();
  const shown = (reply) => {
    messages(reply.messages);
    $("app-line").textContent = reply.line.replace(" --format fragment", "");
    if (reply.fault) { fault(reply.fault); return; }
    $("app-fault").hidden = true;
    const answer = $("app-answer"), open = new Map([...answer.querySelectorAll("details.part")].map((d) => [d.querySelector("h2")?.id, d.open]));
    const same = answer.dataset.question === given.question;
    answer.innerHTML = utf8.decode(reply.bytes);
    answer.classList.remove("stale");
    answer.dataset.question = given.question;
    answer.dataset.records = records.join("\n");
    for (const [i, d] of [...answer.querySelectorAll("details.part")].entries()) {
      const was = open.get(d.querySelector("h2")?.id);
      if (same && was !== undefined) d.open = was;
      else if (narrow.matches && (i > 0 || answer.querySelector(".lead"))) d.open = false;
    }
    const said = answer.querySelector(".answer").textContent;
    if ($("app-said").textContent !== said) $("app-said").textContent = said;
    $("app-keep").hidden = false;
    document.title = said.split(/[.:] /)[0] + " · swardcast";
  };
  const lacking = (flags) => {
    messages([]);
    for (const flag of flags) { const box = $("app-f-" + flag)?.closest("details"); if (box) box.open = true; }
    fault({ message: "Fill in: " + flags.map((f) => field(f).label.toLowerCase()).join(" and ") + ".", hint: "", choices: null, field: flags[0] }, true);
  };
  const messages = (list) => {
    $("app-messages").hidden = list.length === 0;
    $("app-messages").replaceChildren(...list.map((m) => el("li", { textContent: m })));
  };

  // A fault says what is wrong; what may settle it is there to be chosen.
  const fault = (f, plain = false) => {
    const box = $("app-fault");
    box.replaceChildren(el("p", { textContent: f.message }));
    const label = [...form.reads, ...form.fields].find((x) => x.flag === f.field);
    if (f.choices?.length) {
      const list = el("div", { className: "row" }, label ? label.label + ":" : "Choose:");
      for (const c of f.choices.slice(0, 60)) {
        list.append(el("button", { type: "button", textContent: c.says || c.value, onclick: () => { given.inputs[c.flag] = c.value; changed(); fields(); } }));
      }
      box.append(list);
    } else if (f.hint && f.field !== "columns") {
      box.append(el("p", { textContent: (label ? "Fill in " + label.label + ": " : "") + f.hint + "." }));
    }
    const set = (text) => { given.inputs[f.field] = text; changed(); fields(); };
    if (f.field === "columns") box.append(...columns(f.lines ?? [], set));
    else if (label && !f.choices?.length && !plain) {
      const input = el("input", { type: "text", value: given.inputs[f.field] ?? "", placeholder: given.metric ? label.metric : label.us });
      box.append(row(label.label, input, () => set(input.value)));
    }
    box.hidden = false;
    $("app-answer").classList.add("stale");
    if ($("app-answer").dataset.question !== given.question || $("app-answer").dataset.records !== records.join("\n")) { $("app-answer").replaceChildren(); $("app-keep").hidden = true; }
    for (const flag of [f.field]) $("app-f-" + flag)?.classList.add("lacking");
  };

  // A field within a fault, with its button.
  const row = (label, input, use) => {
    input.addEventListener("keydown", (e) => { if (e.key === "Enter") { e.preventDefault(); use(); } });
    return el("div", { className: "row" }, el("label", {}, label + " ", input), el("button", { type: "button", textContent: "Use it", onclick: use }));
  };
  // Which column holds what, chosen before the first lines of the file.
  const columns = (lines, take) => {
    const parts = [["date", "Date"], ["tmax", "Highest"], ["tmin", "Lowest"]].map(([key, label], i) => {
      const input = el("input", { type: "text", placeholder: String(i + 1), size: 8 });
      return { key, input, label: el("label", {}, label + " ", input) };
    });
    const use = () => take(parts.map((p) => p.key + "=" + (p.input.value.trim() || p.input.placeholder)).join(","));
    const out = [];
    if (lines.length) out.push(el("p", { textContent: "The file begins:" }), el("pre", { textContent: lines.join("\n"), tabIndex: 0 }));
    out.push(el("p", { textContent: "Which column is which? Names of the first line, or numbers from 1." }),
      el("div", { className: "row" }, ...parts.map((p) => p.label), el("button", { type: "button", textContent: "Use them", onclick: use })));
    for (const p of parts) p.input.addEventListener("keydown", (e) => { if (e.key === "Enter") { e.preventDefault(); use(); } });
    return out;
  };

  // The fields of a question.
  const control = (f) => {
    const v = value(f.flag), id = "app-f-" + f.flag;
    let input;
    if (f.kind === "choice") {
      input = el("select", { id }, ...f.options.map((o) => el("option", { value: o.value, textContent: o.says, selected: o.value === v })));
      if (v !== "" && !f.options.some((o) => o.value === v)) input.append(el("option", { value: v, textContent: v, selected: true }));
      if (f.file) input.append(el("option", { value: fromFile, textContent: "from a file" }));
    } else if (f.kind === "lines") {
      input = el("textarea", { id, value: v, rows: 2, placeholder: (given.metric ? f.metric : f.us) || "", spellcheck: false });
    } else if (f.kind === "file") {
      input = el("input", { id, type: "file" });
      input.addEventListener("change", () => attach(f.flag, input.files[0]));
      const l = el("label", { className: "wide-field" }, f.label + " (" + f.says + ")", input);
      if (v === "") return l;
      return el("p", { className: "wide-field row" }, f.label + ": " + v + " ", el("button", { type: "button", id, textContent: "Leave it out", onclick: () => detach(f.flag) }));
    } else if (f.kind === "switch") {
      input = el("input", { id, type: "checkbox", checked: v !== "" });
    } else {
      input = el("input", { id, type: f.kind === "day" ? "date" : f.kind === "percent" ? "number" : "text", value: v });
      if (f.kind === "percent") Object.assign(input, { min: 0, max: 200, step: "any" });
      input.placeholder = (given.metric ? f.metric : f.us) || "";
      input.autocomplete = "off";
    }
    const picker = el("input", { type: "file", id: id + "-file" }), pick = el("label", { className: "wide-field", hidden: true }, f.label + ": file ", picker);
    picker.addEventListener("change", () => attach(f.flag, picker.files[0]));
    input.addEventListener("input", () => {
      pick.hidden = input.value !== fromFile;
      if (input.value === fromFile) { picker.focus(); return; }
      given.inputs[f.flag] = f.kind === "switch" ? (input.checked ? "yes" : "") : input.value;
      input.classList.remove("lacking");
      changed();
    });
    const words = f.says ? f.label + " (" + f.says + ")" : f.label;
    const l = f.kind === "switch" ? el("label", { className: "tick" }, input, words) : el("label", {}, words, input);
    if (f.kind === "lines" || f.says && f.kind === "typed") l.className = "wide-field";
    const both = document.createDocumentFragment();
    both.append(l, ...(f.file ? [pick] : []));
    return both;
  };
  // A file that is the value of a field: forecast rows, species or soil readings.
  const fromFile = "\u0000file";
  const attach = async (flag, file) => {
    if (!file) return;
    let content;
    try { content = await file.arrayBuffer(); } catch {
      fault({ message: file.name + " changed or went away while it was read. Choose it again.", hint: "", choices: null, field: "" });
      return;
    }
    if (given.files[flag]) await engine("drop", { name: given.files[flag] });
    const out = await engine("put", { name: file.name, content });
    if (out.message) { fault({ message: out.message, hint: "", choices: null, field: "" }); return; }
    given.files[flag] = given.inputs[flag] = out.name;
    if (!(await store.keepOwn({ ...(await store.own()), [flag]: { name: out.name, content } }))) notKept();
    changed();
    fields();
  };
  const detach = (flag) => { given.inputs[flag] = ""; changed(); fields(); };
  const attached = async () => {
    const kept = await store.own();
    for (const flag of Object.keys(given.files)) {
      const out = kept[flag] ? await engine("put", kept[flag]) : {};
      if (given.inputs[flag] === given.files[flag]) given.inputs[flag] = out.name ?? "";
      if (out.name) given.files[flag] = out.name; else delete given.files[flag];
    }
  };
  const fill = (box, flags) => { $(box).replaceChildren(...flags.map((flag) => control(field(flag)))); };
  const fields = () => {
    const q = question(given.question);
    fill("app-own", q.own);
    fill("app-turf-fields", q.turf);
    fill("app-more-fields", q.more);
    fill("app-probe-fields", q.probe);
    $("app-reads").replaceChildren(...form.reads.map(control));
    $("app-turf").hidden = !q.turf.length;
    $("app-more").hidden = !q.more.length;
    $("app-probe").hidden = !q.readings;
    $("app-weather").hidden = q.noRecord;
    $("app-reading").hidden = records.length === 0;
    probe();
    summaries();
    saves(q);
    $("app-panel").setAttribute("aria-labelledby", "app-t-" + q.id);
    for (const b of $("app-tabs").children) {
      const on = b.id === "app-t-" + q.id;
      b.setAttribute("aria-selected", on);
      b.tabIndex = on ? 0 : -1;
    }
    $("app-pick").value = q.id;
    $(given.metric ? "app-si" : "app-us").checked = true;
  };
  const saysOf = (flag) => {
    const f = field(flag), v = value(flag);
    if (f.kind === "choice") return f.options.find((o) => o.value === v)?.says ?? v;
    return v;
  };
  const summaries = () => {
    const q = question(given.question);
    $("app-weather-sum").textContent = records.length ? records.join(" and ") : "demo station (invented)";
    $("app-turf-sum").textContent = q.turf.filter((f) => ["species", "host", "use", "area"].includes(f)).map((f) => (f === "host" ? "into " : "") + saysOf(f)).filter((s) => s !== "").join(", ");
    const more = q.more.filter((f) => value(f) !== "").length, n = given.readings.filter((r) => r.date && r.temp).length;
    $("app-more-sum").textContent = more ? more + " set" : "";
    $("app-probe-sum").textContent = value("probe") || (n ? String(n) : "none");
  };
  const changed = () => { keep(); summaries(); soon(); };

  // Soil readings, a row each.
  const probe = () => {
    $("app-probe-rows").replaceChildren(...given.readings.map((r, i) => {
      const input = (key, label, props) => {
        const e = el("input", { value: r[key], ...props });
        e.addEventListener("input", () => { r[key] = e.value; changed(); });
        return el("label", {}, label, e);
      };
      const depth = el("select", {}, ...(given.metric ? [["10", "10 cm"], ["5", "5 cm"]] : [["4", "4 in."], ["2", "2 in."]]).map(([v, t]) => el("option", { value: v, textContent: t, selected: r.depth === v })));
      depth.addEventListener("input", () => { r.depth = depth.value; changed(); });
      return el("div", { className: "reading" }, input("date", "Day", { type: "date" }), el("label", {}, "Depth", depth),
        input("temp", given.metric ? "°C" : "°F", { type: "number", step: "any" }), input("time", "Time", { type: "time" }));
    }));
  };
  $("app-probe-add").addEventListener("click", () => {
    given.readings.push({ date: "", depth: given.metric ? "10" : "4", temp: "", time: "" });
    probe();
    $("app-probe-rows").lastChild.querySelector("input").focus();
  });

  // What can be kept: files of the answer, and a link to the question.
  const names = { html: "Page to print", ics: "Calendar", csv: "Table (CSV)", json: "Figures (JSON)", text: "Text", svg: "Picture" };
  const types = { html: "text/html", ics: "text/calendar", csv: "text/csv", json: "application/json", text: "text/plain", svg: "image/svg+xml" };
  const save = (name, type, bytes) => {
    const url = URL.createObjectURL(new Blob([bytes], { type }));
    const a = el("a", { href: url, download: name });
    document.body.append(a);
    a.click();
    a.remove();
    setTimeout(() => URL.revokeObjectURL(url), 60000);
  };
  const saves = (q) => {
    const row = $("app-saves");
    row.replaceChildren("Keep it: ");
    const add = (format, label, chart = "") => row.append(el("button", { type: "button", textContent: label, onclick: async () => {
      const reply = await answerOf(request(format, chart));
      if (reply.fault) { fault(reply.fault); return; }
      const ending = format === "text" ? "txt" : format;
      save([q.id, chart].filter(Boolean).join("-") + "." + ending, types[format], reply.bytes);
    } }));
    for (const format of ["html", "ics", "csv", "json", "text"]) if (q.forms.includes(format)) add(format, names[format]);
    for (const chart of q.charts) add("svg", "Picture: " + chart, chart);
    row.append(el("button", { type: "button", textContent: "Print", onclick: () => print() }));
    row.append(el("button", { type: "button", textContent: "Copy a link to the question", onclick: async (e) => {
      history.replaceState(null, "", link());
      try { await navigator.clipboard.writeText(link()); e.target.textContent = "Link copied"; } catch { e.target.textContent = "The link is in the address bar"; }
    } }));
  };

  // Files of the station.
  const take = async (list) => {
    const files = [...list];
    if (files.length === 0) return;
    const size = files.reduce((n, f) => n + f.size, 0), most = form.maxBytes;
    if (size > most) {
      fault({ message: "The file has " + Math.ceil(size / 1048576) + " MB; the app holds " + most / 1048576 + " MB. A record of one station has a few: keep the rows of one station.", hint: "", choices: null, field: "" });
      return;
    }
    state.textContent = "Reading " + files.map((f) => f.name).join(" and ") + ".";
    const read = [];
    for (const f of files) {
      try {
        read.push({ name: f.name, content: await f.arrayBuffer() });
      } catch {
        state.textContent = "";
        fault({ message: f.name + " changed or went away while it was read. Choose it again.", hint: "", choices: null, field: "" });
        return;
      }
    }
    for (const flag of reads) delete given.inputs[flag];
    if (await put(read)) {
      busy();
      state.textContent = "";
      if (!(await store.keep(read))) notKept();
      keep();
    }
    fields();
    await show();
    understood();
  };
  const put = async (files) => {
    await station();
    for (const f of files) {
      const out = await engine("put", { name: f.name, content: f.content });
      if (out.message) { await station(); state.textContent = ""; fault({ message: out.message, hint: "", choices: null, field: "" }); return false; }
      records.push(out.name);
    }
    return true;
  };
  // What was understood of the file, in the words of the record's own answer.
  const understood = async () => {
    const reply = await answerOf(request("fragment", "", "record"));
    const box = el("div");
    if (!reply.fault) box.innerHTML = utf8.decode(reply.bytes);
    $("app-read").textContent = box.querySelector(".answer")?.textContent ?? "";
  };
  $("app-file").addEventListener("change", (e) => { take(e.target.files); e.target.value = ""; });
  for (const type of ["dragover", "dragenter"]) addEventListener(type, (e) => { e.preventDefault(); document.body.classList.add("over"); });
  for (const type of ["dragleave", "drop"]) addEventListener(type, () => document.body.classList.remove("over"));
  addEventListener("drop", (e) => { e.preventDefault(); take(e.dataTransfer.files); });
  const station = async () => { for (const name of records) await engine("drop", { name }); records = []; };
  $("app-demo").addEventListener("click", async () => { busy(); await station(); for (const flag of reads) delete given.inputs[flag]; await store.keep([]); keep(); fields(); await show(); understood(); });
  $("app-forget").addEventListener("click", async () => {
    busy();
    await engine("forget");
    records = [];
    given = blank();
    await store.forget();
    history.replaceState(null, "", location.href.split("#")[0]);
    fields();
    await show();
    understood();
    state.textContent = "Forgotten: nothing of yours is on this device.";
  });

  // Stations to be found, where the page has their list. A link leads to the file of one;
  // the page itself asks nothing.
  let seeking = 0;
  const seek = () => {
    clearTimeout(seeking);
    seeking = setTimeout(async () => {
      const out = await engine("find", { text: $("app-sought").value, metric: given.metric });
      const list = JSON.parse(out.stations);
      $("app-found-sum").textContent = $("app-sought").value.trim() === "" ? "" : list.length ? "The one that suits best stands first. Save its file, then choose it here." : "No station was found.";
      $("app-found").replaceChildren(...list.map((s) => el("li", {}, el("a", { href: form.record.replace("STATION", s.id), textContent: s.name, target: "_blank", rel: "noopener noreferrer" }),
        " " + [s.away && s.away + " away", s.years, s.why].filter(Boolean).join("; "))));
    }, 200);
  };
  const stations = async () => {
    if (!form.record) return;
    const list = $("app-stations").textContent;
    $("app-stations").remove();
    const out = await engine("stations", { list });
    if (out.message) return;
    $("app-near").hidden = false;
    $("app-sought").addEventListener("input", seek);
  };

  // A note of a chart shows where it is pointed at; where it is touched it stands beneath.
  $("app-answer").addEventListener("click", (e) => {
    const note = e.target.closest?.(".note"), figure = note?.closest("figure");
    if (!figure) return;
    const beneath = figure.querySelector(".touched") ?? figure.appendChild(el("p", { className: "touched" }));
    beneath.setAttribute("role", "status");
    beneath.textContent = note.querySelector("title").textContent;
  });

  // Paper has what is folded for want of room.
  let folded = [];
  addEventListener("beforeprint", () => {
    folded = [...$("app-answer").querySelectorAll("details.part:not(.folded):not([open])")];
    for (const d of folded) d.open = true;
  });
  addEventListener("afterprint", () => { for (const d of folded) d.open = false; });

  // Questions: tabs where there is room, a list where there is not.
  const go = (id) => { given.question = id; keep(); fields(); show(); };
  const list = form.questions;
  $("app-tabs").append(...list.map((q) => {
    const b = el("button", { type: "button", id: "app-t-" + q.id, textContent: q.title, className: q.also ? "also" : "", onclick: () => go(q.id) });
    b.setAttribute("role", "tab");
    b.setAttribute("aria-controls", "app-panel");
    return b;
  }));
  $("app-tabs").addEventListener("keydown", (e) => {
    const at = list.findIndex((q) => q.id === given.question), step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[e.key];
    const to = step ? (at + step + list.length) % list.length : e.key === "Home" ? 0 : e.key === "End" ? list.length - 1 : -1;
    if (to < 0) return;
    e.preventDefault();
    go(list[to].id);
    $("app-t-" + list[to].id).focus();
  });
  $("app-pick").append(...list.map((q) => el("option", { value: q.id, textContent: q.title })));
  $("app-pick").addEventListener("change", (e) => go(e.target.value));
  for (const id of ["app-us", "app-si"]) $(id).addEventListener("change", () => {
    given.metric = $("app-si").checked;
    for (const r of given.readings) r.depth = given.metric ? (r.depth === "2" ? "5" : "10") : (r.depth === "5" ? "2" : "4");
    keep(); fields(); show();
  });
  addEventListener("hashchange", () => { if (fromLink()) { keep(); fields(); show(); } });

  (async () => {
    given = { ...blank(), ...store.read() };
    if (!question(given.question)) given.question = list[0].id;
    fromLink();
    if (narrow.matches) for (const id of ["app-weather", "app-turf"]) $(id).open = false;
    try {
      const text = $("app-engine").textContent;
      $("app-engine").remove();
      await engine("start", { engine: text });
      const kept = await store.files();
      if (kept.length) await put(kept);
      await attached();
      state.textContent = "";
      $("app").hidden = false;
      fields();
      await show();
      document.body.dataset.ready = "";
      await understood();
      await stations();
    } catch (e) {
      state.textContent = "The program does not run in this browser: " + e;
    }
  })();
})();
