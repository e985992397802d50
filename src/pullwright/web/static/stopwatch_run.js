// The stopwatch as it runs: which element of which cycle, since when, and what a tap makes of it. It draws nothing and keeps nothing.
"use strict";

const StopwatchRun = (() => {
  const SLEPT = 1000, STALE = 5000, MOST_UNDO = 30;
  const life = newLife();

  function newLife() {
    return Array.from(crypto.getRandomValues(new Uint8Array(6)), (byte) => byte.toString(16).padStart(2, "0")).join("");
  }

  // The moment of an event: when the finger came down, not when the page found time to look at it. `mono` never jumps
  // but may stand still while the phone sleeps; `wall` goes on then, and is what a page that was opened anew still knows.
  function moment(event) {
    const now = performance.now();
    let at = event ? event.timeStamp : now;
    if (!(at > 0 && at <= now + 1 && now - at < STALE)) at = now;
    return { life, mono: at, wall: Date.now() - (now - at) };
  }

  // Milliseconds between two moments, and what has to be said of them.
  function span(began, ended) {
    const wall = ended.wall - began.wall;
    if (began.life !== ended.life) {
      if (wall <= 0) return { ms: 0, said: "the clock of the phone was set back meanwhile", bad: true };
      return { ms: wall, said: "the page was closed and opened again meanwhile; timed by the clock of the phone" };
    }
    const mono = ended.mono - began.mono;
    if (wall - mono <= SLEPT) return { ms: mono, said: "" };
    return { ms: wall, said: "the phone slept for " + ((wall - mono) / 1000).toFixed(1) + " s of it; timed by its clock" };
  }

  function start(phone) {
    return { phone, phase: "idle", cycle: 0, element: 0, done: [], foreign: false, banked: 0, said: [], bad: false, held: null, began: null, past: [] };
  }

  function due(elements, at, cycle) {
    const every = elements[at].every || 1;
    return every === 1 || cycle % every === 0;
  }

  function following(state, elements, at, done) {
    for (let next = at + 1; next < elements.length; next += 1) if (!done.includes(next) && due(elements, next, state.cycle)) return next;
    return -1;
  }

  function first(elements, cycle) {
    for (let at = 0; at < elements.length; at += 1) if (due(elements, at, cycle)) return at;
    return 0;
  }

  // What the running element took so far, in milliseconds.
  function elapsed(state, now) {
    return state.banked + (state.began && state.phase === "running" ? span(state.began, now).ms : 0);
  }

  function stopped(state, now) {
    if (state.phase !== "running") return state;
    const passed = span(state.began, now);
    const said = passed.said && !state.said.includes(passed.said) ? [...state.said, passed.said] : state.said;
    return { ...state, banked: state.banked + passed.ms, said, bad: state.bad || Boolean(passed.bad), began: null };
  }

  function remembered(state, next, uid) {
    const { past, ...before } = state;
    return { ...next, past: [...past, { before, uid: uid || null }].slice(-MOST_UNDO) };
  }

  function reading(state, element) {
    const body = { cycle: state.cycle, element, seconds: Math.max(1, Math.round(state.banked)) / 1000, phone: state.phone };
    if (state.said.length) body.note = state.said.join("; ");
    if (state.bad) body.aside = "the clock of the phone was set back";
    return { kind: "reading", body };
  }

  const fresh = { banked: 0, said: [], bad: false };

  // The big button: begins, goes on after a pause, comes back from a foreign element, or ends an element and begins the next.
  function lap(state, elements, now, uid, lastCycle) {
    if (state.phase === "idle") {
      const cycle = Math.max(state.cycle, lastCycle) + 1;
      const element = state.chosen ? state.element : first(elements, cycle);
      const next = { ...state, ...fresh, phase: "running", cycle, element, chosen: false, done: [], foreign: false, held: null, began: now };
      return { state: remembered(state, next), note: null };
    }
    if (state.phase === "paused") return pause(state, now);
    if (state.foreign) return foreign(state, now, uid);
    const ended = stopped(state, now), done = [...state.done, state.element];
    const after = following(state, elements, state.element, done);
    const cycle = after < 0 ? state.cycle + 1 : state.cycle;
    const next = { ...ended, ...fresh, cycle, element: after < 0 ? first(elements, cycle) : after, done: after < 0 ? [] : done, began: now };
    return { state: remembered(state, next, uid), note: reading(ended, state.element), cycleDone: after < 0 ? state.cycle : 0 };
  }

  // Something that does not belong begins, or ends: the element that it broke into waits meanwhile.
  function foreign(state, now, uid) {
    if (state.phase === "idle") return { state, note: null };
    if (!state.foreign) {
      const ended = stopped(state, now);
      const held = { banked: ended.banked, said: ended.said, bad: ended.bad };
      return { state: remembered(state, { ...ended, ...fresh, phase: "running", foreign: true, held, began: now }), note: null };
    }
    const ended = stopped(state, now);
    const next = { ...ended, ...ended.held, phase: "running", foreign: false, held: null, began: now };
    return { state: remembered(state, next, uid), note: reading(ended, -1) };
  }

  function pause(state, now) {
    if (state.phase === "running") return { state: remembered(state, { ...stopped(state, now), phase: "paused" }), note: null };
    if (state.phase === "paused") return { state: remembered(state, { ...state, phase: "running", began: now }), note: null };
    return { state, note: null };
  }

  function choose(state, element) {
    if (state.foreign || element === state.element) return { state, note: null };
    return { state: remembered(state, { ...state, element, chosen: state.phase === "idle", done: state.done.filter((one) => one !== element) }), note: null };
  }

  function finish(state) {
    if (state.phase === "idle") return { state, note: null };
    return { state: remembered(state, { ...state, ...fresh, phase: "idle", foreign: false, held: null, began: null, done: [], chosen: false }), note: null };
  }

  // As if the last tap had not been: the time goes on from where it was, and the reading that it made is taken back.
  function undo(state) {
    const last = state.past[state.past.length - 1];
    if (!last) return { state, note: null };
    const note = last.uid ? { kind: "undo", body: { of: last.uid } } : null;
    return { state: { ...last.before, past: state.past.slice(0, -1) }, note };
  }

  return { moment, span, start, elapsed, lap, foreign, pause, choose, finish, undo, due };
})();
