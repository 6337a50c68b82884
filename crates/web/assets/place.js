// Art is moved on the garment by pointer, arrow keys or numbers; the picture comes back with measures and what is in the way.
"use strict";
(() => {
  for (const form of document.querySelectorAll("form[data-place]")) {
    const [line, print, size] = form.dataset.place.split("/");
    if (!size) continue;
    const order = form.action.replace(/\/print$/, "");
    const field = (name) => form.elements[name];
    const inch = /in\s*$/.test(field("width").value);
    const unit = inch ? 25.4 : 1;
    // What stands in a field, in mm, in whatever unit it was typed.
    const UNITS = { mm: 1, cm: 10, m: 1000, in: 25.4, "\"": 25.4, "\u2033": 25.4 };
    const mm = (name) => {
      const text = field(name).value.trim().replace(",", ".").replace("\u2212", "-");
      return (parseFloat(text) || 0) * (UNITS[text.replace(/^[-+.\d\s]*/, "")] ?? unit);
    };
    const write = (name, mm) => { field(name).value = (Math.round(mm / unit * (inch ? 100 : 10)) / (inch ? 100 : 10)) + (inch ? " in" : " mm"); };
    let stage, said, running = false, wanted = null;

    const ask = async (snap) => {
      if (running) { wanted = { snap }; return; }
      running = true;
      const query = new URLSearchParams({ line, print, size, position: field("position").value, width: field("width").value, right: field("right").value, up: field("up").value });
      if (snap) query.set("snap", "1");
      const response = await fetch(`${order}/try?${query}`).catch(() => null);
      running = false;
      if (response?.ok) {
        const answer = await response.json();
        if (answer.picture) stage.innerHTML = answer.picture;
        if (answer.said.join() !== said.dataset.last) {
          said.dataset.last = answer.said.join();
          said.replaceChildren(...answer.said.map((text) => Object.assign(document.createElement("p"), { textContent: text })));
        }
        if (snap && answer.right) { field("right").value = answer.right; field("up").value = answer.up; }
      }
      if (wanted) { const next = wanted; wanted = null; ask(next.snap); }
    };

    const begin = () => {
      if (stage) return;
      stage = document.createElement("div");
      stage.className = "place";
      stage.tabIndex = 0;
      stage.setAttribute("role", "group");
      stage.setAttribute("aria-label", form.dataset.how);
      said = document.createElement("div");
      said.setAttribute("role", "status");
      form.prepend(stage, said);
      let drag = null;
      const scale = () => { const svg = stage.querySelector("svg"); return svg ? svg.viewBox.baseVal.width / svg.getBoundingClientRect().width : 1; };
      stage.addEventListener("pointerdown", (event) => {
        const image = stage.querySelector("g.art image, g.art path, g.art");
        const box = image?.getBoundingClientRect();
        if (!box) return;
        const { clientX: x, clientY: y } = event, grip = 22;
        const inside = x > box.left - grip && x < box.right + grip && y > box.top - grip && y < box.bottom + grip;
        if (!inside) return;
        const corner = (Math.abs(x - box.left) < grip || Math.abs(x - box.right) < grip) && (Math.abs(y - box.top) < grip || Math.abs(y - box.bottom) < grip);
        drag = { x, y, corner, centre: (box.left + box.right) / 2, right: mm("right"), up: mm("up"), width: mm("width") };
        stage.setPointerCapture(event.pointerId);
        event.preventDefault();
      });
      stage.addEventListener("pointermove", (event) => {
        if (!drag) return;
        const per = scale();
        if (drag.corner) {
          const grown = (Math.abs(event.clientX - drag.centre) - Math.abs(drag.x - drag.centre)) * 2 * per;
          write("width", Math.max(10, drag.width + grown));
        } else {
          write("right", drag.right + (event.clientX - drag.x) * per);
          write("up", drag.up - (event.clientY - drag.y) * per);
        }
        ask(!drag.corner);
      });
      const end = () => { if (drag) { const corner = drag.corner; drag = null; ask(!corner); } };
      stage.addEventListener("pointerup", end);
      stage.addEventListener("pointercancel", end);
      stage.addEventListener("keydown", (event) => {
        const step = event.shiftKey ? 10 : 1;
        const moves = { ArrowLeft: ["right", -step], ArrowRight: ["right", step], ArrowUp: ["up", step], ArrowDown: ["up", -step], "+": ["width", step], "-": ["width", -step] };
        const move = moves[event.key];
        if (!move) return;
        event.preventDefault();
        write(move[0], mm(move[0]) + move[1]);
        ask(false);
      });
      for (const name of ["position", "width", "right", "up"]) field(name).addEventListener("input", () => ask(false));
      ask(false);
    };
    const fold = form.closest("details");
    fold.addEventListener("toggle", () => { if (fold.open) begin(); });
  }
})();
