// Small helps on every page; each page works without them.
"use strict";
(() => {
  const all = (what, where = document) => [...where.querySelectorAll(what)];

  // "Why?" notes fold away with Escape, the focus back on their figure.
  document.addEventListener("keydown", (event) => {
    if (event.key !== "Escape") return;
    const open = event.target.closest?.("details.why[open]") || document.querySelector("details.why[open]");
    if (open) { open.open = false; open.querySelector("summary").focus(); }
  });

  // The list narrows while one types.
  for (const field of all("input[data-search]")) {
    const list = document.getElementById("found");
    let waiting, asked = 0;
    field.addEventListener("input", () => {
      clearTimeout(waiting);
      waiting = setTimeout(async () => {
        const mine = ++asked;
        const answer = await fetch("/?part=1&q=" + encodeURIComponent(field.value)).catch(() => null);
        if (answer?.ok && mine === asked) list.innerHTML = await answer.text();
      }, 150);
    });
  }

  // Switching units stays on the page.
  for (const form of all("form[action='/units']")) {
    const to = Object.assign(document.createElement("input"), { type: "hidden", name: "to", value: location.pathname });
    form.append(to);
  }

  // Files may be dropped anywhere on their field.
  for (const drop of all(".drop")) {
    const field = drop.querySelector("input[type=file]");
    const over = (on) => (event) => { event.preventDefault(); drop.classList.toggle("over", on); };
    drop.addEventListener("dragover", over(true));
    drop.addEventListener("dragleave", over(false));
    drop.addEventListener("drop", (event) => {
      over(false)(event);
      const files = new DataTransfer();
      if (field.multiple) for (const file of field.files) files.items.add(file);
      for (const file of event.dataTransfer.files) files.items.add(file);
      field.files = files.files;
    });
  }

  // A plan in the making says how far it is; when it is there the page shows it.
  const wait = document.getElementById("wait");
  if (wait?.classList.contains("on")) {
    const words = document.getElementById("wait-words");
    const look = async () => {
      const answer = await fetch(wait.dataset.progress, { headers: { "x-bondline-token": document.body.dataset.token } }).catch(() => null);
      if (answer?.ok) {
        const state = await answer.json();
        if (!state.working) {
          // Somebody may be typing: then the page waits until they send or leave the field.
          const busy = () => document.activeElement?.matches("main input:not([type=radio]):not([type=checkbox]), main textarea");
          if (!busy()) { location.replace(location.pathname + "?changed=1"); return; }
        } else if (words.textContent !== state.words) words.textContent = state.words;
      }
      setTimeout(look, 600);
    };
    setTimeout(look, 400);
  }
})();
