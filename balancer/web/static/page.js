// Keeps the page fresh where the browser can: asks to be told of changes, and says since when nobody answered.
(() => {
  "use strict";
  const SILENT_MS = 120000;
  const ASK_MS = 20000;
  const heard = document.getElementById("heard");
  const silent = document.getElementById("silent");
  const dark = document.getElementById("dark");
  const WAIT_MS = 4000;
  let last = Date.now();
  let since = heard ? heard.textContent : "";
  let known = document.documentElement.dataset.mark || null;

  const answered = () => {
    last = Date.now();
    since = new Date().toTimeString().slice(0, 5);
    if (heard) { heard.textContent = since; heard.dateTime = new Date().toISOString(); }
    for (const told of [silent, dark]) { if (told) { told.hidden = true; } }
    document.documentElement.classList.remove("stale");
  };
  const changed = () => { answered(); if (window.htmx) { window.htmx.trigger(document.body, "changed"); } };

  const ask = async () => {
    try {
      const answer = await fetch("/still-there", { cache: "no-store" });
      if (!answer.ok) { return; }
      const now = await answer.text();
      if (known !== null && known !== now) { changed(); } else { answered(); }
      known = now;
    } catch { /* said below */ }
  };

  // A tap is sent only to a machine that answers: a page of the browser's own would take the pours away.
  let asking = false;
  let sent = null;
  const answers = async () => {
    const patience = new AbortController();
    const end = setTimeout(() => patience.abort(), WAIT_MS);
    try {
      await fetch("/still-there", { cache: "no-store", signal: patience.signal });
      return true;
    } catch {
      return false;
    } finally {
      clearTimeout(end);
    }
  };
  const whenAnswered = async (go) => {
    if (asking) { return; }
    asking = true;
    const there = await answers();
    asking = false;
    if (dark) { dark.hidden = there; }
    if (there) { go(); }
  };
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (sent === form) { sent = null; return; }
    event.preventDefault();
    event.stopImmediatePropagation();
    const button = event.submitter;
    whenAnswered(() => {
      sent = form;
      if (button && button.form === form) { form.requestSubmit(button); } else { form.requestSubmit(); }
      sent = null;
    });
  }, true);
  document.addEventListener("click", (event) => {
    const link = event.target.closest ? event.target.closest("a[href]") : null;
    const another = event.button !== 0 || event.ctrlKey || event.metaKey || event.shiftKey || event.altKey;
    if (!link || another || event.defaultPrevented || link.target || link.origin !== location.origin) { return; }
    const here = link.pathname === location.pathname && link.search === location.search;
    if (here && link.hash) { return; }
    event.preventDefault();
    whenAnswered(() => location.assign(link.href));
  });

  // what was unfolded stays so when the page renews a part of itself
  let unfolded = [];
  document.addEventListener("htmx:beforeSwap", () => {
    unfolded = [...document.querySelectorAll("details[data-fold][open]")].map((one) => one.dataset.fold);
  });
  document.addEventListener("htmx:afterSettle", () => {
    for (const one of document.querySelectorAll("details[data-fold]")) {
      if (unfolded.includes(one.dataset.fold)) { one.open = true; }
    }
  });

  if ("EventSource" in window) {
    const line = new EventSource("/changes?since=" + (known || ""));
    line.addEventListener("beat", answered);
    line.addEventListener("changed", changed);
    line.addEventListener("open", () => { if (Date.now() - last > ASK_MS) { changed(); } });
    setInterval(() => { if (line.readyState !== EventSource.OPEN) { ask(); } }, ASK_MS);
  } else {
    setInterval(ask, ASK_MS);
  }
  setInterval(() => {
    if (Date.now() - last < SILENT_MS) { return; }
    document.documentElement.classList.add("stale");
    if (silent) { silent.hidden = false; document.getElementById("silent-since").textContent = since; }
  }, 1000);
})();
