// Keeps the page fresh where the browser can: asks to be told of changes, and says since when nobody answered.
(() => {
  "use strict";
  const SILENT_MS = 120000;
  const ASK_MS = 20000;
  const heard = document.getElementById("heard");
  const silent = document.getElementById("silent");
  let last = Date.now();
  let since = heard ? heard.textContent : "";
  let known = document.documentElement.dataset.mark || null;

  const answered = () => {
    last = Date.now();
    since = new Date().toTimeString().slice(0, 5);
    if (heard) { heard.textContent = since; heard.dateTime = new Date().toISOString(); }
    if (silent) { silent.hidden = true; }
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
