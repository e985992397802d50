// The stopwatch on the page: buttons, keys, the running time, and what the readings say so far.
"use strict";

class Stopwatch {
  constructor(box) {
    this.box = box;
    this.told = JSON.parse(box.dataset.told);
    this.told.seal = document.querySelector("input[name=seal]").value;
    this.kept = new StopwatchKept(this.told, () => this.draw());
    this.active = true;
  }

  at(name) { return this.box.querySelector("[data-" + name + "]"); }

  async begin() {
    await this.kept.open();
    this.run = this.kept.run || StopwatchRun.start(newStopwatchName().slice(0, 12));
    this.box.hidden = false;
    fillStopwatchRatings(this.at("rating"), Math.round(this.told.rating * 100));
    fillStopwatchRatings(this.at("cycle-rating"));
    this.at("who").value = this.run.who || this.told.who;
    this.press("lap", (now) => this.lap(now));
    this.press("foreign", (now) => this.step(StopwatchRun.foreign(this.run, now, this.name()), now));
    this.press("pause", (now) => this.step(StopwatchRun.pause(this.run, now), now));
    this.press("undo", (now) => this.undo(now));
    this.press("finish", (now) => this.finish(now));
    for (const name of ["keydown", "keyup"]) document.addEventListener(name, (event) => this.key(event));
    this.at("rating").addEventListener("change", (event) => this.note("rating", { rating: Number(event.target.value) / 100 }, "The study is rated " + event.target.value + "."));
    this.at("cycle-rating").addEventListener("change", (event) => this.rateCycle(event.target));
    this.at("who").addEventListener("change", (event) => { this.run = { ...this.run, who: event.target.value.trim() }; this.kept.keep(this.run, []); });
    document.addEventListener("visibilitychange", () => { if (!document.hidden) { this.stayAwake(); this.draw(); } });
    this.change = new StopwatchChange(this);
    this.alone();
    this.draw();
    this.at("lap").focus({ preventScroll: true });
    setInterval(() => this.tick(), 100);
    this.kept.send();
    this.at("offline").textContent = await this.kept.keepPage()
      ? "This page opens without a network on this phone, too."
      : "Keep this page open while there is no network: the address is not secure (https), so the phone could not open it again. Readings are safe on the phone all the same.";
    this.box.dataset.ready = "yes";
  }

  // A tap counts from the moment at which the finger came down; the click that follows it is left out.
  press(name, act) {
    const button = this.at(name);
    let down = false;
    button.addEventListener("pointerdown", (event) => {
      if (event.button || !event.isPrimary) return;
      down = true;
      if (name === "lap") act(StopwatchRun.moment(event));
    });
    // A finger that slides off makes no click; the next one is taken again.
    for (const over of ["pointerup", "pointercancel"]) window.addEventListener(over, () => setTimeout(() => { down = false; }, 50));
    button.addEventListener("click", (event) => {
      const taken = down && name === "lap";
      down = false;
      if (!taken) act(StopwatchRun.moment(event));
      if (name !== "lap") this.at("lap").focus({ preventScroll: true });
    });
  }

  // Space and enter do what the big button does, wherever nothing else is chosen that takes them.
  key(event) {
    if (event.key !== " " && event.key !== "Enter" || event.altKey || event.ctrlKey || event.metaKey) return;
    const on = document.activeElement;
    if (on && on !== document.body && on !== this.at("lap") && on.id !== "page") return;
    event.preventDefault();
    if (event.type === "keydown" && !event.repeat) this.lap(StopwatchRun.moment(event));
  }

  name() { return (this.next = this.next || newStopwatchName()); }

  lap(now) {
    const last = this.kept.all().reduce((most, note) => Math.max(most, note.kind === "reading" ? note.body.cycle : 0), 0);
    this.step(StopwatchRun.lap(this.run, this.elements, now, this.name(), last), now);
    this.stayAwake();
  }

  undo(now) {
    if (!this.run.past.length) { this.say("There is nothing to undo."); return; }
    this.step(StopwatchRun.undo(this.run), now, "Taken back, as if the last tap had not been.");
  }

  finish(now) {
    this.step(StopwatchRun.finish(this.run), now, "Finished. What was running is not kept; everything before it is.");
    if (this.lock) { this.lock.release().catch(() => null); this.lock = null; }
  }

  // A step of the stopwatch, and the note that it makes, go into the store together.
  step({ state, note, cycleDone }, now, words) {
    if (!this.active || state === this.run) return;
    this.run = state;
    const notes = note ? [this.made(note, now)] : [];
    if (note && note.kind === "reading") this.say(words || this.called(note.body.element) + ", cycle " + note.body.cycle + ": " + note.body.seconds.toFixed(1) + "\u00a0s" + (note.body.note ? " (" + note.body.note + ")" : ""));
    else if (words) this.say(words);
    const kept = this.kept.keep(this.run, notes);
    if (cycleDone || (note && note.kind === "undo") || state.phase === "idle") kept.then(() => this.kept.send());
    else if (note) this.soon();
    this.draw();
  }

  made({ kind, body }, now) {
    // Never twice the same moment on one phone: notes are read in the order of their moments.
    const last = this.kept.all().reduce((most, one) => Math.max(most, one.state === "waiting" || one.body.phone === this.run.phone ? one.taken : 0), 0);
    const uid = this.name();
    this.next = "";
    return { uid, kind, body, who: this.at("who").value.trim() || this.told.who, taken: Math.max(Math.round(now.wall), last < now.wall + 86400000 ? last + 1 : 0) };
  }

