// Keeps what was noted safe in this browser until the workbench has it: a queue in IndexedDB, sent in order, each once.
"use strict";

class SendLater {
  // name: of the queue; changed(waiting, trouble) is called whenever the number of entries that wait changes.
  constructor(name, changed) {
    this.name = name;
    this.changed = changed || (() => {});
    this.sending = false;
    this.memory = [];
    this.open = this.opened();
    window.addEventListener("online", () => this.send());
    document.addEventListener("visibilitychange", () => { if (!document.hidden) this.send(); });
    setInterval(() => this.send(), 15000);
  }

  opened() {
    return new Promise((resolve) => {
      let asked;
      try { asked = indexedDB.open("pullwright-" + this.name, 1); } catch { resolve(null); return; }
      asked.onupgradeneeded = () => asked.result.createObjectStore("waiting", { keyPath: "number", autoIncrement: true });
      asked.onsuccess = () => resolve(asked.result);
      asked.onerror = () => resolve(null);
    });
  }

  // Without IndexedDB (a private window) the queue lives as long as the page; that is said by `safe`.
  async safe() { return (await this.open) !== null; }

  async work(mode, act) {
    const base = await this.open;
    return new Promise((resolve, reject) => {
      const doing = base.transaction("waiting", mode);
      const asked = act(doing.objectStore("waiting"));
      doing.oncomplete = () => resolve(asked && asked.result);
      doing.onerror = () => reject(doing.error);
    });
  }

  async all() { return (await this.open) ? this.work("readonly", (store) => store.getAll()) : this.memory.slice(); }

  async add(address, entries) {
    const entry = { address, entries };
    if (await this.open) await this.work("readwrite", (store) => store.add(entry));
    else this.memory.push({ ...entry, number: Date.now() + Math.random() });
    await this.tell("");
    this.send();
  }

  async drop(number) {
    if (await this.open) await this.work("readwrite", (store) => store.delete(number));
    else this.memory = this.memory.filter((entry) => entry.number !== number);
  }

  async tell(trouble) { this.changed((await this.all()).length, trouble); }

  async send() {
    if (this.sending) return;
    this.sending = true;
    let trouble = "";
    try {
      for (const entry of await this.all()) {
        const outcome = await this.sent(entry);
        if (outcome === "later") { trouble = "away"; break; }
        if (outcome === "refused") { trouble = "refused"; break; }
        await this.drop(entry.number);
        await this.tell("");
      }
    } finally {
      this.sending = false;
    }
    await this.tell(trouble);
  }

  async sent(entry, seal) {
    const form = new FormData();
    form.set("seal", seal || this.seal());
    for (const [name, value] of Object.entries(entry.entries)) form.set(name, value);
    let answer;
    try {
      answer = await fetch(entry.address, { method: "POST", body: form, redirect: "manual", headers: { accept: "application/json" } });
    } catch {
      return "later";
    }
    if (answer.type === "opaqueredirect" || answer.ok) return "taken";
    if (answer.status === 403 && !seal) {
      const fresh = await this.freshSeal(entry.address);
      return fresh ? this.sent(entry, fresh) : "later";
    }
    // A note that stands there already says something else under its name: it was kept, and is not sent for ever.
    return answer.status >= 500 || answer.status === 429 || answer.status === 408 ? "later" : "refused";
  }

  seal() {
    const field = document.querySelector("input[name=seal]");
    return field ? field.value : "";
  }

  async freshSeal(address) {
    try {
      const answer = await fetch(address, { headers: { accept: "text/html" } });
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      const field = page.querySelector("input[name=seal]");
      return field ? field.value : "";
    } catch {
      return "";
    }
  }
}

function newName() {
  const bytes = crypto.getRandomValues(new Uint8Array(18));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
}
