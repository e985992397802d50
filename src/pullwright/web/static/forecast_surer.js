// Follows a forecast that runs in the background. Without it the page reloads itself.
"use strict";

const FOLLOW_EVERY = 700;

async function follow(box) {
  try {
    const answer = await fetch(box.dataset.follows, { headers: { accept: "application/json" } });
    if (answer.ok) {
      const told = await answer.json();
      if (!["waits", "under way"].includes(told.state)) {
        location.reload();
        return;
      }
      const far = box.querySelector("progress");
      far.max = told.whole || 1;
      far.value = told.done;
      box.querySelector("[data-far]").textContent = told.done + " of " + told.whole + " runs, " + Math.round(told.seconds) + " s so far.";
      document.querySelector("main > h1").textContent = told.found.text;
    }
  } catch {
    // The workbench is away for a moment; the next look may find it.
  }
  setTimeout(() => follow(box), FOLLOW_EVERY);
}

document.querySelectorAll("[data-follows]").forEach((box) => setTimeout(() => follow(box), FOLLOW_EVERY));
