// Notes each look as it is tapped, and keeps it safe while the network is away. Without it the form is sent as a whole.
"use strict";

function watchRound(box) {
  const form = box.querySelector("form");
  const state = document.querySelector("[data-state]");
  const say = (words) => { state.hidden = !words; state.textContent = words; };
  const queue = new SendLater("looks", (waiting, trouble) => {
    const looks = waiting === 1 ? "1 look is" : waiting + " looks are";
    if (!waiting) say(form.dataset.noted ? "Every look that was tapped is kept at the workbench." : "");
    else if (trouble === "away") say(looks + " kept on this device; the workbench cannot be reached. They are sent by themselves when it can.");
    else if (trouble === "refused") say(looks + " kept on this device; the workbench did not take one of them. Press Keep this round to see why.");
    else say(looks + " on the way.");
  });
  form.addEventListener("change", async (event) => {
    const tap = event.target;
    if (tap.type !== "radio" || !tap.value) return;
    const who = form.elements.who.value.trim();
    if (!who) {
      say("Say who looks first: then each tap is kept at once.");
      form.elements.who.focus();
      return;
    }
    form.dataset.noted = "yes";
    await queue.add(form.getAttribute("action"), { who, [tap.name]: tap.value, uid: newName(), taken: String(Date.now()) });
  });
  form.addEventListener("submit", async (event) => {
    if (navigator.onLine !== false) return;
    event.preventDefault();
    say("The network is away. What was tapped is kept on this device and sent by itself when it is back.");
  });
  queue.send();
}

document.querySelectorAll("[data-round]").forEach(watchRound);
