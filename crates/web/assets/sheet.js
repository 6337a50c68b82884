// A sheet on the table: pieces are picked, moved and turned by mouse, touch or keys; what is in the way is said at once.
"use strict";
(() => {
  const form = document.querySelector("form[data-sheet]"), stage = document.querySelector(".table");
  const svg = stage?.querySelector("svg");
  if (!form || !svg) return;
  const at = (name) => form.elements[name], said = form.querySelector(".said"), pending = form.querySelector("[data-pending]");
  const whole = svg.viewBox.baseVal, around = 6;
  const full = { x: 0, y: 0, w: whole.width, h: whole.height };
  const pieces = new Map();
  for (const group of svg.querySelectorAll("g.piece")) {
    const d = group.dataset, [along, across, wide, high, turn] = [d.along, d.across, d.wide, d.high, d.turn].map(Number);
    const now = { x: along + wide / 2, y: across + high / 2, turn };
    pieces.set(+d.piece + 1, { group, wide, high, was: { ...now }, now });
  }
  let picked = null;
  // Fields show lengths in the person's own unit.
  const inch = document.querySelector("form[action='/units'] button")?.value === "metric";
  const unit = inch ? 25.4 : 1, digits = inch ? 100 : 10, name = inch ? " in" : " mm";
  const shown = (mm) => Math.round(mm / unit * digits) / digits + name;
  const read = (field) => {
    const text = at(field).value.trim().replace(",", ".").replace("\u2212", "-"), number = parseFloat(text);
    if (!Number.isFinite(number)) return null;
    if (field === "turn") return number;
    return number * (/mm$/.test(text) ? 1 : /cm$/.test(text) ? 10 : /in$|"$/.test(text) ? 25.4 : unit);
  };
  const size = (piece) => {
    const rad = (piece.now.turn - piece.was.turn) * Math.PI / 180, c = Math.abs(Math.cos(rad)), s = Math.abs(Math.sin(rad));
    return [piece.wide * c + piece.high * s, piece.wide * s + piece.high * c];
  };
  const corner = (piece) => { const [w, h] = size(piece); return [piece.now.x - w / 2, piece.now.y - h / 2]; };
  const moved = (piece) => ["x", "y"].some((k) => Math.abs(piece.now[k] - piece.was[k]) > 0.04) || (piece.now.turn - piece.was.turn) % 360 !== 0;
  const place = (piece) => {
    const { was, now } = piece, cx = around + was.x, cy = full.h - around - was.y;
    piece.group.setAttribute("transform", `translate(${now.x - was.x} ${was.y - now.y}) rotate(${was.turn - now.turn} ${cx} ${cy})`);
    piece.group.classList.toggle("moved", moved(piece));
  };
  const write = (piece) => {
    const [along, across] = corner(piece);
    at("along").value = shown(along); at("across").value = shown(across); at("turn").value = Math.round(piece.now.turn * 100) / 100;
  };

  let running = false, again = false, last = "";
  const ask = async () => {
    if (running) { again = true; return; }
    if (!picked) return;
    running = true;
    const query = new URLSearchParams({ piece: picked, along: at("along").value, across: at("across").value, turn: at("turn").value });
    const answer = await fetch(`${location.pathname}/try?${query}`).then((r) => r.ok ? r.json() : null).catch(() => null);
    running = false;
    if (answer) {
      const text = answer.said.join("\n");
      if (text !== last) {
        last = text;
        said.replaceChildren(...answer.said.map((line) => Object.assign(document.createElement("p"), { textContent: line })));
      }
      for (const piece of pieces.values()) piece.group.classList.remove("bad");
      pieces.get(picked)?.group.classList.toggle("bad", answer.stops);
    }
    if (again) { again = false; ask(); }
  };
  const others = () => [...pieces].filter(([nth, piece]) => nth !== picked && moved(piece));
  const pick = (nth, keep) => {
    pieces.get(picked)?.group.classList.remove("picked");
    picked = pieces.has(nth) ? nth : null;
    if (!picked) return;
    const piece = pieces.get(picked);
    piece.group.classList.add("picked");
    piece.group.parentNode.append(piece.group);
    at("piece").value = String(picked);
    if (!keep) write(piece);
    const more = others().length;
    pending.hidden = more === 0;
    pending.textContent = pending.dataset.words.replace("#", more);
    ask();
  };
  const take = (change) => {
    const piece = pieces.get(picked);
    if (!piece) return;
    change(piece.now);
    place(piece); write(piece); ask();
  };
  const quarter = () => take((now) => { now.turn = (now.turn + 90) % 360; });
  at("piece").addEventListener("change", () => pick(+at("piece").value));
  for (const field of ["along", "across", "turn"]) at(field).addEventListener("input", () => {
    const piece = pieces.get(picked), turn = read("turn");
    if (!piece) return;
    if (turn !== null) piece.now.turn = turn;
    const [w, h] = size(piece), along = read("along"), across = read("across");
    if (along !== null) piece.now.x = along + w / 2;
    if (across !== null) piece.now.y = across + h / 2;
    place(piece); ask();
  });
  form.querySelector("[data-quarter]").hidden = false;
  form.querySelector("[data-quarter]").addEventListener("click", quarter);
  form.querySelector("[data-empty]").hidden = true;
  form.addEventListener("submit", () => {
    for (const [nth, piece] of others()) {
      const value = [nth, ...corner(piece).map(shown), piece.now.turn].join(";");
      form.append(Object.assign(document.createElement("input"), { type: "hidden", name: "also", value }));
    }
  });

  // Looking closely: the picture's own frame is moved and narrowed.
  let view = { ...full };
  const look = (to) => {
    const w = Math.min(full.w, Math.max(20, to.w)), h = w * full.h / full.w;
    view = { x: Math.min(full.w - w, Math.max(0, to.x)), y: Math.min(full.h - h, Math.max(0, to.y)), w, h };
    svg.setAttribute("viewBox", `${view.x} ${view.y} ${view.w} ${view.h}`);
  };
  const scale = () => { const m = svg.getScreenCTM(); return m ? 1 / m.a : 1; };
  const point = (x, y) => { const p = new DOMPoint(x, y).matrixTransform(svg.getScreenCTM().inverse()); return [p.x, p.y]; };
  const zoom = (by, x, y) => look({ w: view.w * by, x: x - (x - view.x) * by, y: y - (y - view.y) * by });
  for (const button of document.querySelectorAll("[data-zoom]")) button.addEventListener("click", () => {
    const piece = pieces.get(picked);
    const [x, y] = piece ? [around + piece.now.x, full.h - around - piece.now.y] : [view.x + view.w / 2, view.y + view.h / 2];
    if (button.dataset.zoom === "all") look(full);
    else zoom(button.dataset.zoom === "in" ? 0.6 : 1 / 0.6, x, y);
  });
  document.querySelector(".closer").hidden = false;
  stage.addEventListener("wheel", (event) => {
    if (!event.ctrlKey && !event.metaKey) return;
    event.preventDefault();
    zoom(event.deltaY < 0 ? 0.85 : 1 / 0.85, ...point(event.clientX, event.clientY));
  }, { passive: false });

  const fingers = new Map();
  let drag = null, apart = 0;
  stage.addEventListener("pointerdown", (event) => {
    if (event.button) return;
    fingers.set(event.pointerId, event);
    stage.setPointerCapture(event.pointerId);
    if (fingers.size === 2) { drag = null; apart = 0; return; }
    const group = event.target.closest?.("g.piece");
    if (group) pick(+group.dataset.piece + 1);
    const piece = group && pieces.get(picked);
    drag = piece ? { piece, x: event.clientX, y: event.clientY, from: { ...piece.now } } : { x: event.clientX, y: event.clientY, view: { ...view } };
    stage.focus({ preventScroll: true });
    event.preventDefault();
  });
  stage.addEventListener("pointermove", (event) => {
    if (!fingers.has(event.pointerId)) return;
    fingers.set(event.pointerId, event);
    if (fingers.size === 2) {
      const [a, b] = [...fingers.values()], now = Math.hypot(a.clientX - b.clientX, a.clientY - b.clientY);
      if (apart) zoom(apart / now, ...point((a.clientX + b.clientX) / 2, (a.clientY + b.clientY) / 2));
      apart = now;
      return;
    }
    if (!drag) return;
    const mm = scale(), x = (event.clientX - drag.x) * mm, y = (event.clientY - drag.y) * mm;
    if (drag.piece) {
      // A touch that only picks must not move the piece.
      if (Math.hypot(event.clientX - drag.x, event.clientY - drag.y) < 4 && !drag.on) return;
      drag.on = true;
      take((now) => { now.x = drag.from.x + x; now.y = drag.from.y - y; });
    } else look({ ...drag.view, x: drag.view.x - x, y: drag.view.y - y });
  });
  const end = (event) => { fingers.delete(event.pointerId); drag = null; apart = 0; };
  stage.addEventListener("pointerup", end);
  stage.addEventListener("pointercancel", end);
  stage.addEventListener("keydown", (event) => {
    const step = event.shiftKey ? 10 : 1, all = pieces.size;
    const keys = {
      ArrowLeft: () => take((now) => { now.x -= step; }), ArrowRight: () => take((now) => { now.x += step; }),
      ArrowUp: () => take((now) => { now.y += step; }), ArrowDown: () => take((now) => { now.y -= step; }),
      t: quarter, n: () => pick((picked ?? 0) % all + 1), p: () => pick(((picked ?? 1) + all - 2) % all + 1),
      "+": () => document.querySelector("[data-zoom=in]").click(), "-": () => document.querySelector("[data-zoom=out]").click(),
      Enter: () => { if (picked) form.requestSubmit(form.querySelector("[value=lock]")); },
    };
    const act = keys[event.key];
    if (!act || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    act();
  });

  if (at("piece").value) {
    // Back from a refusal: as it was typed.
    const typed = ["along", "across", "turn"].map((field) => at(field).value);
    pick(+at("piece").value, typed.some(Boolean));
    if (typed.some(Boolean)) at("along").dispatchEvent(new Event("input"));
  }
})();
