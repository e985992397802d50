// Keeps a study safe on this phone: every note, and where the stopwatch stands, in IndexedDB; sends what waits, each note
// under a name that it keeps for ever, so that sending it twice writes it once.
"use strict";

class StopwatchKept {
  // told: what the page says of the study; changed() is called whenever something was kept, sent, refused or fetched.
  constructor(told, changed) {
    this.told = told;
    this.changed = changed;
    this.notes = new Map();
    this.run = null;
    this.unsaved = false;
    this.trouble = "";
    this.sending = false;
    this.seal = told.seal;
    this.latest = 0;
    this.again = 0;
  }

  async open() {
    this.base = await new Promise((resolve) => {
      let asked;
      try { asked = indexedDB.open("pullwright-stopwatch", 1); } catch { resolve(null); return; }
      asked.onupgradeneeded = () => {
        asked.result.createObjectStore("notes", { keyPath: ["study", "uid"] }).createIndex("study", "study");
        asked.result.createObjectStore("runs", { keyPath: "study" });
      };
      asked.onsuccess = () => resolve(asked.result);
      asked.onerror = asked.onblocked = () => resolve(null);
    });
    if (this.base) {
      const [notes, run] = await Promise.all([
        this.asked("notes", (store) => store.index("study").getAll(this.told.id)), this.asked("runs", (store) => store.get(this.told.id))]);
      for (const note of notes) this.notes.set(note.uid, note);
      this.run = run ? run.state : null;
      if (navigator.storage && navigator.storage.persist) navigator.storage.persist().catch(() => false);
    } else {
      this.unsaved = true;
    }
    window.addEventListener("online", () => this.send());
    document.addEventListener("visibilitychange", () => { if (!document.hidden) this.send(); });
    setInterval(() => { if (this.waiting().length) this.send(); }, 15000);
  }

  asked(name, ask) {
    return new Promise((resolve, reject) => {
      const question = ask(this.base.transaction(name).objectStore(name));
      question.onsuccess = () => resolve(question.result);
      question.onerror = () => reject(question.error);
    });
  }

  all() { return [...this.notes.values()]; }
  waiting() { return this.all().filter((note) => note.state === "waiting"); }
  refused() { return this.all().filter((note) => note.state === "refused"); }

  // What was noted and where the stopwatch stands go in together: after a crash either both are there or neither.
  async keep(run, notes) {
    for (const note of notes) this.notes.set(note.uid, { study: this.told.id, state: "waiting", ...note });
    this.run = run;
    await this.write(notes.map((note) => note.uid));
  }

  // After a write that did not fit, the next one tries everything that is not at the workbench yet.
  async write(uids) {
    const names = this.unsaved ? [...new Set([...uids, ...this.waiting().map((note) => note.uid)])] : uids;
    this.unsaved = !(await this.written(names));
    this.changed();
    return !this.unsaved;
  }

  written(uids) {
    if (!this.base) return Promise.resolve(false);
    return new Promise((resolve) => {
      let doing;
      try {
        doing = this.base.transaction(["notes", "runs"], "readwrite");
        for (const uid of uids) doing.objectStore("notes").put(this.notes.get(uid));
        if (this.run) doing.objectStore("runs").put({ study: this.told.id, state: this.run });
      } catch { resolve(false); return; }
      doing.oncomplete = () => resolve(true);
      doing.onabort = doing.onerror = () => resolve(false);
    });
  }

  async send() {
    if (this.sending) { this.again = 1; return; }
    this.sending = true;
    this.trouble = "";
    try {
      do {
        this.again = 0;
        while (this.waiting().length && !this.trouble) await this.sendSome(this.waiting().slice(0, this.told.atOnce));
        if (!this.trouble) await this.fetchOthers();
      } while (this.again && !this.trouble);
    } finally {
      this.sending = false;
      this.changed();
    }
  }

