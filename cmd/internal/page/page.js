"use strict";
(() => {
  const numbers = JSON.parse(document.getElementById("numbers").textContent);
  const form = document.getElementById("ask"), pick = document.getElementById("ask-species"), date = document.getElementById("ask-date");
  const answer = document.getElementById("answer"), asked = answer.innerHTML;
  const day = 86400000, first = Date.parse(numbers.first), from = Date.parse(numbers.from), count = numbers.species[0].chance.length;
  const months = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
  const iso = (t) => new Date(t).toISOString().slice(0, 10);
  const short = (t) => { const d = new Date(t); return d.getUTCDate() + " " + months[d.getUTCMonth()]; };
  const long = (t) => short(t) + " " + new Date(t).getUTCFullYear();
  const whole = (share) => Math.round(100 * share);
  const percent = (share) => share > 0.995 ? ">99 %" : share < 0.005 ? "<1 %" : whole(share) + " %";

  // One stage: "up after about 6 days, on 18 Oct".
  const stage = (days, word, sown) => days === null ? null : days < 0 ? word + " not before the season is over"
    : word + " after about " + days + (days === 1 ? " day" : " days") + ", on " + short(sown + days * day);

  const sentence = (s, i) => {
    const sown = first + i * day;
    const told = (numbers.what ? numbers.what + " " : "") + s.name + " sown on " + long(sown) + " is " + numbers.stage + " before the cutoff with a chance of " + percent(s.chance[i]) +
      " (" + whole(s.low[i]) + "–" + whole(s.high[i]) + ").";
    const steps = [stage(s.up[i], "up", sown), stage(s.mow[i], "first cut", sown), stage(s.till[i], "established", sown)].filter((x) => x !== null).join("; ");
    let text = told + (steps ? " " + steps + "." : "");
    if (s.opens && sown < Date.parse(s.opens)) text += " That is before sowing opens, about " + short(Date.parse(s.opens)) + ": the host or the heat may crowd the seedlings.";
    if (s.cutoff && sown > Date.parse(s.cutoff)) text += " That is past the cutoff.";
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

  const show = () => {
    const s = numbers.species.find((x) => x.id === pick.value), chosen = date.value !== numbers.sow || s !== numbers.species[0];
    document.body.classList.toggle("choosing", chosen);
    for (const f of document.querySelectorAll("figure[data-species]")) f.hidden = f.dataset.species !== s.id;
    const t = Date.parse(date.value), i = Math.round((t - first) / day);
    if (!chosen) {
      answer.innerHTML = asked;
      line(NaN);
    } else if (date.value !== "" && t >= from && i < count) {
      if (numbers.keep) { answer.innerHTML = asked; answer.append(" " + sentence(s, i)); } else answer.textContent = sentence(s, i);
      line(t);
    } else if (date.value !== "" && !Number.isNaN(t)) {
      answer.textContent = "This page knows sow dates from " + long(from) + " to " + long(first + (count - 1) * day) + ".";
      line(NaN);
    } else {
      answer.textContent = s.answer;
      line(NaN);
    }
  };

  date.min = iso(from);
  date.max = iso(first + (count - 1) * day);
  form.hidden = false;
  form.addEventListener("submit", (e) => e.preventDefault());
  form.addEventListener("input", show);
  form.addEventListener("reset", () => setTimeout(() => { pick.selectedIndex = 0; start(); }));

  const start = () => { date.value = numbers.sow; show(); };
  pick.selectedIndex = 0;
  start();
})();
