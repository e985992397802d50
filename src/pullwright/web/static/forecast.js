// Live what-if: while a control moves, the page asks what would happen and puts the answer in. Without it the forms are sent.
"use strict";

const REST_BEFORE_ASKING = 120;
const REST_BEFORE_PICTURES = 350;

class WhatIf {
  constructor(box) {
    this.box = box;
    this.address = box.dataset.whatIf;
    this.page = crypto.getRandomValues(new Uint32Array(3)).join("-");
    this.state = box.querySelector("[data-live-state]");
    this.controls = [...box.querySelectorAll(".control")];
    this.asking = null;
    this.timer = 0;
    this.controls.forEach((control) => this.watch(control));
    // Every control asks by itself now.
    box.classList.add("live");
    box.addEventListener("submit", (event) => {
      event.preventDefault();
      this.ask();
    });
  }

  watch(control) {
    const number = control.querySelector(".control-number");
    const slider = control.querySelector(".control-slider");
    slider.hidden = false;
    slider.addEventListener("input", () => {
      number.value = slider.value;
      this.moved(control);
    });
    number.addEventListener("input", () => {
      if (number.value !== "") slider.value = number.value;
      this.moved(control);
    });
  }

  moved(control) {
    control.classList.toggle("turned", this.isTurned(control));
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.ask(), REST_BEFORE_ASKING);
  }

  value(control) {
    return control.querySelector(".control-number").value.trim();
  }

  isTurned(control) {
    const value = this.value(control);
    return value !== "" && (control.dataset.today === "" || Number(value) !== Number(control.dataset.today));
  }

  query() {
    const turned = this.controls.filter((control) => this.isTurned(control));
    return new URLSearchParams(turned.map((control) => [control.dataset.name, this.value(control)]));
  }

  say(words) {
    this.state.hidden = !words;
    this.state.textContent = words;
  }

  async ask() {
    clearTimeout(this.timer);
    if (this.asking) this.asking.abort();
    const asking = (this.asking = new AbortController());
    const query = this.query();
    this.say("Being run …");
    const began = performance.now();
    const numbers = await this.fetched("/answer", query, asking);
    if (!numbers) return;
    this.put(numbers, ["numbers"]);
    // On a phone the table lies far below the control that moves.
    const short = this.box.querySelector("[data-live-short]");
    short.textContent = document.querySelector("[data-short]").dataset.short;
    short.hidden = false;
    this.box.dataset.took = Math.round(performance.now() - began);
    history.replaceState(null, "", this.address + (query.size ? "?" + query : ""));
    this.turnedNow(query);
    await new Promise((done) => setTimeout(done, REST_BEFORE_PICTURES));
    if (asking.signal.aborted) return;
    const pictures = await this.fetched("/pictures", query, asking);
    if (!pictures) return;
    this.put(pictures, ["soon", "drawn"]);
    this.say("");
  }

  async fetched(part, query, asking) {
    const asked = new URLSearchParams(query);
    asked.set("asked_by", this.page);
    try {
      const answer = await fetch(this.address + part + "?" + asked, { headers: { accept: "text/html" }, signal: asking.signal });
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      if (asking.signal.aborted) return null;
      if (answer.ok && page.querySelector("[data-live]")) return page;
      const again = page.querySelector("meta[http-equiv=refresh]");
      if (again) this.timer = setTimeout(() => this.ask(), 1000 * Number(again.content));
      if (answer.status !== 409) this.refused(page);
    } catch (error) {
      if (error.name !== "AbortError") this.say("The workbench cannot be reached; nothing here is newer than before.");
    }
    return null;
  }

  refused(page) {
    const first = page.querySelector("main > h1");
    const entries = [...page.querySelectorAll("main dl.told dt")]
      .filter((term) => !["What was read", "What is allowed"].includes(term.textContent))
      .map((term) => term.textContent + ": " + term.nextElementSibling.textContent.trim());
    this.say([first ? first.textContent.trim() : "", ...entries].join(" "));
  }

  put(page, parts) {
    const first = page.querySelector("main > h1");
    document.querySelector("main > h1").replaceWith(document.adoptNode(first));
    for (const part of parts) {
      const there = document.querySelector(`[data-live="${part}"]`);
      const fresh = page.querySelector(`[data-live="${part}"]`);
      if (!there || !fresh) continue;
      const open = [...there.querySelectorAll("details")].map((one) => one.open);
      const folds = [...fresh.querySelectorAll("details")];
      if (folds.length === open.length) folds.forEach((one, place) => { one.open = open[place]; });
      there.replaceWith(document.adoptNode(fresh));
    }
  }

  turnedNow(query) {
    const said = this.box.querySelector(".turned-now");
    const back = document.createElement("a");
    back.href = this.address;
    back.textContent = "All as today";
    const count = [...query].length;
    if (count) said.replaceChildren((count === 1 ? "One control is" : count + " controls are") + " turned. ", back);
    else said.replaceChildren("Nothing is turned: this is the line as it is today.");
    const surer = document.querySelector("[data-surer]");
    if (surer) surer.href = this.address + "/surer" + (count ? "?" + query : "");
    document.querySelectorAll("[data-more] a").forEach((more) => {
      more.search = count ? "?" + query : "";
    });
  }
}

document.querySelectorAll("[data-what-if]").forEach((box) => new WhatIf(box));
