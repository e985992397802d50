// Elements moved by hand: dragged to another post or taken there by keys. The page that the server makes of a move takes the place of the posts,
// so that what is checked is checked by the plan itself; while something is dragged over a post, what that would break is asked for and said.
"use strict";

(() => {
  const here = () => document.querySelector("[data-posts]");
  if (!here()) return;
  let dragged = "";
  let asked = 0;
  let pressed = Promise.resolve();

  const address = (name, post) => {
    const url = new URL(location.href);
    url.searchParams.append("move", `${post} ${name}`);
    return url;
  };

  const shown = async (url, name) => {
    const mine = ++asked;
    const answer = await fetch(url, { headers: { Accept: "text/html" } }).catch(() => null);
    if (mine !== asked) return;
    if (!answer || !answer.ok) { location.assign(url); return; }
    const made = new DOMParser().parseFromString(await answer.text(), "text/html");
    const posts = made.querySelector("[data-posts]");
    if (!posts) { location.assign(url); return; }
    here().replaceWith(posts);
    const first = document.querySelector("h1");
    const said = made.querySelector("h1");
    if (first && said) first.replaceWith(said);
    history.replaceState(null, "", url);
    if (name) [...posts.querySelectorAll("[data-name]")].find((one) => one.dataset.name === name)?.focus();
  };

  const preview = async (name, post) => {
    const mine = ++asked;
    const url = address(name, post);
    const answer = await fetch(url.pathname + ".json" + url.search).catch(() => null);
    if (mine !== asked || !answer || !answer.ok) return;
    const page = await answer.json();
    const place = here().querySelector("[data-broken]");
    const at = page.posts.find((one) => one.blocks.some((block) => block.name === name));
    const words = page.breaks.length ? `Here it would break: ${page.breaks.join("; ")}.` : "Here it would break nothing.";
    place.textContent = `${words} The round of post ${at ? at.number : post} would be ${at ? at.round : ""}.`;
  };

  document.addEventListener("dragstart", (event) => {
    const block = event.target.closest?.("[data-name]");
    if (!block) return;
    dragged = block.dataset.name;
    event.dataTransfer.effectAllowed = "move";
    event.dataTransfer.setData("text/plain", dragged);
    block.classList.add("dragged");
  });
  document.addEventListener("dragend", (event) => {
    event.target.closest?.("[data-name]")?.classList.remove("dragged");
    for (const post of document.querySelectorAll(".over")) post.classList.remove("over");
    dragged = "";
  });
  document.addEventListener("dragover", (event) => {
    const post = event.target.closest?.("[data-post]");
    if (!post || !dragged) return;
    event.preventDefault();
    if (post.classList.contains("over")) return;
    for (const other of document.querySelectorAll(".over")) other.classList.remove("over");
    post.classList.add("over");
    if (!post.contains(document.querySelector(".dragged"))) preview(dragged, Number(post.dataset.post));
  });
  document.addEventListener("drop", (event) => {
    const post = event.target.closest?.("[data-post]");
    if (!post || !dragged) return;
    event.preventDefault();
    const own = post.contains(document.querySelector(".dragged"));
    if (!own) shown(address(dragged, Number(post.dataset.post)), dragged);
  });
  document.addEventListener("keydown", (event) => {
    const block = event.target.closest?.("[data-name]");
    if (!block || event.target !== block || event.altKey || event.ctrlKey || event.metaKey) return;
    const way = { ArrowUp: -1, ArrowLeft: -1, ArrowDown: 1, ArrowRight: 1 }[event.key];
    if (!way) return;
    event.preventDefault();
    // One press after the other, each from where the one before has put it.
    const name = block.dataset.name;
    pressed = pressed.then(() => {
      const now = [...here().querySelectorAll("[data-name]")].find((one) => one.dataset.name === name);
      const link = now?.querySelector(`[data-way="${way}"]`);
      return link ? shown(new URL(link.href), name) : null;
    });
  });
  document.addEventListener("click", (event) => {
    const link = event.target.closest?.("a[data-move]");
    if (!link || event.altKey || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    shown(new URL(link.href), link.closest("[data-name]")?.dataset.name || "");
  });
})();
