// Curves and window move with the sliders.
"use strict";
(() => {
  const form = document.getElementById("try");
  const at = (id) => document.getElementById(id);
  if (!form || !at("c")) return;
  let asked = 0, running = false, again = false;
  const draw = async (fresh) => {
    if (running) { again = true; return; }
    running = true;
    const mine = ++asked;
    const query = new URLSearchParams(new FormData(form));
    if (fresh) { query.delete("c"); query.delete("s"); }
    const response = await fetch("/heat/answer?" + query).catch(() => null);
    running = false;
    if (response?.ok && mine === asked) {
      const answer = await response.json();
      if (answer.none) { location.search = query; return; }
      at("curves").innerHTML = answer.curves;
      at("window").innerHTML = answer.window;
      at("c-said").textContent = answer.cSaid;
      at("s-said").textContent = answer.sSaid;
      at("said").replaceChildren(...answer.said.map((text) => Object.assign(document.createElement("p"), { textContent: text })));
      at("figures").tBodies[0].replaceChildren(...answer.figures.map(([name, value]) => {
        const row = document.createElement("tr");
        const head = Object.assign(document.createElement("th"), { textContent: name, scope: "row" });
        row.append(head, Object.assign(document.createElement("td"), { textContent: value }));
        return row;
      }));
      if (fresh) for (const [field, low, high, value] of [[at("c"), answer.cLow, answer.cHigh, answer.c], [at("s"), answer.sLow, answer.sHigh, answer.s]]) {
        field.min = low; field.max = high; field.value = value;
      }
    }
    if (again) { again = false; draw(false); }
  };
  for (const id of ["c", "s"]) at(id).addEventListener("input", () => draw(false));
  for (const id of ["cloth", "dye", "transfer"]) at(id).addEventListener("change", () => draw(true));
})();