  async sendSome(notes) {
    const plain = notes.map(({ uid, kind, body, who, taken }) => ({ uid, kind, body, who, taken }));
    const answer = await this.post(JSON.stringify(plain), false);
    if (answer.kept) {
      const because = new Map(answer.refused.map((one) => [one.uid, one.why]));
      for (const uid of answer.kept) this.settle(uid, "kept", "");
      for (const [uid, why] of because) this.settle(uid, "refused", why);
      await this.write(notes.map((note) => note.uid).filter((uid) => this.notes.has(uid)));
      // An answer that says nothing of what was sent would be asked for ever.
      if (!answer.kept.length && !because.size) this.trouble = "The workbench did not say what became of them.";
    } else if (answer.refused && notes.length > 1) {
      // Something among them cannot be read at all: one by one, so that only that one stays behind.
      for (const note of notes) if (!this.trouble) await this.sendSome([note]);
    } else if (answer.refused) {
      this.settle(notes[0].uid, "refused", answer.why);
      await this.write([notes[0].uid]);
    } else {
      this.trouble = answer.why;
    }
  }

  settle(uid, state, why) {
    const note = this.notes.get(uid);
    if (note) this.notes.set(uid, { ...note, state, why });
  }

  async post(notes, secondTime) {
    const form = new FormData();
    form.set("seal", this.seal);
    form.set("notes", notes);
    let answer, said;
    try {
      answer = await this.fetched(this.told.notes, { method: "POST", body: form, headers: { accept: "application/json" } });
      said = await answer.json();
    } catch {
      return { why: "away" };
    }
    if (answer.ok && Array.isArray(said.kept) && Array.isArray(said.refused)) return said;
    if (answer.status === 403 && !secondTime && await this.freshSeal()) return this.post(notes, true);
    const why = [said.title, ...(said.errors || []).map((one) => one.message)].filter(Boolean).join(" ");
    if ([400, 413, 415, 422].includes(answer.status)) return { refused: true, why: why || "It could not be read." };
    return { why: why || "The workbench answered " + answer.status + "." };
  }

  fetched(address, more) {
    const patience = new AbortController(), clock = setTimeout(() => patience.abort(), 20000);
    return fetch(address, { ...more, cache: "no-store", redirect: "error", signal: patience.signal }).finally(() => clearTimeout(clock));
  }

  // The page may have been open for days, or come out of the store of the phone: its seal is asked for anew then.
  async freshSeal() {
    try {
      const answer = await this.fetched(this.told.notes, { headers: { accept: "text/html" } });
      const field = new DOMParser().parseFromString(await answer.text(), "text/html").querySelector("input[name=seal]");
      if (field) this.seal = field.value;
      return Boolean(field);
    } catch {
      return false;
    }
  }

  // What others noted on this study: a second phone, a mark that was made at a desk.
  async fetchOthers() {
    try {
      const answer = await this.fetched(this.told.notes + ".json?after=" + this.latest, { headers: { accept: "application/json" } });
      if (!answer.ok) return;
      const fresh = [];
      for (const { number, uid, kind, body, who, taken } of (await answer.json()).notes) {
        this.latest = Math.max(this.latest, number);
        this.notes.set(uid, { study: this.told.id, uid, kind, body, who, taken: Date.parse(taken), state: "kept", why: "" });
        fresh.push(uid);
      }
      if (fresh.length) await this.write(fresh);
    } catch { /* without a network nobody else is heard */ }
  }

  // Keeps the page itself, so that it opens without a network; where the browser allows that only on a secure address, says no.
  async keepPage() {
    if (!window.isSecureContext || !navigator.serviceWorker || !window.caches) return false;
    const files = [...document.querySelectorAll("link[rel=stylesheet], link[rel=icon], script[src]")].map((one) => one.href || one.src);
    try {
      const store = await caches.open("pullwright-stopwatch");
      try {
        await navigator.serviceWorker.register(this.told.worker, { scope: this.told.page });
        await store.addAll([this.told.page, ...files]);
        return true;
      } catch {
        // Opened out of the store, while the network is away.
        return Boolean(navigator.serviceWorker.controller && await store.match(this.told.page));
      }
    } catch {
      return false;
    }
  }
}
