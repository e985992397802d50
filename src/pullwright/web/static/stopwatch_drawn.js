// What stands under the buttons of the stopwatch: what waits to be sent, the elements of this cycle, the figures, the readings.
"use strict";

const STOPWATCH_MARK = "M11.6 7a3.4 3.4 0 1 1-6.8 0a3.4 3.4 0 1 1 6.8 0M4.8 7h-4";
const STOPWATCH_SHOWN = 12;

function stopwatchPart(tag, words, more) {
  const part = Object.assign(document.createElement(tag), more || {});
  part.textContent = words;
  return part;
}

function stopwatchMark(words) {
  const look = stopwatchPart("span", "", { className: "look" }), space = "http://www.w3.org/2000/svg";
  const svg = document.createElementNS(space, "svg"), path = document.createElementNS(space, "path");
  for (const [name, value] of Object.entries({ class: "mark", "aria-hidden": "true", width: "16", height: "14", viewBox: "0 0 16 14" })) svg.setAttribute(name, value);
  path.setAttribute("d", STOPWATCH_MARK);
  svg.append(path);
  look.append(svg, words);
  return look;
}

// Steps of 5, as is common practice; 100 is standard performance. `now` is one more that stands there already.
function fillStopwatchRatings(field, now) {
  const choices = [...new Set([...Array.from({ length: 21 }, (_, at) => 50 + 5 * at), ...(now ? [now] : [])])].sort((a, b) => a - b);
  for (const one of choices) field.append(new Option(one === 100 ? "100, standard" : String(one), String(one), false, one === now));
}

function stopwatchMany(count, one, several) { return count + " " + (count === 1 ? one : several); }

function drawStopwatchState(watch) {
  const { kept } = watch, place = watch.at("waiting");
  const waiting = kept.waiting(), readings = waiting.filter((note) => note.kind === "reading").length, refused = kept.refused();
  const what = readings ? stopwatchMany(readings, "reading", "readings") : stopwatchMany(waiting.length, "change", "changes");
  const one = (readings || waiting.length) === 1, lines = [];
  if (kept.unsaved && waiting.length) {
    lines.push(["Look here:", "This phone has no room left, or keeps nothing for this page. " + what + (one ? " is" : " are") + " only on this page: leave it open until they are sent."]);
  } else if (waiting.length) {
    const why = kept.trouble && kept.trouble !== "away" ? " " + kept.trouble : "";
    lines.push(["", what + (one ? " waits to be sent; it is" : " wait to be sent; they are") + " safe on this phone." + why]);
  } else if (watch.read.length) {
    lines.push(["", watch.read.length === 1 ? "The one reading is kept at the workbench." : "All " + watch.read.length + " readings are kept at the workbench."]);
  }
  for (const note of refused) lines.push(["Not taken:", stopwatchNoteWords(watch, note) + ": " + (note.why || "").replace(/\.?$/, ".") + " It stays on this phone."]);
  place.replaceChildren(...lines.map(([mark, words]) => {
    const line = stopwatchPart("p", "");
    if (mark) line.append(stopwatchMark(mark), " ");
    line.append(words);
    return line;
  }));
}

function stopwatchNoteWords(watch, note) {
  if (note.kind === "reading") return watch.called(note.body.element) + ", cycle " + note.body.cycle + ", " + note.body.seconds + "\u00a0s";
  return { mark: "a mark on a reading", rating: "the rating of the study", undo: "taking something back" }[note.kind] || note.kind;
}

function drawStopwatchCycle(watch) {
  const { run, elements } = watch;
  const here = watch.read.filter((one) => one.phone === run.phone && one.cycle === run.cycle);
  watch.at("elements").replaceChildren(...elements.map((element, at) => {
    const line = stopwatchPart("li", ""), read = here.filter((one) => one.element === at);
    const runs = !run.foreign && run.phase !== "idle" && run.element === at;
    if (runs) line.setAttribute("aria-current", "step");
    line.append(stopwatchPart("span", element.what, { className: "sw-name" }));
    const said = read.length ? read.map((one) => one.seconds.toFixed(1) + "\u00a0s").join(" + ") : runs ? "runs now" : "";
    line.append(stopwatchPart("span", said, { className: "sw-read" }));
    if (!runs) {
      const button = stopwatchPart("button", run.phase === "idle" ? "Begin here" : "It is this", { type: "button", className: "quiet", disabled: run.foreign || !watch.active });
      button.dataset.of = "element " + at;
      button.append(stopwatchPart("span", ": " + element.what, { className: "unseen" }));
      button.addEventListener("click", (event) => {
        watch.step(StopwatchRun.choose(watch.run, at), StopwatchRun.moment(event), (watch.run.phase === "idle" ? "It begins with " : "What runs is ") + element.what + ".");
        watch.at("lap").focus({ preventScroll: true });
      });
      line.append(button);
    }
    return line;
  }));
}

