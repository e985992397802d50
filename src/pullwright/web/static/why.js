// Opens the why of a number in a panel beside the page where there is room for it. Everything works without it.
"use strict";

const WHY_ROOM = "(min-width: 60em)";

function whyAddress(link) {
  if (!link) return null;
  const address = link.href && link.href.baseVal !== undefined ? link.href.baseVal : link.getAttribute("href");
  if (!address) return null;
  const url = new URL(address, document.baseURI);
  return url.origin === location.origin && url.pathname.endsWith("/why") ? url : null;
}

class WhyPanel {
  constructor() {
    this.panel = document.createElement("aside");
    this.panel.className = "why-panel";
    this.panel.tabIndex = -1;
    this.panel.setAttribute("role", "dialog");
    this.panel.setAttribute("aria-label", "Why");
    this.panel.hidden = true;
    this.way = [];
    this.cameFrom = null;
    document.body.append(this.panel);
  }

  async open(url, cameFrom) {
    if (this.panel.hidden) {
      this.cameFrom = cameFrom;
      this.way = [];
    }
    await this.show(url);
  }

  async show(url) {
    const page = await this.fetched(url);
    if (!page) {
      location.assign(url);
      return;
    }
    this.way.push(url);
    this.panel.replaceChildren(this.head(url), ...page.querySelector("main").childNodes);
    this.panel.querySelectorAll("[id]").forEach((element) => element.removeAttribute("id"));
    this.panel.hidden = false;
    this.panel.scrollTop = 0;
    document.documentElement.classList.add("asks-why");
    this.panel.focus();
  }

  async fetched(url) {
    try {
      const answer = await fetch(url, { headers: { accept: "text/html" } });
      if (!answer.ok) return null;
      return new DOMParser().parseFromString(await answer.text(), "text/html");
    } catch {
      return null;
    }
  }

  head(url) {
    const head = document.createElement("p");
    head.className = "why-panel-head";
    const close = this.button("Close", () => this.close());
    const whole = document.createElement("a");
    whole.href = url;
    whole.className = "whole-page";
    whole.textContent = "Open as a page";
    head.append(close);
    if (this.way.length > 1) head.append(this.button("Back", () => this.back()));
    head.append(whole);
    return head;
  }

  button(words, act) {
    const button = document.createElement("button");
    button.type = "button";
    button.className = "quiet";
    button.textContent = words;
    button.addEventListener("click", act);
    return button;
  }

  back() {
    this.way.pop();
    const before = this.way.pop();
    if (before) this.show(before);
  }

  close() {
    this.panel.hidden = true;
    document.documentElement.classList.remove("asks-why");
    if (this.cameFrom && this.cameFrom.isConnected) this.cameFrom.focus({ preventScroll: true });
  }
}

let whyPanel = null;
document.addEventListener("click", (event) => {
  if (event.defaultPrevented || event.button || event.metaKey || event.ctrlKey || event.shiftKey || event.altKey) return;
  const link = event.target.closest("a");
  if (!link || link.classList.contains("whole-page")) return;
  const url = whyAddress(link);
  if (!url || !matchMedia(WHY_ROOM).matches) return;
  // The page of a why has its derivation in full already; from there a link leads on as links do.
  if (location.pathname.endsWith("/why") && !link.closest(".why-panel")) return;
  event.preventDefault();
  whyPanel = whyPanel || new WhyPanel();
  whyPanel.open(url, link);
});
document.addEventListener("keydown", (event) => {
  if (event.key === "Escape" && whyPanel && !whyPanel.panel.hidden) whyPanel.close();
});
