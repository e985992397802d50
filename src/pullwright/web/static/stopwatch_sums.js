// What the readings of a study say so far: mean, cv, half-width, and how many more are worth taking.
// The formulas are those of pullwright.watch.study (spread.py, enough.py); a test compares the two.
"use strict";

const StopwatchSums = (() => {
  const WITHIN = 0.05, LEVEL = 0.95, MOST = 1000000, STEP = 10, WORTH = 0.005;
  const known = new Map();

  function logGamma(x) {
    // Lanczos (1964), g = 7, nine terms.
    const c = [0.99999999999980993, 676.5203681218851, -1259.1392167224028, 771.32342877765313, -176.61502916214059,
      12.507343278686905, -0.13857109526572012, 9.9843695780195716e-6, 1.5056327351493116e-7];
    let sum = c[0];
    for (let i = 1; i < 9; i += 1) sum += c[i] / (x - 1 + i);
    const t = x + 6.5;
    return 0.5 * Math.log(2 * Math.PI) + (x - 0.5) * Math.log(t) - t + Math.log(sum);
  }

  // The regularised incomplete beta function, by its continued fraction (Lentz 1976).
  function beta(x, a, b) {
    if (x <= 0) return 0;
    if (x >= 1) return 1;
    if (x > (a + 1) / (a + b + 2)) return 1 - beta(1 - x, b, a);
    const front = Math.exp(logGamma(a + b) - logGamma(a) - logGamma(b) + a * Math.log(x) + b * Math.log1p(-x)) / a;
    const tiny = 1e-300;
    let c = 1, d = 1 - (a + b) * x / (a + 1);
    d = 1 / (Math.abs(d) < tiny ? tiny : d);
    let result = d;
    for (let m = 1; m < 500; m += 1) {
      for (const term of [m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m)),
        -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))]) {
        d = 1 + term * d;
        d = 1 / (Math.abs(d) < tiny ? tiny : d);
        c = 1 + term / c;
        if (Math.abs(c) < tiny) c = tiny;
        result *= d * c;
      }
      if (Math.abs(d * c - 1) < 1e-15) break;
    }
    return front * result;
  }

  // Student's t that is left out on both sides with probability 1 - LEVEL.
  function student(freedom) {
    if (known.has(freedom)) return known.get(freedom);
    let low = 0, high = 1;
    const outside = (t) => beta(freedom / (freedom + t * t), freedom / 2, 0.5);
    while (outside(high) > 1 - LEVEL) high *= 2;
    for (let i = 0; i < 80 && high - low > 1e-14 * high; i += 1) {
      const middle = (low + high) / 2;
      if (outside(middle) > 1 - LEVEL) low = middle; else high = middle;
    }
    known.set(freedom, (low + high) / 2);
    return (low + high) / 2;
  }

  function mean(values) {
    let sum = 0, lost = 0;
    for (const value of values) {
      const next = sum + value;
      lost += Math.abs(sum) >= Math.abs(value) ? sum - next + value : value - next + sum;
      sum = next;
    }
    return (sum + lost) / values.length;
  }

  function cv(values) {
    if (values.length < 2) return null;
    const middle = mean(values), off = values.map((value) => value - middle);
    const square = off.reduce((sum, one) => sum + one * one, 0) - off.reduce((sum, one) => sum + one, 0) ** 2 / values.length;
    return Math.sqrt(Math.max(0, square) / (values.length - 1)) / middle;
  }

  function halfWidth(spread, readings) {
    if (readings < 2) return spread > 0 ? Infinity : 0;
    return student(readings - 1) * spread / Math.sqrt(readings);
  }

  function needed(spread) {
    let low = 1, high = 2;
    while (halfWidth(spread, high) > WITHIN) { low = high; high *= 2; }
    while (high - low > 1) {
      const middle = Math.floor((low + high) / 2);
      if (halfWidth(spread, middle) <= WITHIN) high = middle; else low = middle;
    }
    return high;
  }

  function worthTaking(spread, taken) {
    if (spread === null || spread <= 1e-12) return 0;
    let low = Math.max(taken, 2) - 1, high = halfWidth(spread, MOST) <= WITHIN ? needed(spread) : MOST;
    if (high <= taken) return 0;
    while (high - low > 1) {
      const middle = Math.floor((low + high) / 2);
      if (halfWidth(spread, middle) - halfWidth(spread, middle + STEP) < WORTH) high = middle; else low = middle;
    }
    return Math.max(0, high - taken);
  }

  // n, mean (s), cv, half-width (a share of the mean) and how many more are worth taking; null where there are too few.
  function of(values) {
    if (!values.length) return { n: 0, mean: null, cv: null, half: null, worth: null };
    if (values.length < 2) return { n: 1, mean: values[0], cv: null, half: null, worth: null };
    const spread = cv(values);
    return { n: values.length, mean: mean(values), cv: spread, half: halfWidth(spread, values.length), worth: worthTaking(spread, values.length) };
  }

  // The readings after everything that was noted, as told.py of the workbench reads them.
  function readings(notes) {
    const ordered = notes.map((note, at) => [note, at]).sort((a, b) => a[0].taken - b[0].taken || a[1] - b[1]).map((one) => one[0]);
    const undone = new Set(), found = new Map(), marks = [];
    for (const note of ordered.slice().reverse()) if (note.kind === "undo" && !undone.has(note.uid)) undone.add(note.body.of);
    for (const note of ordered) {
      if (undone.has(note.uid)) continue;
      if (note.kind === "reading") found.set(note.uid, { uid: note.uid, rating: null, aside: "", note: "", phone: "", ...note.body, taken: note.taken });
      if (note.kind === "mark") marks.push(note.body);
    }
    for (const { of: uid, ...said } of marks) if (found.has(uid)) Object.assign(found.get(uid), said);
    return [...found.values()];
  }

  function last(notes, kind) {
    const undone = new Set(notes.filter((note) => note.kind === "undo").map((note) => note.body.of));
    return notes.filter((note) => note.kind === kind && !undone.has(note.uid)).sort((a, b) => a.taken - b.taken).pop() || null;
  }

  // For each element what its counted readings say, and for whole cycles: those in which every element that comes each time was read.
  function soFar(read, elements) {
    const per = elements.map((_, at) => of(read.filter((one) => one.element === at && !one.aside).map((one) => one.seconds)));
    const always = elements.map((_, at) => at).filter((at) => (elements[at].every || 1) === 1 && per[at].n);
    const cycles = new Map(), odd = new Set();
    for (const one of read) {
      if (!always.includes(one.element)) continue;
      const cycle = one.phone + " " + one.cycle;
      if (one.aside) { odd.add(cycle); continue; }
      const there = cycles.get(cycle) || { seconds: 0, seen: new Set() };
      there.seconds += one.seconds;
      there.seen.add(one.element);
      cycles.set(cycle, there);
    }
    const whole = [...cycles].filter(([cycle, one]) => one.seen.size === always.length && !odd.has(cycle)).map(([, one]) => one.seconds);
    return { per, cycle: of(whole) };
  }

  return { of, mean, cv, halfWidth, worthTaking, student, readings, last, soFar };
})();