function drawStopwatchSoFar(watch) {
  const { per, cycle } = StopwatchSums.soFar(watch.read, watch.elements), rows = [];
  const number = (value, digits) => value === null ? "" : value.toFixed(digits);
  const mean = (value) => value === null ? "" : number(value, value < 100 ? 1 : 0) + "\u00a0s";
  const more = (one) => one.worth === null ? "" : one.worth === 0 ? (one.half <= 0.05 ? "enough" : "no more help") : String(one.worth);
  per.forEach((one, at) => rows.push([watch.elements[at].what, one]));
  rows.push(["a whole cycle", cycle]);
  watch.at("so-far").replaceChildren(...rows.map(([what, one]) => {
    const row = stopwatchPart("tr", "");
    row.append(stopwatchPart("th", what, { scope: "row" }));
    for (const cell of [String(one.n), mean(one.mean), number(one.cv, 2), more(one)]) row.append(stopwatchPart("td", cell));
    return row;
  }));
  watch.at("enough").textContent = cycle.n < 2 ? "After two whole cycles it says here how much they vary."
    : stopwatchMany(cycle.n, "cycle", "cycles") + ": mean " + mean(cycle.mean) + ", cv " + number(cycle.cv, 2) + ", held to ±" + (100 * cycle.half).toFixed(1) + "\u00a0%. "
      + (cycle.worth ? stopwatchMany(cycle.worth, "more is worth taking.", "more are worth taking.") : cycle.half <= 0.05 ? "That is enough." : "More would help little.");
}

function drawStopwatchReadings(watch) {
  const late = watch.read.slice().sort((a, b) => b.taken - a.taken), all = watch.showAll;
  const shown = all ? late : late.slice(0, STOPWATCH_SHOWN);
  const states = watch.kept.notes;
  watch.at("readings").replaceChildren(...shown.map((one) => {
    const line = stopwatchPart("li", "");
    const said = [one.element < 0 ? "foreign" : "", one.aside && "set aside: " + one.aside, one.rating && "rated " + Math.round(one.rating * 100),
      (states.get(one.uid) || {}).state === "waiting" ? "waits to be sent" : ""].filter(Boolean).join(", ");
    const text = stopwatchPart("span", "", { className: "sw-reading" + (one.aside || one.element < 0 ? " sw-aside" : "") });
    text.append(stopwatchPart("span", "Cycle " + one.cycle + ", " + watch.called(one.element) + ": " + one.seconds.toFixed(1) + "\u00a0s"));
    if (said) text.append(stopwatchPart("span", said, { className: "because" }));
    if (one.note) {
      const note = stopwatchPart("span", "", { className: "because" });
      note.append(/slept|closed and opened|set back/.test(one.note) ? stopwatchMark("Cut:") : "", " " + one.note);
      text.append(note);
    }
    const button = stopwatchPart("button", "Change", { type: "button", className: "quiet", disabled: !watch.active });
    button.dataset.of = one.uid;
    button.append(stopwatchPart("span", " cycle " + one.cycle + ", " + watch.called(one.element), { className: "unseen" }));
    button.addEventListener("click", () => watch.change.open(one));
    line.append(text, button);
    return line;
  }));
  const more = watch.at("more");
  more.hidden = all || late.length <= STOPWATCH_SHOWN;
  more.textContent = "Show all " + late.length + " readings";
  more.onclick = () => { watch.showAll = true; watch.draw(); };
}

// One reading is changed: it counts, is set aside with a reason, or is foreign; it may have a rating of its own.
class StopwatchChange {
  constructor(watch) {
    this.watch = watch;
    this.box = watch.at("change");
    const form = this.box.querySelector("form");
    this.form = form.elements;
    fillStopwatchRatings(this.form.rating);
    form.addEventListener("submit", (event) => { if (event.submitter && event.submitter.value === "keep" && !this.keep()) event.preventDefault(); });
    this.form.stands.addEventListener("change", () => this.ask());
  }

  open(reading) {
    this.reading = reading;
    this.first = ((this.watch.kept.notes.get(reading.uid) || reading).body || reading).element;
    this.box.querySelector("h2").textContent = "Cycle " + reading.cycle + ", " + this.watch.called(reading.element) + ": " + reading.seconds.toFixed(1) + "\u00a0s";
    this.form.stands.value = reading.aside ? "aside" : reading.element < 0 ? "foreign" : "counts";
    this.form.reason.value = reading.aside || "";
    this.form.rating.value = reading.rating ? String(Math.round(reading.rating * 100)) : "";
    this.form.stands.querySelector("[value=counts]").disabled = this.first < 0;
    this.ask();
    this.box.showModal();
  }

  ask() {
    this.box.querySelector("[data-reason]").hidden = this.form.stands.value !== "aside";
    this.box.querySelector("[data-missing]").hidden = true;
  }

  keep() {
    const stands = this.form.stands.value, reason = this.form.reason.value.trim(), one = this.reading;
    if (stands === "aside" && !reason) {
      this.box.querySelector("[data-missing]").hidden = false;
      this.form.reason.focus();
      return false;
    }
    const body = { of: one.uid }, rating = this.form.rating.value ? Number(this.form.rating.value) / 100 : null;
    if (stands === "aside" && reason !== one.aside) body.aside = reason;
    if (stands !== "aside" && one.aside) body.aside = "";
    if (stands === "foreign" && one.element >= 0) body.element = -1;
    if (stands !== "foreign" && one.element < 0 && this.first >= 0) body.element = this.first;
    if (rating !== (one.rating || null)) body.rating = rating;
    if (Object.keys(body).length > 1) this.watch.note("mark", body, "Changed: cycle " + one.cycle + ", " + this.watch.called(one.element) + ".");
    return true;
  }
}
