// The press side: timers by one touch, counts that wait for a lost connection, a screen that stays awake.
"use strict";
(() => {
  const run = document.getElementById("run");
  if (!run) return;
  const at = (id) => document.getElementById(id);
  const words = (name, ...values) => values.reduce((text, value) => text.replace("#", value), run.dataset["w" + name[0].toUpperCase() + name.slice(1)]);
  const store = "bondline-run-" + run.dataset.key;
  const state = Object.assign({ queue: [], step: 0, timer: 0, racks: {} }, JSON.parse(localStorage.getItem(store) || "{}"));
  const save = () => localStorage.setItem(store, JSON.stringify(state));
  // A page kept on this device may be older than the last count that was confirmed to it.
  let base = { good: +run.dataset.good, spoiled: +run.dataset.spoiled, at: +run.dataset.at };
  if (state.base?.at > base.at) base = state.base;
  const steps = [...document.querySelectorAll("#steps li")];
  const pieces = run.dataset.pieces.split(";").flatMap((part) => { const [size, count] = part.split(":"); return Array(+count).fill(size); });
  const sum = (what) => base[what] + state.queue.filter((one) => one[what]).length;

  // Sound and vibration at the end of a timer; both only after a touch, as browsers ask.
  let sound;
  const ring = () => {
    navigator.vibrate?.([300, 120, 300]);
    if (!sound) return;
    for (const [when, pitch] of [[0, 880], [0.25, 1175], [0.5, 880]]) {
      const tone = sound.createOscillator(), loud = sound.createGain();
      tone.frequency.value = pitch; loud.gain.value = 0.25;
      tone.connect(loud).connect(sound.destination);
      tone.start(sound.currentTime + when); tone.stop(sound.currentTime + when + 0.18);
    }
  };
  let awake = null;
  const stayAwake = async () => { try { awake = awake?.released === false ? awake : await navigator.wakeLock?.request("screen"); } catch { /* the browser does not allow it */ } };
  document.addEventListener("visibilitychange", () => { if (!document.hidden) { stayAwake(); send(); } });
  document.addEventListener("pointerdown", () => { stayAwake(); sound ||= new (window.AudioContext || window.webkitAudioContext)(); }, { once: true });

  const clock = (s) => s >= 60 ? `${Math.floor(s / 60)}:${String(s % 60).padStart(2, "0")}` : `${s}`;
  const show = () => {
    const good = sum("good"), spoiled = sum("spoiled"), all = pieces.length;
    at("good").textContent = good; at("spoiled").textContent = spoiled;
    at("piece").textContent = good >= all ? words("done") : words(pieces[good] === "one size" ? "pieceOne" : "piece", good + 1, all, pieces[good]);
    at("next").textContent = good + 1 < all && pieces[good + 1] !== "one size" ? words("next", pieces[good + 1]) : "";
    at("waiting").textContent = state.queue.length ? words("wait", state.queue.length) : "";
    steps.forEach((step, nth) => {
      step.classList.toggle("at", nth === state.step); step.classList.toggle("done", nth < state.step);
      if (nth === state.step) step.setAttribute("aria-current", "step"); else step.removeAttribute("aria-current");
    });
    const step = steps[state.step];
    at("step-words").textContent = step.querySelector(".words").textContent;
    at("step-more").textContent = step.dataset.more;
    const timed = +step.dataset.timer > 0;
    at("start").hidden = !timed;
    at("forward").hidden = false;
    if (!state.timer) { at("now").textContent = step.dataset.figure; at("start").textContent = words("start"); }
    tick();
  };
  const tick = () => {
    const now = Date.now();
    if (state.timer) {
      const left = Math.ceil((state.timer - now) / 1000);
      if (left <= 0) { state.timer = 0; ring(); state.step = Math.min(state.step + 1, steps.length - 1); save(); show(); return; }
      at("now").textContent = clock(left); at("start").textContent = words("stop");
    }
    for (const button of at("racks").children) {
      const end = state.racks[button.dataset.nth];
      const time = button.querySelector("b");
      if (!end) { time.textContent = ""; button.classList.remove("good"); continue; }
      const left = Math.ceil((end - now) / 1000);
      if (left <= 0 && !button.classList.contains("good")) { button.classList.add("good"); if (left > -3) ring(); }
      time.textContent = left > 0 ? clock(left) : words("ready");
    }
  };
  at("start").addEventListener("click", () => { state.timer = state.timer ? 0 : Date.now() + 1000 * +steps[state.step].dataset.timer; save(); show(); });
  at("forward").addEventListener("click", () => { state.timer = 0; state.step = (state.step + 1) % steps.length; save(); show(); });
  steps.forEach((step, nth) => step.addEventListener("click", () => { state.timer = 0; state.step = nth; save(); show(); }));
  for (let nth = 1; nth <= +at("racks").dataset.count; nth++) {
    const button = Object.assign(document.createElement("button"), { type: "button" });
    button.dataset.nth = nth;
    button.append(String(nth), document.createElement("b"));
    button.addEventListener("click", () => { if (state.racks[nth]) delete state.racks[nth]; else state.racks[nth] = Date.now() + 1000 * +run.dataset.cool; save(); tick(); });
    at("racks").append(button);
  }

  // Each count has a name of its own: sent again after a lost answer it counts once.
  const name = () => [...crypto.getRandomValues(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  let sending = false;
  const send = async () => {
    if (sending || !state.queue.length) return;
    sending = true;
    const one = state.queue[0];
    const body = new URLSearchParams({ token: document.body.dataset.token, key: one.key, good: one.good ? 1 : 0, spoiled: one.spoiled ? 1 : 0 });
    const response = await fetch(run.dataset.post, { method: "POST", body, headers: { "x-bondline-token": document.body.dataset.token } }).catch(() => null);
    sending = false;
    if (response?.ok) {
      const answer = await response.json();
      state.queue = state.queue.filter((other) => other.key !== one.key);
      base = state.base = { good: answer.good, spoiled: answer.spoiled, at: answer.at };
      save(); show(); send();
    } else setTimeout(send, 3000);
  };
  for (const form of document.querySelectorAll("form[data-count]")) form.addEventListener("submit", (event) => {
    event.preventDefault();
    const what = form.dataset.count;
    state.queue.push({ key: name(), good: what === "good", spoiled: what === "spoiled" });
    state.step = 0; state.timer = 0;
    if (what === "spoiled") {
      const left = +run.dataset.spares - sum("spoiled");
      at("said").textContent = left >= 0 ? words("spare", left) : words("none");
    } else at("said").textContent = "";
    save(); show(); send();
  });
  window.addEventListener("online", send);
  navigator.serviceWorker?.register("/press/worker.js").catch(() => { /* then the page needs its connection to be loaded */ });
  setInterval(tick, 250);
  show(); send();
})();
