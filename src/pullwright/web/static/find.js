// Follows a search for a setting that runs in the background. Without it the page reloads itself.
"use strict";

const LOOK_EVERY = 700;

async function look(box) {
  try {
    const answer = await fetch(box.dataset.hunt, { headers: { accept: "application/json" } });
    if (answer.ok) {
      const told = await answer.json();
      if (!["waits", "under way"].includes(told.state)) {
        location.reload();
        return;
      }
      const far = box.querySelector("progress");
      far.max = told.settings_in_all || 1;
      far.value = told.settings_in_all - told.settings_left;
      box.querySelector("[data-far]").textContent = told.far || "It has just begun.";
      box.querySelector("[data-seconds]").textContent = Math.round(told.seconds);
      document.querySelector("main > h1").textContent = told.found.text;
    }
  } catch {
    // The workbench is away for a moment; the next look may find it.
  }
  setTimeout(() => look(box), LOOK_EVERY);
}

document.querySelectorAll("[data-hunt]").forEach((box) => setTimeout(() => look(box), LOOK_EVERY));
