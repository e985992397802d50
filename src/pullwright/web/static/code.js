// Draws line numbers beside a text box and takes a click on a fault to its line. Everything works without it.
"use strict";

function lineCount(text) {
  let count = 1;
  for (let at = text.indexOf("\n"); at !== -1; at = text.indexOf("\n", at + 1)) count += 1;
  return count;
}

function drawNumbers(gutter, count, marked) {
  const parts = [];
  let plain = "";
  for (let line = 1; line <= count; line += 1) {
    if (marked.has(line)) {
      const strong = document.createElement("b");
      const mark = document.querySelector(".faults .mark");
      strong.append(mark ? mark.cloneNode(true) : "", " " + line);
      parts.push(plain, strong);
      plain = "\n";
    } else {
      plain += line + "\n";
    }
  }
  gutter.replaceChildren(...parts, plain);
}

function numberLines(box) {
  const text = box.querySelector("textarea");
  const marked = new Set((box.dataset.marked || "").split(" ").filter(Boolean).map(Number));
  const gutter = document.createElement("pre");
  gutter.className = "gutter";
  gutter.setAttribute("aria-hidden", "true");
  let drawn = 0;
  const follow = () => { gutter.scrollTop = text.scrollTop; };
  const refresh = () => {
    const count = lineCount(text.value);
    if (count !== drawn) drawNumbers(gutter, count, marked);
    drawn = count;
    gutter.style.height = text.clientHeight + "px";
    follow();
  };
  text.addEventListener("input", refresh);
  text.addEventListener("scroll", follow, { passive: true });
  box.prepend(gutter);
  new ResizeObserver(refresh).observe(text);
  refresh();
}

function goToLine(text, line, column) {
  const lines = text.value.split("\n");
  const before = lines.slice(0, line - 1).join("\n").length + (line > 1 ? 1 : 0);
  const at = before + Math.max(0, column - 1);
  text.focus();
  text.setSelectionRange(at, before + (lines[line - 1] || "").length);
  const height = parseFloat(getComputedStyle(text).lineHeight);
  text.scrollTop = Math.max(0, (line - 4) * height);
}

document.querySelectorAll(".code").forEach(numberLines);
document.addEventListener("click", (event) => {
  const link = event.target.closest("a[data-line]");
  const text = link && document.getElementById(link.dataset.text);
  if (!text) return;
  event.preventDefault();
  goToLine(text, Number(link.dataset.line), Number(link.dataset.column));
});