  soon() {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.kept.send(), 3000);
  }

  note(kind, body, words) {
    if (!this.active) return;
    this.kept.keep(this.run, [this.made({ kind, body }, StopwatchRun.moment())]).then(() => this.kept.send());
    this.say(words);
  }

  // The rating of the last whole cycle: a mark on each of its readings by hand or on foot.
  rateCycle(choice) {
    const cycle = this.lastCycle(), rating = choice.value ? Number(choice.value) / 100 : null;
    const made = this.read.filter((one) => one.phone === this.run.phone && one.cycle === cycle && one.element >= 0 && (this.elements[one.element] || {}).work !== "machine")
      .map((one) => this.made({ kind: "mark", body: { of: one.uid, rating } }, StopwatchRun.moment()));
    made.forEach((note, at) => { note.taken += at; });
    if (made.length && this.active) this.kept.keep(this.run, made).then(() => this.kept.send());
    this.say("Cycle " + cycle + (rating === null ? " is rated as the study." : " is rated " + choice.value + "."));
  }

  lastCycle() {
    const own = this.read.filter((one) => one.phone === this.run.phone && (this.run.phase === "idle" || one.cycle < this.run.cycle));
    return own.reduce((most, one) => Math.max(most, one.cycle), 0);
  }

  // The page stays lit while something is timed, where the phone allows it.
  async stayAwake() {
    if (!navigator.wakeLock || this.run.phase !== "running" || document.hidden || (this.lock && !this.lock.released)) return;
    try { this.lock = await navigator.wakeLock.request("screen"); } catch { this.lock = null; }
  }

  // Two windows of one phone would stop each other's clock: the one that was opened last is told, and only watches.
  alone() {
    if (!window.BroadcastChannel) return;
    const channel = new BroadcastChannel("pullwright-stopwatch " + this.told.id);
    channel.onmessage = ({ data }) => {
      if (data === "anybody" && this.active) channel.postMessage("here");
      if (data === "here" && this.asking) this.rest("This stopwatch is open in another window of this phone. Use that one, or reload this page once it is closed.");
    };
    this.asking = true;
    channel.postMessage("anybody");
    setTimeout(() => { this.asking = false; }, 1500);
  }

  rest(words) {
    this.active = false;
    for (const button of this.box.querySelectorAll("button, select, input")) button.disabled = true;
    this.say(words);
  }

  say(words) { this.at("said").textContent = words; }

  get elements() {
    const newer = StopwatchSums.last(this.kept.all(), "elements");
    return newer ? newer.body.elements : this.told.elements;
  }

  called(element) { return element < 0 ? "foreign element" : (this.elements[element] || { what: "element " + (element + 1) }).what; }

  tick() {
    if (document.hidden) return;
    const seconds = StopwatchRun.elapsed(this.run, StopwatchRun.moment()) / 1000;
    const words = seconds < 60 ? seconds.toFixed(1) : Math.floor(seconds / 60) + ":" + (seconds % 60).toFixed(1).padStart(4, "0");
    if (this.at("time").textContent !== words) this.at("time").textContent = words;
  }

  draw() {
    const { run, elements } = this, idle = run.phase === "idle", paused = run.phase === "paused";
    this.read = StopwatchSums.readings(this.kept.all());
    const what = this.called(run.element);
    this.box.dataset.phase = run.foreign ? "foreign" : run.phase;
    this.at("cycle").textContent = idle ? "Nothing is running" : "Cycle " + run.cycle + (run.foreign ? ", foreign element" : ", " + what) + (paused ? ", paused" : "");
    this.at("verb").textContent = idle ? "begin with" : paused ? "go on with" : run.foreign ? "foreign ends, back to" : "done with";
    this.at("what").textContent = run.foreign && paused ? "the foreign element" : idle && !run.chosen ? this.called(StopwatchRun.lap(run, elements, StopwatchRun.moment(), "", run.cycle).state.element) : what;
    this.at("foreign").textContent = run.foreign ? "Foreign ends" : "Foreign";
    this.at("pause").textContent = paused ? "Go on" : "Pause";
    for (const name of ["foreign", "pause", "finish"]) this.at(name).disabled = !this.active || idle;
    this.at("undo").disabled = !this.active || !run.past.length;
    this.tick();
    const on = document.activeElement ? document.activeElement.dataset.of : "";
    drawStopwatchState(this);
    drawStopwatchCycle(this);
    drawStopwatchSoFar(this);
    drawStopwatchReadings(this);
    // Lists are drawn anew; whoever stood on one of their buttons goes on standing there.
    const again = on && document.activeElement === document.body ? this.box.querySelector(`[data-of="${on}"]`) : null;
    if (again) again.focus({ preventScroll: true });
    const rated = StopwatchSums.last(this.kept.all(), "rating");
    if (rated && document.activeElement !== this.at("rating")) this.at("rating").value = String(Math.round(rated.body.rating * (rated.body.rating > 3 ? 1 : 100)));
    const last = this.lastCycle();
    this.at("cycle-rating-field").hidden = !last;
    this.at("cycle-rating-words").textContent = "Rating of cycle " + last;
    if (this.at("cycle-rating").dataset.cycle !== String(last)) {
      this.at("cycle-rating").dataset.cycle = String(last);
      this.at("cycle-rating").value = "";
    }
  }
}

function newStopwatchName() {
  return Array.from(crypto.getRandomValues(new Uint8Array(12)), (byte) => byte.toString(16).padStart(2, "0")).join("");
}

document.querySelectorAll("[data-stopwatch]").forEach((box) => new Stopwatch(box).begin());
